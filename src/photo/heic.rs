//! HEIC, the format that many phones write.

use super::{
    Decoded, Kind, Limits, PhotoError, check_memory, check_size, damaged,
    orientation::Orientation,
    profile::Encoding,
    reduction,
    shrink::{Layout, Shrink},
};
use heifer::{Error, Image, Options, heifer_isobmff::HeifFile};
use std::panic::{self, AssertUnwindSafe};

/// Bytes for each pixel while decoding: the picture itself, and a second one while it is turned;
/// measured on 48 million pixels.
const BYTES_A_PIXEL: usize = 9;

/// Decodes; what comes out is upright already, by the rotation that the file holds beside EXIF.
pub(super) fn decode(bytes: &[u8], limits: &Limits) -> Result<Decoded, PhotoError> {
    // the decoder is young: what it did not foresee in a damaged file is an error like any other
    let (image, icc) = panic::catch_unwind(AssertUnwindSafe(|| pixels(bytes, limits)))
        .unwrap_or_else(|_| Err(damaged(Kind::Heic, "the decoder gave up on it")))?;
    let size = (image.width as usize, image.height as usize);
    check_size(size.0, size.1, limits)?;
    let encoding = Encoding::new(icc.as_deref(), Layout::Rgba);
    let factors = (reduction(size.0, size.1), 1);
    let mut shrink = Shrink::new::<u8>(&encoding, Layout::Rgba, size, factors);
    shrink.push_all(&image.data, size.0);
    let picture = shrink.finish();
    Ok(Decoded::new(picture, size, Orientation::UPRIGHT, encoding))
}

/// Returns the pixels and the profile they are to be read by; without one they are sRGB.
fn pixels(bytes: &[u8], limits: &Limits) -> Result<(Image<u8>, Option<Vec<u8>>), PhotoError> {
    let bad = |e: Error| damaged(Kind::Heic, e);
    let file = HeifFile::parse(bytes).map_err(|e| bad(e.into()))?;
    let item = file.primary_item().map_err(|e| bad(e.into()))?.id;
    let size = file.image_size(item).map_err(|e| bad(e.into()))?;
    let (width, height) = size.ok_or_else(|| damaged(Kind::Heic, "it does not tell its size"))?;
    let size = (width as usize, height as usize);
    check_size(size.0, size.1, limits)?;
    check_memory(Kind::Heic, size, BYTES_A_PIXEL, limits)?;
    let options = Options {
        max_pixels: (size.0 as u64 * size.1 as u64).max(1 << 20),
        ..Options::default()
    };
    let icc = file.icc_profile(item).map_err(|e| bad(e.into()))?;
    let image = match icc {
        Some(_) => heifer::decode_rgba8(bytes, &options),
        // colours that are named by number are converted by the decoder
        None => heifer::decode_srgb_rgba8(bytes, &options),
    };
    Ok((image.map_err(bad)?, icc.map(<[u8]>::to_vec)))
}
