//! The prior of the map: a smooth field, a tilt, and a level for each rack position.
//!
//! cov(B(q), B(q')) = r(z, z') [ swing^2 k_x k_y + tilt^2 t(q)' t(q') ] + level^2 exp(-|z - z'| / 30 cm)
//! with k Matern 5/2 in each direction, t the low-order trend (left-right, front-back, curvature)
//! and r(z, z') = exp(-|z - z'| / reach), so that neighbouring rack positions share their pattern.
//! Integrating a trend with a Gaussian prior is the same as adding its covariance (Rasmussen and
//! Williams 2006, sec. 2.7).

use super::{
    Domain,
    kernel::{Extent, Matern52},
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

/// The parts of a covariance matrix that do not depend on `swing`, `tilt` and `scatter`.
#[derive(Debug, Clone)]
pub(super) struct Parts {
    pub(super) smooth: DMatrix<f64>,
    pub(super) tilt: DMatrix<f64>,
    pub(super) level: DMatrix<f64>,
}

impl Parts {
    /// Computes the parts between two sets of targets (rows x columns).
    pub(super) fn between(domain: &Domain, hyper: &Hyper, rows: &Targets, cols: &Targets) -> Self {
        let kernel_x = Matern52::new(hyper.length * hyper.aspect);
        let kernel_y = Matern52::new(hyper.length / hyper.aspect);
        let kx = table(&rows.xs, &cols.xs, |a: &Extent, b| kernel_x.mean(*a, *b));
        let ky = table(&rows.ys, &cols.ys, |a, b| kernel_y.mean(*a, *b));
        let kz = table(&rows.heights, &cols.heights, |a, b| {
            (-(a - b).abs() / hyper.reach).exp()
        });
        let kl = table(&rows.heights, &cols.heights, |a, b| {
            LEVEL * LEVEL * (-(a - b).abs() / LEVEL_REACH).exp()
        });
        let from = rows.features(domain.width, domain.depth);
        let to = cols.features(domain.width, domain.depth);
        let shape = (rows.len(), cols.len());
        let mut parts = Self {
            smooth: DMatrix::zeros(shape.0, shape.1),
            tilt: DMatrix::zeros(shape.0, shape.1),
            level: DMatrix::zeros(shape.0, shape.1),
        };
        for (c, (&[i2, j2, z2], g)) in cols.items.iter().zip(&to).enumerate() {
            for (r, (&[i1, j1, z1], f)) in rows.items.iter().zip(&from).enumerate() {
                let z = kz[(z1, z2)];
                parts.smooth[(r, c)] = z * kx[(i1, i2)] * ky[(j1, j2)];
                parts.tilt[(r, c)] = z * dot(f, g);
                parts.level[(r, c)] = kl[(z1, z2)];
            }
        }
        parts
    }

    /// Puts the parts together.
    pub(super) fn total(&self, hyper: &Hyper) -> DMatrix<f64> {
        let (s, t) = (hyper.swing * hyper.swing, hyper.tilt * hyper.tilt);
        let mut out = self.level.clone();
        for ((o, a), b) in out.iter_mut().zip(self.smooth.iter()).zip(self.tilt.iter()) {
            *o += s * a + t * b;
        }
        out
    }
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
        .zip(&targets.items)
        .map(|(f, &[i, j, _])| s * vx[i] * vy[j] + t * dot(f, f) + LEVEL * LEVEL)
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
