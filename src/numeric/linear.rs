//! Cholesky factorisation with bounded, reported jitter, on `nalgebra`.

use nalgebra::{Cholesky, DMatrix, Dyn};

/// Why a matrix could not be factorised.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LinearError {
    /// Not positive definite even with the largest jitter allowed.
    #[error(
        "a covariance matrix of size {size} is not positive definite, even with {jitter:e} added to its diagonal"
    )]
    NotPositiveDefinite {
        /// Rows of the matrix.
        size: usize,
        /// The largest jitter tried.
        jitter: f64,
    },
}

/// A Cholesky factor and what had to be added to the diagonal to get it.
#[derive(Debug, Clone)]
pub struct Factor {
    /// The factor.
    pub cholesky: Cholesky<f64, Dyn>,
    /// Jitter added to the diagonal; 0 when none was needed.
    pub jitter: f64,
}

impl Factor {
    /// Factorises a symmetric positive definite matrix.
    ///
    /// Adds jitter from 1e-12 to 1e-8 of the mean diagonal, tenfold each time, only when it must.
    ///
    /// # Errors
    /// [`LinearError`] when the largest jitter does not help.
    pub fn new(matrix: DMatrix<f64>) -> Result<Self, LinearError> {
        let size = matrix.nrows();
        let scale = matrix.diagonal().mean().abs().max(f64::MIN_POSITIVE);
        let spare = matrix.clone();
        if let Some(cholesky) = Cholesky::new(matrix) {
            return Ok(Self {
                cholesky,
                jitter: 0.0,
            });
        }
        let mut jitter = 0.0;
        for exponent in [-12, -11, -10, -9, -8] {
            jitter = scale * 10_f64.powi(exponent);
            let mut padded = spare.clone();
            for i in 0..size {
                padded[(i, i)] += jitter;
            }
            if let Some(cholesky) = Cholesky::new(padded) {
                return Ok(Self { cholesky, jitter });
            }
        }
        Err(LinearError::NotPositiveDefinite { size, jitter })
    }

    /// Returns the logarithm of the determinant of the factorised matrix.
    pub fn ln_determinant(&self) -> f64 {
        let l = self.cholesky.l_dirty();
        (0..l.nrows()).map(|i| l[(i, i)].ln()).sum::<f64>() * 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_singular_matrix_gets_jitter_and_says_so() {
        let flat = DMatrix::from_element(3, 3, 1.0);
        let factor = Factor::new(flat).unwrap();
        assert!(factor.jitter > 0.0 && factor.jitter <= 1e-8);
        let negative = DMatrix::from_diagonal_element(2, 2, -1.0);
        assert!(Factor::new(negative).is_err());
    }

    #[test]
    fn the_determinant_of_a_small_matrix_is_right() {
        let m = DMatrix::from_row_slice(2, 2, &[4.0, 1.0, 1.0, 3.0]);
        assert!((Factor::new(m).unwrap().ln_determinant() - 11_f64.ln()).abs() < 1e-14);
    }
}
