//! What the slices say: figures, repeats in one place, and bounds.
//!
//! Slices that lay in the same place in the same test are one figure, their mean, whose scatter is smaller by
//! their number; how they differ among themselves tells the scatter apart from any pattern. That is exact: with
//! m repeats of error variance v each, the likelihood is that of their mean (variance v / m) times
//! v^-(m-1)/2 exp(-SS / 2v).

use super::{map::Bound, merge::Datum};
use nalgebra::DVector;
use std::f64::consts::TAU;

/// A first guess at how much a bound says: about one and a half shades.
const FIRST_SD: f64 = 0.2;

/// What the observations say of the field: a value and a variance each.
#[derive(Debug, Clone)]
pub(super) struct Likelihood {
    values: DVector<f64>,
    data: Vec<Datum>,
    /// Variances of the pseudo-observations that stand for bounds.
    sites: Vec<Option<f64>>,
}

impl Likelihood {
    pub(super) fn new(data: &[Datum]) -> Self {
        Self {
            values: DVector::from_iterator(data.len(), data.iter().map(|d| d.seen.browning)),
            data: data.to_vec(),
            sites: data
                .iter()
                .map(|d| (d.seen.bound != Bound::Exact).then_some(FIRST_SD * FIRST_SD))
                .collect(),
        }
    }

    pub(super) fn has_bounds(&self) -> bool {
        self.sites.iter().any(Option::is_some)
    }

    pub(super) fn values(&self) -> &DVector<f64> {
        &self.values
    }

    pub(super) fn datum(&self, i: usize) -> &Datum {
        &self.data[i]
    }

    /// Lets a pseudo-observation stand for the bound `i`.
    pub(super) fn stand_in(&mut self, i: usize, value: f64, variance: f64) {
        self.values[i] = value;
        self.sites[i] = Some(variance);
    }

    /// Returns the noise variance of every value at slice-to-slice scatter `scatter`.
    pub(super) fn variances(&self, scatter: f64) -> impl Iterator<Item = f64> {
        self.data
            .iter()
            .zip(&self.sites)
            .map(move |(d, site)| site.unwrap_or_else(|| d.variance(scatter) / d.repeats))
    }

    /// Returns how far `browning` lies from the mean of the repeats it is one of, and the variance it has more.
    pub(super) fn beside_repeats(&self, datum: usize, browning: f64, scatter: f64) -> (f64, f64) {
        let d = &self.data[datum];
        if d.repeats <= 1.0 {
            return (0.0, 0.0);
        }
        let more = d.variance(scatter) * (1.0 - 1.0 / d.repeats);
        (browning - d.seen.browning, more)
    }

    /// Returns the logarithm of what repeats in one place say of `scatter`.
    pub(super) fn ln_repeats(&self, scatter: f64) -> f64 {
        self.data
            .iter()
            .filter(|d| d.repeats > 1.0)
            .map(|d| {
                let v = d.variance(scatter);
                -0.5 * ((d.repeats - 1.0) * (TAU * v).ln() + d.within / v)
            })
            .sum()
    }
}
