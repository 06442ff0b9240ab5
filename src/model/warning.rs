//! Trouble that does not stop the work: said beside the result, alike in every face.

use std::fmt;

/// How much harm it does not to heed a remark, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gravity {
    /// The bake may burn or be spoiled.
    Spoils,
    /// The answer may be one to another question: another oven, mode, time or temperature.
    Misleads,
    /// The answer is less sharp than it looks.
    Blurs,
    /// Good to know.
    Minor,
}

/// One remark to the user beside a result: what was seen, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Warning {
    /// How much it matters.
    pub gravity: Gravity,
    /// What was seen, with its value.
    pub what: String,
    /// What to do about it; empty when nothing is to be done.
    pub advice: String,
}

impl Warning {
    /// Makes a remark that [`Gravity::Blurs`] the answer.
    pub fn new(what: impl Into<String>, advice: impl Into<String>) -> Self {
        Self {
            gravity: Gravity::Blurs,
            what: what.into(),
            advice: advice.into(),
        }
    }

    /// Makes a remark that is [`Gravity::Minor`].
    pub fn minor(what: impl Into<String>, advice: impl Into<String>) -> Self {
        Self::new(what, advice).that(Gravity::Minor)
    }

    /// Makes a remark that [`Gravity::Misleads`] if it is passed over.
    pub fn misleads(what: impl Into<String>, advice: impl Into<String>) -> Self {
        Self::new(what, advice).that(Gravity::Misleads)
    }

    /// Gives it another gravity.
    #[must_use]
    pub fn that(self, gravity: Gravity) -> Self {
        Self { gravity, ..self }
    }

    /// Puts the gravest first, for a face may have room for one only; remarks of one gravity keep their order.
    pub fn gravest_first(remarks: &mut [Self]) {
        remarks.sort_by_key(|w| w.gravity);
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
