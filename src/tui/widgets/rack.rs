//! One rack position seen from above, with slices at their places: back on top, door at the bottom.

use super::rack_raster::whole;
use crate::{
    model::{Cavity, Reading, Slice, SliceSize},
    tui::theme::{Role, Theme, ink_on},
    tui::widgets::shade_card::shade_colour,
};
use ratatui::{
    Frame,
    buffer::Buffer,
    layout::{Constraint, Layout, Margin, Position, Rect},
    style::{Modifier, Style},
    symbols::border,
    text::{Line, Span},
    widgets::{Block, Widget},
};

/// A slice to draw: its place in the test's list, and the slice.
pub type Numbered<'s> = (usize, &'s Slice);

/// How a rack position is drawn.
#[derive(Debug, Clone, Copy)]
pub struct RackPicture<'a> {
    /// The inside of the oven.
    pub cavity: Cavity,
    /// Size of a slice.
    pub size: SliceSize,
    /// The slices on this rack position.
    pub slices: &'a [Numbered<'a>],
    /// Index of the slice that has the cursor.
    pub cursor: Option<usize>,
    /// Lightness L* of an untoasted slice.
    pub untoasted: f64,
    /// Words over the picture.
    pub heading: &'a str,
}

/// Columns a rack position needs beside others.
const BESIDE: u16 = 24;

/// Draws slices like `like` on several rack positions side by side, as many as find room.
pub(crate) fn side_by_side(
    like: &RackPicture<'_>,
    racks: &[u8],
    all: &[Slice],
    (theme, frame): (&Theme, &mut Frame<'_>),
    area: Rect,
) {
    let room = usize::from((area.width / BESIDE).max(1));
    let count = racks.len().min(room).max(1);
    let each = u32::try_from(count).unwrap_or(1);
    let parts = Layout::horizontal(vec![Constraint::Ratio(1, each); count]).split(area);
    for (i, (rack, part)) in racks.iter().zip(parts.iter()).enumerate() {
        let more = racks.len() - count;
        let more = if more > 0 && i + 1 == count {
            format!(" (+{more})")
        } else {
            String::new()
        };
        let slices: Vec<Numbered<'_>> = all
            .iter()
            .enumerate()
            .filter(|(_, s)| s.rack == *rack)
            .collect();
        let picture = RackPicture {
            slices: &slices,
            heading: &format!(" rack {rack}{more} "),
            ..*like
        };
        draw(&picture, theme, frame, *part);
    }
}

/// Returns the largest frame inside `area` whose inside has the cavity's shape.
///
/// A terminal cell is about twice as high as it is wide.
pub fn frame_of(cavity: Cavity, area: Rect) -> Rect {
    let (columns, rows) = (area.width.saturating_sub(2), area.height.saturating_sub(2));
    let shape = cavity.width.0 / cavity.depth.0 * 2.0;
    let fitting_columns = whole(f64::from(rows) * shape).min(columns);
    let fitting_rows = whole(f64::from(columns) / shape).min(rows);
    let width = fitting_columns + 2;
    let height = fitting_rows + 2;
    Rect::new(area.x, area.y, width, height)
}

/// Returns the cells a slice covers inside `frame`, at least 3 x 1.
pub fn box_of(cavity: Cavity, size: SliceSize, slice: &Slice, frame: Rect) -> Rect {
    let inside = frame.inner(Margin::new(1, 1));
    let across = f64::from(inside.width) / cavity.width.0;
    let deep = f64::from(inside.height) / cavity.depth.0;
    let left = whole((slice.place.x.0 - size.width.0 / 2.0) * across);
    let right = whole((slice.place.x.0 + size.width.0 / 2.0) * across);
    let from_back = cavity.depth.0 - slice.place.y.0;
    let top = whole((from_back - size.depth.0 / 2.0) * deep);
    let bottom = whole((from_back + size.depth.0 / 2.0) * deep);
    let width = right.saturating_sub(left).max(3).min(inside.width);
    let height = bottom.saturating_sub(top).max(1).min(inside.height);
    Rect::new(
        inside.x + left.min(inside.width - width),
        inside.y + top.min(inside.height - height),
        width,
        height,
    )
}

/// Finds the slice drawn at `at`.
pub fn slice_at(picture: &RackPicture<'_>, area: Rect, at: Position) -> Option<usize> {
    let frame = frame_of(picture.cavity, area);
    picture
        .slices
        .iter()
        .find(|(_, slice)| box_of(picture.cavity, picture.size, slice, frame).contains(at))
        .map(|(index, _)| *index)
}

/// Draws the rack position into `area`.
pub fn draw(picture: &RackPicture<'_>, theme: &Theme, frame: &mut Frame<'_>, area: Rect) {
    let outer = frame_of(picture.cavity, area);
    let quiet = theme.style(Role::Quiet);
    // The name of the rack goes before that of its back.
    let roomy = usize::from(outer.width) >= 2 * picture.heading.chars().count() + 8;
    let block = Block::bordered()
        .border_style(quiet)
        .title_top(Line::from(Span::styled(
            picture.heading.to_owned(),
            theme.style(Role::Heading),
        )))
        .title_top(Line::styled(if roomy { " back " } else { "" }, quiet).centered())
        .title_bottom(Line::styled(" door ", quiet).centered());
    frame.render_widget(block, outer);
    for (index, slice) in picture.slices {
        let cell = box_of(picture.cavity, picture.size, slice, outer);
        let chosen = picture.cursor == Some(*index);
        one(
            picture,
            theme,
            (*index, slice),
            (cell, chosen),
            frame.buffer_mut(),
        );
    }
}

/// Returns the colours of a scored slice: its toast behind, a readable ink on it.
fn reading_style(theme: &Theme, reading: Reading, untoasted: f64) -> Style {
    match reading.browning(untoasted) {
        None => theme.style(Role::Quiet),
        Some(_) if !theme.is_shaded() => Style::new(),
        Some((browning, _)) => {
            let ground = shade_colour(browning.shades());
            Style::new()
                .bg(theme.colour(ground))
                .fg(theme.colour(ink_on(ground)))
        }
    }
}

/// Draws one slice: its number in the corner, its score in the middle, its colour behind.
fn one(
    picture: &RackPicture<'_>,
    theme: &Theme,
    (index, slice): Numbered<'_>,
    (cell, chosen): (Rect, bool),
    buffer: &mut Buffer,
) {
    let style = reading_style(theme, slice.reading, picture.untoasted);
    let emphasis = if chosen {
        style.add_modifier(Modifier::BOLD)
    } else {
        style
    };
    for position in cell.positions() {
        if let Some(c) = buffer.cell_mut(position) {
            c.reset();
            c.set_style(style);
        }
    }
    let roomy = cell.width >= 5 && cell.height >= 3;
    if roomy && (chosen || !theme.is_shaded() || slice.reading.browning(84.0).is_none()) {
        let set = if chosen { border::THICK } else { border::PLAIN };
        let line = if chosen {
            theme.style(Role::Caution).patch(background(style))
        } else {
            style
        };
        Block::bordered()
            .border_set(set)
            .border_style(line)
            .render(cell, buffer);
    }
    // A number sign keeps a slice's number apart from a shade.
    let label = match (words(slice.reading), chosen) {
        (score, _) if !score.is_empty() => score,
        (_, true) => format!("#{}?", index + 1),
        (_, false) => format!("#{}", index + 1),
    };
    let middle = cell.y + cell.height / 2;
    let columns = u16::try_from(label.chars().count()).unwrap_or(cell.width);
    let start = cell.x + cell.width.saturating_sub(columns) / 2;
    buffer.set_stringn(start, middle, &label, usize::from(cell.width), emphasis);
    if !roomy {
        brackets(cell, middle, chosen, buffer, emphasis);
    }
}

/// Marks a small box by brackets, so that it is seen without colour and its cursor too.
fn brackets(cell: Rect, row: u16, chosen: bool, buffer: &mut Buffer, style: Style) {
    let (open, close) = if chosen {
        ("\u{25b6}", "\u{25c0}")
    } else {
        ("[", "]")
    };
    if cell.width >= 4 || chosen {
        buffer.set_string(cell.x, row, open, style);
        buffer.set_string(cell.right() - 1, row, close, style);
    }
}

fn background(style: Style) -> Style {
    style.bg.map_or_else(Style::new, |bg| Style::new().bg(bg))
}

/// Returns what is written on a slice: its score, or a sign and word for why there is none.
fn words(reading: Reading) -> String {
    match reading {
        Reading::Unscored => String::new(),
        Reading::Skipped => "skip".to_owned(),
        Reading::Missing => "none".to_owned(),
        Reading::ByEye(shade) => shade.to_string(),
        Reading::Measured { lightness, .. } => format!("L{lightness:.0}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{model::Place, units::Centimetres};

    fn slice(x: f64, y: f64) -> Slice {
        Slice {
            rack: 1,
            place: Place::new(Centimetres(x), Centimetres(y)),
            reading: Reading::Unscored,
        }
    }

    const CAVITY: Cavity = Cavity::new(Centimetres(60.0), Centimetres(45.0), Centimetres(40.0));

    #[test]
    fn back_left_is_drawn_top_left_and_a_click_finds_it() {
        let (back_left, front_right) = (slice(10.0, 38.0), slice(50.0, 7.0));
        let slices = [(0, &back_left), (1, &front_right)];
        let picture = RackPicture {
            cavity: CAVITY,
            size: SliceSize::ORDINARY,
            slices: &slices,
            cursor: None,
            untoasted: 84.0,
            heading: "",
        };
        let area = Rect::new(5, 3, 44, 18);
        assert_eq!(slice_at(&picture, area, Position::new(12, 6)), Some(0));
        let frame = frame_of(CAVITY, area);
        let far = box_of(CAVITY, SliceSize::ORDINARY, &front_right, frame);
        assert!(far.x > frame.x + frame.width / 2 && far.y > frame.y + frame.height / 2);
        assert_eq!(slice_at(&picture, area, far.as_position()), Some(1));
        assert_eq!(slice_at(&picture, area, Position::new(0, 0)), None);
    }

    #[test]
    fn every_box_stays_inside_however_small_the_frame_or_far_the_slice() {
        for (w, h) in [(6, 4), (10, 5), (44, 18), (118, 38)] {
            let frame = frame_of(CAVITY, Rect::new(0, 0, w, h));
            for (x, y) in [(-20.0, -20.0), (0.0, 45.0), (30.0, 20.0), (90.0, 90.0)] {
                let cell = box_of(CAVITY, SliceSize::ORDINARY, &slice(x, y), frame);
                assert_eq!(frame.intersection(cell), cell, "{w}x{h} {x},{y}");
            }
        }
    }
}
