//! From the bytes of a photo to the picture that scores are read from. The only module that
//! decodes pictures.
//!
//! A photo is decoded no further than needed: what comes out is about 1000 pixels long, each the
//! mean of a square of the photo's pixels in linear light, upright, in the primaries of sRGB.

mod decoded;
mod error;
#[cfg(feature = "heic")]
mod heic;
mod jpeg;
mod kind;
mod layout;
mod limits;
mod orientation;
mod png;
mod profile;
mod shrink;
#[cfg(test)]
mod tests;
mod webp;
#[cfg(test)]
mod whole_tests;

pub use error::PhotoError;
pub use kind::Kind;
pub use limits::Limits;

use crate::sampling::Picture;
use decoded::Decoded;
use limits::MIB;

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
