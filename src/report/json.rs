//! Results as JSON: numbers in SI units, with the unit in the key.
//!
//! The forms are the contract with other programs: from the first release on keys are added, never renamed.

use serde::Serialize;

/// A result that has no JSON form: a figure that is not a number. A fault of the program.
#[derive(Debug, thiserror::Error)]
#[error("a result has no JSON form: {0}; this is a fault of the program, please report it")]
pub struct JsonError(#[from] serde_json::Error);

/// A result with a JSON form.
pub trait JsonResult {
    /// Returns the text of the form.
    ///
    /// # Errors
    /// [`JsonError`], a fault of the program.
    fn to_json_text(&self) -> Result<String, JsonError>;
}

impl<T: Serialize> JsonResult for T {
    fn to_json_text(&self) -> Result<String, JsonError> {
        Ok(serde_json::to_string_pretty(self)?)
    }
}
