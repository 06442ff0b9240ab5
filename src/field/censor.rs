//! What the slices say: figures, repeats in one place, and bounds.
//!
//! Slices that lay in the same place in the same test are one figure, their mean, whose scatter is smaller by
//! their number; how they differ among themselves tells the scatter apart from any pattern. That is exact: with
//! m repeats of error variance v each, the likelihood is that of their mean (variance v / m) times
//! v^-(m-1)/2 exp(-SS / 2v).
//!
//! A slice that only says "at least" or "at most" has the likelihood Phi((f - b) / s) (or its mirror image).
//! Each is replaced by the Gaussian pseudo-observation that gives the same posterior mean and variance in the
//! company of all others, all of them at once in each sweep (expectation propagation, Minka 2001; moments as
//! for probit sites, Rasmussen and Williams 2006, eq. 3.58).

use super::{
    FieldError, covariance::Hyper, explore::Problem, kriging::Kriging, map::Bound, merge::Datum,
};
use crate::numeric::normal;
use nalgebra::DVector;
use std::f64::consts::TAU;

/// A first guess at how much a bound says: about one and a half shades.
const FIRST_SD: f64 = 0.2;
/// Sweeps over the bounds; a handful of sites settles in fewer than ten.
const SWEEPS: usize = 60;
/// Sites that move less than this (B) have settled.
const SETTLED: f64 = 1e-7;
/// How far a site moves in one sweep, of the way to where it should be: all move at once.
const STRIDE: f64 = 0.7;
/// A bound that says next to nothing gets this variance.
const VAGUE: f64 = 1e4;

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

/// Replaces every bound by the pseudo-observation that stands for it at `hyper`.
pub(super) fn resolve(problem: &Problem<'_>, hyper: &Hyper) -> Result<Likelihood, FieldError> {
    let mut likelihood = problem.likelihood.clone();
    let signal = problem.signal(hyper);
    for _ in 0..SWEEPS {
        let mut k = signal.clone();
        let noise: Vec<f64> = likelihood.variances(hyper.scatter).collect();
        for (i, v) in noise.iter().enumerate() {
            k[(i, i)] += v;
        }
        let kriging = Kriging::solve(k, problem.trend, &likelihood.values)?;
        let mut moved = 0.0_f64;
        for (i, (residual, sd)) in kriging.leave_one_out().into_iter().enumerate() {
            let sign = match likelihood.data[i].seen.bound {
                Bound::Exact => continue,
                Bound::AtLeast => 1.0,
                Bound::AtMost => -1.0,
            };
            // what all the others say of this place
            let mean = likelihood.values[i] - residual;
            let variance = sd * sd - noise[i];
            if !variance.is_finite() || variance <= 0.0 {
                continue;
            }
            let (value, site) = site(
                (mean, variance),
                (sign, likelihood.data[i].seen.browning),
                likelihood.data[i].variance(hyper.scatter),
            );
            let precision = (1.0 - STRIDE) / noise[i] + STRIDE / site;
            let weighted = (1.0 - STRIDE) * likelihood.values[i] / noise[i] + STRIDE * value / site;
            let value = weighted / precision;
            moved = moved.max((value - likelihood.values[i]).abs());
            likelihood.values[i] = value;
            likelihood.sites[i] = Some(1.0 / precision);
        }
        if moved < SETTLED {
            break;
        }
    }
    Ok(likelihood)
}

/// Returns value and variance of the pseudo-observation that, beside the `others`' mean and variance, stands
/// for a bound (its sign and limit) of error variance `error`.
fn site((mean, variance): (f64, f64), (sign, limit): (f64, f64), error: f64) -> (f64, f64) {
    let total = error + variance;
    let z = sign * (mean - limit) / total.sqrt();
    let h = normal::hazard_below(z);
    let new_mean = mean + sign * variance * h / total.sqrt();
    let new_variance = variance - variance * variance * h * (z + h) / total;
    let precision = 1.0 / new_variance - 1.0 / variance;
    if precision > 1.0 / VAGUE {
        let value = (new_mean / new_variance - mean / variance) / precision;
        (value, 1.0 / precision)
    } else {
        (mean, VAGUE)
    }
}
