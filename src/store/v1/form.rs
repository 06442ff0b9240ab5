//! What all stored forms share: their version, what is wrong with them, and times as they are written.

use crate::model::Moment;
use jiff::{civil::DateTime, tz::TimeZone};

/// From this version on, times that are measured are written as instants.
pub(super) const INSTANTS: u32 = 2;
/// From this version on there are recipes, and plans that name one.
pub(super) const RECIPES: u32 = 3;

/// From this version on, an oven may have make, model, serial number and contact.
pub(super) const PLATES: u32 = 3;

/// A stored form: it knows which version it was written as.
pub(crate) trait Form {
    /// Returns the `version` field of the file.
    fn version(&self) -> u32;
}

/// Why a file that is well-formed JSON still cannot be one of ours.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub(crate) struct FormError(pub(crate) String);

impl FormError {
    /// Says which field is wrong, with its value and what was expected.
    pub(super) fn field(name: &str, value: impl std::fmt::Display, expected: &str) -> Self {
        Self(format!("{name} is {value}, expected {expected}"))
    }
}

/// Wraps another error's words, so that every form fails alike.
pub(super) fn to_form_error(error: impl std::fmt::Display) -> FormError {
    FormError(error.to_string())
}

/// Reads what may be absent.
pub(super) fn maybe<F, T>(
    form: Option<F>,
    read: impl FnOnce(F) -> Result<T, FormError>,
) -> Result<Option<T>, FormError> {
    form.map(read).transpose()
}

/// Reads each of a list, up to the first that is wrong.
pub(super) fn each<F, T>(
    forms: Vec<F>,
    read: impl FnMut(F) -> Result<T, FormError>,
) -> Result<Vec<T>, FormError> {
    forms.into_iter().map(read).collect()
}

/// Checks that a figure lies in a range (which also refuses what is not a number).
pub(super) fn within(name: &str, value: f64, lo: f64, hi: f64) -> Result<f64, FormError> {
    if (lo..=hi).contains(&value) {
        Ok(value)
    } else {
        Err(FormError::field(name, value, &format!("{lo} to {hi}")))
    }
}

pub(super) fn date_time(name: &str, text: &str) -> Result<DateTime, FormError> {
    text.parse().map_err(|_ignored: jiff::Error| {
        FormError::field(name, text, "a local time like 2026-11-25T09:30:00")
    })
}

/// Reads an instant with its offset or, from version 1, a civil time of the zone this program runs in.
pub(super) fn moment(name: &str, text: &str) -> Result<Moment, FormError> {
    match text.parse() {
        Ok(moment) => Ok(moment),
        Err(_civil) => Ok(Moment::in_zone(date_time(name, text)?, &TimeZone::system())),
    }
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde hands a reference to what decides whether a field is written"
)]
pub(super) fn is_zero(figure: &f64) -> bool {
    *figure == 0.0
}
