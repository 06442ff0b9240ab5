//! Of when a map is, and when its mode is to be tested again.

use super::super::{
    history::{TestAgain, test_again},
    kitchen::Kitchen,
};
use crate::model::{Mode, Oven, ServiceVisit, ToastTest};
use jiff::{ToSpan, civil::Date};

/// Months after which a mode is tested again though nothing happened (common practice, no source).
const SEASON_MONTHS: i64 = 6;

/// Returns the latest service visit that came after every test of a map.
fn visit_since<'o>(oven: &'o Oven, tests: &[&ToastTest]) -> Option<&'o ServiceVisit> {
    let newest = tests.last()?;
    let since = oven.visits.iter().filter(|v| v.when > newest.when);
    since.max_by_key(|v| v.when)
}

/// Returns the heading over a map of these tests: in the past tense where a visit has come since.
pub(super) fn heading(
    (now, then): (&str, &str),
    tests: &[&ToastTest],
    oven: &Oven,
    mode: Mode,
) -> String {
    let words = mode.words();
    match (days(tests), visit_since(oven, tests)) {
        (None, _) => format!("{now}, {words}"),
        (Some(days), None) => format!("{now}, {words}, tested {days}"),
        (Some(days), Some(visit)) => format!(
            "{then}, {words}, tested {days}, before the visit of {}",
            visit.when.date()
        ),
    }
}

/// Returns the days of tests: `2026-04-10 to 2026-04-11`.
pub(super) fn days(tests: &[&ToastTest]) -> Option<String> {
    let (first, last) = (tests.first()?.when.date(), tests.last()?.when.date());
    Some(if first == last {
        first.to_string()
    } else {
        format!("{first} to {last}")
    })
}

/// Says when to test a mode again whose map rests on `tests`; nothing where there are none.
pub(super) fn again(
    kitchen: &Kitchen,
    oven: &Oven,
    tests: &[&ToastTest],
    today: Date,
) -> Option<TestAgain> {
    let newest = tests.last()?;
    if let Some(visit) = visit_since(oven, tests) {
        return Some(TestAgain {
            from: visit.when.date().min(today),
            due: true,
            why: format!(
                "the service visit of {} came after the newest test {} and may have changed the oven",
                visit.moment(),
                newest.setup.mode.phrase()
            ),
        });
    }
    let mut of_the_oven = kitchen.tests_of(&oven.id).into_iter();
    let latest = of_the_oven.rfind(|t| t.scored() > 0);
    // The oven's newest test answers for its own mode; an older one has its own season.
    if latest.is_some_and(|t| t.setup.mode == newest.setup.mode) {
        return Some(test_again(kitchen, oven, today));
    }
    let day = newest.when.date();
    let from = day.checked_add(SEASON_MONTHS.months()).unwrap_or(today);
    Some(TestAgain {
        from,
        due: from <= today,
        why: format!(
            "the newest test {} is of {day}; every {SEASON_MONTHS} months, and after a visit or a move (common practice, no source)",
            newest.setup.mode.phrase()
        ),
    })
}
