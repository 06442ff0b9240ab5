//! HEIC, the format that many phones write: coded pictures (ISO/IEC 23008-12), alone or as the tiles of
//! a grid, of which one band at a time is turned into colours.

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
use crate::sampling::Picture;
use heifer::{
    Error, Options,
    color::{ColorParams, frame_to_rgba_into},
    heifer_hevc_dec::{
        decoder::{DecodeOptions, decode_picture},
        recon::Frame,
    },
    heifer_isobmff::{
        HeifFile, ItemId,
        boxes::{ColorInfo, Property},
    },
};
use std::{
    panic::{self, AssertUnwindSafe},
    thread,
};

/// Bytes for each pixel while a single coded picture is decoded; measured on 48 million pixels.
const BYTES_A_PIXEL: usize = 5;
/// The same where the decoder makes the whole picture: the picture itself, and a second one while it
/// is turned or converted.
const BYTES_A_PIXEL_WHOLE: usize = 9;
/// Rows turned into colours at a time; even, as rows of chroma lie on every other one.
const BAND: usize = 128;
/// Red, green, blue and opacity.
const SAMPLES: usize = 4;

/// Decodes; what comes out is upright already, by the rotation that the file holds beside EXIF.
pub(super) fn decode(bytes: &[u8], limits: &Limits) -> Result<Decoded, PhotoError> {
    // the decoder is young: what it did not foresee in a damaged file is an error like any other
    panic::catch_unwind(AssertUnwindSafe(|| read(bytes, limits))).unwrap_or_else(|_| gave_up())
}

fn gave_up<T>() -> Result<T, PhotoError> {
    Err(damaged(Kind::Heic, "the decoder gave up on it"))
}

fn bad(e: impl Into<Error>) -> PhotoError {
    damaged(Kind::Heic, e.into())
}

fn read(bytes: &[u8], limits: &Limits) -> Result<Decoded, PhotoError> {
    let file = HeifFile::parse(bytes).map_err(bad)?;
    let item = file.primary_item().map_err(bad)?.id;
    let size = file.image_size(item).map_err(bad)?;
    let (width, height) = size.ok_or_else(|| damaged(Kind::Heic, "it does not tell its size"))?;
    let size = (width as usize, height as usize);
    check_size(size.0, size.1, limits)?;
    let icc = file.icc_profile(item).map_err(bad)?;
    let encoding = Encoding::new(icc, Layout::Rgba);
    match Plain::of(&file, item, size)? {
        Some(plain) => {
            if plain.tiles.len() == 1 {
                let needed = size.0 * size.1 * BYTES_A_PIXEL;
                check_memory(Kind::Heic, size, needed, (bytes.len(), limits))?;
            }
            let (mut picture, mut size) = (plain.shrink(&encoding)?, size);
            for turn in turns(&file, item)? {
                picture = turn.upright(picture);
                if turn.swaps_sides() {
                    size = (size.1, size.0);
                }
            }
            Ok(Decoded::new(picture, size, Orientation::UPRIGHT, encoding))
        }
        None => whole(bytes, (size, icc.is_some()), encoding, limits),
    }
}

/// Lets the decoder make the whole picture: for files with parts that are rare in photos.
fn whole(
    bytes: &[u8],
    (declared, has_profile): ((usize, usize), bool),
    encoding: Encoding,
    limits: &Limits,
) -> Result<Decoded, PhotoError> {
    let needed = declared.0 * declared.1 * BYTES_A_PIXEL_WHOLE;
    check_memory(Kind::Heic, declared, needed, (bytes.len(), limits))?;
    let options = Options {
        max_pixels: most_pixels(declared),
        ..Options::default()
    };
    let image = if has_profile {
        heifer::decode_rgba8(bytes, &options)
    } else {
        // colours that are named by number are converted by the decoder
        heifer::decode_srgb_rgba8(bytes, &options)
    }
    .map_err(bad)?;
    let size = (image.width as usize, image.height as usize);
    check_size(size.0, size.1, limits)?;
    let factors = (reduction(size.0, size.1), 1);
    let mut shrink = Shrink::new::<u8>(&encoding, Layout::Rgba, size, factors);
    shrink.push_all(&image.data, size.0);
    let picture = shrink.finish();
    Ok(Decoded::new(picture, size, Orientation::UPRIGHT, encoding))
}

fn most_pixels((width, height): (usize, usize)) -> u64 {
    // a tile or a block of coding may stick out of a small picture
    (width as u64 * height as u64).max(1 << 20)
}

/// The turns and mirrors that a file asks for, in their order.
#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "another crate's list of properties, of which two turn a picture"
)]
fn turns(file: &HeifFile<'_>, item: ItemId) -> Result<Vec<Orientation>, PhotoError> {
    let properties = file.item_properties(item).map_err(bad)?;
    Ok(properties
        .filter_map(|p| match p {
            // quarter turns against the clock
            Property::Rotation(quarters) => Some(match quarters % 4 {
                0 => Orientation::UPRIGHT,
                1 => Orientation::TURN_LEFT,
                2 => Orientation::TURN_ROUND,
                _ => Orientation::TURN_RIGHT,
            }),
            Property::Mirror(true) => Some(Orientation::MIRROR_UP_DOWN),
            Property::Mirror(false) => Some(Orientation::MIRROR_LEFT_RIGHT),
            _ => None,
        })
        .collect())
}

/// A photo as phones write it: one coded picture or a grid of them, opaque, not cropped, in colours that
/// need no conversion but that of its profile.
struct Plain<'a> {
    file: &'a HeifFile<'a>,
    tiles: Vec<ItemId>,
    columns: usize,
    /// Width and height of a tile, pixels.
    tile: (usize, usize),
    /// Width and height of the picture as coded, pixels.
    size: (usize, usize),
}

impl<'a> Plain<'a> {
    /// Looks at how a picture is put together; `None` when there is more to it.
    fn of(
        file: &'a HeifFile<'a>,
        item: ItemId,
        size: (usize, usize),
    ) -> Result<Option<Self>, PhotoError> {
        let intact = |id: ItemId| -> Result<bool, PhotoError> {
            let cropped = file
                .item_properties(id)
                .map_err(bad)?
                .any(|p| matches!(p, Property::CleanAperture { .. }));
            Ok(!cropped && file.referencing_items(id, b"auxl").is_empty())
        };
        let turned = |id: ItemId| Ok::<_, PhotoError>(!turns(file, id)?.is_empty());
        if !intact(item)? {
            return Ok(None);
        }
        let (tiles, columns, tile) = match &file.item(item).map_err(bad)?.item_type.0 {
            b"hvc1" => (vec![item], 1, size),
            b"grid" => {
                let grid = file.grid(item).map_err(bad)?;
                let tiles = file.referenced_items(item, b"dimg").to_vec();
                let (columns, rows) = (usize::from(grid.columns), usize::from(grid.rows));
                let declared = (grid.output_width as usize, grid.output_height as usize);
                if tiles.is_empty() || tiles.len() != columns * rows || declared != size {
                    return Ok(None);
                }
                let Some((w, h)) = file.image_size(tiles[0]).map_err(bad)? else {
                    return Ok(None);
                };
                let tile = (w as usize, h as usize);
                // the tiles must cover the picture, and their chroma must not straddle two of them
                let covers = tile.0 * columns >= size.0 && tile.1 * rows >= size.1;
                if !covers || !w.is_multiple_of(2) || !h.is_multiple_of(2) {
                    return Ok(None);
                }
                (tiles, columns, tile)
            }
            _ => return Ok(None),
        };
        for &t in &tiles {
            let coded = file.item(t).map_err(bad)?.item_type.0 == *b"hvc1";
            let of_tile = t != item && (turned(t)? || !intact(t)?);
            if !coded || of_tile {
                return Ok(None);
            }
        }
        let plain = Self {
            file,
            tiles,
            columns,
            tile,
            size,
        };
        let as_named = file.icc_profile(item).map_err(bad)?.is_some() || plain.is_srgb(item)?;
        Ok(as_named.then_some(plain))
    }

    /// Tells whether the file names the colours of sRGB by their numbers (ITU-T H.273).
    fn is_srgb(&self, item: ItemId) -> Result<bool, PhotoError> {
        for id in [item, self.tiles[0]] {
            if let Some(ColorInfo::Nclx {
                primaries,
                transfer,
                ..
            }) = numbers(self.file, id)?
            {
                return Ok((primaries, transfer) == (1, 13));
            }
        }
        Ok(false)
    }

    /// Decodes tile by tile and averages.
    fn shrink(&self, encoding: &Encoding) -> Result<Picture, PhotoError> {
        let (width, height) = self.size;
        let factors = (reduction(width, height), 1);
        let mut shrink = Shrink::new::<u8>(encoding, Layout::Rgba, self.size, factors);
        let mut strip = vec![0_u8; width * SAMPLES * (BAND + 2)];
        for (row, tiles) in self.tiles.chunks(self.columns).enumerate() {
            let frames = self.frames(tiles)?;
            let rows = self.tile.1.min(height.saturating_sub(row * self.tile.1));
            for first in (0..rows).step_by(BAND) {
                for (column, frame) in frames.iter().enumerate() {
                    let params = params(self.file, tiles[column], frame)?;
                    self.paint(&mut strip, (frame, params), column, first..rows);
                }
                let painted = BAND.min(rows - first);
                shrink.push_all(&strip[..painted * width * SAMPLES], width);
            }
        }
        Ok(shrink.finish())
    }

    /// Turns the next band of a tile, of whose rows some are `left`, into colours, at its place in a
    /// strip across the picture.
    fn paint(
        &self,
        strip: &mut [u8],
        (frame, params): (&Frame, ColorParams),
        column: usize,
        left: std::ops::Range<usize>,
    ) {
        let from = column * self.tile.0;
        let width = self.tile.0.min(self.size.0.saturating_sub(from));
        let mut rows: Vec<&mut [u8]> = strip
            .chunks_exact_mut(self.size.0 * SAMPLES)
            .map(|row| &mut row[from * SAMPLES..(from + width) * SAMPLES])
            .collect();
        // two rows more than are used: the last odd row takes half its chroma from the next even one
        let wanted = (BAND + 2).min(left.len());
        let band = band(frame, left.start, wanted);
        frame_to_rgba_into(&band, params, &mut rows, width, wanted);
    }

    /// Decodes some tiles, on all cores where there are several.
    fn frames(&self, tiles: &[ItemId]) -> Result<Vec<Frame>, PhotoError> {
        if let [one] = tiles {
            return Ok(vec![self.frame(*one)?]);
        }
        let cores = thread::available_parallelism().map_or(1, usize::from);
        thread::scope(|scope| {
            let parts: Vec<_> = tiles
                .chunks(tiles.len().div_ceil(cores))
                .map(|part| {
                    scope.spawn(move || {
                        let frames = part.iter().map(|t| self.frame(*t));
                        frames.collect::<Result<Vec<_>, _>>()
                    })
                })
                .collect();
            let mut frames = Vec::with_capacity(tiles.len());
            for part in parts {
                frames.extend(part.join().unwrap_or_else(|_| gave_up())?);
            }
            Ok(frames)
        })
    }

    fn frame(&self, tile: ItemId) -> Result<Frame, PhotoError> {
        let options = DecodeOptions {
            max_pixels: most_pixels(self.tile),
            ..DecodeOptions::default()
        };
        let stream = self.file.hevc_bitstream(tile).map_err(bad)?;
        let frame = decode_picture(&stream, options).map_err(bad)?;
        let (width, height) = (frame.widths[0] as usize, frame.heights[0] as usize);
        if width < self.tile.0 || height < self.tile.1 {
            return Err(damaged(
                Kind::Heic,
                format!(
                    "a part of {} x {} pixels is declared and one of {width} x {height} is coded",
                    self.tile.0, self.tile.1
                ),
            ));
        }
        Ok(frame)
    }
}

/// The colours that an item names by number, if it does.
fn numbers(file: &HeifFile<'_>, id: ItemId) -> Result<Option<ColorInfo>, PhotoError> {
    for property in file.item_properties(id).map_err(bad)? {
        if let Property::Color(info @ ColorInfo::Nclx { .. }) = property {
            return Ok(Some(info.clone()));
        }
    }
    Ok(None)
}

/// How luma and chroma of an item stand for colours: as the container says, else as the stream does.
fn params(file: &HeifFile<'_>, id: ItemId, frame: &Frame) -> Result<ColorParams, PhotoError> {
    Ok(match numbers(file, id)? {
        Some(ColorInfo::Nclx {
            matrix, full_range, ..
        }) => ColorParams { matrix, full_range },
        Some(ColorInfo::Icc(_)) | None => ColorParams::from_frame(frame),
    })
}

/// Cuts rows out of a coded picture, with the chroma that belongs to them.
fn band(frame: &Frame, first: usize, rows: usize) -> Frame {
    let height = frame.heights[0] as usize;
    let rows = rows.min(height - first);
    let mut heights = [0; 3];
    let planes = std::array::from_fn(|i| {
        let (w, h) = (frame.widths[i] as usize, frame.heights[i] as usize);
        if w == 0 || h == 0 {
            return Vec::new();
        }
        let every = (height / h).max(1);
        let from = (first / every).min(h);
        let until = (first + rows).div_ceil(every).min(h);
        heights[i] = u32::try_from(until - from).unwrap_or(0);
        frame.planes[i][from * w..until * w].to_vec()
    });
    Frame {
        widths: frame.widths,
        heights,
        planes,
        ..*frame
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A smooth picture whose colours differ at every place, coded by the crate's own encoder, which
    /// lays tiles of 512 pixels where a picture is larger than one.
    fn coded(width: u32, height: u32) -> Vec<u8> {
        let share = |v: u32, all: u32| u8::try_from(30 + v * 190 / all).unwrap();
        let samples: Vec<u8> = (0..height)
            .flat_map(|y| (0..width).map(move |x| (x, y)))
            .flat_map(|(x, y)| {
                [
                    share(x, width),
                    share(y, height),
                    share(x + y, width + height),
                ]
            })
            .collect();
        let options = heifer::EncodeOptions {
            quality: 100,
            ..heifer::EncodeOptions::default()
        };
        heifer::encode_rgb8(width, height, &samples, &options).unwrap()
    }

    /// The picture by bands, and as the decoder makes it whole.
    fn both(bytes: &[u8]) -> (Decoded, Decoded, usize) {
        let limits = Limits::default();
        let file = HeifFile::parse(bytes).unwrap();
        let item = file.primary_item().unwrap().id;
        let size = file.image_size(item).unwrap().unwrap();
        let size = (size.0 as usize, size.1 as usize);
        let plain = Plain::of(&file, item, size).unwrap();
        let tiles = plain.expect("a plain photo").tiles.len();
        let icc = file.icc_profile(item).unwrap();
        let encoding = Encoding::new(icc, Layout::Rgba);
        let whole = whole(bytes, (size, icc.is_some()), encoding, &limits).unwrap();
        (read(bytes, &limits).unwrap(), whole, tiles)
    }

    /// Tells whether two pictures are one, without printing a million pixels where they are not.
    fn same(a: &Decoded, b: &Decoded) -> bool {
        (a.width, a.height) == (b.width, b.height) && a.picture == b.picture
    }

    #[test]
    fn bands_and_tiles_make_the_picture_that_the_decoder_makes_whole() {
        // odd bands, tiles cut by the rim on both sides, a single coded picture
        for (width, height, expected) in [(1200, 700, 6), (512, 300, 1), (1026, 514, 6)] {
            let bytes = coded(width, height);
            let (banded, whole, tiles) = both(&bytes);
            assert_eq!(tiles, expected, "{width} x {height}");
            assert!(same(&banded, &whole), "{width} x {height}");
            // and it is the picture that was coded
            let picture = &banded.picture;
            let linear = |v: f64| ((v / 255.0 + 0.055) / 1.055).powf(2.4);
            let (x, y) = (picture.width / 3, picture.height * 3 / 4);
            let level = |at: usize, of: usize| 30.0 + 190.0 * at as f64 / of as f64;
            let red = linear(level(x, picture.width));
            let green = linear(level(y, picture.height));
            let seen = picture.at(x, y);
            assert!((f64::from(seen[0]) - red).abs() < 0.02, "{seen:?} {red}");
            assert!(
                (f64::from(seen[1]) - green).abs() < 0.02,
                "{seen:?} {green}"
            );
        }
    }

    #[test]
    fn a_file_of_another_encoder_reads_alike_by_bands_and_whole() {
        let (banded, whole, tiles) = both(include_bytes!("../../tests/data/photos/small.heic"));
        assert_eq!(tiles, 1);
        assert!(same(&banded, &whole));
    }

    #[test]
    fn turns_in_the_container_are_followed_as_the_decoder_follows_them() {
        let plain = coded(130, 70);
        // the writer of the crate does not turn: the property is laid over the one of the colours'
        // depth (pixi), which decoding does not need
        let at = plain.windows(4).position(|w| w == b"pixi").unwrap();
        for (name, value) in [
            (b"irot", 1),
            (b"irot", 2),
            (b"irot", 3),
            (b"imir", 0),
            (b"imir", 1),
        ] {
            let mut turned = plain.clone();
            turned[at..at + 4].copy_from_slice(name);
            turned[at + 4] = value;
            let (banded, whole, _) = both(&turned);
            assert!(same(&banded, &whole), "{name:?} {value}");
            let (upright, ..) = both(&plain);
            assert!(!same(&banded, &upright), "{name:?} {value}");
        }
    }
}
