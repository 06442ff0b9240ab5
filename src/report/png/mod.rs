//! The shade card as a PNG picture, returned as bytes; only the store writes files.
//!
//! Figures are drawn from a tiny set of digits of our own; maps are drawn by `paper`.

mod picture;
mod tray;

pub use picture::PngError;
pub use tray::tray_png;

use crate::colour::{Lab, lab_to_srgb};
use picture::{FIGURES, Frame, MARGIN, MOST, Picture};

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
        let frame = Frame::new(MARGIN + i * (patch + gap), MARGIN, patch, patch);
        picture.fill(frame, lab_to_srgb(*lab));
        picture.write(
            &digit.to_string(),
            frame.x + patch / 2,
            frame.y + patch + MARGIN / 2,
        );
    }
    picture.encode()
}

/// Writes red, green and blue of every pixel of a picture of `size` (width, height) as PNG.
///
/// # Errors
/// [`PngError`] when there are other than so many pixels.
pub fn rgb_png(size: (u32, u32), rgb: Vec<u8>) -> Result<Vec<u8>, PngError> {
    let picture = image::RgbImage::from_raw(size.0, size.1, rgb);
    Picture(picture.ok_or(PngError::Empty("picture"))?).encode()
}

#[cfg(test)]
mod tests;
