//! What is set against what.

use crate::field::{Domain, Observation, Priors};

/// One side of a comparison: tests of one oven at one time, brought to one level.
#[derive(Debug, Clone, Copy)]
pub struct Side<'a> {
    /// Its slices; `batch` tells its tests apart.
    pub observations: &'a [Observation],
    /// The cavity and its rack positions.
    pub domain: &'a Domain,
    /// What is believed of its scatter and pattern.
    pub priors: &'a Priors,
    /// Below this mean browning, B, levels are not brought together.
    pub least_level: f64,
}
