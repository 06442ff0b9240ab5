//! Why readings give no answer.

/// Why a figure cannot be had from the readings given.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CalibrationError {
    #[error("{have} {what} are too few for {answer}; {need} or more are needed")]
    TooFew {
        what: &'static str,
        have: usize,
        answer: &'static str,
        need: usize,
    },
    #[error("every point lies at {0}, so there is no slope; give two different settings at least")]
    OnePlace(f64),
    #[error("{what} of {value} cannot be; give a finite figure{hint}")]
    Figure {
        what: &'static str,
        value: f64,
        hint: &'static str,
    },
    #[error(
        "the readings after the door was closed do not show a fall that comes back; read every 15 to 30 seconds from the moment it closes"
    )]
    NoRecovery,
    #[error(
        "the fit did not settle after {evaluations} steps; give more readings, or check them for slips"
    )]
    NotSettled { evaluations: usize },
}

/// Checks that a figure is finite.
pub(super) fn finite(what: &'static str, value: f64) -> Result<f64, CalibrationError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(CalibrationError::Figure {
            what,
            value,
            hint: "",
        })
    }
}
