//! The prior of the map: a smooth field, a tilt, and a level for each rack position.
//!
//! ```text
//! cov(B(q), B(q')) = r(z, z') [ swing^2 k_x k_y + tilt^2 t(q)' t(q') ] + level^2 exp(-|z - z'| / 30 cm)
//! ```
//! with k Matern 5/2 in each direction, t the low-order trend (left-right, front-back, curvature)
//! and r(z, z') = exp(-|z - z'| / reach), so that neighbouring rack positions share their pattern.
//! Integrating a trend with a Gaussian prior is the same as adding its covariance (Rasmussen and
//! Williams 2006, sec. 2.7).

use super::{
    Domain,
    kernel::{Extent, Matern52},
    map::Lean,
    target::{FEATURES, Targets},
};
use nalgebra::DMatrix;

/// Prior standard deviation of a rack position's own level, in B: two shades, wide.
const LEVEL: f64 = 0.27;
/// Over this height difference rack levels lose touch, cm.
const LEVEL_REACH: f64 = 30.0;

/// One setting of everything the covariance depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hyper {
    /// Length scale, geometric mean of both directions, cm.
    pub length: f64,
    /// Length scale along x over the geometric mean.
    pub aspect: f64,
    /// Standard deviation of the smooth field, B.
    pub swing: f64,
    /// Standard deviation of the tilt, B at a wall relative to the centre.
    pub tilt: f64,
    /// Slice-to-slice scatter (nugget), B.
    pub scatter: f64,
    /// Height difference over which rack positions share their pattern, cm.
    pub reach: f64,
}

/// The parts of the covariance between two sets of targets that no hyperparameter scales.
#[derive(Debug, Clone)]
pub(super) struct Frame {
    tilt: DMatrix<f64>,
    level: DMatrix<f64>,
}

impl Frame {
    /// Computes the frame between two sets of targets (rows x columns).
    pub(super) fn between(domain: &Domain, rows: &Targets, cols: &Targets) -> Self {
        let from = rows.features(domain.width, domain.depth);
        let to = cols.features(domain.width, domain.depth);
        let kl = table(&rows.heights, &cols.heights, |a, b| {
            LEVEL * LEVEL * (-(a - b).abs() / LEVEL_REACH).exp()
        });
        Self {
            tilt: table(&from, &to, dot),
            level: DMatrix::from_fn(rows.len(), cols.len(), |i, j| {
                kl[(rows.items[i][2], cols.items[j][2])]
                    + Lean::covariance(rows.leans[i], cols.leans[j])
            }),
        }
    }

    /// Puts the covariance together from the frame and the two factors that depend on lengths.
    pub(super) fn total(
        &self,
        hyper: &Hyper,
        smooth: &DMatrix<f64>,
        shared: &DMatrix<f64>,
    ) -> DMatrix<f64> {
        let (s, t) = (hyper.swing * hyper.swing, hyper.tilt * hyper.tilt);
        let mut out = self.level.clone();
        let parts = smooth
            .as_slice()
            .iter()
            .zip(shared.as_slice())
            .zip(self.tilt.as_slice());
        for (o, ((xy, z), tilt)) in out.as_mut_slice().iter_mut().zip(parts) {
            *o += z * (s * xy + t * tilt);
        }
        out
    }
}

/// Returns the product of both directions' kernels between two sets of targets; depends on `length` and `aspect` only.
pub(super) fn smooth(hyper: &Hyper, rows: &Targets, cols: &Targets) -> DMatrix<f64> {
    let kernel_x = Matern52::new(hyper.length * hyper.aspect);
    let kernel_y = Matern52::new(hyper.length / hyper.aspect);
    let kx = table(&rows.xs, &cols.xs, |a: &Extent, b| kernel_x.mean(*a, *b));
    let ky = table(&rows.ys, &cols.ys, |a, b| kernel_y.mean(*a, *b));
    spread(rows, cols, |i, j| kx[(i[0], j[0])] * ky[(i[1], j[1])])
}

/// Returns how far rack positions share their pattern, r(z, z'); depends on `reach` only.
pub(super) fn shared(hyper: &Hyper, rows: &Targets, cols: &Targets) -> DMatrix<f64> {
    let kz = table(&rows.heights, &cols.heights, |a, b| {
        (-(a - b).abs() / hyper.reach).exp()
    });
    spread(rows, cols, |i, j| kz[(i[2], j[2])])
}

/// Returns the whole covariance between two sets of targets.
pub(super) fn covariance(
    domain: &Domain,
    hyper: &Hyper,
    rows: &Targets,
    cols: &Targets,
) -> DMatrix<f64> {
    Frame::between(domain, rows, cols).total(
        hyper,
        &smooth(hyper, rows, cols),
        &shared(hyper, rows, cols),
    )
}

fn spread(
    rows: &Targets,
    cols: &Targets,
    f: impl Fn(&[usize; 3], &[usize; 3]) -> f64,
) -> DMatrix<f64> {
    table(&rows.items, &cols.items, f)
}

/// Returns the prior variance of each target.
pub(super) fn prior_variance(domain: &Domain, hyper: &Hyper, targets: &Targets) -> Vec<f64> {
    let kernel_x = Matern52::new(hyper.length * hyper.aspect);
    let kernel_y = Matern52::new(hyper.length / hyper.aspect);
    let vx: Vec<f64> = targets.xs.iter().map(|&e| kernel_x.mean(e, e)).collect();
    let vy: Vec<f64> = targets.ys.iter().map(|&e| kernel_y.mean(e, e)).collect();
    let (s, t) = (hyper.swing * hyper.swing, hyper.tilt * hyper.tilt);
    targets
        .features(domain.width, domain.depth)
        .iter()
        .zip(targets.items.iter().zip(&targets.leans))
        .map(|(f, (&[i, j, _], &lean))| {
            s * vx[i] * vy[j] + t * dot(f, f) + LEVEL * LEVEL + Lean::covariance(lean, lean)
        })
        .collect()
}

/// Returns d/dx and d/dy of the covariance between the point (`x`, `y`, `height`) and every target.
pub(super) fn slopes(
    domain: &Domain,
    hyper: &Hyper,
    at: (f64, f64, f64),
    targets: &Targets,
) -> Vec<(f64, f64)> {
    let (x, y, height) = at;
    let kernel_x = Matern52::new(hyper.length * hyper.aspect);
    let kernel_y = Matern52::new(hyper.length / hyper.aspect);
    let point = |middle| Extent {
        middle,
        length: 0.0,
    };
    let (s, t) = (hyper.swing * hyper.swing, hyper.tilt * hyper.tilt);
    let here = point_feature_slopes(domain, x, y);
    targets
        .features(domain.width, domain.depth)
        .iter()
        .zip(&targets.items)
        .map(|(f, &[i, j, z])| {
            let (ex, ey) = (targets.xs[i], targets.ys[j]);
            let r = (-(height - targets.heights[z]).abs() / hyper.reach).exp();
            let dx = kernel_x.mean_slope(x, ex) * kernel_y.mean(point(y), ey);
            let dy = kernel_x.mean(point(x), ex) * kernel_y.mean_slope(y, ey);
            (
                r * (s * dx + t * dot(&here.0, f)),
                r * (s * dy + t * dot(&here.1, f)),
            )
        })
        .collect()
}

/// Derivatives of the tilt features of a point by x and by y, per cm.
fn point_feature_slopes(domain: &Domain, x: f64, y: f64) -> ([f64; FEATURES], [f64; FEATURES]) {
    let (sx, sy) = (2.0 / domain.width, 2.0 / domain.depth);
    let mut point = Targets::default();
    point.push_point(x, y, 0.0);
    let here = point.features(domain.width, domain.depth)[0];
    // the features are quadratic, so a central difference is exact
    let shifted = |dx: f64, dy: f64| {
        let mut p = Targets::default();
        p.push_point(x + dx, y + dy, 0.0);
        p.features(domain.width, domain.depth)[0]
    };
    let slope = |plus: [f64; FEATURES], minus: [f64; FEATURES], h: f64| {
        let mut out = here;
        for (o, (a, b)) in out.iter_mut().zip(plus.iter().zip(minus)) {
            *o = (a - b) / (2.0 * h);
        }
        out
    };
    let (hx, hy) = (1.0 / sx, 1.0 / sy);
    (
        slope(shifted(hx, 0.0), shifted(-hx, 0.0), hx),
        slope(shifted(0.0, hy), shifted(0.0, -hy), hy),
    )
}

fn dot(f: &[f64; FEATURES], g: &[f64; FEATURES]) -> f64 {
    f.iter().zip(g).map(|(a, b)| a * b).sum()
}

fn table<T>(rows: &[T], cols: &[T], f: impl Fn(&T, &T) -> f64) -> DMatrix<f64> {
    DMatrix::from_fn(rows.len(), cols.len(), |i, j| f(&rows[i], &cols[j]))
}
