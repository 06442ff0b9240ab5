//! Slices that only say "at least" or "at most": expectation propagation.
//!
//! The likelihood of such a slice is Phi((f - b) / s) (or its mirror image). Each is replaced by the
//! Gaussian pseudo-observation that gives the same posterior mean and variance in the company of
//! all others (Minka 2001; moments as for probit sites, Rasmussen and Williams 2006, eq. 3.58).

use super::{
    FieldError,
    covariance::{Hyper, prior_variance},
    explore::Problem,
    kriging::Kriging,
    map::{Bound, Observation},
};
use crate::numeric::normal;
use nalgebra::{DMatrix, DVector};

/// A first guess at how much a bound says: about one and a half shades.
const FIRST_SD: f64 = 0.2;
/// Sweeps over the bounds; a handful of sites settles in fewer than ten.
const SWEEPS: usize = 30;
/// Sites that move less than this (B) have settled.
const SETTLED: f64 = 1e-6;
/// A bound that says next to nothing gets this variance.
const VAGUE: f64 = 1e4;

/// What the observations say of the field: a value and a variance each.
#[derive(Debug, Clone)]
pub(super) struct Likelihood {
    values: DVector<f64>,
    /// Variance of the reading itself.
    reading: Vec<f64>,
    bounds: Vec<Bound>,
    limits: Vec<f64>,
    /// Variances of the pseudo-observations that stand for bounds.
    sites: Vec<Option<f64>>,
}

impl Likelihood {
    pub(super) fn new(observations: &[Observation]) -> Self {
        Self {
            values: DVector::from_iterator(
                observations.len(),
                observations.iter().map(|o| o.browning),
            ),
            reading: observations.iter().map(|o| o.sd * o.sd).collect(),
            bounds: observations.iter().map(|o| o.bound).collect(),
            limits: observations.iter().map(|o| o.browning).collect(),
            sites: observations
                .iter()
                .map(|o| (o.bound != Bound::Exact).then_some(FIRST_SD * FIRST_SD))
                .collect(),
        }
    }

    pub(super) fn has_bounds(&self) -> bool {
        self.sites.iter().any(Option::is_some)
    }

    pub(super) fn values(&self) -> &DVector<f64> {
        &self.values
    }

    /// Returns the noise variance of every observation at slice-to-slice scatter `scatter`.
    pub(super) fn variances(&self, scatter: f64) -> impl Iterator<Item = f64> {
        self.reading
            .iter()
            .zip(&self.sites)
            .map(move |(reading, site)| site.unwrap_or(reading + scatter * scatter))
    }
}

/// Replaces every bound by the pseudo-observation that stands for it at `hyper`.
pub(super) fn resolve(problem: &Problem<'_>, hyper: &Hyper) -> Result<Likelihood, FieldError> {
    let mut likelihood = problem.likelihood.clone();
    let signal = problem.signal(hyper);
    let prior = prior_variance(problem.domain, hyper, problem.targets);
    let noise = |reading: f64| reading + hyper.scatter * hyper.scatter;
    for _ in 0..SWEEPS {
        let mut moved = 0.0_f64;
        for (i, &prior) in prior.iter().enumerate() {
            let sign = match likelihood.bounds[i] {
                Bound::Exact => continue,
                Bound::AtLeast => 1.0,
                Bound::AtMost => -1.0,
            };
            let Some((mean, variance)) = cavity(problem, &likelihood, &signal, (i, prior, hyper))?
            else {
                continue;
            };
            let total = noise(likelihood.reading[i]) + variance;
            let z = sign * (mean - likelihood.limits[i]) / total.sqrt();
            let h = normal::hazard_below(z);
            let new_mean = mean + sign * variance * h / total.sqrt();
            let new_variance = variance - variance * variance * h * (z + h) / total;
            let precision = 1.0 / new_variance - 1.0 / variance;
            let (value, site) = if precision > 1.0 / VAGUE {
                (
                    (new_mean / new_variance - mean / variance) / precision,
                    1.0 / precision,
                )
            } else {
                (mean, VAGUE)
            };
            moved = moved.max((value - likelihood.values[i]).abs());
            likelihood.values[i] = value;
            likelihood.sites[i] = Some(site);
        }
        if moved < SETTLED {
            break;
        }
    }
    Ok(likelihood)
}

/// Predicts observation `i` from all the others; `None` where they leave its level open.
fn cavity(
    problem: &Problem<'_>,
    likelihood: &Likelihood,
    signal: &DMatrix<f64>,
    (i, prior, hyper): (usize, f64, &Hyper),
) -> Result<Option<(f64, f64)>, FieldError> {
    let n = signal.nrows();
    let others: Vec<usize> = (0..n).filter(|&j| j != i).collect();
    let noise: Vec<f64> = likelihood.variances(hyper.scatter).collect();
    let k = DMatrix::from_fn(n - 1, n - 1, |a, b| {
        let (a, b) = (others[a], others[b]);
        signal[(a, b)] + if a == b { noise[a] } else { 0.0 }
    });
    let trend = problem.trend.select_rows(&others);
    let alone = (0..trend.ncols()).any(|c| trend.column(c).iter().all(|&v| v == 0.0));
    if alone {
        return Ok(None);
    }
    let y = DVector::from_iterator(n - 1, others.iter().map(|&j| likelihood.values[j]));
    let kriging = Kriging::solve(k, &trend, &y)?;
    let cross = DMatrix::from_fn(n - 1, 1, |a, _| signal[(others[a], i)]);
    let h = problem.trend.row(i).transpose();
    let h = DMatrix::from_column_slice(h.len(), 1, h.as_slice());
    let prediction = kriging.predict(&cross, &h, &[prior]);
    Ok(Some((prediction.mean[0], prediction.variance[0])))
}
