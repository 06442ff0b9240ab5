//! Which pixels of a slice are crumb, and what they look like.
//!
//! The mean of L* over the crumb is wanted, so every pixel is turned to L* by itself: the L* of a mean
//! pixel is higher by about half a unit on a speckled slice.

use super::{
    outline::Outline,
    picture::{Picture, luminance},
    planes::warmth,
};
use crate::geometry::Point;

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
    /// Share of the crumb's pixels left out as glare or holes.
    pub(super) left_out: f64,
    /// Whether a part in hard shadow was left out.
    pub(super) shadow: bool,
    /// Mean of the positions kept.
    pub(super) centre: Point,
}

/// Least step of ln Y at the edge of a hard shadow.
const SHADOW_STEP: f32 = 0.4;
/// Least share of the crumb on either side of it.
const SHADOW_SHARE: f32 = 0.15;
/// Greatest change of warmth across it, as a share of the step: browning makes crumb warmer as it
/// darkens, a shadow leaves its hue.
const SHADOW_HUE: f32 = 0.2;

/// Returns the ln Y below which crumb lies in a hard shadow, if a shadow's edge crosses the slice.
///
/// The split that explains most of the variance (Otsu 1979; from memory) is a shadow when both parts
/// are even, large, far apart and of one hue.
fn shadow_edge(found: &[([f32; 3], Point)]) -> Option<f32> {
    let mut tones: Vec<(f32, f32)> = found
        .iter()
        .map(|(p, _)| (luminance(*p).max(1e-5).ln(), warmth(*p)))
        .collect();
    tones.sort_by(|a, b| a.0.total_cmp(&b.0));
    let n = tones.len() as f32;
    let total: f32 = tones.iter().map(|t| t.0).sum();
    let mut low = 0.0;
    let mut best = (0.0, 0);
    for (i, t) in tones.iter().enumerate().take(tones.len() - 1) {
        low += t.0;
        let k = (i + 1) as f32;
        let step = (total - low) / (n - k) - low / k;
        let between = k * (n - k) * step * step;
        if between > best.0 {
            best = (between, i + 1);
        }
    }
    let (dark, light) = tones.split_at(best.1);
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
    let share = (dark.len().min(light.len()) as f32) / n;
    (step > SHADOW_STEP && share > SHADOW_SHARE && even && hue < SHADOW_HUE * step)
        .then(|| f32::midpoint(below, above))
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
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "inside the picture"
                )]
                found.push((picture.at(p.x as usize, p.y as usize), p));
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
    let before = found.len();
    let shadow = shadow_edge(&found);
    if let Some(edge) = shadow {
        found.retain(|(p, _)| level(*p) > edge);
    }
    let n = found.len() as f64;
    Ok(Crumb {
        shadow: shadow.is_some(),
        clipped,
        left_out: 1.0 - before as f64 / all,
        centre: Point::new(
            found.iter().map(|f| f.1.x).sum::<f64>() / n,
            found.iter().map(|f| f.1.y).sum::<f64>() / n,
        ),
        pixels: found.into_iter().map(|f| f.0).collect(),
    })
}
