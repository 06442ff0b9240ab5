//! The shade card as a PNG picture, returned as bytes; only the store writes files.
//!
//! Figures are drawn from a tiny set of digits of our own; maps are drawn by `paper`.

mod tray;

pub use tray::tray_png;

use super::digits;
use crate::colour::{Lab, Rgb, lab_to_srgb};
use image::{ImageFormat, RgbImage};
use std::io::Cursor;

/// Why a picture could not be made.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// There is nothing to draw.
    #[error("the {0} has nothing to draw; score some slices first")]
    Empty(&'static str),
    /// The picture would be larger than any printer needs.
    #[error("a picture of {0} x {1} pixels is too large; ask for at most {MOST} on a side")]
    TooLarge(u32, u32),
    /// The encoder refused.
    #[error("the picture could not be written as PNG: {0}; try a smaller one")]
    Encode(#[from] image::ImageError),
}

/// The longest side of a picture, pixels.
const MOST: u32 = 8192;
/// Space around everything, pixels.
const MARGIN: u32 = 16;
/// Thickness of the door's bar, pixels.
const DOOR: u32 = 10;
/// Space that a line of figures takes, pixels.
const FIGURES: u32 = 24;

const PAPER: Rgb = Rgb(255, 255, 255);
const INK: Rgb = Rgb(30, 26, 22);

/// Draws the shade card for print: one patch a shade, its digit below; `patch` pixels on a side.
///
/// # Errors
/// [`PngError`] when there is no shade or the card too large.
pub fn shade_card_png(patches: &[(u8, Lab)], patch: u32) -> Result<Vec<u8>, PngError> {
    if patches.is_empty() || patch == 0 {
        return Err(PngError::Empty("shade card"));
    }
    let n = u32::try_from(patches.len()).unwrap_or(u32::MAX);
    let gap = (patch / 10).max(1);
    let width = n
        .saturating_mul(patch.saturating_add(gap))
        .saturating_add(2 * MARGIN);
    let height = patch.saturating_add(FIGURES + 3 * MARGIN);
    if width.max(height) > MOST {
        return Err(PngError::TooLarge(width, height));
    }
    let mut picture = Picture::new(width, height);
    for (i, (digit, lab)) in (0..n).zip(patches) {
        let frame = Frame {
            x: MARGIN + i * (patch + gap),
            y: MARGIN,
            width: patch,
            height: patch,
        };
        picture.fill(frame, lab_to_srgb(*lab));
        picture.write(
            &digit.to_string(),
            frame.x + patch / 2,
            frame.y + patch + MARGIN / 2,
        );
    }
    picture.encode()
}

/// A rectangle of pixels.
#[derive(Debug, Clone, Copy)]
struct Frame {
    x: u32,
    y: u32,
    width: u32,
    height: u32,
}

/// Pixels being drawn on.
struct Picture(RgbImage);

impl Picture {
    fn new(width: u32, height: u32) -> Self {
        let Rgb(r, g, b) = PAPER;
        Self(RgbImage::from_pixel(width, height, image::Rgb([r, g, b])))
    }

    fn set(&mut self, x: u32, y: u32, Rgb(r, g, b): Rgb) {
        if let Some(pixel) = self.0.get_pixel_mut_checked(x, y) {
            *pixel = image::Rgb([r, g, b]);
        }
    }

    fn fill(&mut self, frame: Frame, colour: Rgb) {
        for y in frame.y..frame.y + frame.height {
            for x in frame.x..frame.x + frame.width {
                self.set(x, y, colour);
            }
        }
    }

    /// Writes figures centred on `x` with their upper edge at `y`.
    fn write(&mut self, text: &str, x: u32, y: u32) {
        const PIXEL: u32 = 3;
        let width = u32::try_from(text.chars().count()).unwrap_or(0) * 4 * PIXEL;
        let mut from = x.saturating_sub(width / 2);
        for character in text.chars() {
            for (row, bits) in (0..).zip(digits::rows(character)) {
                for col in 0..3 {
                    if bits >> (2 - col) & 1 == 1 {
                        let frame = Frame {
                            x: from + col * PIXEL,
                            y: y + row * PIXEL,
                            width: PIXEL,
                            height: PIXEL,
                        };
                        self.fill(frame, INK);
                    }
                }
            }
            from += 4 * PIXEL;
        }
    }

    fn encode(self) -> Result<Vec<u8>, PngError> {
        let mut bytes = Cursor::new(Vec::new());
        self.0.write_to(&mut bytes, ImageFormat::Png)?;
        Ok(bytes.into_inner())
    }
}

#[cfg(test)]
mod tests;
