//! What a decoder hands back, and by how much it makes a photo smaller.

use super::{orientation::Orientation, profile::Encoding};
use crate::sampling::Picture;

/// A picture up to this many pixels long is not made smaller.
pub(super) const LONGEST_WHOLE: usize = 1600;
/// A picture made smaller is at most this many pixels long.
pub(super) const LONGEST_REDUCED: usize = 1300;
/// Reductions to choose from: those that a JPEG can be decoded at, and one third of them.
const FACTORS: [usize; 9] = [2, 3, 4, 6, 8, 12, 16, 24, 32];

/// What a decoder hands back: the picture as it lies in the file.
pub(super) struct Decoded {
    pub(super) picture: Picture,
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) orientation: Orientation,
    pub(super) profile: Option<String>,
    pub(super) warnings: Vec<String>,
}

impl Decoded {
    pub(super) fn new(
        picture: Picture,
        (width, height): (usize, usize),
        orientation: Orientation,
        encoding: Encoding,
    ) -> Self {
        Self {
            picture,
            width,
            height,
            orientation,
            profile: encoding.name,
            warnings: encoding.warnings,
        }
    }
}

/// Returns by how much a photo is reduced: its pixels for one of the picture, along a side.
pub(super) fn reduction(width: usize, height: usize) -> usize {
    let long = width.max(height);
    if long <= LONGEST_WHOLE {
        return 1;
    }
    FACTORS
        .into_iter()
        .find(|factor| long.div_ceil(*factor) <= LONGEST_REDUCED)
        .unwrap_or_else(|| long.div_ceil(LONGEST_REDUCED))
}
