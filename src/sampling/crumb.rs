//! Which pixels of a slice are crumb, and what they look like.
//!
//! The mean of L* over the crumb is wanted, so every pixel is turned to L* by itself: the L* of a mean
//! pixel is higher by about half a unit on a speckled slice.

use super::{
    outline::Outline,
    picture::{Picture, luminance},
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
}

impl Unreadable {
    /// Returns the plain words, with what to do.
    pub fn words(self) -> &'static str {
        match self {
            Self::TooSmall => "too small in the picture to be read; go closer",
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
    /// Mean of the positions kept.
    pub(super) centre: Point,
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
    let n = found.len() as f64;
    Ok(Crumb {
        clipped,
        left_out: 1.0 - n / all,
        centre: Point::new(
            found.iter().map(|f| f.1.x).sum::<f64>() / n,
            found.iter().map(|f| f.1.y).sum::<f64>() / n,
        ),
        pixels: found.into_iter().map(|f| f.0).collect(),
    })
}
