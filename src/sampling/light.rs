//! How the light falls off over the picture, told by what is not bread.
//!
//! The same material seen at many places (counter, pan, parchment, planks, bars) should look the
//! same; what differs smoothly is the light. The logarithm of the luminance of everything that is
//! no slice is explained by a handful of materials, each of one brightness, and one quadratic light
//! over the whole frame: materials and light are fitted in turn, robustly, as in a mixture of
//! regressions. Where the ground has two hues, which no light changes, no material has both: brightness
//! alone takes the checks of a cloth for one another under a lamp close by.
//!
//! Prior: a lens darkens towards the rim by up to the fourth power of the cosine (textbook optics,
//! from memory), of which phones correct the larger part (common practice, no source).

use super::{
    locate::Cell,
    picture::{Levels, Picture, clip},
    planes::warmth,
};
use crate::{
    geometry::{Point, point::contains},
    numeric::{quantile::quantile, split::lower_group, whole},
};
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
/// Scatter between boards, natural logarithm, up to which a ground counts as one of a fine figure.
const BANDED: f64 = 0.08;
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
    /// ln(R / B) that parts the two hues of the ground, where it has two.
    pub(super) hues: Option<f64>,
    /// Whether a background told it; otherwise it is the prior alone.
    pub(super) seen: bool,
    /// Scatter between the boards of a ground, natural logarithm: as far as they lie across one way, they pass
    /// for a slant of the light.
    pub(super) banded: f64,
}

impl Light {
    /// Returns the natural logarithm of the light at a point of the picture.
    pub(super) fn at(&self, p: Point) -> f64 {
        self.features(p).dot(&self.terms)
    }

    /// Returns the scatter between boards of the ground beyond what any ground has, natural logarithm.
    pub(super) fn boards(&self) -> f64 {
        (self.banded.powi(2) - BANDED.powi(2)).max(0.0).sqrt()
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
            hues: None,
            seen: false,
            banded: 0.0,
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

    /// Returns which of the ground's hues a warmth, ln(R / B), belongs to: 0, or 1 for the warmer.
    pub(super) fn hue_of(&self, warmth: f64) -> usize {
        usize::from(self.hues.is_some_and(|parting| warmth > parting))
    }

    /// Fits the light of `picture` to what lies outside the slices and outside `other` polygons.
    pub(super) fn fit(picture: &Picture, cells: &[Cell], other: &[[Point; 4]]) -> Self {
        let factor = f64::sqrt((picture.width * picture.height) as f64 / 90_000.0);
        let factor = whole::floor(factor.round().max(1.0));
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
        let some = || free.iter().step_by((free.len() / PIXELS).max(1));
        let hue = |i: usize| f64::from(warmth(small.means[i]));
        light.hues = two_hues(&some().map(|&i| hue(i)).collect::<Vec<_>>());
        let looks: Vec<Look> = some()
            .map(|&i| Look {
                feature: light.features(up(i)),
                level: (f64::from(small.values[i].max(0.0)) + 5e-4).ln(),
                hue: light.hue_of(hue(i)),
            })
            .collect();
        let alike = |i: usize, j: usize| light.hue_of(hue(i)) == light.hue_of(hue(j));
        let pairs = pairs(&small, &taken, alike, |i| light.features(up(i)));
        let scatter = banded(&small, &taken, alike);
        let (terms, covariance) = regress(&looks, &pairs);
        light.terms = terms;
        light.covariance = covariance;
        light.seen = true;
        light.banded = scatter;
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

/// One pixel of the ground.
struct Look {
    feature: Terms,
    /// ln Y.
    level: f64,
    /// Which of the ground's hues it has.
    hue: usize,
}

/// Least share of the ground that a second hue must have.
const SECOND_HUE: f64 = 0.12;
/// How far apart two hues lie at least, ln(R / B), and against their scatter: far more than the dark and the light
/// boards of one wood, of which the dark ones are the warmer.
const HUES_APART: (f64, f64) = (0.5, 3.0);

/// Returns what parts the two hues of a ground: the split that explains most of the variance, where both
/// parts are large, even and far apart.
fn two_hues(warmths: &[f64]) -> Option<f64> {
    let mut sorted = warmths.to_vec();
    sorted.sort_by(f64::total_cmp);
    let (cool, warm) = sorted.split_at(lower_group(&sorted));
    let of = |part: &[f64], share: f64| crate::numeric::quantile::of_sorted(part, share);
    let scatter = |part: &[f64]| (of(part, 0.84) - of(part, 0.16)) / 2.0;
    let (a, b) = (of(cool, 0.5), of(warm, 0.5));
    let even = (b - a)
        > HUES_APART
            .0
            .max(HUES_APART.1 * scatter(cool).max(scatter(warm)));
    let large = cool.len().min(warm.len()) as f64 > SECOND_HUE * sorted.len() as f64;
    (even && large).then(|| f64::midpoint(a, b))
}

/// A material: its hue, and its ln Y in the light at the middle.
struct Material {
    hue: usize,
    level: f64,
}

/// Returns materials of each hue there is, spread over its levels.
fn materials(looks: &[Look]) -> Vec<Material> {
    let of_hue = |hue: usize| {
        let mut levels: Vec<f64> = looks
            .iter()
            .filter(|l| l.hue == hue)
            .map(|l| l.level)
            .collect();
        levels.sort_by(f64::total_cmp);
        levels
    };
    let hues: Vec<(usize, Vec<f64>)> = (0..2)
        .map(|hue| (hue, of_hue(hue)))
        .filter(|(_, levels)| !levels.is_empty())
        .collect();
    let each = MATERIALS / hues.len().max(1);
    let spread = |(hue, levels): &(usize, Vec<f64>)| -> Vec<Material> {
        (0..each)
            .map(|k| {
                let share = 0.04 + 0.92 * k as f64 / (each - 1) as f64;
                let level = crate::numeric::quantile::of_sorted(levels, share);
                Material { hue: *hue, level }
            })
            .collect()
    };
    hues.iter().flat_map(spread).collect()
}

/// Explains looks by materials of one hue and one brightness each and one light over all.
fn regress(looks: &[Look], pairs: &[(Terms, f64)]) -> (Terms, SMatrix<f64, TERMS, TERMS>) {
    let mut materials = materials(looks);
    let precision = Terms::from(PRIOR_SD.map(|s| 1.0 / (s * s)));
    let prior = SMatrix::<f64, TERMS, TERMS>::from_diagonal(&precision);
    let pull = precision.component_mul(&Terms::from(PRIOR_MEAN));
    let worth = LOOKS / looks.len() as f64 / (SCATTER * SCATTER);
    let pair_worth = PAIR_LOOKS / pairs.len().max(1) as f64 / (STEP * STEP);
    let mut terms = Terms::zeros();
    let mut information = prior;
    for _ in 0..ROUNDS {
        let mut sums = vec![Sums::default(); materials.len()];
        for look in looks {
            let rest = look.level - look.feature.dot(&terms);
            let (mut k, mut off) = (0, f64::MAX);
            let own = materials.iter().enumerate().filter(|m| m.1.hue == look.hue);
            for (i, m) in own {
                let d = (rest - m.level).abs();
                if d < off {
                    (k, off) = (i, d);
                }
            }
            let weight = 1.0 / (1.0 + (off / SCATTER).powi(2));
            sums[k].add(&look.feature, look.level, weight);
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
                m.level = (s.v - s.f.dot(&terms)) / s.weight;
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

/// Returns pairs of background pixels of one hue some way apart: the difference of their features and of ln Y.
fn pairs(
    small: &Levels,
    taken: &[bool],
    alike: impl Fn(usize, usize) -> bool,
    feature: impl Fn(usize) -> Terms,
) -> Vec<(Terms, f64)> {
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
                let free = |j: &usize| !taken[*j] && alike(i, *j);
                for j in across.into_iter().chain(down).filter(free) {
                    found.push((feature(j) - feature(i), level(j) - level(i)));
                }
            }
        }
    }
    found
}

/// Returns the scatter between boards: by how much more the ground differs a seventh of the picture down than
/// across, or across than down. Grounds of a fine figure differ alike both ways.
fn banded(small: &Levels, taken: &[bool], alike: impl Fn(usize, usize) -> bool) -> f64 {
    let (w, h) = (small.width, small.height);
    let level = |i: usize| (f64::from(small.values[i].max(0.0)) + 5e-4).ln();
    let lag = w.max(h) / 7;
    let [across, down] = [(lag, 0), (0, lag)].map(|(dx, dy)| {
        let places = (0..h.saturating_sub(dy)).step_by(PAIR_GRID).flat_map(|y| {
            (0..w.saturating_sub(dx))
                .step_by(PAIR_GRID)
                .map(move |x| y * w + x)
        });
        let both = places.map(|i| (i, i + dy * w + dx));
        let steps: Vec<f64> = both
            .filter(|(i, j)| !taken[*i] && !taken[*j] && alike(*i, *j))
            .map(|(i, j)| level(j) - level(i))
            .collect();
        // two fifths of a normal spread lie within 1.05 of its standard deviation
        (quantile(&steps, 0.7) - quantile(&steps, 0.3)) / 1.05
    });
    ((across * across - down * down).abs() / 2.0).sqrt()
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

#[cfg(test)]
mod tests {
    use super::two_hues;

    #[test]
    fn a_cloth_has_two_hues_and_boards_of_one_wood_have_one() {
        let ground = |hues: [f64; 2]| -> Vec<f64> {
            (0..300)
                .map(|i| hues[usize::from(i % 3 == 0)] + 0.02 * f64::from(i % 7 - 3))
                .collect()
        };
        let parting = two_hues(&ground([0.0, -1.0])).unwrap();
        assert!((-0.9..-0.1).contains(&parting), "{parting}");
        assert_eq!(two_hues(&ground([0.6, 0.85])), None);
        // a card is too small to be a ground of its own
        let mut few = vec![0.6; 300];
        few.extend([0.0; 20]);
        assert_eq!(two_hues(&few), None);
    }
}
