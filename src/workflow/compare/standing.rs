//! What stands against comparing: whatever else differs between before and after.

use super::view::TestGroup;
use crate::{
    compare::{Basis, Comparison},
    model::{Gravity, Oven, ToastTest, Warning, text::racks_named},
    workflow::observe::read_by_eye,
};

/// Dial settings this far apart (C) brown differently.
const DIALS_APART: f64 = 3.0;
/// Times that differ by this share brown differently.
const MINUTES_APART: f64 = 0.05;
/// Untoasted slices this far apart in L* are of different bread.
const LIGHTNESS_APART: f64 = 2.0;
/// Tests further apart than this, days, are a long time apart.
const LONG_GAP: i32 = 400;
/// Levels further apart than this ratio make slices of both sides scatter differently.
const LEVELS_APART: f64 = 1.4;

/// Returns what the tests themselves have against being compared, weightiest first.
pub(super) fn warnings(
    before: TestGroup<'_>,
    after: TestGroup<'_>,
    comparison: &Comparison,
) -> Vec<Warning> {
    let (b, a) = (before.tests[0], after.tests[0]);
    let mut out = Vec::new();
    if before.oven.id != after.oven.id {
        out.push(Warning::misleads(
            format!(
                "'{}' and '{}' are two ovens",
                before.oven.name, after.oven.name
            ),
            "read it as a comparison of ovens, not as a change",
        ));
    }
    let mut differs = |what: &str, one: &str, other: &str, advice: &str| {
        if one != other {
            let said = format!("before was {what} {one}, after {other}");
            out.push(Warning::misleads(said, advice));
        }
    };
    differs(
        "toasted",
        b.setup.mode.phrase(),
        a.setup.mode.phrase(),
        "what changed may be the mode alone; test both in one mode",
    );
    differs(
        "made with",
        &b.bread.loaf,
        &a.bread.loaf,
        "another bread browns at another rate; use the same loaf",
    );
    differs(
        "laid",
        b.bread.surface.words(),
        a.bread.surface.words(),
        "a sheet hides the lower face; lay slices alike",
    );
    let eye = |group: TestGroup<'_>| {
        if read_by_eye(group.tests) {
            "by eye"
        } else {
            "as measured lightness"
        }
    };
    differs(
        "scored",
        eye(before),
        eye(after),
        "the two ways stray differently; score both alike",
    );
    differs(
        "toasted with slices",
        &racks(before.tests),
        &racks(after.tests),
        "racks shade each other; load the same ones",
    );
    out.extend(dial_warning(before, after));
    out.extend(level_warnings(b, a));
    out.extend(gap_warnings(before, after));
    out.extend(of_comparison(comparison, Some((before.oven, after.oven))));
    out
}

/// Says which tests of a side with very many do not count: of each side all, and those that do.
pub(super) fn left_out(
    before: (&[&ToastTest], &[&ToastTest]),
    after: (&[&ToastTest], &[&ToastTest]),
) -> Vec<Warning> {
    [("before", before), ("after", after)]
        .into_iter()
        .filter(|(_, (all, kept))| kept.len() < all.len())
        .map(|(side, (all, kept))| {
            Warning::minor(
                format!(
                    "of the {} tests {side} only the {} nearest in time to the other side count",
                    all.len(),
                    kept.len()
                ),
                "name fewer tests to choose others; more would add little",
            )
        })
        .collect()
}

/// Returns what the comparison itself has to remark: layouts, sizes, racks and levels.
pub(super) fn of_comparison(
    comparison: &Comparison,
    ovens: Option<(&Oven, &Oven)>,
) -> Vec<Warning> {
    let mut out = Vec::new();
    let cavities = ovens.map(|(b, a)| (b.cavity, a.cavity));
    if let Some((b, a)) = cavities.filter(|(b, a)| b.width != a.width || b.depth != a.depth) {
        out.push(Warning::new(
            format!(
                "the cavities differ in size ({:.0} x {:.0} and {:.0} x {:.0} cm): their maps are laid over each other wall to wall",
                b.width.0, b.depth.0, a.width.0, a.depth.0
            ),
            "go by the figures rather than by places",
        ));
    } else if comparison.basis == Basis::Apart {
        out.push(Warning::new(
            "the slices did not lie in the same places before and after: the difference is that of two maps, and less sharp",
            "lay the next test out as the one before",
        ));
    }
    for (side, racks) in [
        ("before", &comparison.unmatched.0),
        ("after", &comparison.unmatched.1),
    ] {
        for rack in racks {
            out.push(Warning::minor(
                format!("position {rack} was tested {side} only"),
                "nothing can be said of its change",
            ));
        }
    }
    for rack in &comparison.racks {
        let (b, a) = (rack.level.before.value, rack.level.after.value);
        if b.max(a) > LEVELS_APART * b.min(a) {
            out.push(Warning::new(
                format!(
                    "position {} has mean shade {b:.1} before and {a:.1} after",
                    rack.rack
                ),
                "pull both tests at the same colour: pale and dark slices scatter differently",
            ));
        }
    }
    out
}

/// Returns what the slices of both sides warn of, once where it is the same.
pub(super) fn of_slices([before, after]: [Vec<Warning>; 2]) -> Vec<Warning> {
    let (both, before): (Vec<_>, Vec<_>) = before.into_iter().partition(|w| after.contains(w));
    let after = after.into_iter().filter(|w| !both.contains(w)).collect();
    [
        ("before and after", both.clone()),
        ("before", before),
        ("after", after),
    ]
    .into_iter()
    .flat_map(|(side, warnings): (_, Vec<Warning>)| {
        warnings.into_iter().map(move |w| Warning {
            what: format!("{side}: {}", w.what),
            ..w
        })
    })
    .collect()
}

/// Names every dial setting of both sides where any differ. The level of a side stands on its first test, its pattern on
/// all: where the first agree, the answer is still one to the question asked.
fn dial_warning(before: TestGroup<'_>, after: TestGroup<'_>) -> Option<Warning> {
    let far = |b: &ToastTest, a: &ToastTest| (a.setup.dial.0 - b.setup.dial.0).abs() > DIALS_APART;
    let any = |b: &&ToastTest| after.tests.iter().any(|a| far(b, a));
    let dials = |group: TestGroup<'_>| {
        let unit = group.oven.dial.unit;
        one_or_other(group.tests, |t| unit.show(t.setup.dial))
    };
    let (one, other) = (dials(before), dials(after));
    if one == other || !before.tests.iter().any(any) {
        return None;
    }
    let warning = Warning::new(
        format!("before was toasted with the dial at {one}, after {other}"),
        "the pattern can shift with the setting; test both at one setting",
    );
    Some(if far(before.tests[0], after.tests[0]) {
        warning.that(Gravity::Misleads)
    } else {
        warning
    })
}

fn racks(tests: &[&ToastTest]) -> String {
    one_or_other(tests, |t| format!("on {}", racks_named(&t.setup.racks)))
}

/// Says what the tests of one side have, each only once.
fn one_or_other(tests: &[&ToastTest], words: impl Fn(&ToastTest) -> String) -> String {
    let mut all: Vec<String> = tests.iter().map(|t| words(t)).collect();
    all.sort();
    all.dedup();
    all.join(", or ")
}

/// What makes one whole test darker than another.
fn level_warnings(b: &ToastTest, a: &ToastTest) -> Vec<Warning> {
    let mut out = Vec::new();
    if let (Some(one), Some(other)) = (b.minutes, a.minutes)
        && (one.0 - other.0).abs() > MINUTES_APART * one.0
    {
        out.push(Warning::new(
            format!(
                "before was toasted {:.1} minutes, after {:.1}",
                one.0, other.0
            ),
            "the change of level says nothing of the oven",
        ));
    }
    let (one, other) = (b.untoasted(), a.untoasted());
    if (one - other).abs() > LIGHTNESS_APART {
        out.push(Warning::new(
            format!("the untoasted slices had lightness {one:.0} before and {other:.0} after"),
            "another bread browns at another rate; use the same loaf",
        ));
    }
    out
}

/// A long time, or a move of the oven, between the tests.
fn gap_warnings(before: TestGroup<'_>, after: TestGroup<'_>) -> Vec<Warning> {
    let last = before.tests.iter().map(|t| t.when).max();
    let first = after.tests.iter().map(|t| t.when).min();
    let (Some(last), Some(first)) = (last, first) else {
        return Vec::new();
    };
    let mut out = Vec::new();
    if first < last {
        out.push(Warning::misleads(
            format!(
                "a test of before ({}) is later than one of after ({})",
                last.date(),
                first.date()
            ),
            "name the earlier tests first",
        ));
    }
    let days = first
        .date()
        .since(last.date())
        .map_or(0, |span| span.get_days());
    if days > LONG_GAP {
        out.push(Warning::minor(
            format!("{days} days lie between before and after"),
            "wear, seasons and bread may have changed too",
        ));
    }
    // The whole word: a seal that was removed moves no oven.
    let moved = |what: &str| {
        let what = what.to_lowercase();
        what.split(|c: char| !c.is_alphanumeric())
            .any(|word| word == "moved")
    };
    for visit in before.oven.visits.iter().filter(|v| moved(&v.what)) {
        if before.oven.id == after.oven.id && last < visit.when && visit.when < first {
            out.push(Warning::misleads(
                format!("the oven was moved in between ({})", visit.moment()),
                "its level stand and its supply may be what changed",
            ));
        }
    }
    out
}
