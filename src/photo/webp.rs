//! WebP, lossy and lossless.

use super::{
    decoded::{Decoded, reduction},
    error::PhotoError,
    kind::Kind,
    layout::Layout,
    limits::{Limits, check_memory, check_size, damaged},
    orientation::Orientation,
    profile::Encoding,
    shrink::Shrink,
};
use image_webp::WebPDecoder;
use std::io::Cursor;

/// Halves of a byte for each pixel while decoding, measured on 12 million: three samples with a plane of luma and two
/// of a quarter; three and four without loss; with clear pixels four, and as many for what makes them so.
const PLAIN: usize = 9;
const LOSSLESS: usize = 14;
const CLEAR: usize = 21;

pub(super) fn decode(bytes: &[u8], limits: &Limits) -> Result<Decoded, PhotoError> {
    let bad = |e: image_webp::DecodingError| damaged(Kind::Webp, e);
    // RFC 9649, 2.4: bytes 4 to 7 hold the length of what follows them; decoders fill up what is missing
    let declared = bytes.get(4..8).map_or(0, |b| {
        u64::from(u32::from_le_bytes([b[0], b[1], b[2], b[3]])) + 8
    });
    if (bytes.len() as u64) < declared {
        return Err(damaged(
            Kind::Webp,
            format!("it has {} of {declared} bytes", bytes.len()),
        ));
    }
    let mut decoder = WebPDecoder::new(Cursor::new(bytes)).map_err(bad)?;
    let (width, height) = decoder.dimensions();
    let size = (width as usize, height as usize);
    check_size(size.0, size.1, limits)?;
    if decoder.is_animated() {
        return Err(PhotoError::Animation { kind: Kind::Webp });
    }
    let halves = match (decoder.has_alpha(), decoder.is_lossy()) {
        (false, true) => PLAIN,
        (_, false) => LOSSLESS,
        (true, true) => CLEAR,
    };
    let needed = size.0 * size.1 * halves / 2;
    check_memory(Kind::Webp, size, needed, (bytes.len(), limits))?;
    decoder.set_memory_limit(limits.memory);
    let icc = decoder.icc_profile().map_err(bad)?;
    let exif = decoder.exif_metadata().map_err(bad)?;
    let layout = if decoder.has_alpha() {
        Layout::Rgba
    } else {
        Layout::Rgb
    };
    let mut samples = vec![0_u8; size.0 * size.1 * layout.samples()];
    decoder.read_image(&mut samples).map_err(bad)?;
    let encoding = Encoding::new(icc.as_deref(), layout);
    let factors = (reduction(size.0, size.1), 1);
    let mut shrink = Shrink::new::<u8>(&encoding, layout, size, factors);
    shrink.push_all(&samples, size.0);
    let picture = shrink.finish();
    let orientation = Orientation::from_exif(exif.as_deref());
    Ok(Decoded::new(picture, size, orientation, encoding))
}
