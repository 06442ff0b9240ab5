//! How the light falls off over the picture, told by what is not bread.
//!
//! The same material seen at many places (counter, pan, parchment, planks, bars) should look the
//! same; what differs smoothly is the light. The logarithm of the luminance of everything that is
//! no slice is explained by a handful of materials, each of one brightness, and one quadratic light
//! over the whole frame: materials and light are fitted in turn, robustly, as in a mixture of
//! regressions.
//!
//! Prior: a lens darkens towards the rim by up to the fourth power of the cosine (textbook optics,
//! from memory), of which phones correct the larger part (common practice, no source).

use super::{
    locate::Cell,
    picture::{Levels, Picture, clip},
};
use crate::geometry::{Point, point::contains};
use nalgebra::{SMatrix, SVector};

/// Terms of the light: across, down, distance squared, and two further quadratic ones.
const TERMS: usize = 5;
/// Materials looked for.
const MATERIALS: usize = 8;
/// Pixels looked at, about.
const PIXELS: usize = 9000;
/// Most rounds of materials and light in turn.
const ROUNDS: usize = 25;
/// Change of every term (natural logarithm) in a round below which the light has settled: a
/// thousandth of what its interval tells.
const SETTLED: f64 = 1e-4;
/// Scatter (natural logarithm) beyond which a pixel counts little.
const SCATTER: f64 = 0.12;
/// Independent looks that a whole background is worth: texture and shadows hang together, so far
/// fewer than pixels. Set so that intervals on rendered scenes of known light hold.
const LOOKS: f64 = 150.0;
/// The same for the pairs.
const PAIR_LOOKS: f64 = 1200.0;
/// What the variance of the light is widened by: the materials are not as even, nor the light as
/// smooth, as the model says. Set so that 90 % intervals of slices in rendered scenes hold.
const CAUTION: f64 = 7.0;
/// Prior mean of each term, natural logarithm at half the longer side from the middle.
const PRIOR_MEAN: [f64; TERMS] = [0.0, 0.0, -0.2, 0.0, 0.0];
/// Prior standard deviation of each term.
const PRIOR_SD: [f64; TERMS] = [0.3, 0.3, 0.08, 0.04, 0.04];
/// Fewest background pixels a correction can rest on.
const FEWEST: usize = 400;

type Terms = SVector<f64, TERMS>;

/// The light over a picture, relative to its middle.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Light {
    terms: Terms,
    covariance: SMatrix<f64, TERMS, TERMS>,
    middle: Point,
    half: f64,
    /// Whether a background told it; otherwise it is the prior alone.
    pub(super) seen: bool,
}

impl Light {
    /// Returns the natural logarithm of the light at a point of the picture.
    pub(super) fn at(&self, p: Point) -> f64 {
        self.features(p).dot(&self.terms)
    }

    /// Returns an even light, for patches on a ground that nothing is known of.
    pub(super) fn even(picture: &Picture) -> Self {
        Self {
            terms: Terms::zeros(),
            ..Self::prior(picture)
        }
    }

    /// Returns what is believed of the light before anything is seen.
    fn prior(picture: &Picture) -> Self {
        Self {
            terms: Terms::from(PRIOR_MEAN),
            covariance: SMatrix::from_diagonal(&Terms::from(PRIOR_SD.map(|s| s * s))),
            middle: Point::new(
                (picture.width as f64 - 1.0) / 2.0,
                (picture.height as f64 - 1.0) / 2.0,
            ),
            half: picture.width.max(picture.height) as f64 / 2.0,
            seen: false,
        }
    }

    /// Returns the standard error of the light at `p` relative to that at `q`, natural logarithm.
    pub(super) fn sd_between(&self, p: Point, q: Point) -> f64 {
        let d = self.features(p) - self.features(q);
        (d.transpose() * self.covariance * d)[0].max(0.0).sqrt()
    }

    /// Returns the same where a second photo, turned end for end, has cancelled every light that
    /// rises from one side to the other: what is left is what rises from the middle to the rim.
    pub(super) fn sd_even(&self, p: Point, q: Point) -> f64 {
        let mut d = self.features(p) - self.features(q);
        d[0] = 0.0;
        d[1] = 0.0;
        (d.transpose() * self.covariance * d)[0].max(0.0).sqrt()
    }

    fn features(&self, p: Point) -> Terms {
        let (x, y) = (
            (p.x - self.middle.x) / self.half,
            (p.y - self.middle.y) / self.half,
        );
        Terms::from([x, y, x * x + y * y, x * x - y * y, x * y])
    }

    /// Fits the light of `picture` to what lies outside the slices and outside `other` polygons.
    pub(super) fn fit(picture: &Picture, cells: &[Cell], other: &[[Point; 4]]) -> Self {
        let factor = f64::sqrt((picture.width * picture.height) as f64 / 90_000.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a small positive ratio"
        )]
        let factor = factor.round().max(1.0) as usize;
        let small = picture.median_levels(factor);
        let step = factor as f64;
        let up = |i: usize| {
            Point::new(
                ((i % small.width) as f64 + 0.5) * step - 0.5,
                ((i / small.width) as f64 + 0.5) * step - 0.5,
            )
        };
        let mut light = Self::prior(picture);
        let taken = occupied(&small, cells, other, up);
        let free: Vec<usize> = (0..taken.len()).filter(|&i| !taken[i]).collect();
        if free.len() < FEWEST {
            return light;
        }
        let (features, values): (Vec<Terms>, Vec<f64>) = free
            .iter()
            .step_by((free.len() / PIXELS).max(1))
            .map(|&i| {
                let y = f64::from(small.values[i].max(0.0)) + 5e-4;
                (light.features(up(i)), y.ln())
            })
            .unzip();
        let pairs = pairs(&small, &taken, |i| light.features(up(i)));
        let (terms, covariance) = regress(&features, &values, &pairs);
        light.terms = terms;
        light.covariance = covariance;
        light.seen = true;
        light
    }
}

/// Marks the pixels on or close to a slice or another thing that is no background.
fn occupied(
    small: &Levels,
    cells: &[Cell],
    other: &[[Point; 4]],
    up: impl Fn(usize) -> Point,
) -> Vec<bool> {
    let outlines: Vec<_> = cells.iter().filter_map(|c| c.outline.as_ref()).collect();
    let (first, step) = (up(0), up(1).x - up(0).x);
    let mut taken = vec![false; small.width * small.height];
    for outline in &outlines {
        let (low, high) = outline.bounds();
        for y in within(low.y - first.y, high.y - first.y, step, small.height) {
            for x in within(low.x - first.x, high.x - first.x, step, small.width) {
                let i = y * small.width + x;
                taken[i] = taken[i] || outline.holds(up(i));
            }
        }
    }
    for (i, t) in taken.iter_mut().enumerate() {
        *t = *t || other.iter().any(|polygon| contains(polygon, up(i)));
    }
    // side walls and contact shadows: an eighth of a slice around each
    let side = outlines.iter().map(|o| o.side).sum::<f64>() / outlines.len().max(1) as f64;
    let reach = side / 8.0 / step;
    let mut grown = 0.5;
    while grown < reach {
        let before = taken.clone();
        for y in 1..small.height.saturating_sub(1) {
            for x in 1..small.width.saturating_sub(1) {
                let i = y * small.width + x;
                taken[i] = before[i]
                    || before[i - 1]
                    || before[i + 1]
                    || before[i - small.width]
                    || before[i + small.width];
            }
        }
        grown += 1.0;
    }
    taken
}

/// Returns the numbers of the pixels, `step` apart and the first at 0, from `low` to `high`.
fn within(low: f64, high: f64, step: f64, count: usize) -> std::ops::Range<usize> {
    clip((low / step).floor(), count)..clip((high / step).ceil() + 1.0, count)
}

/// Explains values by materials of one brightness each and one light over all.
fn regress(
    features: &[Terms],
    values: &[f64],
    pairs: &[(Terms, f64)],
) -> (Terms, SMatrix<f64, TERMS, TERMS>) {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let mut materials: Vec<f64> = (0..MATERIALS)
        .map(|k| {
            let share = 0.04 + 0.92 * k as f64 / (MATERIALS - 1) as f64;
            crate::numeric::quantile::of_sorted(&sorted, share)
        })
        .collect();
    let precision = Terms::from(PRIOR_SD.map(|s| 1.0 / (s * s)));
    let prior = SMatrix::<f64, TERMS, TERMS>::from_diagonal(&precision);
    let pull = precision.component_mul(&Terms::from(PRIOR_MEAN));
    let worth = LOOKS / values.len() as f64 / (SCATTER * SCATTER);
    let pair_worth = PAIR_LOOKS / pairs.len().max(1) as f64 / (STEP * STEP);
    let mut terms = Terms::zeros();
    let mut information = prior;
    for _ in 0..ROUNDS {
        let mut sums = vec![Sums::default(); MATERIALS];
        for (f, v) in features.iter().zip(values) {
            let rest = v - f.dot(&terms);
            let (mut k, mut off) = (0, f64::MAX);
            for (i, m) in materials.iter().enumerate() {
                let d = (rest - m).abs();
                if d < off {
                    (k, off) = (i, d);
                }
            }
            let weight = 1.0 / (1.0 + (off / SCATTER).powi(2));
            sums[k].add(f, *v, weight);
        }
        let mut right = pull;
        information = prior;
        for (g, d) in pairs {
            let off = d - g.dot(&terms);
            let weight = pair_worth / (1.0 + (off / STEP).powi(2)).powi(2);
            add_square(&mut information, g, weight);
            right += g * (*d * weight);
        }
        for s in sums.iter().filter(|s| s.weight > 0.0) {
            information += (s.ff - s.f * s.f.transpose() / s.weight) * worth;
            right += (s.fv - s.f * (s.v / s.weight)) * worth;
        }
        let before = terms;
        information.fill_upper_triangle_with_lower_triangle();
        if let Some(factor) = information.cholesky() {
            terms = factor.solve(&right);
        }
        for (m, s) in materials.iter_mut().zip(&sums) {
            if s.weight > 0.0 {
                *m = (s.v - s.f.dot(&terms)) / s.weight;
            }
        }
        if (terms - before).amax() < SETTLED {
            break;
        }
    }
    let covariance = information
        .cholesky()
        .map_or(SMatrix::zeros(), |c| c.inverse() * CAUTION);
    (terms, covariance)
}

/// Pixels of the small picture from one pair to the next.
const PAIR_GRID: usize = 4;
/// Adds `weight` times the square of `f` to the lower triangle of `sum`.
fn add_square(sum: &mut SMatrix<f64, TERMS, TERMS>, f: &Terms, weight: f64) {
    for col in 0..TERMS {
        let scaled = weight * f[col];
        for row in col..TERMS {
            sum[(row, col)] += scaled * f[row];
        }
    }
}

/// Scatter of a difference between two places of one material.
const STEP: f64 = 0.06;

/// Returns pairs of background pixels some way apart: the difference of their features and of ln Y.
fn pairs(small: &Levels, taken: &[bool], feature: impl Fn(usize) -> Terms) -> Vec<(Terms, f64)> {
    let (w, h) = (small.width, small.height);
    let level = |i: usize| (f64::from(small.values[i].max(0.0)) + 5e-4).ln();
    let mut found = Vec::new();
    for lag in [w.max(h) / 40, w.max(h) / 16, w.max(h) / 7] {
        for y in (0..h).step_by(PAIR_GRID) {
            for x in (0..w).step_by(PAIR_GRID) {
                let i = y * w + x;
                if taken[i] {
                    continue;
                }
                let across = (x + lag < w).then_some(i + lag);
                let down = (y + lag < h).then_some(i + lag * w);
                for j in across.into_iter().chain(down).filter(|&j| !taken[j]) {
                    found.push((feature(j) - feature(i), level(j) - level(i)));
                }
            }
        }
    }
    found
}

/// Weighted sums over the pixels of one material.
#[derive(Debug, Clone, Default)]
struct Sums {
    weight: f64,
    v: f64,
    f: Terms,
    fv: Terms,
    /// The lower triangle counts.
    ff: SMatrix<f64, TERMS, TERMS>,
}

impl Sums {
    fn add(&mut self, f: &Terms, v: f64, weight: f64) {
        self.weight += weight;
        self.v += weight * v;
        self.f += f * weight;
        self.fv += f * (weight * v);
        add_square(&mut self.ff, f, weight);
    }
}
