//! Where each slice lies: the solid patch near its place of the lattice that stands out as bread
//! does, or none.

use super::{
    lattice::{cell_centre, pitch},
    outline::Outline,
    picture::{Picture, luminance},
    planes::{patches, planes, warmth, window},
    regions::{Plane, Region},
};
use crate::{
    geometry::{Homography, Point},
    numeric::{quantile::quantile, whole},
};

/// Pixels of a window for one step of the lattice: enough to outline a slice, few enough to be quick.
const WINDOW_PITCH: f64 = 50.0;
/// Half width of the window around a place, in steps of the lattice.
const WINDOW: f64 = 0.64;
/// Least and greatest area of a slice, in squared steps of the lattice.
const AREAS: (f64, f64) = (0.28, 1.08);
/// Farthest a slice's centre may lie from its place, in steps of the lattice.
const FARTHEST: f64 = 0.36;
/// Least difference (natural logarithm, warmth and brightness added as squares) between a slice and
/// what lies around it. Slices of rendered photos differ by 0.38 and more, gaps by less than 0.2.
const LEAST_CONTRAST: f64 = 0.25;
/// Contrast of the middling slice above which every slice stands out: brown bread on a brown board
/// does not.
const EASY_CONTRAST: f64 = 0.75;
/// So much less warm than the middling slice is untoasted crumb, or no bread (natural logarithm).
const COOL: f64 = 0.4;
/// Warmth that toast loses as it goes on to darken: natural logarithm for that of brightness. Bread
/// that is nearly black is nearly grey.
const SCORCHED: f64 = 0.6;
/// Contrast of a scorched slice, at least: a gap over a dark ground has less.
const CLEAR_CONTRAST: f64 = 0.5;
/// So much brighter than the middling slice untoasted crumb is at least (natural logarithm).
const PALE: f64 = 0.15;

/// A patch whose side differs by less from the middling slice's, natural logarithm, is as large as one.
const SLICE_SIZED: f64 = 0.1;

/// Pixels looked at along the side of a slice to tell its tone.
const LOOKS: f64 = 50.0;

/// A place of the lattice and what lies there.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    /// Where the lattice expects the slice, pixels of the picture.
    pub(super) place: Point,
    /// The shorter step of the lattice here, pixels of the picture.
    pub(super) pitch: f64,
    /// The direction of its row to the right.
    pub(super) along: Point,
    /// The slice, if one lies here.
    pub(super) outline: Option<Outline>,
    /// Whether something lies here that stands out too little to be told from the ground.
    pub(super) faint: bool,
}

/// The places of a lattice.
#[derive(Debug, Clone)]
pub(super) struct Located {
    pub(super) cells: Vec<Cell>,
    /// How much the middling slice stands out from what lies around it, natural logarithm of warmth
    /// and brightness; NaN without any.
    pub(super) contrast: f64,
}

/// Patches of the whole picture that were matched to the lattice already.
pub(super) struct Matched<'a> {
    pub(super) planes: &'a [Plane],
    pub(super) regions: &'a [Region],
    /// One for each cell.
    pub(super) cells: &'a [Option<usize>],
    /// Pixels of the picture for one of the planes.
    pub(super) step: f64,
}

/// Finds the slice of each place of the lattice; `map` goes from the unit square to the picture.
pub(super) fn locate(
    picture: &Picture,
    map: &Homography,
    counts: (usize, usize),
    matched: Option<&Matched<'_>>,
) -> Located {
    let (rows, cols) = counts;
    let mut cells: Vec<Cell> = (0..rows * cols)
        .map(|i| {
            let c = cell_centre(i, counts);
            let half = 0.5 / cols as f64;
            let left = map.map(Point::new(c.x - half, c.y));
            let right = map.map(Point::new(c.x + half, c.y));
            Cell {
                place: map.map(c),
                pitch: pitch(map, i, counts),
                along: Point::new(right.x - left.x, right.y - left.y),
                outline: None,
                faint: false,
            }
        })
        .collect();
    if let Some(m) = matched {
        for (cell, region) in cells.iter_mut().zip(m.cells) {
            cell.outline = region.and_then(|r| outline_of(&m.regions[r], m, Point::new(0.0, 0.0)));
        }
    }
    let pitches: Vec<f64> = cells.iter().map(|c| c.pitch).collect();
    let factor = counted(quantile(&pitches, 0.5) / WINDOW_PITCH);
    let reduced = picture.reduced(factor);
    let step = factor as f64;
    // first by looks alone, then once more knowing how large a slice is
    for round in 0..2 {
        let sizes: Vec<f64> = cells
            .iter()
            .filter_map(|c| c.outline.as_ref().map(|o| o.side / c.pitch))
            .collect();
        let usual = quantile(&sizes, 0.5);
        for cell in &mut cells {
            let odd = |o: &Outline| round == 1 && (o.side / cell.pitch / usual).ln().abs() > 0.2;
            if cell.outline.as_ref().is_none_or(odd) {
                let found = search(&reduced, cell, step, usual);
                if found.is_some() || round == 1 {
                    cell.outline = found;
                }
            }
        }
    }
    let contrast = drop_what_is_no_bread(picture, &mut cells);
    Located { cells, contrast }
}

fn counted(v: f64) -> usize {
    whole::floor(v.round().max(1.0))
}

/// Makes an outline of a patch whose planes begin at `first` (pixels of the planes).
fn outline_of(region: &Region, from: &Matched<'_>, first: Point) -> Option<Outline> {
    let plane = &from.planes[region.plane];
    let half = (from.step - 1.0) / 2.0;
    Outline::of_members(
        &plane.members(region),
        plane.width,
        |p| {
            Point::new(
                (p.x + first.x) * from.step + half,
                (p.y + first.y) * from.step + half,
            )
        },
        from.step,
    )
}

/// Looks for a slice in a window around its place; `usual` is the side of a slice in steps, if known.
fn search(reduced: &Picture, cell: &Cell, step: f64, usual: f64) -> Option<Outline> {
    let half = (step - 1.0) / 2.0;
    let centre = Point::new((cell.place.x - half) / step, (cell.place.y - half) / step);
    let pitch = cell.pitch / step;
    let (cut, first) = window(reduced, centre, WINDOW * pitch);
    if cut.width < 8 || cut.height < 8 {
        return None;
    }
    let planes = planes(&cut);
    let square = pitch * pitch;
    let found = patches(&planes, (AREAS.0 * square, AREAS.1 * square));
    let here = Point::new(centre.x - first.x, centre.y - first.y);
    let value = |r: &Region| {
        let size = if usual.is_finite() {
            (r.area.sqrt() / pitch / usual).ln().abs() * 2.0
        } else {
            0.0
        };
        r.merit() - r.centre.distance(here) / pitch - size
    };
    let best = found
        .iter()
        .filter(|r| r.centre.distance(here) < FARTHEST * pitch)
        .max_by(|a, b| value(a).total_cmp(&value(b)))?;
    if value(best) < 0.2 {
        return None;
    }
    let from = Matched {
        planes: &planes,
        regions: &found,
        cells: &[],
        step,
    };
    outline_of(best, &from, first)
}

/// Mean warmth and brightness of the pixels that `wanted` picks, by their depth over the side.
fn tone(picture: &Picture, outline: &Outline, wanted: impl Fn(Point) -> bool) -> Option<[f64; 2]> {
    let (low, high) = outline.bounds();
    let rim = outline.side * 0.2;
    let mut sum = [0.0; 2];
    let mut n = 0.0;
    let stride = counted(outline.side / LOOKS);
    let range = |a: f64, b: f64, limit: usize| {
        let first = counted((a - rim).max(1.0));
        (first..counted(b + rim).min(limit)).step_by(stride)
    };
    for y in range(low.y, high.y, picture.height) {
        for x in range(low.x, high.x, picture.width) {
            if wanted(Point::new(x as f64, y as f64)) {
                let pixel = picture.at(x, y);
                sum[0] += f64::from(warmth(pixel));
                sum[1] += f64::from((luminance(pixel).max(0.0) + 0.004).ln());
                n += 1.0;
            }
        }
    }
    (n >= 8.0).then(|| sum.map(|s| s / n))
}

/// Forgets patches that hardly differ from what lies around them: a gap, seen between two bars; and
/// those without the warmth of the other slices that are not paler than them either: stone or steel.
///
/// Returns how much the middling patch stands out from what lies around it, natural logarithms.
fn drop_what_is_no_bread(picture: &Picture, cells: &mut [Cell]) -> f64 {
    let contrasts: Vec<Option<f64>> = (0..cells.len())
        .map(|i| {
            let outline = cells[i].outline.as_ref()?;
            contrast(picture, cells, outline)
        })
        .collect();
    let tones: Vec<Option<[f64; 2]>> = cells
        .iter()
        .map(|c| {
            let o = c.outline.as_ref()?;
            tone(picture, o, |p| o.depth_at(p) > 0.25 * o.side)
        })
        .collect();
    let middling = |i: usize| {
        let known: Vec<f64> = tones.iter().flatten().map(|t| t[i]).collect();
        quantile(&known, 0.5)
    };
    let (warm, level) = (middling(0), middling(1));
    // as large as a slice, and not quite like the ground: it may be one that glare or shadow lies on
    let sides = cells
        .iter()
        .filter_map(|c| Some(c.outline.as_ref()?.side / c.pitch));
    let side = quantile(&sides.collect::<Vec<_>>(), 0.5);
    let may_be_one = |cell: &Cell, contrast: Option<f64>| {
        let like = |o: &Outline| (o.side / cell.pitch / side).ln().abs() < SLICE_SIZED;
        cell.outline.as_ref().is_some_and(like)
            && contrast.is_some_and(|c| c >= LEAST_CONTRAST / 2.0)
    };
    for ((cell, tone), contrast) in cells.iter_mut().zip(&tones).zip(&contrasts) {
        // a patch without a core is a ragged ring
        let clear = contrast.is_some_and(|c| c >= CLEAR_CONTRAST);
        let bread = |t: &[f64; 2]| {
            let darker = if clear { (level - t[1]).max(0.0) } else { 0.0 };
            t[0] >= warm - COOL - SCORCHED * darker || t[1] >= level + PALE
        };
        if !tone.as_ref().is_some_and(bread) {
            cell.faint = may_be_one(cell, *contrast);
            cell.outline = None;
        }
    }
    // where all bread stands out, what hardly does is a gap; elsewhere it may be either
    let known: Vec<f64> = contrasts.iter().flatten().copied().collect();
    let usual = quantile(&known, 0.5);
    let doubtful = usual < EASY_CONTRAST;
    for (cell, contrast) in cells.iter_mut().zip(contrasts) {
        if contrast.is_some_and(|c| !is_distinct(c)) {
            cell.faint |= may_be_one(cell, contrast)
                || doubtful && contrast.is_some_and(|c| c >= LEAST_CONTRAST / 2.0);
            cell.outline = None;
        }
    }
    usual
}

/// Tells whether a contrast is that of bread against what it lies on.
pub(super) fn is_distinct(contrast: f64) -> bool {
    contrast >= LEAST_CONTRAST
}

/// Returns how much a slice differs from the ring around it, natural logarithms.
pub(super) fn contrast(picture: &Picture, cells: &[Cell], outline: &Outline) -> Option<f64> {
    let core = tone(picture, outline, |p| {
        outline.depth_at(p) > 0.25 * outline.side
    })?;
    let near: Vec<&Outline> = cells
        .iter()
        .filter_map(|c| c.outline.as_ref())
        .filter(|o| o.centre.distance(outline.centre) < 2.0 * o.side.max(outline.side))
        .collect();
    let free = |p: Point| !near.iter().any(|o| o.holds(p));
    let ring = tone(picture, outline, |p| {
        let far = p.distance(outline.centre);
        far > 0.55 * outline.side && far < 0.85 * outline.side && free(p)
    })?;
    Some((core[0] - ring[0]).hypot(core[1] - ring[1]))
}
