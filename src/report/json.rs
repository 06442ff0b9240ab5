//! Results as JSON: numbers in SI units, with the unit in the key.
//!
//! The forms are the contract with other programs: from the first release on keys are added, never renamed.

use serde::{Serialize, Serializer, ser::SerializeMap};

/// A result that has no JSON form: a figure that is not a number. A fault of the program.
#[derive(Debug, thiserror::Error)]
#[error("a result has no JSON form: {0}; this is a fault of the program, please report it")]
pub struct JsonError(#[from] serde_json::Error);

/// A result with a JSON form.
pub trait JsonResult: Serialize {
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

/// Things under one word, with what opening the kitchen had to say: `{"ovens": [..], "warnings": [..]}`.
#[derive(Debug)]
pub struct Listed<T> {
    /// The key they stand under.
    pub word: &'static str,
    /// Each of them, in the order they are to be listed.
    pub things: Vec<T>,
    /// What is to be said beside; no key where there is never anything.
    pub warnings: Option<Vec<String>>,
}

impl<T> Listed<T> {
    /// Takes things in the order they are to be listed, and what opening them had to say.
    pub fn new(
        word: &'static str,
        things: impl IntoIterator<Item: Into<T>>,
        warnings: Vec<String>,
    ) -> Self {
        Self {
            word,
            things: things.into_iter().map(Into::into).collect(),
            warnings: Some(warnings),
        }
    }
}

impl<T: Serialize> Serialize for Listed<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry(self.word, &self.things)?;
        if let Some(warnings) = &self.warnings {
            map.serialize_entry("warnings", warnings)?;
        }
        map.end()
    }
}
