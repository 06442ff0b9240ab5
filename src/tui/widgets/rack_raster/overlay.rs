//! What is laid over the shading of a rack: contours, arrows, zones, scores and the cursor.

use super::{Canvas, Overlay, RackRaster, whole};
use crate::{
    field::{Strength, Zone},
    geometry::contour::{Passage, passages},
    model::PlaceName,
    report::Quantity,
    tui::theme::Role,
};
use ratatui::style::Modifier;

/// Columns from one arrow to the next.
const ARROW_COLS: usize = 6;
/// Rows from one arrow to the next.
const ARROW_ROWS: usize = 3;
/// An arrow is drawn where a slice's width (10 cm) along it changes this much, shades.
const ARROW_SHADES: f64 = 0.25;
/// A slice's width, cm.
const SLICE_CM: f64 = 10.0;

/// Draws every overlay that is on, the most important last.
pub(super) fn draw(raster: &RackRaster, canvas: &mut Canvas) {
    if raster.overlays.has(Overlay::Contours) {
        contours(canvas);
    }
    if raster.overlays.has(Overlay::Arrows) {
        arrows(raster, canvas);
    }
    let zones = || raster.zones.iter().filter(|z| z.rack == raster.map.rack);
    if raster.overlays.has(Overlay::Zones) {
        zones().for_each(|zone| outline(raster, zone, canvas));
    }
    if raster.overlays.has(Overlay::Scores) {
        let grid = &raster.map.grid;
        for slice in raster.slices.iter().filter(|s| s.rack == raster.map.rack) {
            let (col, row) = canvas.cell_of(slice.x, slice.y, grid);
            canvas.write(col, row, &slice.text, Modifier::BOLD);
        }
    }
    if raster.overlays.has(Overlay::Zones) {
        zones().for_each(|zone| name(raster, zone, canvas));
    }
    // Scores are figures too: both at once could not be told apart.
    if !canvas.theme.is_shaded() && !raster.overlays.has(Overlay::Scores) {
        canvas.figures(raster.overlays.has(Overlay::Doubt));
    }
    if let Some((x, y)) = raster.cursor {
        cursor(canvas, canvas.cell_of(x, y, &raster.map.grid));
    }
}

/// Draws a line at every mark of the scale, and each line's figure where it runs level.
fn contours(canvas: &mut Canvas) {
    let marks = canvas.scale.marks();
    let mut longest = vec![(0_usize, 0_usize, 0_usize); marks.len()]; // length, col, row
    for row in 0..canvas.sampled.rows {
        let mut run: Option<(usize, usize)> = None; // mark, length
        for col in 0..canvas.sampled.cols {
            let found = crossing_at(canvas, col, row, &marks);
            if let Some((_, character)) = found {
                canvas.line(col, row, character);
            }
            run = match (found, run) {
                (Some((mark, '─')), Some((before, length))) if mark == before => {
                    Some((mark, length + 1))
                }
                (Some((mark, '─')), _) => Some((mark, 1)),
                (Some(_) | None, _) => None,
            };
            if let Some((mark, length)) = run
                && length > longest[mark].0
            {
                longest[mark] = (length, col, row);
            }
        }
    }
    for (mark, (length, last, row)) in marks.iter().zip(longest) {
        let text = canvas.scale.quantity.mark(*mark);
        if length >= text.len() + 2 {
            canvas.write(last - length / 2, row, &text, Modifier::empty());
        }
    }
}

/// Returns which mark's line passes a cell, and its character; of several the one nearest to the cell's own figure.
fn crossing_at(canvas: &Canvas, col: usize, row: usize, marks: &[f64]) -> Option<(usize, char)> {
    let corners = canvas.sampled.corners(col, row);
    let low = corners.iter().copied().fold(f64::INFINITY, f64::min);
    let high = corners.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let middle = f64::midpoint(low, high);
    let crossed = marks
        .iter()
        .enumerate()
        .filter(|&(_, &m)| low < m && m <= high);
    let (mark, level) = crossed
        .min_by(|(_, one), (_, other)| (*one - middle).abs().total_cmp(&(*other - middle).abs()))?;
    match passages(corners, *level) {
        [Some(passage), None] => Some((mark, light(passage))),
        [Some(Passage::LeftTop), Some(_)] => Some((mark, '╱')),
        [Some(_), Some(_)] => Some((mark, '╲')),
        [None, _] => None,
    }
}

fn light(passage: Passage) -> char {
    match passage {
        Passage::LeftTop => '╯',
        Passage::TopRight => '╰',
        Passage::RightBottom => '╭',
        Passage::BottomLeft => '╮',
        Passage::LeftRight => '─',
        Passage::TopBottom => '│',
    }
}

fn heavy(passage: Passage) -> char {
    match passage {
        Passage::LeftTop => '┛',
        Passage::TopRight => '┗',
        Passage::RightBottom => '┏',
        Passage::BottomLeft => '┓',
        Passage::LeftRight => '━',
        Passage::TopBottom => '┃',
    }
}

fn dashed(passage: Passage) -> char {
    match passage {
        Passage::LeftRight => '╌',
        Passage::TopBottom => '╎',
        Passage::LeftTop | Passage::TopRight | Passage::RightBottom | Passage::BottomLeft => {
            light(passage)
        }
    }
}

/// Draws arrows towards the steepest rise where the rise is worth one and is known.
fn arrows(raster: &RackRaster, canvas: &mut Canvas) {
    let (cols, rows) = (canvas.sampled.cols, canvas.sampled.rows);
    let grid = &raster.map.grid;
    let (cell_x, cell_y) = (grid.width / cols as f64, grid.depth / rows as f64);
    let least = match canvas.scale.quantity {
        Quantity::Shade => ARROW_SHADES,
        Quantity::Degrees { .. } => canvas.scale.quantity.difference(
            ARROW_SHADES * crate::model::shade::browning_per_shade(),
            raster.map.rack_mean,
        ),
    } / SLICE_CM;
    for row in (1..rows).step_by(ARROW_ROWS) {
        for col in (ARROW_COLS / 2..cols).step_by(ARROW_COLS) {
            let (right, back) = canvas.sampled.rise(col, row);
            let (right, back) = (right / cell_x, back / cell_y);
            if right.hypot(back) >= least {
                canvas.write(col, row, arrow(right, back), Modifier::BOLD);
            }
        }
    }
}

/// Returns the arrow nearest to a direction, right and towards the back (up on screen).
fn arrow(right: f64, back: f64) -> &'static str {
    const ROSE: [&str; 8] = ["→", "↗", "↑", "↖", "←", "↙", "↓", "↘"];
    let eighths = (back.atan2(right) / std::f64::consts::FRAC_PI_4).round();
    ROSE[usize::from(whole(eighths.rem_euclid(8.0))) % 8]
}

/// Draws the outline of a zone: of what is said plainly in heavy lines, of what probably belongs to it in light ones.
fn outline(raster: &RackRaster, zone: &Zone, canvas: &mut Canvas) {
    let probable = || zone.cells.iter().chain(&zone.around);
    match zone.strength {
        Strength::Probable => border(raster, probable(), dashed, canvas),
        Strength::Plain => {
            if !zone.around.is_empty() {
                border(raster, probable(), dashed, canvas);
            }
            border(raster, zone.cells.iter(), heavy, canvas);
        }
    }
}

/// Draws the border of a set of cells (row, column) in lines of one weight.
fn border<'c>(
    raster: &RackRaster,
    cells: impl Iterator<Item = &'c (usize, usize)>,
    line: fn(Passage) -> char,
    canvas: &mut Canvas,
) {
    let grid = &raster.map.grid;
    let mut held = vec![false; grid.len()];
    for &(row, col) in cells {
        if let Some(cell) = held.get_mut(grid.index(row, col)) {
            *cell = true;
        }
    }
    let (cols, rows) = (canvas.sampled.cols, canvas.sampled.rows);
    let in_zone = |col: usize, row: usize| {
        let x = col as f64 / cols as f64 * grid.width;
        let y = (1.0 - row as f64 / rows as f64) * grid.depth;
        let inside = grid
            .cell_at(x, y)
            .is_some_and(|(r, c)| held[grid.index(r, c)]);
        f64::from(u8::from(inside))
    };
    for row in 0..rows {
        for col in 0..cols {
            let corners = [
                in_zone(col, row),
                in_zone(col + 1, row),
                in_zone(col + 1, row + 1),
                in_zone(col, row + 1),
            ];
            match passages(corners, 0.5) {
                [Some(passage), None] => {
                    let mut text = [0; 4];
                    let text = line(passage).encode_utf8(&mut text);
                    canvas.write(col, row, text, Modifier::BOLD);
                }
                [Some(_), Some(_)] => canvas.write(col, row, "╋", Modifier::BOLD),
                [None, _] => {}
            }
        }
    }
}

/// Writes a zone's name and peak at its centre.
fn name(raster: &RackRaster, zone: &Zone, canvas: &mut Canvas) {
    let grid = &raster.map.grid;
    let (x, y) = zone.centre;
    let place = PlaceName::of(x, y, grid.width, grid.depth).spoken();
    let kind = format!("{}{}", zone.strength.adverb(), zone.kind.word());
    let peak = match canvas.scale.quantity {
        Quantity::Shade => format!("{:+.1} shades", zone.peak_shade.value),
        Quantity::Degrees { unit, .. } => {
            unit.show_delta(crate::units::CelsiusDelta(zone.peak_c.value))
        }
    };
    let (col, row) = canvas.cell_of(x, y, grid);
    let room = canvas.sampled.cols / 2;
    let full = format!("{kind} {place}");
    let text = if full.len() <= room { full } else { kind };
    canvas.write(col, row, &text, Modifier::BOLD);
    if row + 1 < canvas.sampled.rows {
        canvas.write(col, row + 1, &peak, Modifier::BOLD);
    }
}

/// Marks a cell with a cross and its column and row on the frame.
fn cursor(canvas: &mut Canvas, (col, row): (usize, usize)) {
    canvas.write(col, row, "┼", Modifier::BOLD | Modifier::REVERSED);
    let style = canvas.theme.style(Role::Key);
    let at = canvas.position(col, row);
    let inner = canvas.inner;
    for (x, y, mark) in [
        (at.x, inner.y - 1, "▼"),
        (at.x, inner.bottom(), "▲"),
        (inner.x - 1, at.y, "▶"),
        (inner.right(), at.y, "◀"),
    ] {
        // The words on the frame stay whole.
        let word = canvas
            .buf
            .cell((x, y))
            .is_some_and(|c| c.symbol().chars().all(|c| c.is_alphanumeric() || c == ' '));
        if !word {
            canvas.buf.set_string(x, y, mark, style);
        }
    }
}
