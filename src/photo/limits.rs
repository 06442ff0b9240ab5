//! How large photos may be, and what is checked before anything of that size is made.

use super::{error::PhotoError, kind::Kind};

pub(super) const MIB: f64 = (1 << 20) as f64;

/// How large a photo may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Bytes of the file.
    pub bytes: usize,
    /// Pixels of the photo.
    pub pixels: usize,
    /// Bytes that decoding may take beside the file itself.
    pub memory: usize,
}

impl Default for Limits {
    /// Room for the largest pictures that phones take: 200 million pixels as JPEG, 48 million as HEIC.
    fn default() -> Self {
        Self {
            bytes: 128 << 20,
            pixels: 210_000_000,
            memory: 1 << 28,
        }
    }
}

/// Checks what a file declares before anything of that size is made.
pub(super) fn check_size(width: usize, height: usize, limits: &Limits) -> Result<(), PhotoError> {
    match width.checked_mul(height) {
        Some(pixels) if (1..=limits.pixels).contains(&pixels) => Ok(()),
        _ => Err(PhotoError::Size {
            width,
            height,
            most_megapixels: limits.pixels as f64 / 1e6,
        }),
    }
}

/// Bytes that a file and its decoding may take together.
const MOST_IN_ALL: usize = 288 << 20;
/// The same for a picture of up to 12 million pixels that is no HEIC, and for each pixel of a larger one: the
/// whole program then stays below 64 MiB.
const MOST_OF_SMALL: usize = 57 << 20;
const MOST_A_PIXEL: usize = 5;

/// Checks that a file of `file` bytes and its decoding, which takes `needed`, stay within the memory allowed.
pub(super) fn check_memory(
    kind: Kind,
    (width, height): (usize, usize),
    needed: usize,
    (file, limits): (usize, &Limits),
) -> Result<(), PhotoError> {
    let fair = width.saturating_mul(height).saturating_mul(MOST_A_PIXEL);
    let most = match kind {
        Kind::Heic => MOST_IN_ALL,
        Kind::Jpeg | Kind::Png | Kind::Webp => fair.clamp(MOST_OF_SMALL, MOST_IN_ALL),
    };
    if needed <= limits.memory && needed.saturating_add(file) <= most {
        return Ok(());
    }
    Err(PhotoError::Memory {
        kind,
        width,
        height,
        mib: needed.saturating_add(file) as f64 / MIB,
        most_mib: most.min(limits.memory.saturating_add(file)) as f64 / MIB,
    })
}

/// Returns the words of a decoder as an error.
#[expect(
    clippy::needless_pass_by_value,
    reason = "handed to map_err, which gives the error away"
)]
pub(super) fn damaged(kind: Kind, why: impl ToString) -> PhotoError {
    PhotoError::Damaged {
        kind,
        why: why.to_string(),
    }
}
