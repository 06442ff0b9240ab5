//! The legend of a map: its ramp, the figures on it and their unit.

use super::rack_raster::{cells, whole};
use crate::{
    report::{Quantity, Scale},
    tui::theme::{Depth, Role, Theme},
};
use ratatui::{buffer::Buffer, layout::Rect};

/// The legend of a [`Scale`]: its ramp, the figures below, and what little known looks like.
#[derive(Debug)]
pub struct Legend<'a> {
    /// What the ramp spans.
    pub scale: &'a Scale,
    /// Whether places that are little known are drawn weaker, which is then explained.
    pub doubt: bool,
}

/// Lines a legend takes.
pub const LEGEND_ROWS: u16 = 3;

impl Legend<'_> {
    /// Draws the legend into the first lines of `area`.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let unit = self.unit();
        let width = area.width.saturating_sub(cells(unit.len() + 1));
        let line = |y: u16| Rect::new(area.x, area.y + y, width, 1);
        self.draw_ramp(line(0), buf, theme);
        self.draw_figures(line(1), buf, theme);
        if !self.doubt {
            return;
        }
        let quantity = self.scale.quantity;
        let sample = self.scale.lo + 0.6 * (self.scale.hi - self.scale.lo);
        super::rack_raster::draw_doubt(self.scale, sample, line(2), (buf, theme));
        let words = if theme.is_shaded() {
            "little known".to_owned()
        } else {
            format!("({}) little known", quantity.mark(sample.round()))
        };
        let room = usize::from(area.width).saturating_sub(5);
        buf.set_stringn(
            area.x + 5,
            area.y + 2,
            words,
            room,
            theme.style(Role::Quiet),
        );
    }

    fn unit(&self) -> &'static str {
        match self.scale.quantity {
            Quantity::Shade => "shade",
            Quantity::Degrees { .. } => self.scale.quantity.unit_name(),
        }
    }

    fn draw_ramp(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let n = usize::from(area.width);
        for i in 0..n {
            let share = (i as f64 + 0.5) / n as f64;
            let Some(cell) = buf.cell_mut((area.x + cells(i), area.y)) else {
                continue;
            };
            match theme.depth {
                Depth::TrueColour | Depth::Indexed256 => {
                    let colour = theme.colour(self.scale.quantity.ramp().at(share));
                    cell.set_char(' ').set_bg(colour);
                }
                Depth::Ansi16 | Depth::NoColour => {
                    let value = self.scale.lo + share * (self.scale.hi - self.scale.lo);
                    cell.set_char(super::rack_raster::character(self.scale, value));
                }
            }
        }
    }

    /// Writes the figures below their places, as many as fit, the unit behind the last.
    fn draw_figures(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let quantity = self.scale.quantity;
        let marks = self.scale.marks();
        let n = usize::from(area.width);
        let widest = marks
            .iter()
            .map(|&m| quantity.mark(m).len())
            .max()
            .unwrap_or(1);
        let fits = (n / (widest + 2)).max(1);
        // From the middle outwards on a scale with a middle, so that 0 is always among them.
        let every = marks.len().div_ceil(fits).max(1);
        let zero = marks.iter().position(|m| m.abs() < 1e-9).unwrap_or(0);
        let style = theme.style(Role::Quiet);
        for (i, &mark) in marks.iter().enumerate() {
            if !i.abs_diff(zero).is_multiple_of(every) {
                continue;
            }
            let text = quantity.mark(mark);
            let from = usize::from(whole((self.scale.share(mark) * n as f64).floor()))
                .saturating_sub(text.len() / 2)
                .min(n.saturating_sub(text.len()));
            buf.set_stringn(area.x + cells(from), area.y, &text, n, style);
        }
        buf.set_string(
            area.right() + 1,
            area.y,
            self.unit(),
            theme.style(Role::Plain),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        tui::widgets::synthetic::{hot_corner, plain},
        units::TemperatureUnit,
    };

    fn drawn(quantity: Quantity, width: u16) -> String {
        let map = hot_corner(1);
        let scale = Scale::over(quantity, [&map]);
        let mut buf = Buffer::empty(Rect::new(0, 0, width, LEGEND_ROWS));
        Legend {
            scale: &scale,
            doubt: true,
        }
        .draw(buf.area, &mut buf, &Theme::default());
        plain(&buf)
    }

    #[test]
    fn figures_stand_under_the_ramp_and_carry_a_unit() {
        let degrees = Quantity::Degrees {
            unit: TemperatureUnit::Fahrenheit,
            per_c: 0.041,
        };
        insta::assert_snapshot!(format!(
            "{}{}{}{}",
            drawn(Quantity::Shade, 60),
            drawn(degrees, 60),
            drawn(Quantity::Shade, 26),
            drawn(degrees, 26),
        ));
    }
}
