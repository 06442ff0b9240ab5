//! Version 1 of the stored files: serde forms apart from the domain's own types.
//!
//! Lengths are centimetres, temperatures degrees Celsius and times minutes, with the unit in the
//! key. A field that no form knows is an error, not something to drop in silence: the next save
//! would lose it.

mod air;
mod bake;
mod oven;
mod photo;
mod plan;
mod toast;
mod words;

pub(crate) use air::{RoundForm, ThermometerForm};
pub(crate) use bake::BakeForm;
pub(crate) use oven::OvenForm;
pub(crate) use toast::TestForm;
pub(super) use words::{HeatForm, LengthForm, ModeForm, TemperatureForm};

use jiff::civil::DateTime;

/// A stored form: it knows which version it was written as.
pub(crate) trait Form {
    /// Returns the `version` field of the file.
    fn version(&self) -> u32;
}

macro_rules! form {
    ($form:ident) => {
        impl Form for $form {
            fn version(&self) -> u32 {
                self.version
            }
        }
    };
}
form!(OvenForm);
form!(TestForm);
form!(BakeForm);
form!(RoundForm);
form!(ThermometerForm);

/// Why a file that is well-formed JSON still cannot be one of ours.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub(crate) struct FormError(pub(crate) String);

impl FormError {
    /// Says which field is wrong, with its value and what was expected.
    fn field(name: &str, value: impl std::fmt::Display, expected: &str) -> Self {
        Self(format!("{name} is {value}, expected {expected}"))
    }
}

/// Wraps another error's words, so that every form fails alike.
fn words(error: impl std::fmt::Display) -> FormError {
    FormError(error.to_string())
}

/// Checks that a figure lies in a range (which also refuses what is not a number).
fn within(name: &str, value: f64, lo: f64, hi: f64) -> Result<f64, FormError> {
    if (lo..=hi).contains(&value) {
        Ok(value)
    } else {
        Err(FormError::field(name, value, &format!("{lo} to {hi}")))
    }
}

fn date_time(name: &str, text: &str) -> Result<DateTime, FormError> {
    text.parse().map_err(|_ignored: jiff::Error| {
        FormError::field(name, text, "a local time like 2026-11-25T09:30:00")
    })
}

#[cfg(test)]
mod any_bake;
#[cfg(test)]
mod tests;
