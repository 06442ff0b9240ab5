//! A rack position of a plan, seen from above: its shaded map, the trays standing on it in their places, and the
//! pieces in the shade they are expected to have.

use super::rack_raster::{
    Overlays, RackRaster, cell_under, cells, colours_at, inside, place_under, walls, whole,
};
use crate::{
    field::{Evidence, RackMap},
    geometry::Grid,
    model::{Cavity, Tray, TrayPlacement},
    report::Scale,
    tui::theme::{Role, Theme},
};
use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
    style::Style,
    widgets::{Block, Clear, Widget},
};

/// A rack position with its trays.
#[derive(Debug, Clone)]
pub struct TrayPicture<'a> {
    /// The inside of the oven.
    pub cavity: Cavity,
    /// The rack position.
    pub rack: u8,
    /// Its map with the scale it is shaded on; `None` where nothing was tested.
    pub map: Option<(&'a RackMap, &'a Scale)>,
    /// The trays on it.
    pub trays: Vec<TrayPlacement>,
    /// The size of every tray.
    pub tray: Tray,
    /// The shade expected of every piece, tray by tray, row by row from the back as it first went in; may be empty.
    pub shades: &'a [f64],
    /// A place looked at, cm from the left wall and from the door.
    pub cursor: Option<(f64, f64)>,
}

impl TrayPicture<'_> {
    /// Draws the picture; an area too small for it stays as it was.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let Some(inner) = inside(area, &self.grid()) else {
            return;
        };
        match self.map {
            Some((map, scale)) => RackRaster {
                map,
                scale,
                zones: &[],
                slices: &[],
                overlays: Overlays::none(),
                cursor: self.cursor,
            }
            .draw(area, buf, theme),
            None => walls(inner, (self.rack, Evidence::Interpolated), buf, theme),
        }
        for tray in &self.trays {
            let outer = self.outline(tray, inner);
            self.draw_tray(tray, outer, buf, theme);
        }
        if let Some(place) = self.cursor {
            let size = (usize::from(inner.width), usize::from(inner.height));
            let (col, row) = cell_under(place, size, &self.grid());
            let at = (inner.x + cells(col), inner.y + cells(row));
            buf.set_string(at.0, at.1, "\u{253c}", theme.style(Role::Chosen));
        }
    }

    /// Finds the place at `at` in the picture, cm from the left wall and from the door.
    pub fn place_at(&self, area: Rect, at: Position) -> Option<(f64, f64)> {
        let grid = self.grid();
        place_under(at, inside(area, &grid)?, &grid)
    }

    /// Returns the shade expected of the piece at a place, if one lies there.
    pub fn shade_at(&self, (x, y): (f64, f64)) -> Option<f64> {
        let Tray { across, deep, .. } = self.tray;
        let c = self.cavity;
        self.trays.iter().find_map(|at| {
            let share = |from_middle: f64, extent: f64| {
                let share = from_middle / extent + 0.5;
                (0.0..1.0).contains(&share).then_some(share)
            };
            let u = share(x - c.width.0 / 2.0 - at.shift_x.0, self.tray.width.0)?;
            let v = share(y - c.depth.0 / 2.0 - at.shift_y.0, self.tray.depth.0)?;
            let nth = |share: f64, n: usize| usize::from(whole((share * n as f64).floor()));
            let (row, col) = (nth(1.0 - v, deep).min(deep - 1), nth(u, across));
            self.shade_of(at, row * across + col)
        })
    }

    /// Returns the shade expected of the piece that lies at place `i` of a tray now, row by row from the back; where
    /// a tray is turned it began at the opposite end.
    fn shade_of(&self, at: &TrayPlacement, i: usize) -> Option<f64> {
        let pieces = self.tray.across * self.tray.deep;
        let began = if at.turned { pieces - 1 - i } else { i };
        self.shades.get((at.tray - 1) * pieces + began).copied()
    }

    fn grid(&self) -> Grid {
        let whole = Grid::new(1, 1, self.cavity.width.0, self.cavity.depth.0);
        self.map.map_or(whole, |(map, _)| map.grid)
    }

    /// Returns the cells a tray covers, kept inside the walls.
    fn outline(&self, at: &TrayPlacement, inner: Rect) -> Rect {
        let c = self.cavity;
        let across = f64::from(inner.width) / c.width.0;
        let deep = f64::from(inner.height) / c.depth.0;
        let extent = |cm: f64, most: u16| whole(cm).clamp(3, most.max(3));
        let width = extent(self.tray.width.0 * across, inner.width);
        let height = extent(self.tray.depth.0 * deep, inner.height);
        let left = (c.width.0 / 2.0 + at.shift_x.0) * across - f64::from(width) / 2.0;
        let top = (c.depth.0 / 2.0 - at.shift_y.0) * deep - f64::from(height) / 2.0;
        Rect::new(
            inner.x + whole(left).min(inner.width.saturating_sub(width)),
            inner.y + whole(top).min(inner.height.saturating_sub(height)),
            width.min(inner.width),
            height.min(inner.height),
        )
    }

    fn draw_tray(&self, at: &TrayPlacement, outer: Rect, buf: &mut Buffer, theme: &Theme) {
        Clear.render(outer, buf);
        let turned = if at.turned { ", turned" } else { "" };
        let names = [
            format!(" tray {}{turned} ", at.tray),
            format!("{}{turned}", at.tray),
        ];
        let room = usize::from(outer.width.saturating_sub(2));
        let title = names.into_iter().find(|name| name.len() <= room);
        let title = title.unwrap_or_else(|| at.tray.to_string());
        Block::bordered()
            .border_style(theme.style(Role::Quiet))
            .title(ratatui::text::Line::styled(
                title,
                theme.style(Role::Heading),
            ))
            .render(outer, buf);
        let inside = Rect::new(
            outer.x + 1,
            outer.y + 1,
            outer.width.saturating_sub(2),
            outer.height.saturating_sub(2),
        );
        for row in 0..self.tray.deep {
            for col in 0..self.tray.across {
                self.draw_piece(at, (row, col), inside, (buf, theme));
            }
        }
    }

    /// Draws the piece that lies at a row and column now.
    fn draw_piece(
        &self,
        at: &TrayPlacement,
        (row, col): (usize, usize),
        inside: Rect,
        (buf, theme): (&mut Buffer, &Theme),
    ) {
        let (across, deep) = (self.tray.across, self.tray.deep);
        let edge = |i: usize, n: usize, extent: u16| cells(i * usize::from(extent) / n.max(1));
        let (left, right) = (
            edge(col, across, inside.width),
            edge(col + 1, across, inside.width),
        );
        let (top, bottom) = (
            edge(row, deep, inside.height),
            edge(row + 1, deep, inside.height),
        );
        let mut cell = Rect::new(inside.x + left, inside.y + top, right - left, bottom - top);
        // A gap between pieces, where there is room for one.
        if cell.width > 3 {
            cell.width -= 1;
        }
        if cell.height > 2 {
            cell.height -= 1;
        }
        if cell.is_empty() {
            return;
        }
        let shade = self.shade_of(at, row * across + col);
        let (style, figure) = match (shade, self.map) {
            (Some(shade), Some((_, scale))) => (
                piece_style(scale, shade, theme),
                format!("{:.0}", shade.clamp(0.0, 9.0)),
            ),
            (_, _) => (Style::new(), "o".to_owned()),
        };
        buf.set_style(cell, style);
        let (x, y) = (
            cell.x + (cell.width - 1) / 2,
            cell.y + (cell.height - 1) / 2,
        );
        buf.set_string(x, y, figure, style);
        if cell.width >= 3 && !theme.is_shaded() {
            buf.set_string(x - 1, y, "(", style);
            buf.set_string(x + 1, y, ")", style);
        }
    }
}

/// Returns the colours of a piece of that shade; without shades of colour its figure must do.
pub(crate) fn piece_style(scale: &Scale, shade: f64, theme: &Theme) -> Style {
    if theme.is_shaded() {
        let (ground, ink) = colours_at(scale, shade, theme);
        Style::new().bg(ground).fg(ink)
    } else {
        Style::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        report::Quantity,
        tui::{
            theme::Depth,
            widgets::synthetic::{hot_corner, plain},
        },
        units::Centimetres,
    };

    const TRAY: Tray = Tray::new(Centimetres(45.7), Centimetres(33.0), 4, 3);

    fn picture<'a>(
        turned: bool,
        map: Option<(&'a RackMap, &'a Scale)>,
        shades: &'a [f64],
    ) -> TrayPicture<'a> {
        let cm = Centimetres;
        let at = TrayPlacement {
            tray: 1,
            rack: 2,
            turned,
            shift_x: cm(0.0),
            shift_y: cm(0.0),
        };
        TrayPicture {
            cavity: Cavity::new(cm(60.0), cm(45.0), cm(40.0)),
            rack: 2,
            map,
            trays: vec![at],
            tray: TRAY,
            shades,
            cursor: None,
        }
    }

    fn drawn(turned: bool, map: Option<(&RackMap, &Scale)>, shades: &[f64]) -> String {
        let mut buf = Buffer::empty(Rect::new(0, 0, 50, 18));
        let theme = Theme::new(Depth::NoColour);
        picture(turned, map, shades).draw(buf.area, &mut buf, &theme);
        plain(&buf)
    }

    #[test]
    fn a_place_tells_the_piece_that_lies_there_turned_or_not() {
        let shades: Vec<f64> = (0..12).map(f64::from).collect();
        let (straight, turned) = (picture(false, None, &shades), picture(true, None, &shades));
        // The tray reaches from 7.15 to 52.85 cm across and from 6 to 39 cm front to back.
        for (place, expected) in [
            ((8.0, 38.0), Some((0.0, 11.0))),
            ((52.0, 38.0), Some((3.0, 8.0))),
            ((8.0, 7.0), Some((8.0, 3.0))),
            ((31.0, 22.0), Some((6.0, 5.0))),
            ((3.0, 22.0), None),
            ((31.0, 41.0), None),
        ] {
            let both = straight.shade_at(place).zip(turned.shade_at(place));
            assert_eq!(both, expected, "{place:?}");
        }
    }

    #[test]
    fn pieces_stand_on_the_map_in_the_shade_they_will_have_and_turn_with_the_tray() {
        let map = hot_corner(2);
        let scale = Scale::over(Quantity::Shade, [&map]);
        // The back left piece is the darkest, the front right one the lightest.
        let shades: Vec<f64> = (0..12).rev().map(|i| f64::from(i) / 2.0 + 2.0).collect();
        let straight = drawn(false, Some((&map, &scale)), &shades);
        let turned = drawn(true, Some((&map, &scale)), &shades);
        insta::assert_snapshot!(format!("{straight}{turned}"));
        let first = |text: &str| {
            let row = text.lines().find(|l| l.contains('(')).unwrap();
            row[row.find('(').unwrap()..].chars().nth(1).unwrap()
        };
        assert_eq!((first(&straight), first(&turned)), ('8', '2'));
    }

    #[test]
    fn without_a_map_no_figure_is_made_up() {
        let text = drawn(false, None, &[]);
        assert!(text.contains("tray 1") && text.contains('o'), "{text}");
        let shade = |c: char| c.is_ascii_digit() && !"12".contains(c);
        assert!(!text.contains(shade), "{text}");
    }
}
