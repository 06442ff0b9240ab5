//! From the bytes of a photo to the picture that scores are read from. The only module that
//! decodes pictures.
//!
//! A photo is decoded no further than needed: what comes out is about 1000 pixels long, each the
//! mean of a square of the photo's pixels in linear light, upright, in the primaries of sRGB.

mod error;
#[cfg(feature = "heic")]
mod heic;
mod jpeg;
mod orientation;
mod png;
mod profile;
mod shrink;
#[cfg(test)]
mod tests;
mod webp;

pub use error::PhotoError;

use crate::sampling::Picture;
use orientation::Orientation;
use profile::Encoding;

/// A picture up to this many pixels long is not made smaller.
const LONGEST_WHOLE: usize = 1600;
/// A picture made smaller is at most this many pixels long.
const LONGEST_REDUCED: usize = 1300;
/// Reductions to choose from: those that a JPEG can be decoded at, and one third of them.
const FACTORS: [usize; 9] = [2, 3, 4, 6, 8, 12, 16, 24, 32];

const MIB: f64 = (1 << 20) as f64;

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
            memory: 1 << 29,
        }
    }
}

/// Kind of a photo file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// ITU-T T.81 with JFIF or EXIF.
    Jpeg,
    /// W3C PNG.
    Png,
    /// RFC 9649.
    Webp,
    /// HEVC in ISO/IEC 23008-12.
    Heic,
}

impl std::fmt::Display for Kind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Jpeg => "JPEG",
            Self::Png => "PNG",
            Self::Webp => "WebP",
            Self::Heic => "HEIC",
        })
    }
}

/// A photo as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// What scores are read from.
    pub picture: Picture,
    /// Width of the upright photo, pixels.
    pub width: usize,
    /// Height of the upright photo, pixels.
    pub height: usize,
    /// Kind of file.
    pub kind: Kind,
    /// How the camera was held, EXIF 1 to 8; 1 where the decoder has turned the picture already.
    pub orientation: u8,
    /// Name of the colour profile in the file; `None` when it has none and sRGB was taken.
    pub profile: Option<String>,
    /// What the reader should know, in whole sentences.
    pub warnings: Vec<String>,
}

/// Reads a photo.
///
/// # Errors
/// [`PhotoError`] when it is no picture of a kind that is read, is larger than `limits`, or is
/// damaged or cut short.
pub fn open(bytes: &[u8], limits: &Limits) -> Result<Photo, PhotoError> {
    if bytes.len() > limits.bytes {
        return Err(PhotoError::TooManyBytes {
            mib: bytes.len() as f64 / MIB,
            most_mib: limits.bytes as f64 / MIB,
        });
    }
    let kind = kind_of(bytes)?;
    let decoded = match kind {
        Kind::Jpeg => jpeg::decode(bytes, limits),
        Kind::Png => png::decode(bytes, limits),
        Kind::Webp => webp::decode(bytes, limits),
        #[cfg(feature = "heic")]
        Kind::Heic => heic::decode(bytes, limits),
        #[cfg(not(feature = "heic"))]
        Kind::Heic => Err(PhotoError::NoHeic),
    }?;
    let Decoded {
        picture,
        width,
        height,
        orientation,
        profile,
        warnings,
    } = decoded;
    let (width, height) = if orientation.swaps_sides() {
        (height, width)
    } else {
        (width, height)
    };
    Ok(Photo {
        picture: orientation.upright(picture),
        width,
        height,
        kind,
        orientation: orientation.exif(),
        profile,
        warnings,
    })
}

/// What a decoder hands back: the picture as it lies in the file.
struct Decoded {
    picture: Picture,
    width: usize,
    height: usize,
    orientation: Orientation,
    profile: Option<String>,
    warnings: Vec<String>,
}

impl Decoded {
    fn new(
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

fn kind_of(bytes: &[u8]) -> Result<Kind, PhotoError> {
    let brand = bytes.get(4..12).unwrap_or_default();
    let found = match bytes {
        [] => return Err(PhotoError::Empty),
        [0xFF, 0xD8, 0xFF, ..] => return Ok(Kind::Jpeg),
        [0x89, b'P', b'N', b'G', ..] => return Ok(Kind::Png),
        [
            b'R',
            b'I',
            b'F',
            b'F',
            _,
            _,
            _,
            _,
            b'W',
            b'E',
            b'B',
            b'P',
            ..,
        ] => return Ok(Kind::Webp),
        _ if brand == b"ftypavif" || brand == b"ftypavis" => "this is an AVIF picture",
        _ if [
            b"heic", b"heix", b"heim", b"heis", b"hevc", b"mif1", b"mif2", b"msf1",
        ]
        .iter()
        .any(|b| brand.strip_prefix(b"ftyp") == Some(b.as_slice())) =>
        {
            return Ok(Kind::Heic);
        }
        _ if brand.starts_with(b"ftyp") => "this is a film",
        [b'G', b'I', b'F', b'8', ..] => "this is a GIF picture",
        [b'I', b'I', 42, 0, ..] | [b'M', b'M', 0, 42, ..] => {
            "this is a TIFF or a camera's raw picture"
        }
        [b'B', b'M', ..] => "this is a BMP picture",
        [b'%', b'P', b'D', b'F', ..] => "this is a PDF document",
        _ => "this is no picture file",
    };
    Err(PhotoError::Unknown { found })
}

/// Returns by how much a photo is reduced: its pixels for one of the picture, along a side.
fn reduction(width: usize, height: usize) -> usize {
    let long = width.max(height);
    if long <= LONGEST_WHOLE {
        return 1;
    }
    FACTORS
        .into_iter()
        .find(|factor| long.div_ceil(*factor) <= LONGEST_REDUCED)
        .unwrap_or_else(|| long.div_ceil(LONGEST_REDUCED))
}

/// Checks what a file declares before anything of that size is made.
fn check_size(width: usize, height: usize, limits: &Limits) -> Result<(), PhotoError> {
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
fn check_memory(
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
fn damaged(kind: Kind, why: impl ToString) -> PhotoError {
    PhotoError::Damaged {
        kind,
        why: why.to_string(),
    }
}
