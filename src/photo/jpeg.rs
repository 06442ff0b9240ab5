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

pub(super) fn decode(file: &[u8], limits: &Limits) -> Result<Decoded, PhotoError> {
    let bad = |e: jpeg_decoder::Error| damaged(Kind::Jpeg, e);
    let whole = fenced(file).ok_or_else(|| damaged(Kind::Jpeg, "its end is missing"))?;
    let mut decoder = Decoder::new(whole);
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
    let whole = width * height;
    let smaller = layout.samples() * 2 * whole.div_ceil(scaled * scaled);
    let needed = match info.coding_process {
        CodingProcess::DctSequential => smaller,
        // every coefficient is kept until the last pass, two bytes each
        CodingProcess::DctProgressive => quarters(file).unwrap_or(12) * whole / 2 + smaller,
        CodingProcess::Lossless => layout.samples() * 6 * whole,
    };
    check_memory(Kind::Jpeg, (width, height), needed, (file.len(), limits))?;
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
/// Marker of a picture coded in passes over all of it.
const PROGRESSIVE: u8 = 0xC2;

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

/// Returns where the end mark stands.
fn end_mark(bytes: &[u8]) -> Option<usize> {
    mark(bytes, |code| code == END)
}

/// Returns how many quarters of a sample are coded for a pixel: chroma is often coded at half the size (T.81, B.2.2).
fn quarters(bytes: &[u8]) -> Option<usize> {
    let at = mark(bytes, |code| code == PROGRESSIVE)?;
    let parts = bytes.get(at + 10..at + 10 + 3 * usize::from(*bytes.get(at + 9)?))?;
    let share = |part: &[u8]| usize::from(part[1] >> 4) * usize::from(part[1] & 15);
    let all = parts.chunks_exact(3).map(share);
    let most = |shift: u8| {
        parts
            .chunks_exact(3)
            .map(move |p| usize::from(p[1] >> shift & 15))
            .max()
    };
    let block = most(4)? * most(0)?;
    (block > 0).then(|| (4 * all.sum::<usize>()).div_ceil(block))
}

/// Returns where the first mark of a kind stands; one inside a segment, as a thumbnail's, does not count.
fn mark(bytes: &[u8], is_wanted: impl Fn(u8) -> bool) -> Option<usize> {
    let mut at = 2;
    loop {
        at += bytes.get(at..)?.iter().position(|b| *b == 0xFF)?;
        match *bytes.get(at + 1)? {
            code if is_wanted(code) => return Some(at),
            END => return None,
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
