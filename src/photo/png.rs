//! PNG, read row by row.

use super::{
    decoded::{Decoded, reduction},
    error::PhotoError,
    kind::Kind,
    layout::Layout,
    limits::{Limits, check_memory, check_size, damaged},
    orientation::Orientation,
    profile::Encoding,
    shrink::{Laid, Shrink},
};
use png::{BitDepth, ColorType, Decoder, Transformations};
use std::io::Cursor;

type Reader<'a> = png::Reader<Cursor<&'a [u8]>>;

/// Bytes that a colour profile may unpack to, with a row of pixels.
const LARGEST_CHUNK: usize = 16 << 20;

pub(super) fn decode(bytes: &[u8], limits: &Limits) -> Result<Decoded, PhotoError> {
    let bad = |e: png::DecodingError| damaged(Kind::Png, e);
    let mut decoder = Decoder::new_with_limits(
        Cursor::new(bytes),
        png::Limits {
            bytes: LARGEST_CHUNK,
        },
    );
    // words are not read, and unpacked they may be of any size
    decoder.set_ignore_text_chunk(true);
    decoder.set_transformations(Transformations::EXPAND);
    let header = decoder.read_header_info().map_err(bad)?;
    let (width, height) = (header.width as usize, header.height as usize);
    check_size(width, height, limits)?;
    check_memory(Kind::Png, (width, height), 0, (bytes.len(), limits))?;
    let mut reader = decoder.read_info().map_err(bad)?;
    if reader.info().is_animated() {
        return Err(PhotoError::Animation { kind: Kind::Png });
    }
    let (colour, depth) = reader.output_color_type();
    let layout = match colour {
        ColorType::Grayscale => Layout::Grey,
        ColorType::GrayscaleAlpha => Layout::GreyAlpha,
        ColorType::Rgb | ColorType::Indexed => Layout::Rgb,
        ColorType::Rgba => Layout::Rgba,
    };
    let encoding = Encoding::new(reader.info().icc_profile.as_deref(), layout);
    let size = (width, height);
    let factors = (reduction(width, height), 1);
    let picture = if depth == BitDepth::Sixteen {
        let mut shrink = Shrink::new::<u16>(&encoding, layout, size, factors);
        feed(&mut reader, size, |row, place| {
            let row: Vec<u16> = row
                .chunks_exact(2)
                .map(|pair| u16::from_be_bytes([pair[0], pair[1]]))
                .collect();
            shrink.lay(&row, place);
        })?;
        shrink.finish()
    } else {
        let mut shrink = Shrink::new::<u8>(&encoding, layout, size, factors);
        feed(&mut reader, size, |row, place| shrink.lay(row, place))?;
        shrink.finish()
    };
    // what follows the pixels may tell how the camera was held, and shows that the file is whole
    reader.finish().map_err(bad)?;
    let orientation = Orientation::from_exif(reader.info().exif_metadata.as_deref());
    Ok(Decoded::new(picture, size, orientation, encoding))
}

/// First column and row of each pass over an interlaced picture, and the steps across and down (W3C PNG, 8.2).
pub(super) const PASSES: [[usize; 4]; 7] = [
    [0, 0, 8, 8],
    [4, 0, 8, 8],
    [0, 4, 4, 8],
    [2, 0, 4, 4],
    [0, 2, 2, 4],
    [1, 0, 2, 2],
    [0, 1, 1, 2],
];

/// Hands out the rows in the order of the file, with where in the picture they lie: an interlaced picture is
/// never made whole.
fn feed(
    reader: &mut Reader<'_>,
    (width, height): (usize, usize),
    mut row: impl FnMut(&[u8], Laid),
) -> Result<(), PhotoError> {
    let passes: &[[usize; 4]] = if reader.info().interlaced {
        &PASSES
    } else {
        &[[0, 0, 1, 1]]
    };
    for &[first, top, across, down] in passes.iter().filter(|pass| pass[0] < width) {
        for y in (top..height).step_by(down) {
            match reader.next_row().map_err(|e| damaged(Kind::Png, e))? {
                Some(line) => row(line.data(), Laid { y, first, across }),
                None => return Err(damaged(Kind::Png, "rows are missing")),
            }
        }
    }
    Ok(())
}
