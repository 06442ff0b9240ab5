//! Why readings give no answer.

/// Why a figure cannot be had from the readings given.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CalibrationError {
    /// Fewer readings than there are unknowns.
    #[error("{have} {what} are too few for {answer}; {need} or more are needed")]
    TooFew {
        /// What there is too little of.
        what: &'static str,
        /// How many there are.
        have: usize,
        /// What was to be found.
        answer: &'static str,
        /// How many are needed.
        need: usize,
    },
    /// All points lie at one place, so no slope can be told.
    #[error("every point lies at {0}, so there is no slope; give two different settings at least")]
    OnePlace(f64),
    /// A figure that is not finite, or an error that is not above zero.
    #[error("{what} of {value} cannot be; give a finite figure{hint}")]
    Figure {
        /// Which figure.
        what: &'static str,
        /// Its value.
        value: f64,
        /// What else it must be.
        hint: &'static str,
    },
    /// The readings do not rise towards a hold.
    #[error(
        "the readings after the door was closed do not show a fall that comes back; read every 15 to 30 seconds from the moment it closes"
    )]
    NoRecovery,
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
