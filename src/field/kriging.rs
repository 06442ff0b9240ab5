//! Universal kriging for any covariance: the linear algebra behind the map.
//!
//! Observations y = H beta + f + e with cov(f + e) = K; beta has a flat prior and is integrated out
//! (Rasmussen and Williams 2006, eq. 2.41-2.42). With H a column of ones this is ordinary kriging.
//! Checked against the worked example of Isaaks and Srivastava 1989, ch. 12, and two computed
//! tables, in `tests/reference_field.rs`.

use crate::numeric::linear::{Factor, LinearError};
use nalgebra::{DMatrix, DVector};
use std::f64::consts::PI;

/// A solved kriging system for one covariance.
#[derive(Debug, Clone)]
pub struct Kriging {
    factor: Factor,
    /// K^-1 (y - H beta).
    alpha: DVector<f64>,
    /// K^-1 H.
    solved_trend: DMatrix<f64>,
    /// (H' K^-1 H)^-1.
    trend_covariance: DMatrix<f64>,
    beta: DVector<f64>,
    ln_restricted: f64,
}

/// Returns the restricted log likelihood alone, as [`Kriging::ln_restricted`] does after a whole solution.
///
/// # Errors
/// [`LinearError`] as in [`Kriging::solve`].
pub(super) fn ln_restricted(
    k: DMatrix<f64>,
    h: &DMatrix<f64>,
    y: &DVector<f64>,
) -> Result<f64, LinearError> {
    let (n, p) = h.shape();
    let factor = Factor::new(k)?;
    let mut both = DMatrix::zeros(n, p + 1);
    both.columns_mut(0, p).copy_from(h);
    both.column_mut(p).copy_from(y);
    let lower = factor.cholesky.l_dirty();
    // the factor's diagonal is positive, so this never fails
    lower.solve_lower_triangular_mut(&mut both);
    let gram = both.tr_mul(&both);
    let mut ln = -0.5 * (factor.ln_determinant() + (n - p) as f64 * (2.0 * PI).ln());
    let mut square = gram[(p, p)];
    if p > 0 {
        let normal = Factor::new(gram.view((0, 0), (p, p)).into_owned())?;
        let cross = gram.view((0, p), (p, 1)).into_owned();
        square -= cross.dot(&normal.cholesky.solve(&cross));
        ln -= 0.5 * normal.ln_determinant();
    }
    Ok(ln - 0.5 * square)
}

/// Means and variances at a set of places.
#[derive(Debug, Clone, PartialEq)]
pub struct Prediction {
    /// Posterior mean of the field (trend included).
    pub mean: Vec<f64>,
    /// Posterior variance of the field, observation noise not included.
    pub variance: Vec<f64>,
}

impl Kriging {
    /// Solves for covariance `k` (n x n, noise on its diagonal), trend `h` (n x p; p = 0 for a
    /// known zero mean) and data `y` (n).
    ///
    /// # Errors
    /// [`LinearError`] when `k`, or the trend's normal matrix, is not positive definite.
    pub fn solve(k: DMatrix<f64>, h: &DMatrix<f64>, y: &DVector<f64>) -> Result<Self, LinearError> {
        let (n, p) = h.shape();
        let factor = Factor::new(k)?;
        let solved_trend = factor.cholesky.solve(h);
        let solved_y = factor.cholesky.solve(y);
        let mut ln_restricted = -0.5 * factor.ln_determinant();
        let (trend_covariance, beta) = if p == 0 {
            (DMatrix::zeros(0, 0), DVector::zeros(0))
        } else {
            let normal = Factor::new(h.tr_mul(&solved_trend))?;
            ln_restricted -= 0.5 * normal.ln_determinant();
            let beta = normal.cholesky.solve(&solved_trend.tr_mul(y));
            (normal.cholesky.inverse(), beta)
        };
        let alpha = solved_y - &solved_trend * &beta;
        let residual = y - h * &beta;
        ln_restricted -= 0.5 * (residual.dot(&alpha) + (n - p) as f64 * (2.0 * PI).ln());
        Ok(Self {
            factor,
            alpha,
            solved_trend,
            trend_covariance,
            beta,
            ln_restricted,
        })
    }

    /// Returns the restricted log likelihood, without the constant ln |H' H| / 2 term.
    ///
    /// With no trend (p = 0) it is the ordinary log marginal likelihood.
    pub fn ln_restricted(&self) -> f64 {
        self.ln_restricted
    }

    /// Returns the estimated trend coefficients (p).
    pub fn beta(&self) -> &DVector<f64> {
        &self.beta
    }

    /// Returns K^-1 (y - H beta), the weights of the covariances in a posterior mean.
    pub fn alpha(&self) -> &DVector<f64> {
        &self.alpha
    }

    /// Returns K^-1 times `cross` (n x m).
    ///
    /// For many places one inverse and a matrix product are several times faster than as many
    /// triangular solves.
    pub fn solve_cross(&self, cross: &DMatrix<f64>) -> DMatrix<f64> {
        if cross.ncols() > cross.nrows() {
            self.factor.cholesky.inverse() * cross
        } else {
            self.factor.cholesky.solve(cross)
        }
    }

    /// Returns the trend left over at the targets: h* - H' K^-1 k* (p x m).
    pub fn trend_gap(&self, cross: &DMatrix<f64>, h: &DMatrix<f64>) -> DMatrix<f64> {
        h - self.solved_trend.tr_mul(cross)
    }

    /// Returns (H' K^-1 H)^-1.
    pub fn trend_covariance(&self) -> &DMatrix<f64> {
        &self.trend_covariance
    }

    /// Predicts at m places from `cross` = cov(data, places) (n x m), trend `h` (p x m) and the
    /// prior variances at the places (m).
    pub fn predict(&self, cross: &DMatrix<f64>, h: &DMatrix<f64>, prior: &[f64]) -> Prediction {
        self.predict_solved(cross, &self.solve_cross(cross), h, prior)
    }

    /// Predicts as [`Kriging::predict`] does, with `solved` = K^-1 `cross` already at hand.
    pub fn predict_solved(
        &self,
        cross: &DMatrix<f64>,
        solved: &DMatrix<f64>,
        h: &DMatrix<f64>,
        prior: &[f64],
    ) -> Prediction {
        let mean = self.mean(cross, h);
        let gap = self.trend_gap(cross, h);
        let spread = &self.trend_covariance * &gap;
        let variance = prior
            .iter()
            .enumerate()
            .map(|(j, v)| {
                v - cross.column(j).dot(&solved.column(j)) + gap.column(j).dot(&spread.column(j))
            })
            .collect();
        Prediction { mean, variance }
    }

    /// Predicts the means alone; arguments as in [`Kriging::predict`].
    pub fn mean(&self, cross: &DMatrix<f64>, h: &DMatrix<f64>) -> Vec<f64> {
        (cross.tr_mul(&self.alpha) + h.tr_mul(&self.beta))
            .iter()
            .copied()
            .collect()
    }

    /// Returns the posterior covariance matrix of m places (m x m) with prior covariance `prior`.
    pub fn covariance(
        &self,
        cross: &DMatrix<f64>,
        h: &DMatrix<f64>,
        prior: &DMatrix<f64>,
    ) -> DMatrix<f64> {
        let gap = self.trend_gap(cross, h);
        // a product of a transposed copy runs in blocks, `tr_mul` one scalar product at a time
        prior - cross.transpose() * self.solve_cross(cross)
            + gap.tr_mul(&(&self.trend_covariance * &gap))
    }

    /// Returns the weight of each datum (n) in the estimate at one place.
    pub fn weights(&self, cross: &DVector<f64>, h: &DVector<f64>) -> DVector<f64> {
        let gap = h - self.solved_trend.tr_mul(cross);
        self.factor.cholesky.solve(cross) + &self.solved_trend * (&self.trend_covariance * gap)
    }

    /// Returns leave-one-out residuals with their standard deviations (n each).
    ///
    /// Residual i is datum i minus its prediction from all other data (Dubrule 1983); `sd` includes the noise of datum i.
    pub fn leave_one_out(&self) -> Vec<(f64, f64)> {
        let n = self.alpha.len();
        let inverse = self.factor.cholesky.inverse();
        let correction = &self.solved_trend * &self.trend_covariance;
        (0..n)
            .map(|i| {
                let p = inverse[(i, i)]
                    - correction
                        .row(i)
                        .transpose()
                        .dot(&self.solved_trend.row(i).transpose());
                (self.alpha[i] / p, (1.0 / p).max(0.0).sqrt())
            })
            .collect()
    }
}
