//! Patterns that heat sources make: curves along one coordinate of the rack.
//!
//! A smooth field plus a tilt takes every pattern finer than itself for scatter. Real sources draw
//! patterns that are fine in one direction and long in the other: a heating loop follows the walls, a
//! fan blows rings and lobes about itself, bars and a leaking door make stripes. Each such shape is an
//! unknown curve f(u) along one coordinate u(x, y), a Gaussian process with Matern 5/2 covariance of a
//! short length, times a known factor:
//!
//! | shape | coordinate | factor |
//! | --- | --- | --- |
//! | rings | distance from the middle of the rack | 1 |
//! | lobe | the same | g(u) cos and g(u) sin of the bearing, g(u) = 1 - exp(-(u / 0.15)^2) |
//! | fan rings | distance from the middle of the back wall | 1 |
//! | rim | distance to the nearest wall | 1 |
//! | open rim | distance to the nearest wall but the door | 1 |
//! | stripes across, along | y alone, x alone | 1 |
//! | bowl | none: one unknown figure each | both curvatures and the saddle |
//!
//! Lengths are in rack widths, y counts from the back. The curve is carried by evenly spaced knots with
//! cubic interpolation between them, so that every mean over an area is a sum over knots: weights of slices
//! and whole racks come from quadrature of the interpolation weights, once for each place. With K the
//! knots' covariance, two places with weights w and w' have the covariance w' K w, which is never negative.

use super::{
    Domain,
    kernel::{Extent, Matern52},
    target::Targets,
};
use crate::numeric::{resample::taps, whole};
use nalgebra::{DMatrix, DVectorViewMut};

/// Knots for each length scale of a curve: the cubic between them is then off by under 1 % of its strength.
const KNOTS_PER_LENGTH: f64 = 2.5;
/// Fewest knots (the cubic needs four).
const FEWEST_KNOTS: usize = 5;
/// How far from the middle a lobe reaches its full strength, rack widths.
const LOBE_CORE: f64 = 0.15;
/// Quadrature points along each side of a slice, and of a whole rack.
const POINTS_SLICE: usize = 7;
const POINTS_RACK: usize = 36;
/// An extent of more than this share of the width is quadrature of the whole rack.
const LARGE: f64 = 0.5;

/// A pattern that a heat source may draw beside the smooth field.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shape {
    /// Rings about the middle of the rack.
    Rings,
    /// One side of the rack against the other, stronger further out: a swirl.
    Lobe,
    /// Rings and a lobe together.
    RingsAndLobe,
    /// Rings about the middle of the back wall, where a fan sits.
    FanRings,
    /// A band along all four walls: a heating loop.
    Rim,
    /// A band along the walls that is open at the door.
    OpenRim,
    /// Stripes from front to back: a function of x alone.
    Upright,
    /// Stripes from left to right: a function of y alone.
    Level,
    /// Both kinds of stripes.
    Crossed,
    /// A bowl, a ridge or a saddle over the whole rack.
    Bowl,
}

impl Shape {
    /// All shapes.
    pub const ALL: [Self; 10] = [
        Self::Rings,
        Self::Lobe,
        Self::RingsAndLobe,
        Self::FanRings,
        Self::Rim,
        Self::OpenRim,
        Self::Upright,
        Self::Level,
        Self::Crossed,
        Self::Bowl,
    ];

    /// Returns the length scales tried, in rack widths.
    pub fn lengths(self) -> &'static [f64] {
        match self {
            Self::Rings | Self::Lobe | Self::RingsAndLobe | Self::FanRings => &[0.12, 0.22],
            Self::Rim | Self::OpenRim => &[0.08, 0.16],
            Self::Upright | Self::Level | Self::Crossed => &[0.12, 0.25],
            Self::Bowl => &[1.0],
        }
    }

    /// Returns the curves that make up the shape.
    fn curves(self) -> Vec<Curve> {
        let (rings, lobes) = (Curve::new(Coordinate::Middle), |share: f64| {
            [Factor::Cosine, Factor::Sine].map(|factor| Curve {
                factor,
                share,
                ..Curve::new(Coordinate::Middle)
            })
        });
        let half = |c: Coordinate| Curve {
            share: 0.5,
            ..Curve::new(c)
        };
        match self {
            Self::Rings => vec![rings],
            Self::Lobe => lobes(1.0).to_vec(),
            Self::RingsAndLobe => {
                let [c, s] = lobes(0.4);
                vec![
                    Curve {
                        share: 0.6,
                        ..rings
                    },
                    c,
                    s,
                ]
            }
            Self::FanRings => vec![Curve::new(Coordinate::Fan)],
            Self::Rim => vec![Curve::new(Coordinate::Wall)],
            Self::OpenRim => vec![Curve::new(Coordinate::WallButDoor)],
            Self::Upright => vec![Curve::new(Coordinate::Across)],
            Self::Level => vec![Curve::new(Coordinate::Back)],
            Self::Crossed => vec![half(Coordinate::Across), half(Coordinate::Back)],
            Self::Bowl => [Factor::BendAcross, Factor::BendDeep, Factor::Saddle]
                .map(|factor| Curve {
                    factor,
                    ..Curve::new(Coordinate::Nowhere)
                })
                .to_vec(),
        }
    }
}

/// What a curve runs along, in rack widths.
#[derive(Debug, Clone, Copy)]
enum Coordinate {
    Middle,
    Fan,
    Wall,
    WallButDoor,
    Across,
    Back,
    /// The same everywhere: the curve is one figure.
    Nowhere,
}

impl Coordinate {
    /// Returns the coordinate at (x, y from the back) of a rack 1 wide and `deep` deep.
    fn at(self, x: f64, y: f64, deep: f64) -> f64 {
        let sides = x.min(1.0 - x).min(y);
        match self {
            Self::Middle => (x - 0.5).hypot(y - deep / 2.0),
            Self::Fan => (x - 0.5).hypot(y),
            Self::Wall => sides.min(deep - y),
            Self::WallButDoor => sides,
            Self::Across => x,
            Self::Back => y,
            Self::Nowhere => 0.0,
        }
    }

    /// Returns the largest value on the rack.
    fn largest(self, deep: f64) -> f64 {
        match self {
            Self::Middle => 0.5_f64.hypot(deep / 2.0),
            Self::Fan => 0.5_f64.hypot(deep),
            Self::Wall => 0.5_f64.min(deep / 2.0),
            Self::WallButDoor => 0.5_f64.min(deep),
            Self::Across => 1.0,
            Self::Back => deep,
            Self::Nowhere => 0.0,
        }
    }
}

/// What a curve is multiplied by.
#[derive(Debug, Clone, Copy)]
enum Factor {
    One,
    Cosine,
    Sine,
    /// Curvature across, front to back, and the saddle; 1 at a wall, in a corner.
    BendAcross,
    BendDeep,
    Saddle,
}

#[derive(Debug, Clone, Copy)]
struct Curve {
    coordinate: Coordinate,
    factor: Factor,
    /// Share of the shape's variance.
    share: f64,
}

impl Curve {
    fn new(coordinate: Coordinate) -> Self {
        Self {
            coordinate,
            factor: Factor::One,
            share: 1.0,
        }
    }

    fn factor(&self, x: f64, y: f64, deep: f64) -> f64 {
        let (u, v) = (2.0 * x - 1.0, 2.0 * y / deep - 1.0);
        let lobe = |side: fn(f64, f64) -> f64| {
            let (dx, dy) = (x - 0.5, y - deep / 2.0);
            let r = dx.hypot(dy).max(1e-12);
            (1.0 - (-(r / LOBE_CORE).powi(2)).exp()) * side(dx, dy) / r
        };
        match self.factor {
            Factor::One => 1.0,
            Factor::Cosine => lobe(|dx, _| dx),
            Factor::Sine => lobe(|_, dy| dy),
            Factor::BendAcross => 1.5 * (u * u - 1.0 / 3.0),
            Factor::BendDeep => 1.5 * (v * v - 1.0 / 3.0),
            Factor::Saddle => u * v,
        }
    }
}

/// One shape with one length scale in one cavity, ready for covariances.
#[derive(Debug, Clone)]
pub(super) struct Basis {
    width: f64,
    deep: f64,
    curves: Vec<(Curve, Knots)>,
}

/// The knots of one curve: their spacing and their covariance.
#[derive(Debug, Clone)]
struct Knots {
    step: f64,
    covariance: DMatrix<f64>,
}

impl Knots {
    fn new(largest: f64, length: f64) -> Self {
        if largest <= 0.0 {
            return Self {
                step: 1.0,
                covariance: DMatrix::from_element(1, 1, 1.0),
            };
        }
        let count =
            (whole::floor((largest / length * KNOTS_PER_LENGTH).ceil()) + 1).max(FEWEST_KNOTS);
        let step = largest / (count - 1) as f64;
        let kernel = Matern52::new(length);
        Self {
            step,
            covariance: DMatrix::from_fn(count, count, |i, j| {
                kernel.at(step * (i as f64 - j as f64))
            }),
        }
    }
}

impl Basis {
    /// Prepares `shape` with a length scale of `length` rack widths.
    pub(super) fn new(shape: Shape, length: f64, domain: &Domain) -> Self {
        let deep = domain.depth / domain.width;
        let curves = shape
            .curves()
            .into_iter()
            .map(|curve| (curve, Knots::new(curve.coordinate.largest(deep), length)));
        Self {
            width: domain.width,
            deep,
            curves: curves.collect(),
        }
    }

    /// Returns the weights of the knots in every distinct place of `targets` (knots x places).
    pub(super) fn weights(&self, targets: &Targets) -> DMatrix<f64> {
        let count = targets.places.len();
        let size = self.curves.iter().map(|(_, k)| k.covariance.nrows()).sum();
        let mut out = DMatrix::zeros(size, count);
        let mut from = 0;
        for (curve, knots) in &self.curves {
            let n = knots.covariance.nrows();
            for (p, column) in out.rows_mut(from, n).column_iter_mut().enumerate() {
                self.weigh(curve, knots.step, targets.place(p), column);
            }
            from += n;
        }
        out
    }

    /// Returns the knots' covariance times `weights`.
    pub(super) fn carried(&self, weights: &DMatrix<f64>) -> DMatrix<f64> {
        let mut out = DMatrix::zeros(weights.nrows(), weights.ncols());
        let mut from = 0;
        for (_, knots) in &self.curves {
            let n = knots.covariance.nrows();
            out.rows_mut(from, n)
                .gemm(1.0, &knots.covariance, &weights.rows(from, n), 0.0);
            from += n;
        }
        out
    }

    /// Fills in the mean weight of every knot over a rectangle, by the midpoint rule.
    fn weigh(
        &self,
        curve: &Curve,
        step: f64,
        (ex, ey): (Extent, Extent),
        mut to: DVectorViewMut<'_, f64>,
    ) {
        let knots = to.len();
        let points = |e: Extent| match e.length / self.width {
            s if s < 1e-6 => 1,
            s if s < LARGE => POINTS_SLICE,
            _ => POINTS_RACK,
        };
        let (nx, ny) = (points(ex), points(ey));
        let weight = curve.share.sqrt() / (nx * ny) as f64;
        let at = |e: Extent, i: usize, n: usize| {
            e.middle + e.length * ((i as f64 + 0.5) / n as f64 - 0.5)
        };
        for j in 0..ny {
            let y = (self.deep - at(ey, j, ny) / self.width).clamp(0.0, self.deep);
            for i in 0..nx {
                let x = (at(ex, i, nx) / self.width).clamp(0.0, 1.0);
                let factor = weight * curve.factor(x, y, self.deep);
                if knots == 1 {
                    to[0] += factor;
                    continue;
                }
                let taps = taps(curve.coordinate.at(x, y, self.deep) / step, knots);
                for (k, w) in taps.index.into_iter().zip(taps.weight) {
                    to[k] += factor * w;
                }
            }
        }
    }
}
