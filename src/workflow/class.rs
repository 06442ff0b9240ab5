//! The ovens of a class at a glance: how each one bakes, when it was tested last, and what is due.

use super::{
    ground::ground_of_oven,
    history::{TestAgain, test_again},
    kitchen::Records,
};
use crate::model::{OvenId, ToastTest};
use jiff::civil::Date;

/// Cells of the maps behind a line; only where it is hottest is said.
const GRID: (usize, usize) = (16, 12);

/// One oven in a line.
#[derive(Debug, Clone, PartialEq)]
pub struct OvenLine {
    /// The oven.
    pub oven: OvenId,
    /// How it bakes, in a few words; `None` where that was not asked for.
    pub words: Option<String>,
    /// The day of its newest scored test.
    pub tested: Option<Date>,
    /// When to test it again.
    pub again: TestAgain,
    /// What the words rest on: they are worked out again only when it changes.
    basis: Vec<ToastTest>,
}

/// Goes through every oven, and works out how each one bakes where there is room to say it; what is `known` and still
/// rests on the same tests is taken over.
pub fn class(kitchen: &Records, today: Date, known: &[OvenLine], says: bool) -> Vec<OvenLine> {
    let line = |oven: &crate::model::Oven| {
        let tests = kitchen.tests_of(&oven.id);
        let basis: Vec<ToastTest> = tests.into_iter().cloned().collect();
        let newest = basis.iter().rfind(|t| t.scored() > 0);
        let before = known.iter().find(|l| l.oven == oven.id && l.basis == basis);
        let before = before.and_then(|line| line.words.clone());
        let words = || {
            let mode = newest?.setup.mode;
            let ground = ground_of_oven(kitchen, oven, Some(mode), GRID).ok()?;
            Some(ground.view()?.short_verdict())
        };
        OvenLine {
            oven: oven.id.clone(),
            words: before
                .or_else(|| says.then(|| words().unwrap_or_else(|| "not tested".to_owned()))),
            tested: newest.map(|t| t.when.date()),
            again: test_again(kitchen, oven, None, today),
            basis,
        }
    };
    kitchen.ovens().iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workflow::kitchen::Kitchen;

    #[test]
    fn every_oven_has_a_line_and_what_is_known_is_not_worked_out_again() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let today = jiff::civil::date(2026, 5, 1);
        let due = class(&kitchen.snapshot(), today, &[], false);
        assert!(due.iter().all(|l| l.words.is_none()));
        let mut lines = class(&kitchen.snapshot(), today, &[], true);
        assert_eq!(lines.len(), kitchen.ovens().len());
        assert!(lines.iter().any(|l| l.tested.is_some()));
        for line in &mut lines {
            line.words = Some("as known".to_owned());
        }
        let again = class(&kitchen.snapshot(), today, &lines, true);
        assert!(again.iter().all(|l| l.words.as_deref() == Some("as known")));
    }
}
