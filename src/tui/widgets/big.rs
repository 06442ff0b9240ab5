//! Figures large enough to be read from across a kitchen.

use super::rack_raster::cells;
use crate::{
    report::digits,
    tui::theme::{Role, Theme},
    units::Minutes,
};
use ratatui::{buffer::Buffer, layout::Rect};

/// Rows of a large figure.
pub const BIG_ROWS: u16 = 5;
/// Columns of one character, the gap behind it included.
const EACH: usize = 8;

/// Returns the columns a text takes.
pub fn width_of(text: &str) -> u16 {
    cells(text.chars().count() * EACH)
}

/// Draws figures, `:`, `+`, `-` and `.` large; where they do not fit, in ordinary size.
pub fn draw(text: &str, area: Rect, buf: &mut Buffer, theme: &Theme, role: Role) {
    let style = theme.style(role);
    if area.height < BIG_ROWS || area.width < width_of(text) {
        buf.set_stringn(area.x, area.y, text, usize::from(area.width), style);
        return;
    }
    for (i, character) in text.chars().enumerate() {
        for (row, bits) in (0..).zip(digits::rows(character)) {
            for col in 0..3 {
                if bits >> (2 - col) & 1 == 1 {
                    let x = area.x + cells(i * EACH + col * 2);
                    buf.set_string(x, area.y + row, "\u{2588}\u{2588}", style);
                }
            }
        }
    }
}

/// Writes a time as a clock does, without its sign: `8:05`, `61:00`.
pub fn clock(time: Minutes) -> String {
    let seconds = time.seconds().abs().ceil();
    format!("{:.0}:{:02.0}", (seconds / 60.0).floor(), seconds % 60.0)
}

/// Draws how long it is to the next step of a bake, or how long that is overdue, with what is said beside it.
///
/// The last line warns whoever is about to open the door.
pub fn countdown(
    left: Minutes,
    overdue: bool,
    lines: &[String],
    area: Rect,
    (buf, theme): (&mut Buffer, &Theme),
) {
    let text = clock(left);
    let role = if overdue { Role::Wrong } else { Role::Heading };
    draw(&text, area, buf, theme, role);
    let x = area.x + width_of(&text) + 2;
    let room = usize::from(area.right().saturating_sub(x));
    let first = if overdue {
        "overdue"
    } else {
        "until the next step"
    };
    let lines = std::iter::once(first).chain(lines.iter().map(String::as_str));
    for (line, y) in lines.zip(area.y..) {
        buf.set_stringn(x, y, line, room, theme.style(Role::Plain));
    }
    let caution = "it burns: dry mitts. c: cautions";
    let last = area.y + BIG_ROWS - 1;
    buf.set_stringn(x, last, caution, room, theme.style(Role::Caution));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::widgets::synthetic::plain;

    #[test]
    fn figures_are_drawn_large_where_they_fit_and_plain_where_not() {
        let drawn = |width, height| {
            let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
            draw(
                "12:05",
                buf.area,
                &mut buf,
                &Theme::default(),
                Role::Heading,
            );
            plain(&buf)
        };
        insta::assert_snapshot!(drawn(40, 5));
        assert_eq!(drawn(39, 5).trim_end(), "12:05");
        assert_eq!(drawn(40, 4).trim_end(), "12:05");
    }
}
