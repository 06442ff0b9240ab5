//! Pixels being drawn on, and what may go wrong.

use crate::{colour::Rgb, report::digits};
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
pub(super) const MOST: u32 = 8192;
/// Space around everything, pixels.
pub(super) const MARGIN: u32 = 16;
/// Thickness of the door's bar, pixels.
pub(super) const DOOR: u32 = 10;
/// Space that a line of figures takes, pixels.
pub(super) const FIGURES: u32 = 24;

pub(super) const PAPER: Rgb = Rgb(255, 255, 255);
pub(super) const INK: Rgb = Rgb(30, 26, 22);

/// A rectangle of pixels.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    pub(super) x: u32,
    pub(super) y: u32,
    pub(super) width: u32,
    pub(super) height: u32,
}

impl Frame {
    pub(super) const fn new(x: u32, y: u32, width: u32, height: u32) -> Self {
        Self {
            x,
            y,
            width,
            height,
        }
    }
}

/// Pixels being drawn on.
pub(super) struct Picture(pub(super) RgbImage);

impl Picture {
    pub(super) fn new(width: u32, height: u32) -> Self {
        let Rgb(r, g, b) = PAPER;
        Self(RgbImage::from_pixel(width, height, image::Rgb([r, g, b])))
    }

    pub(super) fn set(&mut self, x: u32, y: u32, Rgb(r, g, b): Rgb) {
        if let Some(pixel) = self.0.get_pixel_mut_checked(x, y) {
            *pixel = image::Rgb([r, g, b]);
        }
    }

    pub(super) fn fill(&mut self, frame: Frame, colour: Rgb) {
        for y in frame.y..frame.y + frame.height {
            for x in frame.x..frame.x + frame.width {
                self.set(x, y, colour);
            }
        }
    }

    /// Writes figures centred on `x` with their upper edge at `y`.
    pub(super) fn write(&mut self, text: &str, x: u32, y: u32) {
        const PIXEL: u32 = 3;
        let width = u32::try_from(text.chars().count()).unwrap_or(0) * 4 * PIXEL;
        let mut from = x.saturating_sub(width / 2);
        for character in text.chars() {
            for (row, bits) in (0..).zip(digits::rows(character)) {
                for col in 0..3 {
                    if bits >> (2 - col) & 1 == 1 {
                        let frame = Frame::new(from + col * PIXEL, y + row * PIXEL, PIXEL, PIXEL);
                        self.fill(frame, INK);
                    }
                }
            }
            from += 4 * PIXEL;
        }
    }

    pub(super) fn encode(self) -> Result<Vec<u8>, PngError> {
        let mut bytes = Cursor::new(Vec::new());
        self.0.write_to(&mut bytes, ImageFormat::Png)?;
        Ok(bytes.into_inner())
    }
}
