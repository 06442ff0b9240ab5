//! Maps and the shade card as PNG pictures, returned as bytes; only the store writes files.
//!
//! No font is carried: figures are drawn from a tiny set of digits of our own, and everything else
//! is said by position. The back wall is on top; the door is the thick bar at the bottom.

mod tray;

pub use tray::tray_png;

use super::{digits, quantity::Scale, text::MapSheet};
use crate::{
    colour::{Lab, Rgb, lab_to_srgb, srgb_to_lab},
    field::{Evidence, RackMap, Zone},
    geometry::{Grid, Resampler, contour},
};
use image::{ImageFormat, RgbImage};
use std::io::Cursor;

/// Why a picture could not be made.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// There is nothing to draw.
    #[error("the {0} has nothing to draw; score some slices first")]
    Empty(&'static str),
    /// The picture would be larger than any printer needs.
    #[error("a picture of {0} x {1} pixels is too large; ask for at most {MOST} on a side")]
    TooLarge(u32, u32),
    /// The map has no such rack position.
    #[error("the map has no rack position {rack}; it has {known}")]
    NoSuchRack {
        /// The number asked for.
        rack: u8,
        /// The numbers there are.
        known: String,
    },
    /// The encoder refused.
    #[error("the picture could not be written as PNG: {0}; try a smaller one")]
    Encode(#[from] image::ImageError),
}

/// The longest side of a picture, pixels.
const MOST: u32 = 8192;
/// Space around everything, pixels.
const MARGIN: u32 = 16;
/// Thickness of the door's bar, pixels.
const DOOR: u32 = 10;
/// Height of the ramp below a map, pixels.
const RAMP: u32 = 18;
/// Space that a line of figures takes, pixels.
const FIGURES: u32 = 24;

const PAPER: Rgb = Rgb(255, 255, 255);
const INK: Rgb = Rgb(30, 26, 22);

/// Width of a drawn map, pixels: 15 cm in print at 200 dots an inch.
const MAP_WIDTH: u32 = 1200;

/// Draws one rack of a map, the lowest tested one unless another is asked for; tells which it is.
///
/// # Errors
/// [`PngError`] when there is no such rack, or nothing to draw.
pub fn map_png(sheet: &MapSheet<'_>, rack: Option<u8>) -> Result<(u8, Vec<u8>), PngError> {
    let racks = &sheet.map.racks;
    let found = match rack {
        Some(number) => racks.iter().find(|r| r.rack == number),
        None => racks.iter().find(|r| r.evidence == Evidence::Tested),
    };
    let map = match (found, rack) {
        (Some(map), _) => map,
        (None, None) => return Err(PngError::Empty("map")),
        (None, Some(rack)) => {
            let known: Vec<_> = racks.iter().map(|r| r.rack.to_string()).collect();
            let known = known.join(", ");
            return Err(PngError::NoSuchRack { rack, known });
        }
    };
    let scale = Scale::over(sheet.quantity, racks);
    Ok((map.rack, rack_png(map, &scale, sheet.zones, MAP_WIDTH)?))
}

/// Draws one rack's map `width` pixels wide: shading, contours, zones outlined, door, ramp with figures.
///
/// # Errors
/// [`PngError`] when the map is empty or the picture too large.
pub fn rack_png(
    map: &RackMap,
    scale: &Scale,
    zones: &[Zone],
    width: u32,
) -> Result<Vec<u8>, PngError> {
    if map.grid.is_empty() || !(map.grid.width > 0.0 && map.grid.depth > 0.0) {
        return Err(PngError::Empty("map"));
    }
    let inner = width.saturating_sub(2 * MARGIN).max(64);
    let height = pixels(f64::from(inner) * map.grid.depth / map.grid.width).max(48);
    let whole = (
        inner + 2 * MARGIN,
        height + DOOR + RAMP + FIGURES + 4 * MARGIN,
    );
    if whole.0.max(whole.1) > MOST {
        return Err(PngError::TooLarge(whole.0, whole.1));
    }
    let mut picture = Picture::new(whole.0, whole.1);
    let field = Frame {
        x: MARGIN,
        y: MARGIN,
        width: inner,
        height,
    };
    shade(&mut picture, map, scale, field);
    contours(&mut picture, map, scale, field);
    for zone in zones.iter().filter(|z| z.rack == map.rack) {
        outline(&mut picture, &map.grid, zone, field);
    }
    let door = Frame {
        y: field.y + height + 2,
        height: DOOR,
        ..field
    };
    picture.fill(door, INK);
    let ramp = Frame {
        y: door.y + DOOR + MARGIN,
        height: RAMP,
        ..field
    };
    legend(&mut picture, scale, ramp);
    picture.encode()
}

/// Draws the shade card for print: one patch a shade, its digit below; `patch` pixels on a side.
///
/// # Errors
/// [`PngError`] when there is no shade or the card too large.
pub fn shade_card_png(patches: &[(u8, Lab)], patch: u32) -> Result<Vec<u8>, PngError> {
    if patches.is_empty() || patch == 0 {
        return Err(PngError::Empty("shade card"));
    }
    let n = u32::try_from(patches.len()).unwrap_or(u32::MAX);
    let gap = (patch / 10).max(1);
    let width = n
        .saturating_mul(patch.saturating_add(gap))
        .saturating_add(2 * MARGIN);
    let height = patch.saturating_add(FIGURES + 3 * MARGIN);
    if width.max(height) > MOST {
        return Err(PngError::TooLarge(width, height));
    }
    let mut picture = Picture::new(width, height);
    for (i, (digit, lab)) in (0..n).zip(patches) {
        let frame = Frame {
            x: MARGIN + i * (patch + gap),
            y: MARGIN,
            width: patch,
            height: patch,
        };
        picture.fill(frame, lab_to_srgb(*lab));
        picture.write(
            &digit.to_string(),
            frame.x + patch / 2,
            frame.y + patch + MARGIN / 2,
        );
    }
    picture.encode()
}

/// A rectangle of pixels.
#[derive(Debug, Clone, Copy)]
struct Frame {
    x: u32,
    y: u32,
    width: u32,
    height: u32,
}

impl Frame {
    /// Places a position given as shares of the frame's width and height.
    fn place(self, u: f64, v: f64) -> (f64, f64) {
        (
            f64::from(self.x) + u * f64::from(self.width),
            f64::from(self.y) + v * f64::from(self.height),
        )
    }
}

/// Pixels being drawn on.
struct Picture(RgbImage);

impl Picture {
    fn new(width: u32, height: u32) -> Self {
        let Rgb(r, g, b) = PAPER;
        Self(RgbImage::from_pixel(width, height, image::Rgb([r, g, b])))
    }

    fn set(&mut self, x: u32, y: u32, Rgb(r, g, b): Rgb) {
        if let Some(pixel) = self.0.get_pixel_mut_checked(x, y) {
            *pixel = image::Rgb([r, g, b]);
        }
    }

    fn get(&self, x: u32, y: u32) -> Rgb {
        self.0
            .get_pixel_checked(x, y)
            .map_or(PAPER, |p| Rgb(p[0], p[1], p[2]))
    }

    fn fill(&mut self, frame: Frame, colour: Rgb) {
        for y in frame.y..frame.y + frame.height {
            for x in frame.x..frame.x + frame.width {
                self.set(x, y, colour);
            }
        }
    }

    /// Darkens or lightens what lies under a straight line.
    fn line(&mut self, from: (f64, f64), to: (f64, f64), ink: fn(Rgb) -> Rgb) {
        let steps = (to.0 - from.0).hypot(to.1 - from.1).ceil().max(1.0);
        let mut last = None;
        let mut i = 0.0;
        while i <= steps {
            let t = i / steps;
            let at = (
                pixels(from.0 + (to.0 - from.0) * t),
                pixels(from.1 + (to.1 - from.1) * t),
            );
            // Each pixel once, or it would be darkened twice.
            if last != Some(at) {
                let colour = ink(self.get(at.0, at.1));
                self.set(at.0, at.1, colour);
                last = Some(at);
            }
            i += 1.0;
        }
    }

    /// Writes figures centred on `x` with their upper edge at `y`.
    fn write(&mut self, text: &str, x: u32, y: u32) {
        const PIXEL: u32 = 3;
        let width = u32::try_from(text.chars().count()).unwrap_or(0) * 4 * PIXEL;
        let mut from = x.saturating_sub(width / 2);
        for character in text.chars() {
            for (row, bits) in (0..).zip(digits::rows(character)) {
                for col in 0..3 {
                    if bits >> (2 - col) & 1 == 1 {
                        let frame = Frame {
                            x: from + col * PIXEL,
                            y: y + row * PIXEL,
                            width: PIXEL,
                            height: PIXEL,
                        };
                        self.fill(frame, INK);
                    }
                }
            }
            from += 4 * PIXEL;
        }
    }

    fn encode(self) -> Result<Vec<u8>, PngError> {
        let mut bytes = Cursor::new(Vec::new());
        self.0.write_to(&mut bytes, ImageFormat::Png)?;
        Ok(bytes.into_inner())
    }
}

/// Converts a position that is known to lie in a picture.
fn pixels(v: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "pictures are at most a few thousand pixels; a float cast saturates"
    )]
    let whole = v.round() as u32;
    whole
}

fn shade(picture: &mut Picture, map: &RackMap, scale: &Scale, frame: Frame) {
    let (cols, rows) = (frame.width as usize, frame.height as usize);
    let read = Resampler::centres(&map.grid, cols, rows);
    let (mean, sd, contrast_sd) = (
        read.read(&map.mean),
        read.read(&map.sd),
        read.read(&map.contrast_sd),
    );
    let quantity = scale.quantity;
    let mut i = 0;
    for y in 0..frame.height {
        for x in 0..frame.width {
            let value = quantity.value(mean[i], map.rack_mean);
            let colour = quantity.ramp().at(scale.share(value));
            let doubtful = quantity.is_doubtful(mean[i] - map.rack_mean, contrast_sd[i], sd[i]);
            // Doubtful places are hatched with a pale slanting line.
            let hatched = doubtful && (x + y) % 8 < 3;
            picture.set(
                frame.x + x,
                frame.y + y,
                if hatched { paled(colour) } else { colour },
            );
            i += 1;
        }
    }
}

fn contours(picture: &mut Picture, map: &RackMap, scale: &Scale, frame: Frame) {
    let grid = &map.grid;
    let values: Vec<f64> = map
        .mean
        .iter()
        .map(|&b| scale.quantity.value(b, map.rack_mean))
        .collect();
    for mark in scale.marks() {
        for [from, to] in contour::line(&values, grid.cols, mark) {
            // Lattice nodes are cell centres.
            let place = |p: (f64, f64)| {
                frame.place(
                    (p.0 + 0.5) / grid.cols as f64,
                    (p.1 + 0.5) / grid.rows as f64,
                )
            };
            picture.line(place(from), place(to), lined);
        }
    }
}

fn outline(picture: &mut Picture, grid: &Grid, zone: &Zone, frame: Frame) {
    // One empty cell all around closes the outline at the walls.
    let cols = grid.cols + 2;
    let mut held = vec![0.0; cols * (grid.rows + 2)];
    for &(row, col) in &zone.cells {
        if let Some(cell) = held.get_mut((row + 1) * cols + col + 1) {
            *cell = 1.0;
        }
    }
    for [from, to] in contour::line(&held, cols, 0.5) {
        let place = |p: (f64, f64)| {
            let share = |v: f64, n: usize| ((v - 0.5) / n as f64).clamp(0.0, 1.0);
            frame.place(share(p.0, grid.cols), share(p.1, grid.rows))
        };
        let (from, to) = (place(from), place(to));
        for shift in [0.0, 1.0, 2.0] {
            picture.line((from.0 + shift, from.1), (to.0 + shift, to.1), |_| INK);
        }
    }
}

fn legend(picture: &mut Picture, scale: &Scale, frame: Frame) {
    for x in 0..frame.width {
        let share = (f64::from(x) + 0.5) / f64::from(frame.width);
        let column = Frame {
            x: frame.x + x,
            width: 1,
            ..frame
        };
        picture.fill(column, scale.quantity.ramp().at(share));
    }
    for mark in scale.marks() {
        let x = frame.x + pixels(scale.share(mark) * f64::from(frame.width - 1));
        picture.fill(
            Frame {
                x,
                y: frame.y + frame.height,
                width: 1,
                height: 4,
            },
            INK,
        );
        picture.write(&scale.quantity.mark(mark), x, frame.y + frame.height + 6);
    }
}

fn lined(ground: Rgb) -> Rgb {
    moved(ground, |l| if l > 50.0 { l - 28.0 } else { l + 28.0 })
}

fn paled(ground: Rgb) -> Rgb {
    moved(ground, |l| l + (92.0 - l) * 0.6)
}

fn moved(colour: Rgb, lightness: fn(f64) -> f64) -> Rgb {
    let lab = srgb_to_lab(colour);
    lab_to_srgb(Lab {
        l: lightness(lab.l),
        ..lab
    })
}

#[cfg(test)]
mod tests;
