//! The map of one rack on paper: bands of colour with lines between, figures, hatched zones, door and back.
//!
//! What is cooler than the mean is ruled by level lines, hot zones are crossed by slanting ones and cool ones
//! dotted, and figures carry their sign: without colour the picture says the same.

use super::{
    document::MapFigure,
    font::{Fonts, Weight},
    page::{Anchor, Frame, INK, Item, QUIET, Words},
};
use crate::{
    colour::Rgb,
    field::{RackMap, Zone, ZoneKind},
    geometry::{Resampler, contour},
    report::quantity::{Quantity, Scale},
    units::no_negative_zero,
};

/// Fine cells along the door and front to back, in which bands are told apart.
const FINE: (usize, usize) = (72, 54);
/// The same on the front of a card, where maps are large.
const SMOOTH: (usize, usize) = (200, 150);
/// Share of a colour left on paper: figures must stay legible on it.
const STRENGTH: f64 = 0.62;
/// Fine cells overlap by this much, mm, so that no seam shows between them.
const BLEED: f64 = 0.06;
/// Distance from one hatching line to the next, mm.
const HATCH: f64 = 2.2;
/// Distance between the level lines that rule what is cooler than the mean, mm: four to a line of figures.
const RULED: f64 = 1.1;
/// Thickness of these lines, mm.
pub(super) const RULE: f64 = 0.1;

/// Draws a map with its upper left corner at `x`, `y`, `width` wide and with letters of a size; returns
/// where it ends.
pub(super) fn draw(
    items: &mut Vec<Item>,
    drawn: &MapFigure,
    scale: &Scale,
    fonts: &Fonts,
    (x, y, width, letters): (f64, f64, f64, f64),
) -> f64 {
    let title = fonts.wrap(&drawn.title, Weight::Bold, letters, width);
    let mut at = y;
    for line in title {
        at += letters * 1.2;
        items.push(Words::new(line, (x, at), letters, Weight::Bold).into());
    }
    at += letters * 1.2;
    let middle = x + width / 2.0;
    items.push(quiet("back wall", (middle, at), letters * 0.8));
    let field = Frame {
        x,
        y: at + letters * 0.35,
        width,
        height: width * drawn.map.grid.depth / drawn.map.grid.width,
    };
    bands(items, &drawn.map, scale, field);
    lines(items, &drawn.map, scale, field);
    for zone in drawn.zones.iter().filter(|z| z.rack == drawn.map.rack) {
        hatched(items, &drawn.map, zone, field);
    }
    figures(items, &drawn.map, scale, field, letters * 0.92);
    items.push(Item::Outline(field, 0.25, INK));
    let door = Frame {
        y: field.y + field.height,
        height: letters * 0.35,
        ..field
    };
    items.push(Item::Fill(door, INK));
    let under = door.y + door.height + letters * 0.85;
    items.push(quiet("door", (middle, under), letters * 0.8));
    under + letters * 0.3
}

/// Draws what the bands mean, and the hatching where there are zones; returns where it ends.
pub(super) fn legend(
    items: &mut Vec<Item>,
    scale: &Scale,
    zoned: bool,
    (x, y, width, letters): (f64, f64, f64, f64),
) -> f64 {
    let marks = scale.marks();
    let ramp = Frame {
        x: x + letters * 1.5,
        y,
        width: width.min(letters * 34.0) - letters * 3.0,
        height: letters * 0.9,
    };
    let place = |value: f64| ramp.x + scale.share(value) * ramp.width;
    for pair in marks.windows(2) {
        let band = Frame {
            x: place(pair[0]),
            width: place(pair[1]) - place(pair[0]),
            ..ramp
        };
        let middle = f64::midpoint(pair[0], pair[1]);
        items.push(Item::Fill(band, colour(scale, middle)));
        if is_cool(scale, middle) {
            items.push(Item::Lines(ruled(band), RULE, INK));
        }
        items.push(Item::Outline(band, 0.15, INK));
    }
    let base = ramp.y + ramp.height + letters;
    // Figures that would touch are left out, but the middle stays: it is the mean.
    let every = marks.len().div_ceil(9).max(1);
    let shown = |i: usize| i.abs_diff(marks.len() / 2).is_multiple_of(every);
    for (i, mark) in marks.iter().enumerate().filter(|(i, _)| shown(*i)) {
        let unit = if i + every >= marks.len() {
            format!(" {}", scale.quantity.unit_name())
        } else {
            String::new()
        };
        let text = format!("{}{unit}", scale.quantity.mark(*mark));
        items.push(quiet(&text, (place(*mark), base), letters * 0.8));
    }
    let said = match scale.quantity {
        Quantity::Shade => "shade the toast would have; (  ) can't tell yet",
        Quantity::Degrees { .. } => {
            "hotter (+) or cooler (-, level lines) than the rest of the rack; (  ) can't tell yet"
        }
    };
    let hatching = if zoned {
        "; slanting lines: hot zone, dots: cool zone"
    } else {
        ""
    };
    let said = format!("{said}{hatching}");
    let size = letters * 0.8;
    // Letters are about half as wide as they are high.
    let lines: Vec<&str> = if said.len() as f64 * size * 0.52 > width {
        said.split("; ").collect()
    } else {
        vec![&said]
    };
    let mut end = base;
    for line in lines {
        end += letters * 1.15;
        let size = size.min(width / line.len() as f64 * 2.0);
        let line = Words::new(line, (x, end), size, Weight::Regular);
        items.push(line.inked(QUIET).into());
    }
    end + letters * 0.3
}

fn quiet(text: &str, at: (f64, f64), size: f64) -> Item {
    let words = Words::new(text, at, size, Weight::Regular);
    words.anchored(Anchor::Middle).inked(QUIET).into()
}

/// Returns the band a value lies in, by its lower mark.
fn band(scale: &Scale, value: f64) -> i64 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a handful of bands; a float cast saturates"
    )]
    let band = ((value - scale.lo) / scale.step).floor() as i64;
    band
}

fn colour(scale: &Scale, value: f64) -> Rgb {
    let Rgb(r, g, b) = scale.quantity.ramp().at(scale.share(value));
    let paled = |c: u8| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between a colour's value and 255"
        )]
        let paled = (255.0 - (255.0 - f64::from(c)) * STRENGTH).round() as u8;
        paled
    };
    Rgb(paled(r), paled(g), paled(b))
}

/// Draws a map for a far reader: bare paper where it bakes like the rest of the rack, colour where a zone is hotter
/// or cooler, and the zones hatched.
pub(super) fn tinted(items: &mut Vec<Item>, drawn: &MapFigure, scale: &Scale, field: Frame) {
    let zones = || drawn.zones.iter().filter(|z| z.rack == drawn.map.rack);
    let shown = |middle: f64| {
        let kind = if middle < 0.0 {
            ZoneKind::Cool
        } else {
            ZoneKind::Hot
        };
        middle.abs() > scale.step && zones().any(|z| z.kind == kind)
    };
    for (run, middle) in runs(&drawn.map, scale, field, SMOOTH) {
        if shown(middle) {
            items.push(Item::Fill(bled(run, field), colour(scale, middle)));
        }
    }
    for zone in zones() {
        hatched(items, &drawn.map, zone, field);
    }
}

fn values(map: &RackMap, scale: &Scale, (cols, rows): (usize, usize)) -> Vec<f64> {
    Resampler::centres(&map.grid, cols, rows)
        .read(&map.mean)
        .into_iter()
        .map(|b| scale.quantity.value(b, map.rack_mean))
        .collect()
}

/// Returns runs of fine cells of one band, each with the value in the middle of its band.
fn runs(map: &RackMap, scale: &Scale, field: Frame, fine: (usize, usize)) -> Vec<(Frame, f64)> {
    let (cols, rows) = fine;
    let values = values(map, scale, fine);
    let (w, h) = (field.width / cols as f64, field.height / rows as f64);
    let mut out = Vec::new();
    for (row, line) in values.chunks(cols).enumerate() {
        let mut from = 0;
        for to in 1..=line.len() {
            if to < line.len() && band(scale, line[to]) == band(scale, line[from]) {
                continue;
            }
            let run = Frame {
                x: field.x + from as f64 * w,
                y: field.y + row as f64 * h,
                width: (to - from) as f64 * w,
                height: h,
            };
            let lower = scale.lo + band(scale, line[from]) as f64 * scale.step;
            out.push((run, lower + scale.step / 2.0));
            from = to;
        }
    }
    out
}

/// Returns a run a little larger, so that no seam shows between it and the next.
fn bled(run: Frame, field: Frame) -> Frame {
    Frame {
        width: (run.width + BLEED).min(field.x + field.width - run.x),
        height: (run.height + BLEED).min(field.y + field.height - run.y),
        ..run
    }
}

/// Fills the bands, and rules what is cooler.
fn bands(items: &mut Vec<Item>, map: &RackMap, scale: &Scale, field: Frame) {
    let mut cool = Vec::new();
    for (run, middle) in runs(map, scale, field, FINE) {
        items.push(Item::Fill(bled(run, field), colour(scale, middle)));
        if is_cool(scale, middle) {
            cool.extend(ruled(run));
        }
    }
    if !cool.is_empty() {
        items.push(Item::Lines(cool, RULE, INK));
    }
}

/// Tells whether a value is on the cold side of a scale of degrees.
fn is_cool(scale: &Scale, value: f64) -> bool {
    match scale.quantity {
        Quantity::Shade => false,
        Quantity::Degrees { .. } => value < 0.0,
    }
}

/// Returns the level lines y = k RULED that cross a frame.
fn ruled(frame: Frame) -> Vec<contour::Piece> {
    let mut pieces = Vec::new();
    let mut k = (frame.y / RULED).ceil();
    while k * RULED < frame.y + frame.height {
        let y = k * RULED;
        pieces.push([(frame.x, y), (frame.x + frame.width, y)]);
        k += 1.0;
    }
    pieces
}

fn lines(items: &mut Vec<Item>, map: &RackMap, scale: &Scale, field: Frame) {
    let (cols, rows) = FINE;
    let values = values(map, scale, FINE);
    for mark in scale.marks() {
        let place = |p: (f64, f64)| {
            (
                field.x + (p.0 + 0.5) / cols as f64 * field.width,
                field.y + (p.1 + 0.5) / rows as f64 * field.height,
            )
        };
        let pieces: Vec<_> = contour::line(&values, cols, mark)
            .into_iter()
            .map(|[a, b]| [place(a), place(b)])
            .collect();
        if !pieces.is_empty() {
            // The mean itself is drawn stronger.
            let thick = if mark.abs() < scale.step / 2.0 {
                0.25
            } else {
                0.12
            };
            items.push(Item::Lines(pieces, thick, QUIET));
        }
    }
}

/// Hatches a zone: slanting lines where hot, dots where cool.
fn hatched(items: &mut Vec<Item>, map: &RackMap, zone: &Zone, field: Frame) {
    let (w, h) = (
        field.width / map.grid.cols as f64,
        field.height / map.grid.rows as f64,
    );
    let cells: Vec<Frame> = zone
        .cells
        .iter()
        .map(|&(row, col)| Frame::new(field.x + col as f64 * w, field.y + row as f64 * h, w, h))
        .collect();
    match zone.kind {
        ZoneKind::Hot => {
            let pieces = cells.iter().flat_map(|&cell| slants(cell)).collect();
            items.push(Item::Lines(pieces, 0.22, INK));
        }
        ZoneKind::Cool => {
            let dots = cells.iter().flat_map(|&cell| dots(cell)).collect();
            items.push(Item::Dots(dots, 0.28, INK));
        }
    }
}

/// Cuts the lines x + y = k HATCH to a cell; lines of neighbouring cells meet.
fn slants(cell: Frame) -> Vec<contour::Piece> {
    let (left, right) = (cell.x, cell.x + cell.width);
    let (top, bottom) = (cell.y, cell.y + cell.height);
    let mut k = ((left + top) / HATCH).ceil();
    let mut pieces = Vec::new();
    while k * HATCH <= right + bottom {
        let sum = k * HATCH;
        let from = (sum - bottom).max(left);
        let to = (sum - top).min(right);
        if to > from {
            pieces.push([(from, sum - from), (to, sum - to)]);
        }
        k += 1.0;
    }
    pieces
}

/// Returns the nodes of a square lattice that lie in a cell.
fn dots(cell: Frame) -> Vec<(f64, f64)> {
    let step = HATCH * 0.75;
    let mut out = Vec::new();
    let mut j = (cell.y / step).ceil();
    while j * step < cell.y + cell.height {
        let mut i = (cell.x / step).ceil();
        while i * step < cell.x + cell.width {
            out.push((i * step, j * step));
            i += 1.0;
        }
        j += 1.0;
    }
    out
}

/// Writes figures on a lattice as fine as their size allows; doubtful ones in brackets.
fn figures(items: &mut Vec<Item>, map: &RackMap, scale: &Scale, field: Frame, size: f64) {
    let count = |length: f64, pitch: f64, most: usize| {
        let fits = (1..=most).rev().find(|n| *n as f64 * pitch <= length);
        fits.unwrap_or(1)
    };
    let cols = count(field.width, size * 3.6, 5);
    let rows = count(field.height, size * 2.3, 4);
    let read = Resampler::centres(&map.grid, cols, rows);
    let (mean, sd, contrast_sd) = (
        read.read(&map.mean),
        read.read(&map.sd),
        read.read(&map.contrast_sd),
    );
    for i in 0..cols * rows {
        let value = scale.quantity.value(mean[i], map.rack_mean);
        if !value.is_finite() {
            continue;
        }
        let figure = match scale.quantity {
            Quantity::Shade => format!("{:.1}", no_negative_zero(value, 1)),
            Quantity::Degrees { .. } => scale.quantity.mark(value),
        };
        let doubtful = scale
            .quantity
            .is_doubtful(mean[i] - map.rack_mean, contrast_sd[i], sd[i]);
        let text = if doubtful {
            format!("({figure})")
        } else {
            figure
        };
        let (col, row) = (i % cols, i / cols);
        let at = (
            field.x + (col as f64 + 0.5) / cols as f64 * field.width,
            field.y + (row as f64 + 0.5) / rows as f64 * field.height + size * 0.36,
        );
        let words = Words::new(text, at, size, Weight::Bold);
        items.push(words.anchored(Anchor::Middle).rimmed().into());
    }
}
