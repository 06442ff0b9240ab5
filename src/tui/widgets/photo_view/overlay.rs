//! What is drawn over a photo: lines in braille dots, corners with their names, short texts.

use super::{CORNERS, Lattice, PhotoView, Projection};
use crate::{
    colour::Rgb,
    geometry::{Homography, Point},
    tui::{
        theme::{Depth, Role, Theme},
        widgets::rack_raster::whole,
    },
};
use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
    style::{Color, Modifier, Style},
};

/// Dots of a braille character by column and row (Unicode block U+2800).
const DOTS: [[u8; 4]; 2] = [[0x01, 0x02, 0x04, 0x40], [0x08, 0x10, 0x20, 0x80]];
/// The ground behind words, so that they are read on any photo.
const DARK: Rgb = Rgb(20, 16, 12);

/// Draws lattice, patches, corners and texts, in this order; over pixels, which hold the lines, the texts alone.
pub(super) fn draw(view: &PhotoView<'_>, projection: &Projection, buf: &mut Buffer, theme: &Theme) {
    let area = projection.area();
    if theme.pixels.is_none() {
        lines(view, projection, buf, theme);
    }
    for mark in view.marks {
        if let Some(cell) = projection.cell_of(mark.at) {
            let columns = width(&mark.text);
            let x = cell.x.saturating_sub(columns / 2).max(area.x);
            write(
                buf,
                area,
                Position::new(x, cell.y),
                &mark.text,
                over(theme, mark.role),
            );
        }
    }
    if let (Some(lattice), Some(chosen)) = (&view.lattice, view.corner) {
        // the one in hand last: it must be seen where two lie close
        for i in (0..4).filter(|&i| i != chosen).chain([chosen]) {
            if let Some(cell) = lattice.corners.get(i).and_then(|&c| projection.cell_of(c)) {
                let role = if i == chosen {
                    Role::Chosen
                } else {
                    Role::Cool
                };
                let sign = theme.pixels.is_none();
                handle(buf, area, (cell, sign), (CORNERS[i], over(theme, role)));
            }
        }
    }
}

/// Draws lattice and patches in dots.
fn lines(view: &PhotoView<'_>, projection: &Projection, buf: &mut Buffer, theme: &Theme) {
    let area = projection.area();
    if let Some(lattice) = &view.lattice {
        let mut lines = Lines::new(area);
        for [from, to] in sides(lattice) {
            lines.line(projection, from, to);
        }
        lines.draw(buf, theme, Role::Cool);
    }
    if !view.patches.is_empty() {
        let mut lines = Lines::new(area);
        for patch in view.patches {
            for i in 0..4 {
                lines.line(projection, patch[i], patch[(i + 1) % 4]);
            }
        }
        lines.draw(buf, theme, Role::Caution);
    }
}

/// Returns the lattice's lines from end to end: a perspective keeps them straight.
pub(super) fn sides(lattice: &Lattice) -> Vec<[Point; 2]> {
    let Ok(map) = Homography::of_unit_square(&lattice.corners) else {
        return Vec::new();
    };
    let (rows, cols) = (lattice.rows.max(1), lattice.cols.max(1));
    let line = |a: (f64, f64), b: (f64, f64)| [a, b].map(|(u, v)| map.map(Point::new(u, v)));
    let along = (0..=rows).map(|row| row as f64 / rows as f64);
    let down = (0..=cols).map(|col| col as f64 / cols as f64);
    along
        .map(|v| line((0.0, v), (1.0, v)))
        .chain(down.map(|u| line((u, 0.0), (u, 1.0))))
        .collect()
}

/// Draws the name of a corner on the side where there is room, and a sign on the corner where pixels hold none.
fn handle(
    buf: &mut Buffer,
    area: Rect,
    (cell, sign): (Position, bool),
    (name, style): (&str, Style),
) {
    let columns = width(name) + 2;
    let (x, text) = match (cell.x + columns <= area.right(), sign) {
        (true, true) => (cell.x, format!("\u{25c6} {name}")),
        (true, false) => (cell.x + 2, name.to_owned()),
        (false, true) => (
            (cell.x + 1).saturating_sub(columns),
            format!("{name} \u{25c6}"),
        ),
        (false, false) => ((cell.x + 1).saturating_sub(columns), name.to_owned()),
    };
    write(
        buf,
        area,
        Position::new(x.max(area.x), cell.y),
        &text,
        style,
    );
}

fn width(text: &str) -> u16 {
    u16::try_from(text.chars().count()).unwrap_or(u16::MAX)
}

fn write(buf: &mut Buffer, area: Rect, at: Position, text: &str, style: Style) {
    for (x, c) in (at.x..area.right()).zip(text.chars()) {
        let cell = &mut buf[(x, at.y)];
        cell.reset();
        cell.set_char(c).set_style(style);
    }
}

/// Returns the style of words over a photo.
fn over(theme: &Theme, role: Role) -> Style {
    let style = theme.style(role);
    match theme.depth {
        Depth::TrueColour | Depth::Indexed256 => {
            let plain = theme.colour(Rgb(250, 246, 240));
            style.bg(theme.colour(DARK)).fg(style.fg.unwrap_or(plain))
        }
        Depth::Ansi16 => style.bg(Color::Black).fg(style.fg.unwrap_or(Color::White)),
        Depth::NoColour => style.add_modifier(Modifier::BOLD),
    }
}

/// Thin lines, two dots a column and four a row.
struct Lines {
    area: Rect,
    dots: Vec<u8>,
}

impl Lines {
    fn new(area: Rect) -> Self {
        Self {
            area,
            dots: vec![0; usize::from(area.width) * usize::from(area.height)],
        }
    }

    /// Draws the part of a line that is in sight.
    fn line(&mut self, projection: &Projection, from: Point, to: Point) {
        let (columns, rows) = (f64::from(self.area.width), f64::from(self.area.height));
        let (a, b) = (projection.offset(from), projection.offset(to));
        let Some((first, last)) = clip(a, b, (columns, rows)) else {
            return;
        };
        let (dx, dy) = ((b.0 - a.0) * 2.0, (b.1 - a.1) * 4.0);
        let steps = whole((dx.abs().max(dy.abs()) * (last - first)).ceil());
        for i in 0..=steps {
            let t = first + (last - first) * f64::from(i) / f64::from(steps.max(1));
            self.dot(a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t);
        }
    }

    fn dot(&mut self, column: f64, row: f64) {
        if !(column >= 0.0 && row >= 0.0) {
            return;
        }
        let [x, y] = [column * 2.0, row * 4.0].map(|n| usize::from(whole(n.floor())));
        let width = usize::from(self.area.width);
        if x / 2 < width
            && let Some(cell) = self.dots.get_mut(y / 4 * width + x / 2)
        {
            *cell |= DOTS[x % 2][y % 4];
        }
    }

    fn draw(&self, buf: &mut Buffer, theme: &Theme, role: Role) {
        let ink = theme.style(role);
        for (position, &dots) in self.area.positions().zip(&self.dots) {
            if dots == 0 {
                continue;
            }
            let cell = &mut buf[position];
            // the lower half goes on behind the dots
            let ground = cell.bg;
            cell.reset();
            cell.bg = ground;
            cell.set_char(char::from_u32(0x2800 + u32::from(dots)).unwrap_or('+'));
            cell.set_style(ink);
        }
    }
}

/// Returns the share of the line from `a` to `b` that lies in 0..columns by 0..rows (Liang and
/// Barsky's way of clipping; from memory).
pub(super) fn clip(
    a: (f64, f64),
    b: (f64, f64),
    (columns, rows): (f64, f64),
) -> Option<(f64, f64)> {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (p, q) in [
        (-dx, a.0),
        (dx, columns - a.0),
        (-dy, a.1),
        (dy, rows - a.1),
    ] {
        if p.abs() < 1e-12 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            first = first.max(q / p);
        } else {
            last = last.min(q / p);
        }
    }
    (first <= last).then_some((first, last))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_cut_to_what_is_in_sight() {
        let whole = clip((1.0, 1.0), (3.0, 2.0), (10.0, 5.0)).unwrap();
        assert_eq!(whole, (0.0, 1.0));
        let (first, last) = clip((-10.0, 2.0), (10.0, 2.0), (10.0, 5.0)).unwrap();
        assert!((first - 0.5).abs() < 1e-12 && (last - 1.0).abs() < 1e-12);
        assert_eq!(clip((-3.0, 0.0), (-3.0, 4.0), (10.0, 5.0)), None);
        assert_eq!(clip((0.0, -9.0), (-9.0, 4.0), (10.0, 5.0)), None);
    }
}
