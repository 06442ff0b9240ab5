//! The oven from the side: how the mean of each rack position compares, from the top guide down.

use super::rack_raster::{cells, whole};
use crate::{
    field::{Evidence, FieldMap, Range},
    report::quantity::HALF_WIDTH_90,
    report::{Quantity, Scale},
    tui::theme::{Role, Theme},
};
use ratatui::{buffer::Buffer, layout::Rect};

/// The mean of one rack position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RackBar {
    /// Rack position.
    pub rack: u8,
    /// What it rests on.
    pub evidence: Evidence,
    /// Its mean with its 90 % interval, in the view's own quantity.
    pub mean: Range,
}

impl RackBar {
    /// Reads the racks of a map, lowest first.
    ///
    /// Degrees are hotter (+) or cooler (-) than the mean of all racks shown.
    pub fn of(map: &FieldMap, quantity: Quantity) -> Vec<Self> {
        let n = map.racks.len().max(1) as f64;
        let overall = map.racks.iter().map(|r| r.rack_mean).sum::<f64>() / n;
        map.racks
            .iter()
            .map(|r| {
                let at = |sds: f64| {
                    let b = (r.rack_mean + sds * r.rack_mean_sd).max(0.0);
                    quantity.value(b, overall)
                };
                Self {
                    rack: r.rack,
                    evidence: r.evidence,
                    mean: Range::new(at(0.0), at(-HALF_WIDTH_90), at(HALF_WIDTH_90)),
                }
            })
            .collect()
    }
}

/// Bars with whiskers, the highest rack position on top.
#[derive(Debug, Clone, Copy)]
pub struct VerticalView<'a> {
    /// The racks, lowest first.
    pub bars: &'a [RackBar],
    /// What is shown.
    pub quantity: Quantity,
    /// The rack position chosen.
    pub chosen: Option<u8>,
}

/// Columns before the axis: ` rack 12 `.
const NAME: usize = 9;
/// Columns behind the axis: figure and interval.
const FIGURES: usize = 24;
/// The narrowest axis drawn.
const NARROWEST: usize = 12;

impl VerticalView<'_> {
    /// Draws one line for each rack and the axis below; without room for an axis, figures alone.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let width = usize::from(area.width);
        let axis = width.saturating_sub(NAME + FIGURES);
        let axis = if axis < NARROWEST { 0 } else { axis };
        let scale = self.scale();
        // With room to spare, a blank line between racks.
        let lines = usize::from(area.height).saturating_sub(1);
        let pitch = if self.bars.len() * 2 <= lines + 1 {
            2
        } else {
            1
        };
        let mut y = area.y;
        for bar in self.bars.iter().rev() {
            if y >= area.bottom() {
                return;
            }
            let line = Rect::new(area.x, y, area.width, 1);
            self.draw_bar(bar, (&scale, axis), line, (buf, theme));
            y += pitch;
        }
        let below = y - (pitch - 1);
        if axis > 0 && below < area.bottom() {
            self.draw_axis(
                &scale,
                axis,
                Rect::new(area.x, below, area.width, 1),
                (buf, theme),
            );
        }
    }

    fn scale(&self) -> Scale {
        let low = self
            .bars
            .iter()
            .map(|b| b.mean.lo)
            .fold(f64::INFINITY, f64::min);
        let high = self
            .bars
            .iter()
            .map(|b| b.mean.hi)
            .fold(f64::NEG_INFINITY, f64::max);
        let (low, high) = if low < high { (low, high) } else { (0.0, 1.0) };
        let span = high - low;
        let step = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0]
            .into_iter()
            .find(|s| span / s <= 6.0)
            .unwrap_or(100.0);
        let (lo, hi) = ((low / step).floor() * step, (high / step).ceil() * step);
        Scale {
            quantity: self.quantity,
            lo,
            hi,
            step,
        }
    }

    fn draw_bar(
        &self,
        bar: &RackBar,
        (scale, axis): (&Scale, usize),
        line: Rect,
        (buf, theme): (&mut Buffer, &Theme),
    ) {
        let name = format!("rack {}", bar.rack);
        let role = if self.chosen == Some(bar.rack) {
            Role::Chosen
        } else {
            Role::Heading
        };
        let room = usize::from(line.width);
        buf.set_stringn(line.x, line.y, name, room, theme.style(role));
        let from = line.x + cells(NAME);
        if axis > 0 {
            let column = |v: f64| usize::from(whole(scale.share(v) * (axis - 1) as f64));
            let (lo, value, hi) = (
                column(bar.mean.lo),
                column(bar.mean.value),
                column(bar.mean.hi),
            );
            let whisker = match bar.evidence {
                Evidence::Tested => "─",
                Evidence::Interpolated => "╌",
            };
            for i in 0..axis {
                let (text, role) = match i {
                    _ if i == value => ("●", Role::Plain),
                    _ if i == lo => ("├", Role::Plain),
                    _ if i == hi => ("┤", Role::Plain),
                    _ if lo < i && i < hi => (whisker, Role::Plain),
                    _ => ("·", Role::Quiet),
                };
                buf.set_string(from + cells(i), line.y, text, theme.style(role));
            }
        }
        let figures = format!(
            "{} ({} to {})",
            self.quantity.show(bar.mean.value),
            self.figure(bar.mean.lo),
            self.figure(bar.mean.hi)
        );
        let at = cells(NAME + axis + 1);
        let room = room.saturating_sub(NAME + axis + 1);
        buf.set_stringn(line.x + at, line.y, figures, room, theme.style(Role::Plain));
    }

    fn figure(&self, value: f64) -> String {
        match self.quantity {
            Quantity::Shade => format!("{value:.1}"),
            Quantity::Degrees { .. } => self.quantity.mark(value),
        }
    }

    fn draw_axis(
        &self,
        scale: &Scale,
        axis: usize,
        line: Rect,
        (buf, theme): (&mut Buffer, &Theme),
    ) {
        let from = line.x + cells(NAME);
        let mut free = 0;
        for mark in scale.marks() {
            let text = self.quantity.mark(mark);
            let at = usize::from(whole(scale.share(mark) * (axis - 1) as f64))
                .saturating_sub(text.len() / 2)
                .min(axis - text.len().min(axis));
            if at >= free {
                buf.set_string(from + cells(at), line.y, &text, theme.style(Role::Quiet));
                free = at + text.len() + 1;
            }
        }
        let words = match self.quantity {
            Quantity::Shade => "shade, likely range".to_owned(),
            Quantity::Degrees { .. } => {
                format!("{}, likely range", self.quantity.unit_name())
            }
        };
        buf.set_stringn(
            from + cells(axis + 1),
            line.y,
            words,
            FIGURES,
            theme.style(Role::Quiet),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        tui::widgets::synthetic::{hot_corner, map, plain},
        units::TemperatureUnit,
    };

    fn drawn(quantity: Quantity, width: u16, height: u16) -> String {
        let mut middle = map(3, |_, _| 4.1, 0.3);
        middle.evidence = Evidence::Interpolated;
        let field = FieldMap {
            racks: vec![hot_corner(2), middle, map(4, |x, _| 4.0 + x / 40.0, 0.2)],
            noise_sd: 0.03,
        };
        let bars = RackBar::of(&field, quantity);
        let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
        VerticalView {
            bars: &bars,
            quantity,
            chosen: Some(2),
        }
        .draw(buf.area, &mut buf, &Theme::default());
        plain(&buf)
    }

    #[test]
    fn racks_stand_in_order_with_their_intervals() {
        let degrees = Quantity::Degrees {
            unit: TemperatureUnit::Celsius,
            per_c: 0.041,
        };
        insta::assert_snapshot!(format!(
            "{}{}{}",
            drawn(Quantity::Shade, 78, 6),
            drawn(degrees, 70, 4),
            drawn(degrees, 30, 4)
        ));
    }
}
