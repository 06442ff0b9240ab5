//! Which slices to toast next: an optimal-design step on the averaged map.
//!
//! What is not known of a rack position is a covariance: that of the map's cells among themselves and with the
//! mean over any slice that could be laid, averaged over all systems of the fit (their covariances and how
//! their means differ). A new test observes such means with the fitted scatter and an unknown level of its own;
//! the best linear prediction from it (Rasmussen and Williams 2006, eq. 2.26, for the averaged field) says how wide the interval will be.
//! Slices are chosen one by one, each where it shrinks the mean variance of the map's contrast most, then
//! exchanged one by one while that helps (Fedorov 1972, from memory).

use super::{Fit, Spot, covariance::Meeting, kernel::Extent, problem::Component, target::Targets};
use crate::{
    geometry::Grid,
    numeric::{normal::Z90, quantile::quantile},
};
use nalgebra::{DMatrix, DVector};

/// Cells that stand for a rack position.
const CELLS: (usize, usize) = (9, 7);
/// Standard deviation of a new test's own level, B: two shades.
const NEW_LEVEL: f64 = 0.27;
/// Systems of the fit that are averaged over.
const SYSTEMS: usize = 20;
/// Rounds of exchange after the first choice.
const ROUNDS: usize = 3;

/// What a next test would bring.
#[derive(Debug, Clone)]
pub struct Design {
    spots: Vec<Spot>,
    /// Covariance of the cells' contrasts (first) and of the means over spots, new level included.
    joint: DMatrix<f64>,
    /// Which cells lie on which rack position.
    cells: usize,
    /// Variance of one slice's error, B squared.
    noise: f64,
}

impl Fit {
    /// Prepares the choice among `spots` for sharper maps of `racks`, each slice read with standard error `reading`.
    ///
    /// `None` where a rack position cannot be mapped.
    pub fn design(&self, racks: &[u8], spots: Vec<Spot>, reading: f64) -> Option<Design> {
        let grid = Grid::new(CELLS.0, CELLS.1, self.domain.width, self.domain.depth);
        let mut targets = Targets::default();
        for &rack in racks {
            let height = self.height(rack)?;
            for i in 0..grid.len() {
                targets.push_point(grid.x(i % grid.cols), grid.y(i / grid.cols), height);
            }
        }
        let cells = targets.len();
        for spot in &spots {
            let extent = |middle, length| Extent { middle, length };
            let (x, y) = (extent(spot.x, spot.width), extent(spot.y, spot.depth));
            targets.push(x, y, self.rack_height(spot.rack)?);
        }
        let mut joint = self.averaged_covariance(&targets, SYSTEMS);
        less_rack_means(&mut joint, racks.len(), grid.len());
        joint
            .view_mut((cells, cells), (spots.len(), spots.len()))
            .add_scalar_mut(NEW_LEVEL * NEW_LEVEL);
        let scatter = |c: &Component| c.weight * c.hyper.scatter.powi(2);
        let noise = self.components.iter().map(scatter).sum::<f64>() + reading * reading;
        Some(Design {
            spots,
            joint,
            cells,
            noise,
        })
    }

    /// Returns the covariance of `targets` over the systems of the fit, the `most` that carry most weight.
    pub(super) fn averaged_covariance(&self, targets: &Targets, most: usize) -> DMatrix<f64> {
        let m = targets.len();
        let cross = Meeting::new(&self.domain, &self.targets, targets);
        let own = Meeting::new(&self.domain, targets, targets);
        let trend = self.trend_at(m);
        let mut sum = DMatrix::zeros(m, m);
        let systems = self.heaviest(most);
        let mut means = Vec::with_capacity(systems.len());
        for (weight, c) in &systems {
            let across = cross.covariance(&c.hyper);
            let within = c
                .kriging
                .covariance(&across, &trend, &own.covariance(&c.hyper));
            sum += within * *weight;
            means.push(DVector::from_vec(c.kriging.mean(&across, &trend)));
        }
        let mut mean = DVector::zeros(m);
        for (own, (weight, _)) in means.iter().zip(&systems) {
            mean += own * *weight;
        }
        for (own, (weight, _)) in means.iter().zip(&systems) {
            let off = own - &mean;
            sum.ger(*weight, &off, &off, 1.0);
        }
        sum
    }
}

/// Turns browning of cells into contrast with their own rack's mean.
fn less_rack_means(joint: &mut DMatrix<f64>, racks: usize, cells: usize) {
    for rack in 0..racks {
        let own = rack * cells;
        let mean = joint.rows(own, cells).row_mean();
        for mut row in joint.rows_mut(own, cells).row_iter_mut() {
            row -= &mean;
        }
        let mean = joint.columns(own, cells).column_mean();
        for mut column in joint.columns_mut(own, cells).column_iter_mut() {
            column -= &mean;
        }
    }
}

impl Design {
    /// Returns the spots to choose from.
    pub fn spots(&self) -> &[Spot] {
        &self.spots
    }

    /// Returns the typical half width (median over cells) of the 90 % interval of the contrast now, B.
    pub fn now(&self) -> f64 {
        self.typical(&self.joint)
    }

    /// Returns the same after a test of the chosen spots, which may be repeats.
    pub fn after(&self, chosen: &[usize]) -> f64 {
        self.typical(&self.given(chosen))
    }

    /// Chooses `count` of the `free` spots that do not overlap, or as many as fit.
    pub fn choose(&self, free: &[usize], count: usize) -> Vec<usize> {
        let mut chosen = Vec::new();
        let mut left = self.joint.clone();
        while chosen.len() < count {
            let Some(best) = self.best(&left, free, &chosen) else {
                break;
            };
            self.condition(&mut left, best);
            chosen.push(best);
        }
        for _ in 0..ROUNDS {
            if !self.exchange(free, &mut chosen) {
                break;
            }
        }
        Spot::in_reading_order(&self.spots, chosen)
    }

    /// Replaces each chosen spot by the best one instead; tells whether any changed.
    fn exchange(&self, free: &[usize], chosen: &mut Vec<usize>) -> bool {
        let mut changed = false;
        for i in 0..chosen.len() {
            let spot = chosen.remove(i);
            let left = self.given(chosen);
            let better = self.best(&left, free, chosen).unwrap_or(spot);
            let gains = self.gain(&left, better) > self.gain(&left, spot) * (1.0 + 1e-9);
            changed |= gains && better != spot;
            chosen.insert(i, if gains { better } else { spot });
        }
        changed
    }

    fn best(&self, left: &DMatrix<f64>, free: &[usize], chosen: &[usize]) -> Option<usize> {
        free.iter()
            .copied()
            .filter(|&s| {
                !chosen
                    .iter()
                    .any(|&c| self.spots[c].overlaps(&self.spots[s]))
            })
            .max_by(|&a, &b| self.gain(left, a).total_cmp(&self.gain(left, b)))
    }

    /// By how much a slice on spot `s` lowers the sum of the cells' variances.
    fn gain(&self, left: &DMatrix<f64>, s: usize) -> f64 {
        let column = left.column(self.cells + s);
        column.rows(0, self.cells).norm_squared() / (column[self.cells + s] + self.noise)
    }

    fn condition(&self, left: &mut DMatrix<f64>, s: usize) {
        let column = left.column(self.cells + s).into_owned();
        left.ger(
            -1.0 / (column[self.cells + s] + self.noise),
            &column,
            &column,
            1.0,
        );
    }

    fn given(&self, chosen: &[usize]) -> DMatrix<f64> {
        let mut left = self.joint.clone();
        for &s in chosen {
            self.condition(&mut left, s);
        }
        left
    }

    fn typical(&self, joint: &DMatrix<f64>) -> f64 {
        let sds: Vec<f64> = (0..self.cells)
            .map(|i| joint[(i, i)].max(0.0).sqrt())
            .collect();
        Z90 * quantile(&sds, 0.5)
    }
}
