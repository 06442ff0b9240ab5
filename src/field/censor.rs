//! Slices that only say "at least" or "at most".
//!
//! A slice that only says "at least" or "at most" has the likelihood Phi((f - b) / s) (or its mirror image).
//! Each is replaced by the Gaussian pseudo-observation that gives the same posterior mean and variance in the
//! company of all others, all of them at once in each sweep (expectation propagation, Minka 2001; moments as
//! for probit sites, Rasmussen and Williams 2006, eq. 3.58).

use super::{
    FieldError, covariance::Hyper, kriging::Kriging, likelihood::Likelihood, map::Bound,
    problem::Problem,
};
use crate::numeric::normal;

/// Sweeps over the bounds; a handful of sites settles in fewer than ten.
const SWEEPS: usize = 60;
/// Sites that move less than this (B) have settled.
const SETTLED: f64 = 1e-7;
/// How far a site moves in one sweep, of the way to where it should be: all move at once.
const STRIDE: f64 = 0.7;
/// A bound that says next to nothing gets this variance.
const VAGUE: f64 = 1e4;

/// Replaces every bound by the pseudo-observation that stands for it at `hyper`.
pub(super) fn resolve(problem: &Problem<'_>, hyper: &Hyper) -> Result<Likelihood, FieldError> {
    let mut likelihood = problem.likelihood.clone();
    let signal = problem.signal(hyper);
    for _ in 0..SWEEPS {
        let noise: Vec<f64> = likelihood.variances(hyper.scatter).collect();
        let mut k = signal.clone();
        for (i, v) in noise.iter().enumerate() {
            k[(i, i)] += v;
        }
        let kriging = Kriging::solve(k, problem.trend, likelihood.values())?;
        let mut moved = 0.0_f64;
        for (i, (residual, sd)) in kriging.leave_one_out().into_iter().enumerate() {
            let datum = likelihood.datum(i);
            let sign = match datum.seen.bound {
                Bound::Exact => continue,
                Bound::AtLeast => 1.0,
                Bound::AtMost => -1.0,
            };
            // what all the others say of this place
            let mean = likelihood.values()[i] - residual;
            let variance = sd * sd - noise[i];
            if !variance.is_finite() || variance <= 0.0 {
                continue;
            }
            let (value, site) = site(
                (mean, variance),
                (sign, datum.seen.browning),
                datum.variance(hyper.scatter),
            );
            let precision = (1.0 - STRIDE) / noise[i] + STRIDE / site;
            let weighted =
                (1.0 - STRIDE) * likelihood.values()[i] / noise[i] + STRIDE * value / site;
            let value = weighted / precision;
            moved = moved.max((value - likelihood.values()[i]).abs());
            likelihood.stand_in(i, value, 1.0 / precision);
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
