//! A move, drawn: the oven from the front before and after, trays on their racks, arrows between.

use super::rack_raster::cells;
use crate::{
    model::{Segment, TrayPlacement},
    tui::theme::{Role, Theme},
};
use ratatui::{buffer::Buffer, layout::Rect};

/// The trays at one time, or at two with what changes between.
#[derive(Debug, Clone, Copy)]
pub struct MovePicture<'a> {
    /// Numbers of the oven's rack positions, lowest first.
    pub racks: &'a [u8],
    /// Where the trays are; `None` draws `after` alone (loading the oven).
    pub before: Option<&'a Segment>,
    /// Where they go.
    pub after: &'a Segment,
}

/// Widths one oven may have, walls included.
const OVEN: std::ops::RangeInclusive<u16> = 17..=26;
/// Columns before the ovens, for the names of the racks.
const NAMES: u16 = 7;
/// Columns between the two ovens, for the arrows.
const BETWEEN: u16 = 9;
/// A shift of this many centimetres moves a tray by one column.
const CM_PER_COLUMN: f64 = 3.0;

impl MovePicture<'_> {
    /// Returns the fewest columns and the rows the picture takes.
    pub fn size(&self) -> (u16, u16) {
        let ovens = if self.before.is_some() {
            OVEN.start() * 2 + BETWEEN
        } else {
            *OVEN.start()
        };
        (ovens + NAMES, cells(self.racks.len()) + 2)
    }

    /// Returns the rack positions that hold a tray before or after, lowest first.
    fn in_use(&self) -> Vec<u8> {
        let holds = |segment: &Segment, rack: u8| segment.trays.iter().any(|t| t.rack == rack);
        self.racks
            .iter()
            .copied()
            .filter(|&r| holds(self.after, r) || self.before.is_some_and(|b| holds(b, r)))
            .collect()
    }

    /// Draws the picture: every rack position where there is room, else those in use.
    ///
    /// An area too small for it stays as it was.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        if area.height >= self.size().1 {
            self.draw_all(area, buf, theme);
        } else {
            let racks = self.in_use();
            MovePicture {
                racks: &racks,
                before: self.before,
                after: self.after,
            }
            .draw_all(area, buf, theme);
        }
    }

    fn draw_all(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let (width, height) = self.size();
        if area.width < width || area.height < height {
            return;
        }
        for (i, rack) in self.racks.iter().rev().enumerate() {
            let text = format!("rack {rack}");
            buf.set_string(
                area.x,
                area.y + 1 + cells(i),
                text,
                theme.style(Role::Quiet),
            );
        }
        let room = area.width - NAMES;
        let of = |room: u16| room.clamp(*OVEN.start(), *OVEN.end());
        let first = |width| Rect::new(area.x + NAMES, area.y, width, height);
        match self.before {
            None => self.oven(self.after, None, first(of(room)), (buf, theme)),
            Some(before) => {
                let first = first(of((room - BETWEEN) / 2));
                let second = Rect {
                    x: first.right() + BETWEEN,
                    ..first
                };
                self.oven(before, None, first, (buf, theme));
                self.oven(self.after, Some(before), second, (buf, theme));
                self.arrows(before, first, buf, theme);
            }
        }
    }

    /// Returns the line of a rack position, if the oven has it.
    fn line(&self, rack: u8, oven: Rect) -> Option<u16> {
        let i = self.racks.iter().rev().position(|&r| r == rack)?;
        Some(oven.y + 1 + cells(i))
    }

    fn oven(
        &self,
        segment: &Segment,
        before: Option<&Segment>,
        oven: Rect,
        (buf, theme): (&mut Buffer, &Theme),
    ) {
        let quiet = theme.style(Role::Quiet);
        let (right, bottom) = (oven.right() - 1, oven.bottom() - 1);
        for x in oven.x..=right {
            buf.set_string(x, oven.y, "─", quiet);
            buf.set_string(x, bottom, "─", quiet);
        }
        for y in oven.y + 1..bottom {
            for x in oven.x + 1..right {
                buf.set_string(x, y, "·", quiet);
            }
            buf.set_string(oven.x, y, "│", quiet);
            buf.set_string(right, y, "│", quiet);
        }
        for (x, y, corner) in [
            (oven.x, oven.y, "┌"),
            (right, oven.y, "┐"),
            (oven.x, bottom, "└"),
            (right, bottom, "┘"),
        ] {
            buf.set_string(x, y, corner, quiet);
        }
        // Which end of a tray is named: the one at the door.
        let caption = "end at the door";
        let at = oven.x + (oven.width.saturating_sub(cells(caption.len()))) / 2;
        buf.set_string(at, bottom, caption, quiet);
        for tray in &segment.trays {
            let Some(y) = self.line(tray.rack, oven) else {
                continue;
            };
            let was = before.and_then(|b| b.trays.iter().find(|t| t.tray == tray.tray));
            let changed = was.is_some_and(|was| was != tray);
            let role = if changed { Role::Key } else { Role::Heading };
            let text = tray_text(tray);
            let spare =
                i32::from(oven.width) - 2 - i32::try_from(text.chars().count()).unwrap_or(0);
            #[expect(clippy::cast_possible_truncation, reason = "a few columns at most")]
            let shift = (tray.shift_x.0 / CM_PER_COLUMN).round() as i32;
            let at = (spare / 2 + shift).clamp(0, spare.max(0));
            let x = oven.x + 1 + u16::try_from(at).unwrap_or(0);
            buf.set_string(x, y, text, theme.style(role));
        }
    }

    /// Draws, between the ovens, what happens to each tray: up, down, turned, shifted or left alone.
    fn arrows(&self, before: &Segment, first: Rect, buf: &mut Buffer, theme: &Theme) {
        for tray in &self.after.trays {
            let Some(was) = before.trays.iter().find(|t| t.tray == tray.tray) else {
                continue;
            };
            let Some(y) = self.line(was.rack, first) else {
                continue;
            };
            let way = match tray.rack.cmp(&was.rack) {
                std::cmp::Ordering::Greater => "↗",
                std::cmp::Ordering::Less => "↘",
                std::cmp::Ordering::Equal => "→",
            };
            let turn = if tray.turned == was.turned {
                ""
            } else {
                " turn"
            };
            let moved = (
                tray.shift_x.0 - was.shift_x.0,
                tray.shift_y.0 - was.shift_y.0,
            );
            let shift = if moved.0.hypot(moved.1) < 0.5 || tray.rack != was.rack {
                ""
            } else {
                " shift"
            };
            let text = if tray == was {
                " stays".to_owned()
            } else {
                format!(" {way}{turn}{shift}")
            };
            let role = if tray == was { Role::Quiet } else { Role::Key };
            buf.set_stringn(
                first.right(),
                y,
                text,
                usize::from(BETWEEN),
                theme.style(role),
            );
        }
    }
}

/// A tray from the front: its number, and which of its ends faces the door.
fn tray_text(tray: &TrayPlacement) -> String {
    let end = if tray.turned { "back" } else { "front" };
    format!("[ {} {end} ]", tray.tray)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::widgets::synthetic::{plain, plan};

    #[test]
    fn a_low_window_shows_the_racks_in_use() {
        let plan = plan();
        let picture = MovePicture {
            racks: &[1, 2, 3, 4, 5, 6],
            before: Some(&plan.segments[0]),
            after: &plan.segments[1],
        };
        let mut buf = Buffer::empty(Rect::new(0, 0, 60, 4));
        picture.draw(buf.area, &mut buf, &Theme::default());
        let text = plain(&buf);
        assert!(text.contains("rack 2") && text.contains("rack 4"), "{text}");
        assert!(!text.contains("rack 3"), "{text}");
    }

    #[test]
    fn a_move_shows_both_ovens_and_what_happens_to_each_tray() {
        let plan = plan();
        let (before, after) = (&plan.segments[0], &plan.segments[1]);
        let draw = |before, after| {
            let picture = MovePicture {
                racks: &[1, 2, 3, 4, 5],
                before,
                after,
            };
            let (width, height) = picture.size();
            let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
            picture.draw(buf.area, &mut buf, &Theme::default());
            plain(&buf)
        };
        insta::assert_snapshot!(format!(
            "{}{}",
            draw(None, before),
            draw(Some(before), after)
        ));
    }
}
