//! Of when a map is.

use crate::model::{Mode, Oven, ServiceVisit, ToastTest};

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
