//! Things of known lightness in the picture: measured where they are named, looked for where not.

use super::{
    light::Light,
    locate::{Cell, contrast},
    outline::Outline,
    picture::{Picture, clip, luminance, single},
    planes::{Search, patches, warmth},
    request::{GREY_LIGHTNESS, Rectangle, Reference, WHITE_LIGHTNESS},
};
use crate::{
    colour::lab::{Lab, lab_to_linear},
    geometry::{Homography, Point, point::contains},
    numeric::quantile::quantile,
};

/// A channel of a card from here up is blown out: 253 of 255.
const CARD_CLIPPED: f32 = 0.98;
/// Yellowness b* of an untoasted crumb (a toast path begins at L 84 a 0 b 15; from memory).
const CRUMB_YELLOW: f64 = 15.0;
/// How much less warm (natural logarithm) than the next an untoasted slice must be.
const PALE_GAP: f64 = 0.4;
/// How much brighter (natural logarithm) than the next an untoasted slice must be.
const BRIGHT_GAP: f64 = 0.15;
/// How much less warm than the least warm slice a card must be.
const CARD_GAP: f64 = 0.45;
/// Greatest standard deviation of ln Y over a card.
const CARD_ROUGH: f64 = 0.05;
/// A card this many times as bright as the middling slice is white, below it is grey: toast reflects
/// 6 to 50 %, white 88 %, the grey card 18 %.
const WHITE_FROM: f64 = 1.7;

/// A thing of known lightness and what the camera made of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// What it is.
    pub kind: Reference,
    /// Whether it was looked for, not named.
    pub looked_for: bool,
    /// Its true colour as taken.
    pub(super) truth: Lab,
    /// Standard error of the lightness taken for it.
    pub(super) sd: f64,
    /// Its median linear colour, light taken out.
    pub(super) seen: [f64; 3],
    /// Its middle, pixels of the picture.
    pub(super) centre: Point,
}

impl Measured {
    /// Returns the luminance of the true colour, 1 for a perfect white.
    pub(super) fn true_luminance(&self) -> f64 {
        luminance64(lab_to_linear(self.truth))
    }
}

/// Returns the luminance of a linear colour.
pub(super) fn luminance64(rgb: [f64; 3]) -> f64 {
    f64::from(luminance(rgb.map(single)))
}

/// Returns the true colour of a reference as taken, and the standard error of its lightness.
pub(super) fn taken(kind: &Reference, untoasted: f64) -> (Lab, f64) {
    match kind {
        // loaves differ by about one and a half (from memory)
        Reference::Slice { .. } => (Lab::new(untoasted, 0.0, CRUMB_YELLOW), 1.5),
        // papers and cards lie between 92 and 97 (from memory)
        Reference::White(_) => (Lab::new(WHITE_LIGHTNESS, 0.0, 0.0), 1.2),
        Reference::Grey(_, lightness) => (Lab::new(*lightness, 0.0, 0.0), 1.0),
    }
}

/// Median colour over pixels, light taken out, with the share of them blown out.
pub(super) fn median_colour(pixels: &[([f32; 3], Point)], light: &Light) -> ([f64; 3], f64) {
    let mut channels: [Vec<f64>; 3] = Default::default();
    let mut clipped = 0.0;
    for (pixel, p) in pixels {
        let factor = (-light.at(*p)).exp();
        for (channel, v) in channels.iter_mut().zip(pixel) {
            channel.push(f64::from(*v) * factor);
        }
        if pixel.iter().any(|&v| v >= CARD_CLIPPED) {
            clipped += 1.0;
        }
    }
    (
        channels.map(|c| quantile(&c, 0.5)),
        clipped / pixels.len().max(1) as f64,
    )
}

/// Returns the pixels inside a polygon that is drawn in by a tenth.
pub(super) fn pixels_inside(picture: &Picture, corners: &[Point; 4]) -> Vec<([f32; 3], Point)> {
    let middle = corners[0]
        .towards(corners[2], 0.5)
        .towards(corners[1].towards(corners[3], 0.5), 0.5);
    let inner = corners.map(|c| middle.towards(c, 0.9));
    let low = |f: fn(&Point) -> f64| inner.iter().map(f).fold(f64::MAX, f64::min);
    let high = |f: fn(&Point) -> f64| inner.iter().map(f).fold(f64::MIN, f64::max);
    let columns =
        clip(low(|p| p.x).ceil(), picture.width)..clip(high(|p| p.x) + 1.0, picture.width);
    let mut found = Vec::new();
    for y in clip(low(|p| p.y).ceil(), picture.height)..clip(high(|p| p.y) + 1.0, picture.height) {
        for x in columns.clone() {
            let p = Point::new(x as f64, y as f64);
            if contains(&inner, p) {
                found.push((picture.at(x, y), p));
            }
        }
    }
    found
}

/// The tone of a slice, for the search for an untoasted one: warmth and ln Y with the light taken out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tone {
    pub(super) warmth: f64,
    pub(super) level: f64,
}

/// Returns the mean tone over pixels, in the light at `p`.
pub(super) fn tone_of(pixels: &[[f32; 3]], light: &Light, p: Point) -> Tone {
    let n = pixels.len().max(1) as f64;
    Tone {
        warmth: pixels.iter().map(|&q| f64::from(warmth(q))).sum::<f64>() / n,
        level: pixels
            .iter()
            .map(|&q| f64::from(luminance(q).max(1e-5).ln()))
            .sum::<f64>()
            / n
            - light.at(p),
    }
}

/// Returns the place in `tones` of the one slice that is untoasted beyond doubt.
pub(super) fn untoasted(tones: &[Option<Tone>]) -> Option<usize> {
    let mut known: Vec<(usize, Tone)> = tones
        .iter()
        .enumerate()
        .filter_map(|(i, t)| t.map(|t| (i, t)))
        .collect();
    if known.len() < 3 {
        return None;
    }
    known.sort_by(|a, b| b.1.level.total_cmp(&a.1.level));
    let (first, palest) = known[0];
    let others = &known[1..];
    let next_warmth = others.iter().map(|o| o.1.warmth).fold(f64::MAX, f64::min);
    (palest.level - others[0].1.level >= BRIGHT_GAP && next_warmth - palest.warmth >= PALE_GAP)
        .then_some(first)
}

/// Looks for white and grey cards beside the lattice: rectangles of one even, neutral colour.
///
/// `tones` are those of the slices.
pub(super) fn cards(
    picture: &Picture,
    (cells, map): (&[Cell], &Homography),
    search: &Search,
    tones: &[Tone],
    light: &Light,
) -> Vec<(Reference, Outline)> {
    let warmths: Vec<f64> = tones.iter().map(|t| t.warmth).collect();
    let levels: Vec<f64> = tones.iter().map(|t| t.level).collect();
    let (least_warm, middling) = (quantile(&warmths, 0.0), quantile(&levels, 0.5));
    let mut found: Vec<(f64, Reference, Outline)> = Vec::new();
    for outline in neutral_patches(picture, map, search) {
        let inner = core(picture, &outline);
        if inner.len() < 30 {
            continue;
        }
        let pixels: Vec<[f32; 3]> = inner.iter().map(|p| p.0).collect();
        let tone = tone_of(&pixels, light, outline.centre);
        let steps: Vec<f64> = pixels
            .iter()
            .map(|&p| f64::from(luminance(p).max(1e-5).ln()))
            .collect();
        let rough = (quantile(&steps, 0.84) - quantile(&steps, 0.16)) / 2.0;
        let apart = contrast(picture, cells, &outline).unwrap_or(0.0);
        if tone.warmth > least_warm - CARD_GAP || rough > CARD_ROUGH || apart < 0.2 {
            continue;
        }
        let white = tone.level - middling > WHITE_FROM.ln();
        let (low, high) = (outline.centre, outline.side / 2.0);
        let place = Rectangle {
            x: low.x - high * 0.7,
            y: low.y - high * 0.7,
            width: high * 1.4,
            height: high * 1.4,
        };
        let kind = if white {
            Reference::White(place)
        } else {
            Reference::Grey(place, GREY_LIGHTNESS)
        };
        found.push((rough, kind, outline));
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut kept: Vec<(Reference, Outline)> = Vec::new();
    for (_, kind, outline) in found {
        let same_kind = |k: &Reference| std::mem::discriminant(k) == std::mem::discriminant(&kind);
        if !kept.iter().any(|(k, _)| same_kind(k)) {
            kept.push((kind, outline));
        }
    }
    kept
}

/// Returns the pixels well inside an outline.
fn core(picture: &Picture, outline: &Outline) -> Vec<([f32; 3], Point)> {
    let half = outline.side * 0.5;
    let c = outline.centre;
    let square = Rectangle::new(c.x - half, c.y - half, 2.0 * half, 2.0 * half);
    pixels_inside(picture, &square.corners())
        .into_iter()
        .filter(|(_, p)| outline.depth_at(*p) > 0.12 * outline.side)
        .collect()
}

/// Returns the four-sided patches outside the lattice that lie wholly in the picture.
fn neutral_patches(picture: &Picture, map: &Homography, search: &Search) -> Vec<Outline> {
    let cool = [search.planes[0].inverted()];
    let of_cool = patches(&cool, search.areas);
    let lies_in = |o: &Outline| {
        let (low, high) = o.bounds();
        // the bounds have a rim of two cells
        let rim = search.step;
        low.x > -rim
            && low.y > -rim
            && high.x < picture.width as f64 + rim
            && high.y < picture.height as f64 + rim
    };
    let on_lattice = |o: &Outline| {
        let unit = map.unmap(o.centre);
        (0.0..1.0).contains(&unit.x) && (0.0..1.0).contains(&unit.y)
    };
    let known = search.regions.iter().map(|r| (r, &search.planes[r.plane]));
    known
        .chain(of_cool.iter().map(|r| (r, &cool[0])))
        // solidity is the same for every parallelogram, however slanted; a disc has 1.047
        .filter(|(r, _)| (0.965..1.03).contains(&r.solid) && r.growth < 1.3)
        .filter_map(|(r, plane)| {
            Outline::of_members(
                &plane.members(r),
                plane.width,
                |p| search.up(p),
                search.step,
            )
        })
        .filter(|o| lies_in(o) && !on_lattice(o))
        .collect()
}

/// Returns the corners of a rectangle named by the user, in pixels of the picture.
pub(super) fn named(picture: &Picture, place: &Rectangle) -> [Point; 4] {
    place.corners().map(|c| picture.from_photo(c))
}

/// Returns the cell number of a slice named as reference.
pub(super) fn cell_of(kind: &Reference, (rows, cols): (usize, usize)) -> Option<usize> {
    match kind {
        Reference::Slice { row, col } => (*row < rows && *col < cols).then_some(row * cols + col),
        Reference::White(_) | Reference::Grey(..) => None,
    }
}
