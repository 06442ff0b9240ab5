//! What is believed of several rack positions together: means, and independent directions of doubt.
//!
//! A plan adds up browning over places and time, so how sure it is depends on how the map's errors hang
//! together. Their covariance over the nodes of a coarse grid on every rack position, averaged over the systems
//! of the fit that carry most weight, is split into directions by a Cholesky decomposition with pivoting
//! (Higham 2009, Wiley Interdiscip. Rev. Comput. Stat. 1, 251): browning is the mean plus a sum of
//! directions, each times an independent standard normal number. Between nodes the directions are interpolated by a cubic.

use super::{Fit, problem::Component, target::Targets};
use crate::numeric::resample::taps;
use nalgebra::DMatrix;

/// Nodes along x and y.
const NODES: (usize, usize) = (7, 6);
/// Systems of the fit that are averaged over.
const SYSTEMS: usize = 12;
/// Directions with a smaller share of the whole variance are left out.
const NEGLIGIBLE: f64 = 1e-3;

/// Directions of doubt over the nodes of several rack positions.
#[derive(Debug, Clone)]
pub struct Belief {
    size: (f64, f64),
    racks: Vec<u8>,
    /// Nodes (rack by rack, from the door) x directions.
    directions: DMatrix<f64>,
}

impl Fit {
    /// Works out how the errors of the maps of `racks` hang together; rack positions that cannot be mapped are
    /// left out.
    pub fn belief(&self, racks: &[u8]) -> Belief {
        let (width, depth) = (self.domain.width, self.domain.depth);
        let racks: Vec<u8> = racks
            .iter()
            .copied()
            .filter(|r| self.height(*r).is_some())
            .collect();
        let mut targets = Targets::default();
        let at = |k: usize, n: usize, side: f64| k as f64 * side / (n - 1) as f64;
        for height in racks.iter().filter_map(|r| self.height(*r)) {
            for j in 0..NODES.1 {
                for i in 0..NODES.0 {
                    targets.push_point(at(i, NODES.0, width), at(j, NODES.1, depth), height);
                }
            }
        }
        Belief {
            size: (width, depth),
            racks,
            directions: pivoted_root(self.averaged_covariance(&targets, SYSTEMS)),
        }
    }

    /// Returns the `most` systems of the fit that carry most weight, their weights summing to 1.
    pub(super) fn heaviest(&self, most: usize) -> Vec<(f64, &Component)> {
        let mut all: Vec<&Component> = self.components.iter().collect();
        all.sort_by(|a, b| b.weight.total_cmp(&a.weight));
        all.truncate(most);
        let whole: f64 = all.iter().map(|c| c.weight).sum();
        all.into_iter().map(|c| (c.weight / whole, c)).collect()
    }
}

impl Belief {
    /// Returns every direction at each of `places` of rack position `rack` (`[place][direction]`, B); nothing
    /// where it is not mapped.
    pub fn directions(&self, rack: u8, places: &[(f64, f64)]) -> Vec<Vec<f64>> {
        let Some(own) = self.racks.iter().position(|r| *r == rack) else {
            return Vec::new();
        };
        let first = own * NODES.0 * NODES.1;
        let step = |side: f64, n: usize| side / (n - 1) as f64;
        let (dx, dy) = (step(self.size.0, NODES.0), step(self.size.1, NODES.1));
        let at = |&(x, y): &(f64, f64)| {
            let (across, deep) = (taps(x / dx, NODES.0), taps(y / dy, NODES.1));
            let mut out = vec![0.0; self.directions.ncols()];
            for (j, v) in deep.index.into_iter().zip(deep.weight) {
                for (i, u) in across.index.into_iter().zip(across.weight) {
                    let row = self.directions.row(first + j * NODES.0 + i);
                    for (o, d) in out.iter_mut().zip(row.iter()) {
                        *o += u * v * d;
                    }
                }
            }
            out
        };
        places.iter().map(at).collect()
    }
}

/// Returns the root R of a covariance, R R' = C, with as few columns as its variance needs.
fn pivoted_root(mut c: DMatrix<f64>) -> DMatrix<f64> {
    let n = c.nrows();
    let whole: f64 = c.diagonal().iter().map(|v| v.max(0.0)).sum();
    let mut columns = Vec::new();
    let mut left = whole;
    while left > NEGLIGIBLE * whole && columns.len() < n {
        let pivot = (0..n).fold(
            0,
            |best, i| if c[(i, i)] > c[(best, best)] { i } else { best },
        );
        let size = c[(pivot, pivot)];
        if size <= 0.0 {
            break;
        }
        let column = c.column(pivot) / size.sqrt();
        c.ger(-1.0, &column, &column, 1.0);
        left = c.diagonal().iter().map(|v| v.max(0.0)).sum();
        columns.push(column);
    }
    DMatrix::from_fn(n, columns.len(), |i, k| columns[k][i])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_root_gives_its_covariance_back() {
        let c = DMatrix::from_fn(12, 12, |i, j| (-0.3 * (i as f64 - j as f64).abs()).exp());
        let root = pivoted_root(c.clone());
        let worst = (&root * root.transpose() - &c).amax();
        assert!(worst < 0.02, "{worst}");
    }
}
