//! From a fitted field to maps, points and joint samples.

use super::{
    Fit,
    covariance::{Meeting, prior_variance, slopes},
    kernel::Extent,
    map::{FieldMap, PointEstimate, RackMap},
    problem::Component,
    target::Targets,
};
use crate::{
    geometry::Grid,
    numeric::{linear::Factor, random::Stream, resample::taps, whole},
};
use nalgebra::DMatrix;

/// Nodes for each length scale of the average (harmonic mean); the cubic between them is then off by less
/// than 1 % of the field's strength.
const NODES_PER_LENGTH: f64 = 2.2;
/// Fewest nodes along a side (the cubic needs four).
const FEWEST_NODES: usize = 7;
/// Most nodes along a side.
const MOST_NODES: usize = 25;

/// Sums of a mixture over one rack: means and mean squares of the field, of the rack's own mean, and
/// of the field's contrast with it.
struct Mixture {
    mean: Vec<f64>,
    second: Vec<f64>,
    contrast: Vec<f64>,
    contrast_second: Vec<f64>,
    rack_mean: f64,
    rack_second: f64,
}

/// The covariances behind a draw.
struct Meetings<'m> {
    /// Between the slices and the places drawn at.
    cross: Meeting<'m>,
    /// Among the places drawn at.
    own: Meeting<'m>,
}

/// What one component says of the places of one rack.
struct Moments<'m> {
    mean: &'m [f64],
    variance: &'m [f64],
    /// Covariance of each place with the rack's mean.
    with_rack: &'m [f64],
}

impl Mixture {
    fn new(n: usize) -> Self {
        let zeros = || vec![0.0; n];
        Self {
            mean: zeros(),
            second: zeros(),
            contrast: zeros(),
            contrast_second: zeros(),
            rack_mean: 0.0,
            rack_second: 0.0,
        }
    }

    fn add(&mut self, weight: f64, (rack, rack_variance): (f64, f64), m: &Moments<'_>) {
        self.rack_mean += weight * rack;
        self.rack_second += weight * (rack_variance + rack * rack);
        for j in 0..m.mean.len() {
            let (mean, variance) = (m.mean[j], m.variance[j].max(0.0));
            let difference = mean - rack;
            let spread = (variance + rack_variance - 2.0 * m.with_rack[j]).max(0.0);
            self.mean[j] += weight * mean;
            self.second[j] += weight * (variance + mean * mean);
            self.contrast[j] += weight * difference;
            self.contrast_second[j] += weight * (spread + difference * difference);
        }
    }
}

/// Holds values at or above what the field cannot be below: bread does not get paler than it was.
fn at_least(least: f64, mut values: Vec<f64>) -> Vec<f64> {
    for v in &mut values {
        *v = v.max(least);
    }
    values
}

fn sds(mean: &[f64], second: &[f64]) -> Vec<f64> {
    mean.iter()
        .zip(second)
        .map(|(m, s)| (s - m * m).max(0.0).sqrt())
        .collect()
}

impl Fit {
    /// Maps every rack position that was tested or lies between tested ones, on `cols` x `rows` cells.
    pub fn map(&self, cols: usize, rows: usize) -> FieldMap {
        let (width, depth) = (self.domain.width, self.domain.depth);
        let grid = Grid::new(cols, rows, width, depth);
        let nodes = self.nodes();
        let direct = grid.len() <= nodes.0 * nodes.1;
        let places: Vec<(f64, f64)> = if direct {
            (0..grid.len())
                .map(|i| (grid.x(i % cols), grid.y(i / cols)))
                .collect()
        } else {
            let at = |k: usize, n: usize, side: f64| k as f64 * side / (n - 1) as f64;
            (0..nodes.0 * nodes.1)
                .map(|i| {
                    (
                        at(i % nodes.0, nodes.0, width),
                        at(i / nodes.0, nodes.1, depth),
                    )
                })
                .collect()
        };
        let mapped: Vec<_> = self
            .domain
            .racks
            .iter()
            .filter_map(|r| Some((r.number, self.evidence(r.number)?, r.height)))
            .collect();
        let heights: Vec<f64> = mapped.iter().map(|m| m.2).collect();
        let fill = |values: Vec<f64>| {
            if direct {
                values
            } else {
                upsample(&values, nodes, &grid)
            }
        };
        let racks = mapped
            .iter()
            .zip(self.mixtures(&places, &heights))
            .map(|(&(rack, evidence, _), m)| RackMap {
                rack,
                evidence,
                grid,
                sd: fill(sds(&m.mean, &m.second)),
                mean: at_least(self.least, fill(m.mean)),
                contrast_sd: fill(sds(&m.contrast, &m.contrast_second)),
                contrast: fill(m.contrast),
                rack_mean: m.rack_mean.max(self.least),
                rack_mean_sd: (m.rack_second - m.rack_mean * m.rack_mean).max(0.0).sqrt(),
            })
            .collect();
        FieldMap {
            racks,
            noise_sd: self.noise_sd(),
        }
    }

    /// Nodes along x and y that carry the length scales of the average.
    fn nodes(&self) -> (usize, usize) {
        let finest = |c: &Component, smooth: f64| {
            c.hyper
                .drawn
                .map_or(smooth, |d| smooth.min(d.length * self.domain.width))
        };
        let typical = |f: fn(&Component) -> f64| {
            let fine = |c: &Component| c.weight / finest(c, f(c));
            1.0 / self.components.iter().map(fine).sum::<f64>()
        };
        let count = |side: f64, length: f64| {
            let n = (side / length * NODES_PER_LENGTH).ceil();
            whole::floor(n.clamp((FEWEST_NODES - 1) as f64, (MOST_NODES - 1) as f64)) + 1
        };
        (
            count(
                self.domain.width,
                typical(|c| c.hyper.length * c.hyper.aspect),
            ),
            count(
                self.domain.depth,
                typical(|c| c.hyper.length / c.hyper.aspect),
            ),
        )
    }

    /// Averages over the components at `places` of every rack height.
    fn mixtures(&self, places: &[(f64, f64)], heights: &[f64]) -> Vec<Mixture> {
        let m = places.len();
        let mut targets = Targets::default();
        for &height in heights {
            for &(x, y) in places {
                targets.push_point(x, y, height);
            }
        }
        for &height in heights {
            self.push_whole_rack(&mut targets, height);
        }
        // a rack's covariance with its own places is the same at every height
        let (mut rack, mut own) = (Targets::default(), Targets::default());
        self.push_whole_rack(&mut rack, 0.0);
        for &(x, y) in places {
            own.push_point(x, y, 0.0);
        }
        let meeting = Meeting::new(&self.domain, &self.targets, &targets);
        let home = Meeting::new(&self.domain, &own, &rack);
        let trend = self.trend_at(targets.len());
        let mut sums: Vec<Mixture> = heights.iter().map(|_| Mixture::new(m)).collect();
        for c in &self.components {
            let cross = meeting.covariance(&c.hyper);
            let prior = prior_variance(&self.domain, &c.hyper, &targets);
            let with_rack = home.covariance(&c.hyper);
            let solved = c.kriging.solve_cross(&cross);
            let p = c.kriging.predict_solved(&cross, &solved, &trend, &prior);
            let gap = c.kriging.trend_gap(&cross, &trend);
            for (g, sum) in sums.iter_mut().enumerate() {
                let r = heights.len() * m + g;
                let explained = cross.columns(g * m, m).tr_mul(&solved.column(r));
                let trended = gap
                    .columns(g * m, m)
                    .tr_mul(&(c.kriging.trend_covariance() * gap.column(r)));
                let joint: Vec<f64> = (0..m)
                    .map(|j| with_rack[(j, 0)] - explained[j] + trended[j])
                    .collect();
                let own = g * m..(g + 1) * m;
                sum.add(
                    c.weight,
                    (p.mean[r], p.variance[r].max(0.0)),
                    &Moments {
                        mean: &p.mean[own.clone()],
                        variance: &p.variance[own],
                        with_rack: &joint,
                    },
                );
            }
        }
        sums
    }

    fn push_whole_rack(&self, targets: &mut Targets, height: f64) {
        let whole = |side: f64| Extent::new(side / 2.0, side);
        targets.push(whole(self.domain.width), whole(self.domain.depth), height);
    }

    /// The trend at m places (p x m): the level midway between the pooled tests.
    pub(super) fn trend_at(&self, m: usize) -> DMatrix<f64> {
        let p = self.trend.ncols();
        DMatrix::from_fn(p, m, |i, _| if i == 0 { 1.0 } else { 1.0 / p as f64 })
    }

    /// Estimates the field at one point of a rack position; `None` where it cannot be mapped.
    pub fn at(&self, rack: u8, x: f64, y: f64) -> Option<PointEstimate> {
        let height = self.height(rack)?;
        let mut targets = Targets::default();
        targets.push_point(x, y, height);
        let trend = self.trend_at(1);
        let meeting = Meeting::new(&self.domain, &self.targets, &targets);
        let (mut mean, mut second, mut gradient) = (0.0, 0.0, (0.0, 0.0));
        for c in &self.components {
            let cross = meeting.covariance(&c.hyper);
            let prior = prior_variance(&self.domain, &c.hyper, &targets);
            let p = c.kriging.predict(&cross, &trend, &prior);
            mean += c.weight * p.mean[0];
            second += c.weight * (p.variance[0].max(0.0) + p.mean[0] * p.mean[0]);
            let alpha = c.kriging.alpha();
            let slopes = slopes(&self.domain, &c.hyper, (x, y, height), &self.targets);
            for ((dx, dy), a) in slopes.into_iter().zip(alpha.iter()) {
                gradient.0 += c.weight * a * dx;
                gradient.1 += c.weight * a * dy;
            }
        }
        Some(PointEstimate {
            mean: mean.max(self.least),
            sd: (second - mean * mean).max(0.0).sqrt(),
            gradient,
        })
    }

    /// Estimates the mean of the field at many points of one rack position; `None` where it cannot be mapped.
    ///
    /// The same figures as [`Self::at`] gives, without standard deviation and gradient: no system is
    /// solved, which is what a plan with hundreds of places needs.
    pub fn means(&self, rack: u8, places: &[(f64, f64)]) -> Option<Vec<f64>> {
        let height = self.height(rack)?;
        let mut targets = Targets::default();
        for &(x, y) in places {
            targets.push_point(x, y, height);
        }
        let meeting = Meeting::new(&self.domain, &self.targets, &targets);
        let trend = self.trend_at(targets.len());
        let mut sums = vec![0.0; places.len()];
        for c in &self.components {
            let cross = meeting.covariance(&c.hyper);
            for (sum, mean) in sums.iter_mut().zip(c.kriging.mean(&cross, &trend)) {
                *sum += c.weight * mean;
            }
        }
        Some(at_least(self.least, sums))
    }

    /// Draws `count` joint samples of the field at `points` (rack position, x cm, y cm).
    ///
    /// Gives `[sample][point]` of browning B, never below zero; nothing where a point lies on a rack position
    /// that cannot be mapped. The same seed gives the same samples.
    pub fn samples(&self, points: &[(u8, f64, f64)], count: usize, seed: u64) -> Vec<Vec<f64>> {
        let mut targets = Targets::default();
        for &(rack, x, y) in points {
            let Some(height) = self.height(rack) else {
                return Vec::new();
            };
            targets.push_point(x, y, height);
        }
        let mut out = Vec::with_capacity(count);
        let meetings = Meetings {
            cross: Meeting::new(&self.domain, &self.targets, &targets),
            own: Meeting::new(&self.domain, &targets, &targets),
        };
        let mut stream = Stream::new(seed);
        let mut before = 0.0;
        for c in &self.components {
            before += c.weight;
            let last = whole::floor((before * count as f64).round()).min(count);
            if last > out.len() {
                let drawn = self.draw(c, (targets.len(), &meetings), &mut stream, last - out.len());
                let columns = drawn.column_iter();
                out.extend(columns.map(|c| at_least(self.least, c.iter().copied().collect())));
            }
        }
        out
    }

    /// Draws from one component (m x count); each place by itself should their covariance break down.
    fn draw(
        &self,
        c: &Component,
        (m, meetings): (usize, &Meetings<'_>),
        stream: &mut Stream,
        count: usize,
    ) -> DMatrix<f64> {
        let cross = meetings.cross.covariance(&c.hyper);
        let prior = meetings.own.covariance(&c.hyper);
        let trend = self.trend_at(m);
        let mean = c.kriging.mean(&cross, &trend);
        let mut covariance = c.kriging.covariance(&cross, &trend, &prior);
        // neighbouring points are nearly the same: a ten-thousandth of the signal keeps it definite
        let pad = 1e-8 * c.hyper.swing.powi(2) + 1e-14;
        for i in 0..m {
            covariance[(i, i)] += pad;
        }
        let z = DMatrix::from_fn(m, count, |_, _| stream.normal());
        let alone = covariance.map_diagonal(|v| v.max(0.0).sqrt());
        let mut drawn = match Factor::new(covariance) {
            Ok(factor) => factor.cholesky.unpack() * z,
            Err(_) => DMatrix::from_diagonal(&alone) * z,
        };
        for mut column in drawn.column_iter_mut() {
            for (value, mean) in column.iter_mut().zip(&mean) {
                *value += mean;
            }
        }
        drawn
    }
}

/// Spreads values on nodes (row 0 at the door, from wall to wall) over the cells of `grid`.
fn upsample(values: &[f64], nodes: (usize, usize), grid: &Grid) -> Vec<f64> {
    let (nx, ny) = nodes;
    let along: Vec<_> = (0..grid.cols)
        .map(|c| taps(grid.x(c) / grid.width * (nx - 1) as f64, nx))
        .collect();
    let mut wide = vec![0.0; ny * grid.cols];
    for (row, out) in values
        .chunks_exact(nx)
        .zip(wide.chunks_exact_mut(grid.cols))
    {
        for (o, t) in out.iter_mut().zip(&along) {
            *o = (0..4).map(|k| t.weight[k] * row[t.index[k]]).sum();
        }
    }
    let mut out = vec![0.0; grid.len()];
    for (r, line) in out.chunks_exact_mut(grid.cols).enumerate() {
        let t = taps(grid.y(r) / grid.depth * (ny - 1) as f64, ny);
        for (k, w) in t.weight.into_iter().enumerate() {
            let from = &wide[t.index[k] * grid.cols..][..grid.cols];
            for (o, v) in line.iter_mut().zip(from) {
                *o += w * v;
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use crate::field::{Bound, Domain, Observation, Priors, Rack, fit};

    #[test]
    fn means_of_many_places_are_those_of_one_place_at_a_time() {
        let rack = |number, height| Rack { number, height };
        let domain = Domain {
            width: 60.0,
            depth: 45.0,
            racks: vec![rack(1, 8.0), rack(2, 16.0), rack(3, 24.0)],
        };
        let observations: Vec<Observation> = (0..24_u8)
            .map(|i| {
                let (x, y) = (
                    6.0 + 12.0 * f64::from(i % 4),
                    7.0 + 14.0 * f64::from(i / 4 % 3),
                );
                Observation {
                    rack: 1 + 2 * (i / 12),
                    x,
                    y,
                    width: 10.0,
                    depth: 10.0,
                    browning: 0.5 + 0.004 * x + 0.1 * (y / 12.0).sin(),
                    sd: 0.02,
                    bound: Bound::Exact,
                    batch: 0,
                    lean: None,
                }
            })
            .collect();
        let fit = fit(&observations, &domain, &Priors::measured()).unwrap();
        let places: Vec<(f64, f64)> = (0..30_u8)
            .map(|i| (2.0 * f64::from(i), 1.5 * f64::from(i)))
            .collect();
        for rack in 1..=3 {
            let together = fit.means(rack, &places).unwrap();
            for ((x, y), mean) in places.iter().zip(together) {
                let alone = fit.at(rack, *x, *y).unwrap().mean;
                assert!(
                    (alone - mean).abs() < 1e-12,
                    "{rack} {x} {y}: {alone} {mean}"
                );
            }
        }
        assert!(fit.means(9, &places).is_none());
    }
}
