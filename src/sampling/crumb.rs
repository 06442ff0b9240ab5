//! Which pixels of a slice are crumb, and what they look like.
//!
//! The mean of L* over the crumb is wanted, so every pixel is turned to L* by itself: the L* of a mean
//! pixel is higher by about half a unit on a speckled slice.

use super::{
    outline::Outline,
    picture::{Picture, luminance},
    planes::warmth,
};
use crate::{
    geometry::Point,
    numeric::{split::lower_group, whole},
};
use std::collections::BTreeMap;

/// How far inside the outline crumb begins, in sides of a slice: crust, its round edge and blur lie
/// farther out.
const CRUST: f64 = 0.065;
/// How much farther inside on the side towards the camera, where the crust below is seen as well.
const WALL: f64 = 0.03;
/// Most pixels looked at in a slice.
const MOST: f64 = 2500.0;
/// A channel from here up holds no more than "at least"; a share of full brightness.
pub(super) const CLIPPED: f32 = 0.97;
/// Deviation from the median, in robust standard deviations of ln Y, from which a pixel is no crumb
/// but glare or a hole.
const OUTLIER: f32 = 4.0;
/// Fewest pixels a slice can be read from.
const FEWEST: usize = 40;

/// Share of blown-out pixels above which the rest no longer speaks for the slice.
const MOST_CLIPPED: f64 = 0.25;

/// Why a slice that is there is left without a score.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unreadable {
    /// Fewer than 40 pixels of crumb.
    TooSmall,
    /// More than a quarter of the crumb is blown out to white.
    BlownOut,
    /// Glare lies on it.
    Glare,
    /// The edge of a shadow lies on it.
    Shadow,
    /// A slice or a gap: it stands out too little from what it lies on.
    Faint,
}

impl Unreadable {
    /// Returns the plain words, with what to do.
    pub fn words(self) -> &'static str {
        match self {
            Self::TooSmall => "too small in the picture to be read; go closer",
            Self::Faint => {
                "too like what it lies on to tell whether a slice is there; lay the bread on foil, parchment or a dark tray"
            }
            Self::Glare => "glare lies on it; take it from another side or with the lamp off",
            Self::Shadow => "a shadow lies on it; step aside or take it in even light",
            Self::BlownOut => "glare or too much light on it; take it from another side",
        }
    }
}

/// The crumb of one slice.
#[derive(Debug, Clone)]
pub(super) struct Crumb {
    /// Linear colours of the pixels kept, as the camera stored them.
    pub(super) pixels: Vec<[f32; 3]>,
    /// Share of the crumb's pixels that are blown out.
    pub(super) clipped: f64,
    /// Mean of the positions kept.
    pub(super) centre: Point,
    /// Small squares of it, each a mean of many pixels.
    pub(super) blocks: Vec<Block>,
    /// Where its darker and its lighter part lie, and the step of ln Y between them, where it falls into two.
    pub(super) split: Option<Split>,
}

impl Crumb {
    /// Returns how much darker it is on the side that lies `way`, natural logarithm.
    pub(super) fn drop_towards(&self, way: (f64, f64)) -> f64 {
        let along =
            |b: &&Block| (b.at.x - self.centre.x) * way.0 + (b.at.y - self.centre.y) * way.1;
        let mean = |sign: f64| {
            let part: Vec<f64> = self
                .blocks
                .iter()
                .filter(|b| sign * along(b) > 0.0)
                .map(|b| b.level)
                .collect();
            part.iter().sum::<f64>() / part.len().max(1) as f64
        };
        mean(-1.0) - mean(1.0)
    }
}

/// A small square of crumb.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Block {
    /// Its middle, pixels of the picture.
    pub(super) at: Point,
    /// ln Y, as the camera stored it.
    pub(super) level: f64,
    /// ln(B / R): how cool it is.
    pub(super) cool: f64,
}

/// A slice in two parts, one much darker than the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Split {
    /// Middle of the darker part.
    pub(super) dark: Point,
    /// Middle of the lighter part.
    pub(super) light: Point,
    /// By how much it is lighter, natural logarithm.
    pub(super) step: f64,
    /// ln Y halfway.
    pub(super) edge: f32,
    /// Whether both have one hue, as in a shadow; crumb that browns changes it.
    pub(super) one_hue: bool,
}

/// Squares along a side of a slice.
const BLOCKS: f64 = 6.0;

/// Gathers pixels into squares a sixth of a slice wide; those of few pixels are left out.
fn blocks(found: &[([f32; 3], Point)], side: f64) -> Vec<Block> {
    let mut sums = BTreeMap::<(i64, i64), ([f64; 3], Point, f64)>::new();
    let size = side / BLOCKS;
    let index = |v: f64| {
        #[expect(clippy::cast_possible_truncation, reason = "a count of squares")]
        let i = (v / size).floor() as i64;
        i
    };
    for (pixel, p) in found {
        let sum =
            sums.entry((index(p.x), index(p.y)))
                .or_insert(([0.0; 3], Point::new(0.0, 0.0), 0.0));
        for (s, v) in sum.0.iter_mut().zip(pixel) {
            *s += f64::from(*v);
        }
        sum.1 = Point::new(sum.1.x + p.x, sum.1.y + p.y);
        sum.2 += 1.0;
    }
    let most = sums.values().map(|s| s.2).fold(0.0, f64::max);
    sums.into_values()
        .filter(|s| s.2 >= 0.4 * most)
        .map(|(rgb, at, n)| {
            let mean = rgb.map(|v| v / n);
            Block {
                at: at.scaled(1.0 / n),
                level: (super::patch::luminance64(mean) + 1e-3).ln(),
                cool: ((mean[2].max(0.0) + 1e-3) / (mean[0].max(0.0) + 1e-3)).ln(),
            }
        })
        .collect()
}

/// Least step of ln Y at the edge of a hard shadow.
const SHADOW_STEP: f32 = 0.4;
/// Least share of the crumb on either side of it.
const SHADOW_SHARE: f32 = 0.15;
/// Greatest change of warmth across it, as a share of the step: browning makes crumb warmer as it
/// darkens, a shadow leaves its hue.
const SHADOW_HUE: f32 = 0.2;

/// Parts a slice that falls into a darker and a lighter half: by the edge of a shadow, or burnt on one side.
///
/// The split that explains most of the variance counts when both parts are even, large and far apart.
fn halves(found: &[([f32; 3], Point)]) -> Option<Split> {
    let mut tones: Vec<(f32, f32)> = found
        .iter()
        .map(|(p, _)| (luminance(*p).max(1e-5).ln(), warmth(*p)))
        .collect();
    tones.sort_by(|a, b| a.0.total_cmp(&b.0));
    let levels: Vec<f64> = tones.iter().map(|t| f64::from(t.0)).collect();
    let (dark, light) = tones.split_at(lower_group(&levels));
    let mean = |part: &[(f32, f32)], of: fn(&(f32, f32)) -> f32| {
        part.iter().map(of).sum::<f32>() / part.len().max(1) as f32
    };
    let spread = |part: &[(f32, f32)], middle: f32| {
        (part.iter().map(|t| (t.0 - middle).powi(2)).sum::<f32>() / part.len().max(1) as f32).sqrt()
    };
    let (below, above) = (mean(dark, |t| t.0), mean(light, |t| t.0));
    let step = above - below;
    let hue = (mean(dark, |t| t.1) - mean(light, |t| t.1)).abs();
    let even = spread(dark, below).max(spread(light, above)) < step / 3.0;
    let share = (dark.len().min(light.len()) as f32) / tones.len() as f32;
    (step > SHADOW_STEP && share > SHADOW_SHARE && even).then(|| {
        let edge = f32::midpoint(below, above);
        let middle = |of: &dyn Fn(f32) -> bool| {
            let part = found
                .iter()
                .filter(|(p, _)| of(luminance(*p).max(1e-5).ln()));
            let (mut sum, mut n) = (Point::new(0.0, 0.0), 0.0);
            for (_, p) in part {
                sum = Point::new(sum.x + p.x, sum.y + p.y);
                n += 1.0;
            }
            sum.scaled(1.0 / f64::max(n, 1.0))
        };
        Split {
            dark: middle(&|l| l <= edge),
            light: middle(&|l| l > edge),
            step: f64::from(step),
            edge,
            one_hue: hue < SHADOW_HUE * step,
        }
    })
}

/// Picks the crumb of a slice; `usual` is the side most slices of the picture have.
///
/// # Errors
/// Why the slice cannot be read: too small in the picture, or blown out.
pub(super) fn crumb(picture: &Picture, outline: &Outline, usual: f64) -> Result<Crumb, Unreadable> {
    // an outline larger than its neighbours' holds a shadow or the wall below
    let surplus = (outline.side - 1.03 * usual).max(0.0);
    let least = CRUST * usual + surplus / 2.0;
    let wall = WALL * usual + surplus / 2.0;
    let (low, high) = outline.bounds();
    let stride = (outline.side / MOST.sqrt()).max(1.0);
    let mut found: Vec<([f32; 3], Point)> = Vec::new();
    let mut y = low.y.max(0.0).ceil();
    while y <= high.y && y < picture.height as f64 {
        let mut x = low.x.max(0.0).ceil();
        while x <= high.x && x < picture.width as f64 {
            let p = Point::new(x.floor(), y.floor());
            let inside = outline.depth_at(p) >= least
                && outline.depth_at(Point::new(p.x, p.y + wall)) >= least;
            if inside {
                found.push((picture.at(whole::floor(p.x), whole::floor(p.y)), p));
            }
            x += stride;
        }
        y += stride;
    }
    if found.len() < FEWEST {
        return Err(Unreadable::TooSmall);
    }
    let all = found.len() as f64;
    let blown = |p: &[f32; 3]| p.iter().any(|&v| v >= CLIPPED);
    let clipped = found.iter().filter(|(p, _)| blown(p)).count() as f64 / all;
    let level = |p: [f32; 3]| luminance(p).max(1e-5).ln();
    let mut levels: Vec<f32> = found.iter().map(|f| level(f.0)).collect();
    levels.sort_by(f32::total_cmp);
    let at = |share: usize| levels[(levels.len() - 1) * share / 100];
    let middle = at(50);
    // from the 16 % and 84 % quantiles, so that a speckled slice keeps its specks
    let sd = ((at(84) - at(16)) / 2.0).max(0.02);
    found.retain(|(p, _)| !blown(p) && ((level(*p) - middle) / sd).abs() <= OUTLIER);
    if clipped > MOST_CLIPPED || found.len() < FEWEST {
        return Err(Unreadable::BlownOut);
    }
    let split = halves(&found);
    let n = found.len() as f64;
    Ok(Crumb {
        blocks: blocks(&found, outline.side),
        split,
        clipped,
        centre: Point::new(
            found.iter().map(|f| f.1.x).sum::<f64>() / n,
            found.iter().map(|f| f.1.y).sum::<f64>() / n,
        ),
        pixels: found.into_iter().map(|f| f.0).collect(),
    })
}
