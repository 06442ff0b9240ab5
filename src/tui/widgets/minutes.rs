//! A time that is noted in steps of a minute.

use crate::units::Minutes;

/// Returns a time one step longer or shorter; begins at the expected one, ends below 1 min.
pub fn more_minutes(
    now: Option<Minutes>,
    steps: f64,
    expected: Option<Minutes>,
) -> Option<Minutes> {
    match now {
        None => expected,
        Some(now) if now.0 + steps < 1.0 => None,
        Some(now) => Some(Minutes((now.0 + steps).min(240.0))),
    }
}
