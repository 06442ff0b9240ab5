//! What is believed before a slice is scored, as a grid over the hyperparameters.
//!
//! A dozen slices cannot tell length scale, strength, tilt and scatter apart, so the map averages
//! over a grid of them, weighted by restricted likelihood times these priors (Rue and Martino 2009
//! average the same way). The medians and widths below were settled on the open kinds of the synthetic-oven
//! study `tests/bench/study.rs`; its sealed kinds judge them (tests/bench/RESULTS.md).

use super::{
    Domain,
    covariance::{Drawn, Hyper},
    shapes::Shape,
};

/// A log-normal prior on a grid of levels.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// Most likely value.
    pub median: f64,
    /// Standard deviation of the logarithm.
    pub width: f64,
    /// The levels tried, rising by a constant factor.
    pub levels: Vec<f64>,
}

impl Axis {
    /// Makes an axis of `count` levels, each `factor` times the last, around `middle`.
    pub fn new(median: f64, width: f64, middle: f64, factor: f64, count: i32) -> Self {
        let levels = (0..count)
            .map(|i| middle * factor.powf(f64::from(i) - f64::from(count - 1) / 2.0))
            .collect();
        Self {
            median,
            width,
            levels,
        }
    }

    /// Returns the logarithm of the prior density (in the logarithm of the value) at `level`.
    pub(super) fn ln_density(&self, level: usize) -> f64 {
        let z = (self.levels[level] / self.median).ln() / self.width;
        -0.5 * z * z
    }

    /// Returns the level nearest the median.
    pub(super) fn start(&self) -> usize {
        let distance = |l: &f64| (l / self.median).ln().abs();
        self.levels
            .iter()
            .enumerate()
            .min_by(|(_, a), (_, b)| distance(a).total_cmp(&distance(b)))
            .map_or(0, |(i, _)| i)
    }
}

/// Priors of all six hyperparameters; lengths relative to the cavity, strengths in B.
#[derive(Debug, Clone, PartialEq)]
pub struct Priors {
    /// Length scale as a share of sqrt(width depth).
    pub length: Axis,
    /// Ratio of the x length scale to the geometric mean.
    pub aspect: Axis,
    /// Standard deviation of the smooth field, B.
    pub swing: Axis,
    /// Tilt at a wall, B.
    pub tilt: Axis,
    /// Slice-to-slice scatter, B.
    pub scatter: Axis,
    /// Height over which racks share their pattern, cm.
    pub reach: Axis,
    /// Shapes that may lie beside the smooth field; empty for none.
    pub shapes: Vec<Likely>,
    /// What the field cannot be below, B: 0 for browning, nothing (minus infinity) for a change of it.
    pub least: f64,
}

/// A shape and how likely it is beforehand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Likely {
    /// The shape.
    pub shape: Shape,
    /// Logarithm of its prior odds against no shape at all.
    pub ln_odds: f64,
}

/// Strengths tried for every shape, B: about 3 and 6 L* on golden toast.
const STRENGTHS: [f64; 2] = [0.053, 0.105];
/// Logarithm of the prior odds of rings and of every other shape against none: rings are the commonest of
/// what a cavity draws, and nine shapes together have a chance of about seven in ten.
const LN_ODDS_RINGS: f64 = -0.4;
const LN_ODDS: f64 = -1.4;

/// Median slice-to-slice scatter of measured lightness, B: slices of one loaf side by side differ by 0.02-0.05.
const SCATTER_MEASURED: f64 = 0.027;

impl Priors {
    /// Returns the priors for slices whose lightness was measured.
    pub fn measured() -> Self {
        Self {
            length: Axis::new(0.55, 0.6, 0.4, 1.6, 6),
            aspect: Axis::new(1.0, 0.35, 1.0, 1.45, 3),
            swing: Axis::new(0.045, 0.9, 0.04, 2.4, 5),
            tilt: Axis::new(0.05, 1.0, 0.05, 3.0, 3),
            scatter: Axis::new(SCATTER_MEASURED, 0.40, SCATTER_MEASURED, 1.45, 5),
            reach: Axis::new(18.0, 0.8, 18.0, 2.5, 3),
            shapes: Shape::ALL.map(Likely::beforehand).to_vec(),
            least: 0.0,
        }
    }

    /// Returns the priors for slices scored by eye, whose own error is about `eye_sd`, in B.
    ///
    /// How far an eye strays differs from scorer to scorer, so the prior is wider.
    pub fn by_eye(eye_sd: f64) -> Self {
        let scatter = SCATTER_MEASURED.hypot(eye_sd);
        Self {
            scatter: Axis::new(scatter, 0.5, scatter, 1.45, 5),
            ..Self::measured()
        }
    }

    pub(super) fn axes(&self) -> [&Axis; 6] {
        [
            &self.length,
            &self.aspect,
            &self.swing,
            &self.tilt,
            &self.scatter,
            &self.reach,
        ]
    }

    /// Returns everything that may be drawn beside the smooth field, nothing first, each with the logarithm
    /// of its prior.
    pub(super) fn drawings(&self) -> Vec<(Option<Drawn>, f64)> {
        let mut out = vec![(None, 0.0)];
        for likely in &self.shapes {
            let lengths = likely.shape.lengths();
            let shared = likely.ln_odds - ((lengths.len() * STRENGTHS.len()) as f64).ln();
            for &length in lengths {
                for strength in STRENGTHS {
                    let drawn = Drawn {
                        shape: likely.shape,
                        length,
                        strength,
                    };
                    out.push((Some(drawn), shared));
                }
            }
        }
        out
    }

    /// Returns the hyperparameters at grid point `levels` with `drawn` beside the smooth field.
    pub(super) fn hyper(&self, domain: &Domain, levels: Levels, drawn: Option<Drawn>) -> Hyper {
        let [l, a, s, t, n, r] = levels;
        Hyper {
            length: self.length.levels[l] * (domain.width * domain.depth).sqrt(),
            aspect: self.aspect.levels[a],
            swing: self.swing.levels[s],
            tilt: self.tilt.levels[t],
            scatter: self.scatter.levels[n],
            reach: self.reach.levels[r],
            drawn,
        }
    }

    /// Returns the logarithm of the prior at grid point `levels`, up to a constant.
    pub(super) fn ln_density(&self, levels: Levels) -> f64 {
        self.axes()
            .iter()
            .zip(levels)
            .map(|(axis, level)| axis.ln_density(level))
            .sum()
    }
}

impl Likely {
    /// Returns how likely `shape` is in an oven nothing is known of.
    pub fn beforehand(shape: Shape) -> Self {
        let ln_odds = match shape {
            Shape::Rings => LN_ODDS_RINGS,
            Shape::Lobe
            | Shape::RingsAndLobe
            | Shape::FanRings
            | Shape::Rim
            | Shape::OpenRim
            | Shape::Upright
            | Shape::Level
            | Shape::Crossed
            | Shape::Bowl => LN_ODDS,
        };
        Self { shape, ln_odds }
    }
}

/// A point of the grid: one level for each axis, in the order of [`Priors::axes`].
pub(super) type Levels = [usize; 6];
