//! How the camera was held (EXIF 2.32, tag 0112), and turning the picture upright.

use crate::sampling::Picture;

/// One of the eight ways that a picture can lie in its file, by its EXIF number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Orientation(u8);

impl Orientation {
    /// The picture stands upright in the file.
    pub(super) const UPRIGHT: Self = Self(1);

    /// It stands upright once left and right are exchanged.
    #[cfg(feature = "heic")]
    pub(super) const MIRROR_LEFT_RIGHT: Self = Self(2);
    /// It stands upright once it is turned round.
    #[cfg(feature = "heic")]
    pub(super) const TURN_ROUND: Self = Self(3);
    /// It stands upright once top and bottom are exchanged.
    #[cfg(feature = "heic")]
    pub(super) const MIRROR_UP_DOWN: Self = Self(4);
    /// It stands upright once it is turned a quarter with the clock.
    #[cfg(feature = "heic")]
    pub(super) const TURN_RIGHT: Self = Self(6);
    /// It stands upright once it is turned a quarter against the clock.
    #[cfg(feature = "heic")]
    pub(super) const TURN_LEFT: Self = Self(8);

    /// Reads the tag from an EXIF block, with or without the name before it; upright when it has none.
    pub(super) fn from_exif(block: Option<&[u8]>) -> Self {
        block
            .map(|b| b.strip_prefix(b"Exif\0\0").unwrap_or(b))
            .and_then(image::metadata::Orientation::from_exif_chunk)
            .map_or(Self::UPRIGHT, |o| Self(o.to_exif()))
    }

    /// Returns the number that EXIF gives it, 1 to 8.
    pub(super) fn exif(self) -> u8 {
        self.0
    }

    /// Tells whether width and height change places.
    pub(super) fn swaps_sides(self) -> bool {
        self.0 >= 5
    }

    /// Returns a picture that lies this way in its file, turned upright.
    pub(super) fn upright(self, picture: Picture) -> Picture {
        if self == Self::UPRIGHT {
            return picture;
        }
        let Picture {
            width: across,
            height: down,
            ..
        } = picture;
        let (width, height) = if self.swaps_sides() {
            (down, across)
        } else {
            (across, down)
        };
        let (right, bottom) = (across - 1, down - 1);
        let mut pixels = Vec::with_capacity(width * height);
        for y in 0..height {
            pixels.extend((0..width).map(|x| {
                let (column, row) = match self.0 {
                    2 => (right - x, y),
                    3 => (right - x, bottom - y),
                    4 => (x, bottom - y),
                    5 => (y, x),
                    6 => (y, bottom - x),
                    7 => (right - y, bottom - x),
                    8 => (right - y, x),
                    _ => (x, y),
                };
                picture.at(column, row)
            }));
        }
        Picture {
            width,
            height,
            pixels,
            scale: picture.scale,
        }
    }
}
