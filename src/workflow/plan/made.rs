//! A plan with what is to be said beside it.

use super::measured::Measured;
use crate::model::{Plan, Warning};

/// A plan just made. Only the plan itself is kept with a bake: the rest is worked out again when it is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// Placements, moves, dial and minutes.
    pub plan: Plan,
    /// What stands against trusting it, weightiest first.
    pub warnings: Vec<Warning>,
    /// Sentences: what it rests on, what is not worth doing, what to leave empty.
    pub advice: Vec<String>,
    /// What a thermometer has told of the oven, as far as the plan rests on it.
    pub measured: Measured,
}

impl Planned {
    /// Returns every sentence, the warnings first and marked as such.
    pub fn sentences(&self) -> Vec<String> {
        let careful = self.warnings.iter().map(|w| {
            let said = w.to_string();
            let stop = if said.ends_with('?') { "" } else { "." };
            format!("Careful: {said}{stop}")
        });
        careful.chain(self.advice.iter().cloned()).collect()
    }
}
