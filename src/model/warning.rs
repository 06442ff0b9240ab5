//! Trouble that does not stop the work: said beside the result, alike in every face.

use std::fmt;

/// One remark to the user beside a result: what was seen, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Warning {
    /// What was seen, with its value.
    pub what: String,
    /// What to do about it; empty when nothing is to be done.
    pub advice: String,
}

impl Warning {
    /// Makes a remark.
    pub fn new(what: impl Into<String>, advice: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            advice: advice.into(),
        }
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.advice.is_empty() {
            f.write_str(&self.what)
        } else {
            write!(f, "{}; {}", self.what, self.advice)
        }
    }
}
