//! The prior of the map: a smooth field, a tilt, perhaps one shape that a heat source draws, and a level
//! for each rack position.
//!
//! ```text
//! cov(B(q), B(q')) = r(z, z') [ swing^2 k_x k_y + tilt^2 t(q)' t(q') + strength^2 f(q)' f(q') ]
//!                    + level^2 exp(-|z - z'| / 30 cm)
//! ```
//! with k Matern 5/2 in each direction, t the low-order trend (left-right, front-back, curvature), f the
//! features of the shape (see `shapes`) and r(z, z') = exp(-|z - z'| / reach), so that neighbouring rack
//! positions share their pattern. Integrating a trend with a Gaussian prior is the same as adding its
//! covariance (Rasmussen and Williams 2006, sec. 2.7). What stands in brackets depends on places in the
//! plane alone, and is worked out once for each pair of distinct ones.

use super::{
    Domain,
    kernel::{Extent, Matern52},
    map::Lean,
    shapes::{Basis, Shape},
    target::{FEATURES, Targets, point},
};
use nalgebra::DMatrix;

/// Prior standard deviation of a rack position's own level, in B: two shades, wide.
const LEVEL: f64 = 0.27;
/// Over this height difference rack levels lose touch, cm.
const LEVEL_REACH: f64 = 30.0;
/// Step of the central difference that gives a shape's slope, cm.
const SLOPE_STEP: f64 = 1e-3;

/// A shape that is taken to be there: which, how fine, and how strong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drawn {
    /// The shape.
    pub shape: Shape,
    /// Length scale of its curve, rack widths.
    pub length: f64,
    /// Standard deviation, B.
    pub strength: f64,
}

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
    /// The shape beside the smooth field, if any.
    pub drawn: Option<Drawn>,
}

/// Where two sets of targets meet: what depends on neither hyperparameters nor shapes, kept.
#[derive(Debug, Clone)]
pub(super) struct Meeting<'t> {
    domain: &'t Domain,
    rows: &'t Targets,
    cols: &'t Targets,
    tilt: DMatrix<f64>,
    level: DMatrix<f64>,
    /// Every target is its own place, all at one height: the plane is the whole.
    flat: bool,
}

impl<'t> Meeting<'t> {
    /// Prepares covariances between two sets of targets (rows x columns).
    pub(super) fn new(domain: &'t Domain, rows: &'t Targets, cols: &'t Targets) -> Self {
        let from = rows.tilts(domain.width, domain.depth);
        let to = cols.tilts(domain.width, domain.depth);
        let flat = |t: &Targets| {
            t.heights.len() == 1 && t.items.iter().enumerate().all(|(i, item)| item[0] == i)
        };
        Self {
            flat: flat(rows) && flat(cols) && rows.heights == cols.heights,
            domain,
            rows,
            cols,
            tilt: table(&from, &to, dot),
            level: table(&rows.heights, &cols.heights, |a, b| {
                LEVEL * LEVEL * (-(a - b).abs() / LEVEL_REACH).exp()
            }),
        }
    }

    /// Returns the product of both directions' kernels for each pair of places; depends on `length` and
    /// `aspect` only.
    pub(super) fn smooth(&self, hyper: &Hyper) -> DMatrix<f64> {
        let (kernel_x, kernel_y) = kernels(hyper);
        let kx = table(&self.rows.xs, &self.cols.xs, |a: &Extent, b| {
            kernel_x.mean(*a, *b)
        });
        let ky = table(&self.rows.ys, &self.cols.ys, |a, b| kernel_y.mean(*a, *b));
        table(&self.rows.places, &self.cols.places, |i, j| {
            kx[(i[0], j[0])] * ky[(i[1], j[1])]
        })
    }

    /// Returns the covariance of a shape of strength 1 for each pair of places.
    pub(super) fn shape(&self, shape: Shape, length: f64) -> DMatrix<f64> {
        let basis = Basis::new(shape, length, self.domain);
        let rows = basis.carried(&basis.weights(self.rows));
        rows.transpose() * basis.weights(self.cols)
    }

    /// Puts the covariance together from its parts in the plane.
    pub(super) fn total(
        &self,
        hyper: &Hyper,
        smooth: &DMatrix<f64>,
        shape: Option<&DMatrix<f64>>,
    ) -> DMatrix<f64> {
        let (s, t) = (hyper.swing * hyper.swing, hyper.tilt * hyper.tilt);
        let mut plane = smooth * s;
        for (p, tilt) in plane.as_mut_slice().iter_mut().zip(self.tilt.as_slice()) {
            *p += t * tilt;
        }
        if let (Some(shape), Some(drawn)) = (shape, hyper.drawn) {
            let w = drawn.strength * drawn.strength;
            for (p, f) in plane.as_mut_slice().iter_mut().zip(shape.as_slice()) {
                *p += w * f;
            }
        }
        if self.flat {
            plane.add_scalar_mut(self.level[(0, 0)]);
            return self.leaning(plane);
        }
        let shared = table(&self.rows.heights, &self.cols.heights, |a, b| {
            (-(a - b).abs() / hyper.reach).exp()
        });
        self.leaning(table(&self.rows.items, &self.cols.items, |i, j| {
            shared[(i[1], j[1])] * plane[(i[0], j[0])] + self.level[(i[1], j[1])]
        }))
    }

    /// Adds what slices of one photo share by its light.
    fn leaning(&self, mut total: DMatrix<f64>) -> DMatrix<f64> {
        let leans = |t: &Targets| t.leans.iter().any(Option::is_some);
        if leans(self.rows) && leans(self.cols) {
            total += table(&self.rows.leans, &self.cols.leans, |a, b| {
                Lean::covariance(*a, *b)
            });
        }
        total
    }

    /// Returns the whole covariance.
    pub(super) fn covariance(&self, hyper: &Hyper) -> DMatrix<f64> {
        let shape = hyper.drawn.map(|d| self.shape(d.shape, d.length));
        self.total(hyper, &self.smooth(hyper), shape.as_ref())
    }
}

/// Returns the prior variance of each target.
pub(super) fn prior_variance(domain: &Domain, hyper: &Hyper, targets: &Targets) -> Vec<f64> {
    let (kernel_x, kernel_y) = kernels(hyper);
    let vx: Vec<f64> = targets.xs.iter().map(|&e| kernel_x.mean(e, e)).collect();
    let vy: Vec<f64> = targets.ys.iter().map(|&e| kernel_y.mean(e, e)).collect();
    let (s, t) = (hyper.swing * hyper.swing, hyper.tilt * hyper.tilt);
    let tilts = targets.tilts(domain.width, domain.depth);
    let mut plane: Vec<f64> = tilts
        .iter()
        .zip(&targets.places)
        .map(|(f, &[i, j])| s * vx[i] * vy[j] + t * dot(f, f) + LEVEL * LEVEL)
        .collect();
    if let Some(drawn) = hyper.drawn {
        let basis = Basis::new(drawn.shape, drawn.length, domain);
        let weights = basis.weights(targets);
        let carried = basis.carried(&weights);
        let columns = weights.column_iter().zip(carried.column_iter());
        for (p, (w, c)) in plane.iter_mut().zip(columns) {
            *p += drawn.strength * drawn.strength * w.dot(&c);
        }
    }
    let leans = targets.leans.iter().map(|l| Lean::covariance(*l, *l));
    targets
        .items
        .iter()
        .zip(leans)
        .map(|(i, lean)| plane[i[0]] + lean)
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
    let (kernel_x, kernel_y) = kernels(hyper);
    let (s, t) = (hyper.swing * hyper.swing, hyper.tilt * hyper.tilt);
    let here = tilt_slopes(domain, x, y);
    let tilts = targets.tilts(domain.width, domain.depth);
    let mut plane: Vec<(f64, f64)> = tilts
        .iter()
        .zip(&targets.places)
        .map(|(f, &[i, j])| {
            let (ex, ey) = (targets.xs[i], targets.ys[j]);
            let dx = kernel_x.mean_slope(x, ex) * kernel_y.mean(point(y), ey);
            let dy = kernel_x.mean(point(x), ex) * kernel_y.mean_slope(y, ey);
            (s * dx + t * dot(&here.0, f), s * dy + t * dot(&here.1, f))
        })
        .collect();
    if let Some(drawn) = hyper.drawn {
        let basis = Basis::new(drawn.shape, drawn.length, domain);
        let carried = basis.carried(&basis.weights(targets));
        let mut around = Targets::default();
        for (dx, dy) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
            around.push_point(x + dx * SLOPE_STEP, y + dy * SLOPE_STEP, height);
        }
        let near = basis.weights(&around).tr_mul(&carried);
        let w = drawn.strength * drawn.strength / (2.0 * SLOPE_STEP);
        for (p, near) in plane.iter_mut().zip(near.column_iter()) {
            p.0 += w * (near[0] - near[1]);
            p.1 += w * (near[2] - near[3]);
        }
    }
    let items = targets.items.iter().map(|&[place, z]| {
        let r = (-(height - targets.heights[z]).abs() / hyper.reach).exp();
        (r * plane[place].0, r * plane[place].1)
    });
    items.collect()
}

/// Derivatives of the tilt features of a point by x and by y, per cm.
fn tilt_slopes(domain: &Domain, x: f64, y: f64) -> ([f64; FEATURES], [f64; FEATURES]) {
    let (hx, hy) = (domain.width / 2.0, domain.depth / 2.0);
    let at = |x: f64, y: f64| {
        let mut p = Targets::default();
        p.push_point(x, y, 0.0);
        p.tilts(domain.width, domain.depth)[0]
    };
    // the features are quadratic, so a central difference is exact
    let slope = |plus: [f64; FEATURES], minus: [f64; FEATURES], h: f64| {
        let mut out = plus;
        for (o, m) in out.iter_mut().zip(minus) {
            *o = (*o - m) / (2.0 * h);
        }
        out
    };
    (
        slope(at(x + hx, y), at(x - hx, y), hx),
        slope(at(x, y + hy), at(x, y - hy), hy),
    )
}

fn kernels(hyper: &Hyper) -> (Matern52, Matern52) {
    (
        Matern52::new(hyper.length * hyper.aspect),
        Matern52::new(hyper.length / hyper.aspect),
    )
}

fn dot(f: &[f64; FEATURES], g: &[f64; FEATURES]) -> f64 {
    f.iter().zip(g).map(|(a, b)| a * b).sum()
}

fn table<T>(rows: &[T], cols: &[T], f: impl Fn(&T, &T) -> f64) -> DMatrix<f64> {
    DMatrix::from_fn(rows.len(), cols.len(), |i, j| f(&rows[i], &cols[j]))
}
