//! The shading of a rack, its frame, and the canvas that overlays are drawn on.

use super::{brush::Brush, sampled::Sampled};
use crate::{
    field::{Evidence, RackMap, Zone},
    geometry::Grid,
    model::{Reading, ToastTest},
    report::{Quantity, Scale},
    tui::theme::{Depth, Role, Theme},
};
use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
    style::{Color, Modifier, Style},
};

/// What can be laid over the shading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Overlay {
    /// Lines at whole shades or degrees.
    Contours,
    /// Outlines and names of zones.
    Zones,
    /// Arrows of steepest rise.
    Arrows,
    /// Slice scores.
    Scores,
    /// Weaker shading where little is known.
    Doubt,
}

/// Which overlays are on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Overlays(u8);

impl Default for Overlays {
    /// Contours, zones and doubt: what a baker needs first.
    fn default() -> Self {
        Self::none()
            .with(Overlay::Contours)
            .with(Overlay::Zones)
            .with(Overlay::Doubt)
    }
}

impl Overlays {
    /// Returns the bare shading.
    pub const fn none() -> Self {
        Self(0)
    }

    const fn bit(overlay: Overlay) -> u8 {
        match overlay {
            Overlay::Contours => 1,
            Overlay::Zones => 2,
            Overlay::Arrows => 4,
            Overlay::Scores => 8,
            Overlay::Doubt => 16,
        }
    }

    /// Tells whether one is on.
    pub const fn has(self, overlay: Overlay) -> bool {
        self.0 & Self::bit(overlay) != 0
    }

    /// Returns these with one more.
    #[must_use]
    pub const fn with(self, overlay: Overlay) -> Self {
        Self(self.0 | Self::bit(overlay))
    }

    /// Switches one on or off.
    pub fn toggle(&mut self, overlay: Overlay) {
        self.0 ^= Self::bit(overlay);
    }
}

/// A few characters at the place of a slice.
#[derive(Debug, Clone, PartialEq)]
pub struct SliceMark {
    /// Rack position.
    pub rack: u8,
    /// Centre, cm from the left wall.
    pub x: f64,
    /// Centre, cm from the door.
    pub y: f64,
    /// What is written there: a score, `-` skipped, `x` missing, `?` not scored yet.
    pub text: String,
}

impl SliceMark {
    /// Writes down every slice of a test.
    pub fn of(test: &ToastTest) -> Vec<Self> {
        let text = |reading: Reading| match reading {
            Reading::Unscored => "?".to_owned(),
            Reading::Skipped => "-".to_owned(),
            Reading::Missing => "x".to_owned(),
            Reading::ByEye(shade) => shade.to_string().replace(".5", "½"),
            Reading::Measured { .. } => reading
                .browning(test.untoasted())
                .map_or_else(String::new, |(b, _)| format!("{:.1}", b.shades())),
        };
        test.slices
            .iter()
            .map(|s| Self {
                rack: s.rack,
                x: s.place.x.0,
                y: s.place.y.0,
                text: text(s.reading),
            })
            .collect()
    }
}

/// The shaded map of one rack position with what is laid over it.
#[derive(Debug, Clone, Copy)]
pub struct RackRaster<'a> {
    /// The map.
    pub map: &'a RackMap,
    /// What is shown, and over which range.
    pub scale: &'a Scale,
    /// Zones; those of other racks are left out.
    pub zones: &'a [Zone],
    /// Slices; those of other racks are left out.
    pub slices: &'a [SliceMark],
    /// What is laid over the shading.
    pub overlays: Overlays,
    /// The place read out, cm from the left wall and from the door.
    pub cursor: Option<(f64, f64)>,
}

/// How far the picture may be stretched from the cavity's true proportions.
pub(super) const STRETCH: f64 = 1.05;
/// The smallest picture that says anything, frame included.
const SMALLEST: (u16, u16) = (12, 5);

/// Draws the walls of a rack position: the back on top, the door, drawn double, at the bottom.
pub(crate) fn walls(
    inner: Rect,
    (rack, evidence): (u8, Evidence),
    buf: &mut Buffer,
    theme: &Theme,
) {
    let (left, right) = (inner.x - 1, inner.right());
    let (top, bottom) = (inner.y - 1, inner.bottom());
    let quiet = theme.style(Role::Quiet);
    let (across, down) = match evidence {
        Evidence::Tested => ("─", "│"),
        Evidence::Interpolated => ("╌", "╎"),
    };
    for x in inner.x..right {
        buf.set_string(x, top, across, quiet);
        buf.set_string(x, bottom, "═", quiet);
    }
    for y in inner.y..bottom {
        buf.set_string(left, y, down, quiet);
        buf.set_string(right, y, down, quiet);
    }
    for (x, y, corner) in [
        (left, top, "┌"),
        (right, top, "┐"),
        (left, bottom, "╘"),
        (right, bottom, "╛"),
    ] {
        buf.set_string(x, y, corner, quiet);
    }
    let width = usize::from(inner.width);
    let short = format!(" rack {rack} ");
    let long = format!(" rack {rack}, not tested ");
    let name = match evidence {
        Evidence::Interpolated if long.len() <= width => long,
        Evidence::Tested | Evidence::Interpolated => short,
    };
    buf.set_stringn(inner.x, top, &name, width, theme.style(Role::Heading));
    let taken = name.chars().count();
    // The words stand in the middle where the name leaves it free, else right of the name.
    let middle = |word: &str| (width.saturating_sub(word.len())) / 2;
    let back = middle(" back ").max(taken + 1);
    if back + 6 <= width {
        buf.set_string(inner.x + cells(back), top, " back ", quiet);
    }
    if width >= 6 {
        buf.set_string(inner.x + cells(middle(" door ")), bottom, " door ", quiet);
    }
}

/// Returns the cells that carry the map when it is drawn in `area`, or `None` where it cannot be.
pub fn inside(area: Rect, grid: &Grid) -> Option<Rect> {
    if area.width < SMALLEST.0 || area.height < SMALLEST.1 || grid.is_empty() {
        return None;
    }
    // A character cell is about twice as high as wide.
    let ratio = (2.0 * grid.width / grid.depth).clamp(0.5, 12.0);
    let (width, height) = (f64::from(area.width - 2), f64::from(area.height - 2));
    let width_kept = width.min((height * ratio * STRETCH).floor());
    let height_kept = height.min((width_kept / ratio * STRETCH).ceil());
    let [width_kept, height_kept] = [width_kept, height_kept].map(|n| whole(n.max(1.0)));
    let spare = area.width - 2 - width_kept;
    Some(Rect::new(
        area.x + 1 + spare / 2,
        area.y + 1,
        width_kept,
        height_kept,
    ))
}

/// Returns the place (cm from the left wall and from the door) under a character cell.
pub fn place_under(at: Position, inner: Rect, grid: &Grid) -> Option<(f64, f64)> {
    if !inner.contains(at) {
        return None;
    }
    let share = |v: u16, from: u16, n: u16| (f64::from(v - from) + 0.5) / f64::from(n);
    let x = share(at.x, inner.x, inner.width) * grid.width;
    let y = (1.0 - share(at.y, inner.y, inner.height)) * grid.depth;
    Some((x, y))
}

/// Returns column and row of the cell that holds a place, in a picture of so many columns and rows, held to the edge.
pub(crate) fn cell_under(
    (x, y): (f64, f64),
    (cols, rows): (usize, usize),
    grid: &Grid,
) -> (usize, usize) {
    let picture = Grid {
        cols,
        rows,
        ..*grid
    };
    let (row, col) = picture
        .cell_at(x.clamp(0.0, grid.width), y.clamp(0.0, grid.depth))
        .unwrap_or((0, 0));
    (col, row)
}

/// Converts a count that is known to fit a terminal.
pub(crate) fn cells(n: usize) -> u16 {
    u16::try_from(n).unwrap_or(u16::MAX)
}

/// Rounds an extent to whole cells, or to the dots in them; none for less than nothing.
pub(crate) fn whole(extent: f64) -> u16 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to what a terminal can have"
    )]
    let n = extent.round().clamp(0.0, 8000.0) as u16;
    n
}

/// Where the shading and everything over it is drawn.
pub(super) struct Canvas<'c> {
    /// The cells that carry the map.
    pub(super) inner: Rect,
    /// The screen.
    pub(super) buf: &'c mut Buffer,
    /// The map read at those cells.
    pub(super) sampled: &'c Sampled,
    /// What is shown, and over which range.
    pub(super) scale: &'c Scale,
    pub(super) brush: &'static Brush,
    /// How many colours there are.
    pub(super) theme: &'c Theme,
    /// Cells that a line or a word stands in.
    pub(super) taken: Vec<bool>,
}

/// Characters from light to dense.
const DENSITY: [char; 10] = [' ', '.', ':', '-', '=', '+', '*', '#', '%', '@'];
/// Characters from coolest over the mean to hottest: the sign stays readable without colour.
const HOT_COOL: [char; 9] = ['≡', '=', '~', '-', ' ', '+', '*', '#', '@'];

/// Returns the character that stands for a figure where there are no shades of colour.
pub(crate) fn character(scale: &Scale, value: f64) -> char {
    let share = scale.share(value);
    let pick = |of: &[char]| {
        let i = usize::from(whole((share * of.len() as f64).floor()));
        of[i.min(of.len() - 1)]
    };
    match scale.quantity {
        Quantity::Shade => pick(&DENSITY),
        Quantity::Degrees { .. } => pick(&HOT_COOL),
    }
}

impl Canvas<'_> {
    pub(super) fn shade(&mut self, show_doubt: bool) {
        if self.theme.is_shaded() {
            self.shade_halves(show_doubt);
        } else {
            self.shade_characters(show_doubt);
        }
    }

    pub(super) fn shade_halves(&mut self, show_doubt: bool) {
        let ramp = self.scale.quantity.ramp();
        for row in 0..self.sampled.rows {
            for col in 0..self.sampled.cols {
                let colour = |half: usize| {
                    let (value, doubtful) = self.sampled.half(col, row, half);
                    let i = ramp.index(self.scale.share(value));
                    // Stippled: two of three sub-cells are weak, on a diagonal.
                    if show_doubt && doubtful && !(col + row * 2 + half).is_multiple_of(3) {
                        self.brush.weak[i]
                    } else {
                        self.brush.strong[i]
                    }
                };
                let (upper, lower) = (colour(0), colour(1));
                let at = self.position(col, row);
                if let Some(cell) = self.buf.cell_mut(at) {
                    cell.set_char('▀').set_fg(upper).set_bg(lower);
                }
            }
        }
    }

    pub(super) fn shade_characters(&mut self, show_doubt: bool) {
        for row in 0..self.sampled.rows {
            for col in 0..self.sampled.cols {
                let value = self.sampled.cell(col, row);
                let doubtful = show_doubt && self.sampled.is_doubtful(col, row);
                let character = if doubtful && !(col + row).is_multiple_of(2) {
                    ' '
                } else {
                    character(self.scale, value)
                };
                let style = self.character_style(value);
                let at = self.position(col, row);
                if let Some(cell) = self.buf.cell_mut(at) {
                    cell.set_char(character).set_style(style);
                }
            }
        }
    }

    /// Writes figures on a wide lattice where nothing else stands, doubtful ones in brackets.
    pub(super) fn figures(&mut self, show_doubt: bool) {
        let (pitch, first) = match self.scale.quantity {
            Quantity::Shade => (6, 2),
            Quantity::Degrees { .. } => (10, 3),
        };
        for row in (0..self.sampled.rows).step_by(2) {
            // Every other line of figures is moved by half a pitch: a denser look at no more ink.
            let from = first + if row % 4 == 0 { 0 } else { pitch / 2 };
            for col in (from..self.sampled.cols).step_by(pitch) {
                let figure = self
                    .scale
                    .quantity
                    .mark(self.sampled.cell(col, row).round());
                let text = if show_doubt && self.sampled.is_doubtful(col, row) {
                    format!("({figure})")
                } else {
                    // A blank on either side keeps a sign apart from characters that look like one.
                    match self.scale.quantity {
                        Quantity::Shade => figure,
                        Quantity::Degrees { .. } => format!(" {figure} "),
                    }
                };
                if self.is_free(col, row, text.len()) {
                    self.write(col, row, &text, Modifier::BOLD);
                }
            }
        }
    }

    /// Tells whether a text of `width` centred on a cell would cover nothing but shading.
    pub(super) fn is_free(&self, col: usize, row: usize, width: usize) -> bool {
        let from = self.start_of(col, width);
        let row = row * self.sampled.cols;
        self.taken
            .get(row + from..row + from + width)
            .is_some_and(|t| !t.contains(&true))
    }

    /// Returns the column where a text of `width` begins that is centred on `col` and kept inside.
    pub(super) fn start_of(&self, col: usize, width: usize) -> usize {
        let last = self.sampled.cols.saturating_sub(width);
        col.saturating_sub(width.saturating_sub(1) / 2).min(last)
    }

    pub(super) fn character_style(&self, value: f64) -> Style {
        let share = self.scale.share(value);
        match (self.theme.depth, self.scale.quantity) {
            (Depth::NoColour | Depth::TrueColour | Depth::Indexed256, _) => Style::new(),
            (Depth::Ansi16, Quantity::Shade) => Style::new().fg(match share {
                s if s < 0.34 => Color::LightYellow,
                s if s < 0.67 => Color::Yellow,
                _ => Color::Red,
            }),
            (Depth::Ansi16, Quantity::Degrees { .. }) => Style::new().fg(match share {
                s if s < 0.45 => Color::LightBlue,
                s if s < 0.55 => Color::Gray,
                _ => Color::LightRed,
            }),
        }
    }

    /// Returns the screen position of a cell of the map.
    pub(super) fn position(&self, col: usize, row: usize) -> Position {
        Position::new(self.inner.x + cells(col), self.inner.y + cells(row))
    }

    /// Returns the cell of the map that holds a place, held to the edge.
    pub(super) fn cell_of(&self, x: f64, y: f64, grid: &Grid) -> (usize, usize) {
        cell_under((x, y), (self.sampled.cols, self.sampled.rows), grid)
    }

    /// Draws one character of a line over the shading.
    pub(super) fn line(&mut self, col: usize, row: usize, character: char) {
        self.taken[row * self.sampled.cols + col] = true;
        let i = self.ramp_index(col, row);
        let shaded = self.theme.is_shaded();
        let brush = self.brush;
        let at = self.position(col, row);
        if let Some(cell) = self.buf.cell_mut(at) {
            cell.set_char(character);
            cell.modifier = Modifier::empty();
            if shaded {
                cell.set_fg(brush.line[i]).set_bg(brush.strong[i]);
            }
        }
    }

    /// Writes text over the shading, centred on a cell and kept inside the map.
    pub(super) fn write(&mut self, col: usize, row: usize, text: &str, modifier: Modifier) {
        let width = text.chars().count();
        if width > self.sampled.cols {
            return;
        }
        let from = col
            .saturating_sub((width - 1) / 2)
            .min(self.sampled.cols - width);
        let shaded = self.theme.is_shaded();
        let brush = self.brush;
        for (col, character) in (from..).zip(text.chars()) {
            self.taken[row * self.sampled.cols + col] = true;
            let i = self.ramp_index(col, row);
            let at = self.position(col, row);
            if let Some(cell) = self.buf.cell_mut(at) {
                cell.set_char(character);
                if shaded {
                    cell.set_fg(brush.ink[i]).set_bg(brush.strong[i]);
                }
                cell.modifier = modifier;
            }
        }
    }

    pub(super) fn ramp_index(&self, col: usize, row: usize) -> usize {
        let share = self.scale.share(self.sampled.cell(col, row));
        self.scale.quantity.ramp().index(share)
    }
}
