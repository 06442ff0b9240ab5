//! The picture that scores are read from: linear light, made smaller than the photo it came from.

use crate::{geometry::Point, numeric::whole};

/// Weights of linear red, green and blue in the luminance Y of sRGB (IEC 61966-2-1).
const LUMINANCE: [f32; 3] = [0.2126, 0.7152, 0.0722];

/// A picture in linear sRGB primaries (D65), upright, row by row from the top left.
///
/// A value of 1 is the brightest the camera stored; colours outside sRGB may lie below 0 or above 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Linear red, green, blue of each pixel; `width * height` of them.
    pub pixels: Vec<[f32; 3]>,
    /// Pixels of the upright photo for one pixel of this picture, along a side; at least 1.
    pub scale: f64,
}

/// Luminance and colour of a smaller picture, row by row from the top left.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Levels {
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) values: Vec<f32>,
    /// Mean linear colour of each square.
    pub(super) means: Vec<[f32; 3]>,
}

impl Picture {
    /// Returns the pixel at column `x` and row `y`; both must lie inside.
    pub fn at(&self, x: usize, y: usize) -> [f32; 3] {
        self.pixels[y * self.width + x]
    }

    /// Returns the picture averaged over squares of `factor` pixels; an incomplete last row or
    /// column is left out.
    #[must_use]
    pub(super) fn reduced(&self, factor: usize) -> Self {
        let factor = factor.max(1);
        let (width, height) = ((self.width / factor).max(1), (self.height / factor).max(1));
        let share = 1.0 / (factor * factor) as f32;
        let mut pixels = vec![[0.0_f32; 3]; width * height];
        for y in 0..(height * factor).min(self.height) {
            let line = &self.pixels[y * self.width..(y + 1) * self.width];
            let out = &mut pixels[(y / factor) * width..(y / factor + 1) * width];
            for (sum, block) in out.iter_mut().zip(line.chunks(factor)) {
                for pixel in block {
                    for (s, v) in sum.iter_mut().zip(pixel) {
                        *s += v;
                    }
                }
            }
        }
        for sum in &mut pixels {
            *sum = sum.map(|s| s * share);
        }
        Self {
            width,
            height,
            pixels,
            scale: self.scale * factor as f64,
        }
    }

    /// Returns the middling luminance of every square of `factor` pixels; an incomplete last row or
    /// column is left out. Thin things keep their brightness, and noise is evened out.
    pub(super) fn median_levels(&self, factor: usize) -> Levels {
        let factor = factor.clamp(1, self.width.min(self.height).max(1));
        let (width, height) = (self.width / factor, self.height / factor);
        let mut square = vec![0.0_f32; factor * factor];
        let share = 1.0 / square.len() as f32;
        let mut values = Vec::with_capacity(width * height);
        let mut means = Vec::with_capacity(width * height);
        for y in 0..height {
            for x in 0..width {
                let mut sum = [0.0_f32; 3];
                for (row, out) in square.chunks_exact_mut(factor).enumerate() {
                    let first = (y * factor + row) * self.width + x * factor;
                    let line = &self.pixels[first..first + factor];
                    for (level, &pixel) in out.iter_mut().zip(line) {
                        *level = luminance(pixel);
                        for (s, v) in sum.iter_mut().zip(pixel) {
                            *s += v;
                        }
                    }
                }
                means.push(sum.map(|s| s * share));
                let middle = square.len() / 2;
                values.push(*square.select_nth_unstable_by(middle, f32::total_cmp).1);
            }
        }
        Levels {
            width,
            height,
            values,
            means,
        }
    }

    /// Returns width and height of the upright photo, pixels.
    pub(super) fn photo_size(&self) -> (usize, usize) {
        let full = |n: usize| whole::floor((n as f64 * self.scale).round());
        (full(self.width), full(self.height))
    }

    /// Returns where a point given in pixels of the photo lies in this picture.
    ///
    /// Pixel centres of the photo have whole coordinates, and so do those of the picture.
    pub fn from_photo(&self, p: Point) -> Point {
        Point::new(
            (p.x + 0.5) / self.scale - 0.5,
            (p.y + 0.5) / self.scale - 0.5,
        )
    }

    /// Returns where a point of this picture lies in the photo, in its pixels.
    pub fn to_photo(&self, p: Point) -> Point {
        Point::new(
            (p.x + 0.5) * self.scale - 0.5,
            (p.y + 0.5) * self.scale - 0.5,
        )
    }
}

/// Rounds to the precision that pictures are kept in.
pub(super) fn single(v: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "rounded on purpose")]
    let rounded = v as f32;
    rounded
}

/// Returns the number of the pixel that a coordinate lies in, 0 to `count`.
pub(super) fn clip(v: f64, count: usize) -> usize {
    whole::floor(v.clamp(0.0, count as f64))
}

/// Returns the luminance of a linear colour.
pub fn luminance(rgb: [f32; 3]) -> f32 {
    rgb.iter().zip(LUMINANCE).map(|(v, w)| v * w).sum()
}
