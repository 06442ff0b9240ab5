//! The doughs that rise, seen from any screen, and their bell.

use crate::{
    model::rising::OwnDough,
    tui::shared::{DoughRang, Shared},
    workflow::rising::{RisingNow, rising_now},
};
use std::time::Duration;

/// The bell is repeated this often while the dough is past its time and nothing is done.
const AGAIN: Duration = Duration::from_mins(1);
/// It rings no longer than this past the time, minutes: then it was forgotten, or taken out without a word.
const RINGS_MIN: f64 = 60.0;
/// A look is worth it from here on, share of the rise.
const LOOK_AT: f64 = 0.5;

/// Returns the doughs that rise, the one due first at the front; one that never rises where it is comes last.
fn rising(shared: &Shared) -> Vec<(&OwnDough, Option<RisingNow>)> {
    let doughs = shared.kitchen.doughs().iter();
    let mut all: Vec<_> = doughs
        .filter_map(|d| Some((d, rising_now(d, d.rising()?, shared.moment))))
        .collect();
    let left = |now: &Option<RisingNow>| now.map_or(f64::INFINITY, |n| n.left.0);
    all.sort_by(|a, b| left(&a.1).total_cmp(&left(&b.1)));
    all
}

/// Returns the dough that rises, the one due first if there are several.
pub(crate) fn running(shared: &Shared) -> Option<&OwnDough> {
    rising(shared).first().map(|(dough, _)| *dough)
}

/// Rings for each dough, and says what for: once when a look is worth it, again and again when it should be ready.
pub(crate) fn ring_elsewhere(shared: &mut Shared) {
    let mut due = Vec::new();
    for (dough, now) in rising(shared) {
        let Some(now) = now else { continue };
        let rang = shared
            .dough_rang
            .get(&dough.id)
            .copied()
            .unwrap_or_default();
        let looked = dough.rising().is_some_and(|l| !l.looks.is_empty());
        let name = &dough.name;
        let lately = |at: Duration| shared.elapsed.saturating_sub(at) < AGAIN;
        if now.left.0 <= 0.0 {
            if now.left.0 >= -RINGS_MIN && !rang.out.is_some_and(lately) {
                let out = Some(shared.elapsed);
                let words = format!("DOUGH, {name}: it should be ready, look now");
                due.push((dough.id.clone(), DoughRang { out, ..rang }, words));
            }
        } else if now.share >= LOOK_AT && !rang.look && !looked {
            let words = format!("DOUGH, {name}: about half grown, have a look");
            due.push((dough.id.clone(), DoughRang { look: true, ..rang }, words));
        }
    }
    // The one due first is said last: it stays in sight.
    for (id, rang, words) in due.into_iter().rev() {
        shared.dough_rang.insert(id, rang);
        // What is wrong stays in sight; the bell rings all the same.
        if shared.unsaved.is_empty() {
            shared.say(format!("{words}. Kitchen, y: its clock"));
        }
        shared.ring(words);
    }
}
