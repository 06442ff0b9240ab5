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

/// Checks that decoding at `bytes_a_pixel` stays within the memory allowed.
pub(super) fn check_memory(
    kind: Kind,
    (width, height): (usize, usize),
    bytes_a_pixel: usize,
    limits: &Limits,
) -> Result<(), PhotoError> {
    let needed = width.saturating_mul(height).saturating_mul(bytes_a_pixel);
    if needed <= limits.memory {
        return Ok(());
    }
    Err(PhotoError::Memory {
        kind,
        width,
        height,
        mib: needed as f64 / MIB,
        most_mib: limits.memory as f64 / MIB,
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
