//! Whether a picture can be read at all: bright enough, not blown out, sharp.

use super::picture::{Picture, clip, luminance};
use crate::{geometry::Point, numeric::whole};

/// Longest lag of the sharpness measure, pixels.
const LAG: usize = 4;
/// Longer side of the picture that sharpness is measured in, pixels: small enough that the sensor's
/// noise averages out, which would pass for sharpness.
const SIZE: f64 = 520.0;

/// How well a picture can be read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quality {
    /// Sharpness in the least sharp direction: 1 for edges one pixel wide, towards 0 when smeared.
    pub sharpness: f64,
    /// Mean luminance of the crumb, share of full brightness.
    pub brightness: f64,
    /// Share of the crumb that is blown out.
    pub clipped: f64,
}

/// Measures how sharp the picture is between two corners of an upright box.
///
/// For each of four directions: the mean squared difference of ln Y over one pixel, times the lag,
/// over that across `LAG` pixels. Steps keep it near 1, ramps as wide as the lag bring it to 1 / lag.
pub(super) fn sharpness(picture: &Picture, low: Point, high: Point) -> f64 {
    let longer = picture.width.max(picture.height) as f64;
    let factor = whole::floor((longer / SIZE).round().max(1.0));
    let picture = &picture.reduced(factor);
    let (low, high) = (
        low.scaled(1.0 / factor as f64),
        high.scaled(1.0 / factor as f64),
    );
    let (x0, x1) = (clip(low.x, picture.width), clip(high.x, picture.width));
    let (y0, y1) = (clip(low.y, picture.height), clip(high.y, picture.height));
    if x1 < x0 + 4 * LAG || y1 < y0 + 4 * LAG {
        return 0.0;
    }
    let (w, h) = (x1 - x0, y1 - y0);
    let level: Vec<f32> = (0..w * h)
        .map(|i| {
            let p = picture.at(x0 + i % w, y0 + i / w);
            (luminance(p).max(0.0) + 0.01).ln()
        })
        .collect();
    let energy = |dx: isize, dy: usize, lag: usize| {
        let mut sum = 0.0_f64;
        let mut n = 0.0_f64;
        for y in LAG..h - LAG {
            for x in LAG..w - LAG {
                let to = (y + lag * dy) * w + x;
                let to = if dx < 0 {
                    to - lag
                } else {
                    to + lag * dx.unsigned_abs()
                };
                let d = f64::from(level[y * w + x] - level[to]);
                // a cap keeps a few bright bars from speaking for all
                sum += (d * d).min(0.25);
                n += 1.0;
            }
        }
        sum / n
    };
    [(1, 0), (0, 1), (1, 1), (-1, 1)]
        .into_iter()
        .map(|(dx, dy)| {
            let far = energy(dx, dy, LAG);
            energy(dx, dy, 1) * LAG as f64 / far.max(1e-9)
        })
        .fold(f64::MAX, f64::min)
}
