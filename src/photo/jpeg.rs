//! JPEG, decoded at a half, a quarter or an eighth of its size where that is enough.

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
use jpeg_decoder::{CodingProcess, Decoder, PixelFormat};
use std::io::Read;

pub(super) fn decode(bytes: &[u8], limits: &Limits) -> Result<Decoded, PhotoError> {
    let bad = |e: jpeg_decoder::Error| damaged(Kind::Jpeg, e);
    let bytes = fenced(bytes).ok_or_else(|| damaged(Kind::Jpeg, "its end is missing"))?;
    let mut decoder = Decoder::new(bytes);
    decoder.set_max_decoding_buffer_size(limits.memory);
    decoder.read_info().map_err(bad)?;
    let info = decoder
        .info()
        .ok_or_else(|| damaged(Kind::Jpeg, "it has no frame"))?;
    let (width, height) = (usize::from(info.width), usize::from(info.height));
    check_size(width, height, limits)?;
    let layout = match info.pixel_format {
        PixelFormat::L8 | PixelFormat::L16 => Layout::Grey,
        PixelFormat::RGB24 => Layout::Rgb,
        PixelFormat::CMYK32 => return Err(PhotoError::Inks),
    };
    let wide = info.pixel_format == PixelFormat::L16;
    let factor = reduction(width, height);
    // the largest of 1, 2, 4, 8 that the reduction is a multiple of
    let scaled = match info.coding_process {
        CodingProcess::DctSequential | CodingProcess::DctProgressive => {
            1 << factor.trailing_zeros().min(3)
        }
        CodingProcess::Lossless => 1,
    };
    let bytes_a_pixel = match info.coding_process {
        CodingProcess::DctSequential => layout.samples() * 2 / (scaled * scaled),
        CodingProcess::DctProgressive => {
            layout.samples() * 2 + layout.samples() * 2 / (scaled * scaled)
        }
        CodingProcess::Lossless => layout.samples() * 6,
    };
    check_memory(Kind::Jpeg, (width, height), bytes_a_pixel, limits)?;
    let side = |length: usize| u16::try_from(length.div_ceil(scaled)).unwrap_or(u16::MAX);
    let size = if scaled == 1 {
        (info.width, info.height)
    } else {
        decoder.scale(side(width), side(height)).map_err(bad)?
    };
    let size = (usize::from(size.0), usize::from(size.1));
    if size != (width.div_ceil(scaled), height.div_ceil(scaled)) {
        return Err(damaged(Kind::Jpeg, "it does not decode at a smaller size"));
    }
    let samples = decoder.decode().map_err(bad)?;
    let encoding = Encoding::new(decoder.icc_profile().as_deref(), layout);
    let sizes = (factor / scaled, scaled);
    let picture = if wide {
        let samples: Vec<u16> = samples
            .chunks_exact(2)
            .map(|pair| u16::from_ne_bytes([pair[0], pair[1]]))
            .collect();
        let mut shrink = Shrink::new::<u16>(&encoding, layout, size, sizes);
        shrink.push_all(&samples, size.0);
        shrink.finish()
    } else {
        let mut shrink = Shrink::new::<u8>(&encoding, layout, size, sizes);
        shrink.push_all(&samples, size.0);
        shrink.finish()
    };
    let orientation = Orientation::from_exif(decoder.exif_data());
    Ok(Decoded::new(
        picture,
        (width, height),
        orientation,
        encoding,
    ))
}

/// Marker that ends a picture (T.81, table B.1).
const END: u8 = 0xD9;

/// What stands in for the end mark: 128 one bits, and the mark.
const FENCE: &[u8] = &[
    0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF,
    0, 0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF, 0, 0xFF, END,
];

/// Returns the picture with 128 one bits set before its end mark, or `None` when it has none.
///
/// Where coded data ends before the picture is whole, the decoder goes on with zeros of its own and
/// says nothing. A code of ones only is never in use (T.81, annex C), so what reads on there fails.
fn fenced(bytes: &[u8]) -> Option<impl Read + '_> {
    let end = end_mark(bytes)?;
    Some(bytes[..end].chain(FENCE))
}

/// Returns where the end mark stands; a thumbnail's, inside a segment, does not count.
fn end_mark(bytes: &[u8]) -> Option<usize> {
    let mut at = 2;
    loop {
        at += bytes.get(at..)?.iter().position(|b| *b == 0xFF)?;
        match *bytes.get(at + 1)? {
            END => return Some(at),
            // a fill byte before a marker
            0xFF => at += 1,
            // a stuffed byte of coded data, and markers that stand alone
            0 | 1 | 0xD0..=0xD8 => at += 2,
            _ => {
                let length = bytes.get(at + 2..at + 4)?;
                at += 2 + usize::from(u16::from_be_bytes([length[0], length[1]]));
            }
        }
    }
}
