//! Of when a map is.

use crate::model::{Mode, Oven, ServiceVisit, ToastTest};

/// Returns the latest service visit that came after every test of a map.
pub(super) fn visit_since<'o>(oven: &'o Oven, tests: &[&ToastTest]) -> Option<&'o ServiceVisit> {
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

/// Returns the days of tests as a person says them: `10 to 11 April 2026`.
pub(super) fn spoken_days(tests: &[&ToastTest]) -> Option<String> {
    let (first, last) = (tests.first()?.when.date(), tests.last()?.when.date());
    let end = last.strftime("%-d %B %Y");
    let from = if first == last {
        return Some(end.to_string());
    } else if (first.year(), first.month()) == (last.year(), last.month()) {
        first.strftime("%-d")
    } else if first.year() == last.year() {
        first.strftime("%-d %B")
    } else {
        first.strftime("%-d %B %Y")
    };
    Some(format!("{from} to {end}"))
}
