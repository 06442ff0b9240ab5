//! What a fit has to explain, and one kriging system that does.

use super::{
    FieldError,
    covariance::{Hyper, Meeting},
    domain::Domain,
    kriging::Kriging,
    likelihood::Likelihood,
    prior::Priors,
    target::Targets,
};
use nalgebra::DMatrix;

/// Everything a likelihood depends on.
pub(super) struct Problem<'a> {
    pub(super) domain: &'a Domain,
    pub(super) priors: &'a Priors,
    pub(super) targets: &'a Targets,
    pub(super) trend: &'a DMatrix<f64>,
    pub(super) likelihood: Likelihood,
}

impl Problem<'_> {
    /// Solves the kriging system at `hyper`.
    pub(super) fn solve(&self, hyper: &Hyper) -> Result<Kriging, FieldError> {
        let k = self.with_noise(self.signal(hyper), hyper);
        Ok(Kriging::solve(k, self.trend, self.likelihood.values())?)
    }

    /// Returns the covariance of the observations without their noise.
    pub(super) fn signal(&self, hyper: &Hyper) -> DMatrix<f64> {
        Meeting::new(self.domain, self.targets, self.targets).covariance(hyper)
    }

    pub(super) fn with_noise(&self, signal: DMatrix<f64>, hyper: &Hyper) -> DMatrix<f64> {
        let mut k = signal;
        for (i, v) in self.likelihood.variances(hyper.scatter).enumerate() {
            k[(i, i)] += v;
        }
        k
    }
}

/// One kriging system of the average.
#[derive(Debug, Clone)]
pub(super) struct Component {
    pub(super) weight: f64,
    pub(super) hyper: Hyper,
    pub(super) kriging: Kriging,
}
