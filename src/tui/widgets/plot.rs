//! A plot that is read by shape: points as characters, lines as dots, bands as shading, marks as letters.

use super::rack_raster::{cells, whole};
use crate::tui::theme::{Role, Theme};
use ratatui::{buffer::Buffer, layout::Rect};

/// Dots of one character: two across, four down.
const DOTS: (usize, usize) = (2, 4);
/// The bits of those dots in a braille character (Unicode block 2800), by column and row.
const BITS: [[u8; 4]; 2] = [[0x01, 0x02, 0x04, 0x40], [0x08, 0x10, 0x20, 0x80]];
/// Rows below the plot: the axis and its figures.
const BELOW: u16 = 2;

/// One thing drawn into a plot; later ones cover earlier ones.
#[derive(Debug, Clone, PartialEq)]
pub enum Layer {
    /// Shading between two curves `(x, lo, hi)`.
    Band(Vec<(f64, f64, f64)>),
    /// A level right across, with its character.
    Level(f64, char, Role),
    /// An upright with a letter above it.
    Upright(f64, char, Role),
    /// A line of dots.
    Curve(Vec<(f64, f64)>, Role),
    /// An upright interval `(x, lo, hi)`.
    Bars(Vec<(f64, f64, f64)>, Role),
    /// Points with their character.
    Points(Vec<(f64, f64)>, char, Role),
    /// Small marks on the lower edge.
    Ruler(Vec<f64>, Role),
}

/// A plot with its axes; figures on them are the caller's, with units in the heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// Range across.
    pub x: (f64, f64),
    /// Range upwards.
    pub y: (f64, f64),
    /// Figures below, with their places.
    pub x_marks: Vec<(f64, String)>,
    /// Figures at the left, with their places.
    pub y_marks: Vec<(f64, String)>,
    /// What is drawn, the lowest first.
    pub layers: Vec<Layer>,
}

/// Returns round figures within a range, `most` or fewer: steps of 1, 2 or 5 times a power of ten.
pub fn round_marks(range: (f64, f64), most: usize) -> Vec<f64> {
    let width = range.1 - range.0;
    if !width.is_finite() || width <= 0.0 {
        return Vec::new();
    }
    let rough = width / most.max(1) as f64;
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|s| s * power)
        .find(|s| *s >= rough)
        .unwrap_or(rough);
    let first = (range.0 / step).ceil();
    (0..=most + 1)
        .map(|i| (first + i as f64) * step)
        .filter(|v| *v <= range.1 + 1e-9 * step)
        .collect()
}

/// Returns a range over values, widened so that none lies on the edge and at least `least` wide; `None` without any.
pub fn range_over(values: impl Iterator<Item = f64>, least: f64) -> Option<(f64, f64)> {
    let (lo, hi) = values
        .filter(|v| v.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| {
            (lo.min(v), hi.max(v))
        });
    (lo <= hi).then(|| {
        let middle = 0.5 * (lo + hi);
        let half = (0.55 * (hi - lo)).max(0.5 * least);
        (middle - half, middle + half)
    })
}

/// The inner area and the scales that lead into it.
struct Inner {
    area: Rect,
    x: (f64, f64),
    y: (f64, f64),
}

impl Inner {
    /// Share of the way from one end of a range to the other; `None` outside.
    fn share(range: (f64, f64), v: f64) -> Option<f64> {
        let share = (v - range.0) / (range.1 - range.0);
        (-1e-9..=1.0 + 1e-9)
            .contains(&share)
            .then(|| share.clamp(0.0, 1.0))
    }

    fn slot(share: f64, count: usize) -> usize {
        usize::from(whole(share * count.saturating_sub(1) as f64))
    }

    fn column(&self, x: f64) -> Option<u16> {
        let at = Self::slot(Self::share(self.x, x)?, usize::from(self.area.width));
        Some(self.area.x + cells(at))
    }

    fn row(&self, y: f64) -> Option<u16> {
        let at = Self::slot(1.0 - Self::share(self.y, y)?, usize::from(self.area.height));
        Some(self.area.y + cells(at))
    }

    /// The value at the middle of a column.
    fn x_at(&self, column: u16) -> f64 {
        let share = f64::from(column) / f64::from(self.area.width.saturating_sub(1).max(1));
        self.x.0 + share * (self.x.1 - self.x.0)
    }

    fn clamped(&self, y: f64) -> f64 {
        y.clamp(self.y.0, self.y.1)
    }
}

impl Plot {
    /// Draws the plot; nothing where there is no room or a range is empty.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let gutter = self
            .y_marks
            .iter()
            .map(|(_, words)| words.chars().count())
            .max()
            .unwrap_or(0);
        let gutter = cells(gutter) + 1;
        let fits = area.width > gutter + 8 && area.height > BELOW + 2;
        let empty = |range: (f64, f64)| (range.1 - range.0).is_nan() || range.1 <= range.0;
        if !fits || empty(self.x) || empty(self.y) {
            return;
        }
        let inner = Inner {
            area: Rect::new(
                area.x + gutter,
                area.y,
                area.width - gutter,
                area.height - BELOW,
            ),
            x: self.x,
            y: self.y,
        };
        self.draw_axes(&inner, area, buf, theme);
        for layer in &self.layers {
            draw_layer(layer, &inner, buf, theme);
        }
    }

    fn draw_axes(&self, inner: &Inner, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let style = theme.style(Role::Quiet);
        let axis = inner.area.x - 1;
        for y in inner.area.y..inner.area.bottom() {
            buf.set_string(axis, y, "\u{2502}", style);
        }
        let floor = "\u{2500}".repeat(usize::from(inner.area.width));
        buf.set_string(axis, inner.area.bottom(), format!("\u{2514}{floor}"), style);
        for (at, words) in &self.y_marks {
            if let Some(row) = inner.row(*at) {
                let x = axis.saturating_sub(cells(words.chars().count()));
                buf.set_string(x.max(area.x), row, words, style);
                buf.set_string(axis, row, "\u{2524}", style);
            }
        }
        let mut free_from = area.x;
        for (at, words) in &self.x_marks {
            let Some(column) = inner.column(*at) else {
                continue;
            };
            let width = cells(words.chars().count());
            let start = column
                .saturating_sub(width / 2)
                .min(area.right().saturating_sub(width));
            if start < free_from {
                continue;
            }
            buf.set_string(column, inner.area.bottom(), "\u{252c}", style);
            buf.set_string(start, inner.area.bottom() + 1, words, style);
            free_from = start + width + 2;
        }
    }
}

fn draw_layer(layer: &Layer, inner: &Inner, buf: &mut Buffer, theme: &Theme) {
    match layer {
        Layer::Band(curve) => draw_band(curve, inner, buf, theme),
        Layer::Level(y, character, role) => {
            if let Some(row) = inner.row(*y) {
                let text = character.to_string().repeat(usize::from(inner.area.width));
                buf.set_string(inner.area.x, row, text, theme.style(*role));
            }
        }
        Layer::Upright(x, letter, role) => {
            if let Some(column) = inner.column(*x) {
                for row in inner.area.y + 1..inner.area.bottom() {
                    buf.set_string(column, row, "\u{250a}", theme.style(*role));
                }
                buf.set_string(column, inner.area.y, letter.to_string(), theme.style(*role));
            }
        }
        Layer::Curve(points, role) => draw_curve(points, *role, inner, buf, theme),
        Layer::Bars(bars, role) => {
            for (x, lo, hi) in bars {
                let ends = (inner.row(inner.clamped(*hi)), inner.row(inner.clamped(*lo)));
                if let (Some(column), (Some(top), Some(bottom))) = (inner.column(*x), ends) {
                    for row in top..=bottom {
                        buf.set_string(column, row, "\u{2502}", theme.style(*role));
                    }
                }
            }
        }
        Layer::Points(points, character, role) => {
            for (x, y) in points {
                if let (Some(column), Some(row)) = (inner.column(*x), inner.row(*y)) {
                    buf.set_string(column, row, character.to_string(), theme.style(*role));
                }
            }
        }
        Layer::Ruler(places, role) => {
            for column in places.iter().filter_map(|x| inner.column(*x)) {
                let row = inner.area.bottom().saturating_sub(1);
                buf.set_string(column, row, "^", theme.style(*role));
            }
        }
    }
}

fn draw_band(curve: &[(f64, f64, f64)], inner: &Inner, buf: &mut Buffer, theme: &Theme) {
    for column in 0..inner.area.width {
        let x = inner.x_at(column);
        let Some((lo, hi)) = between(curve, x) else {
            continue;
        };
        let outside = hi < inner.y.0 || lo > inner.y.1;
        let (Some(top), Some(bottom)) =
            (inner.row(inner.clamped(hi)), inner.row(inner.clamped(lo)))
        else {
            continue;
        };
        if !outside {
            for row in top..=bottom {
                let style = theme.style(Role::Quiet);
                buf.set_string(inner.area.x + column, row, "\u{2591}", style);
            }
        }
    }
}

/// Reads a band between its points; `None` outside them.
fn between(curve: &[(f64, f64, f64)], x: f64) -> Option<(f64, f64)> {
    curve.windows(2).find_map(|two| {
        let ((x0, lo0, hi0), (x1, lo1, hi1)) = (two[0], two[1]);
        let share = Inner::share((x0, x1), x)?;
        Some((lo0 + share * (lo1 - lo0), hi0 + share * (hi1 - hi0)))
    })
}

fn draw_curve(points: &[(f64, f64)], role: Role, inner: &Inner, buf: &mut Buffer, theme: &Theme) {
    let columns = usize::from(inner.area.width) * DOTS.0;
    let rows = usize::from(inner.area.height) * DOTS.1;
    let mut bits = vec![0_u8; usize::from(inner.area.width) * usize::from(inner.area.height)];
    for two in points.windows(2) {
        let ((x0, y0), (x1, y1)) = (two[0], two[1]);
        // As many steps as there are dots on the way, so that no dot is left out.
        let across = columns as f64 * (x1 - x0).abs() / (inner.x.1 - inner.x.0);
        let upwards = rows as f64 * (y1 - y0).abs() / (inner.y.1 - inner.y.0);
        let steps = usize::from(whole(across.max(upwards).clamp(1.0, 5000.0).ceil()));
        for i in 0..=steps {
            let share = i as f64 / steps as f64;
            let x = Inner::share(inner.x, x0 + share * (x1 - x0));
            let y = Inner::share(inner.y, y0 + share * (y1 - y0));
            if let (Some(x), Some(y)) = (x, y) {
                let (dx, dy) = (Inner::slot(x, columns), Inner::slot(1.0 - y, rows));
                let cell = dy / DOTS.1 * usize::from(inner.area.width) + dx / DOTS.0;
                bits[cell] |= BITS[dx % DOTS.0][dy % DOTS.1];
            }
        }
    }
    for (cell, set) in bits.iter().enumerate().filter(|(_, set)| **set != 0) {
        let (x, y) = (
            cell % usize::from(inner.area.width),
            cell / usize::from(inner.area.width),
        );
        let character = char::from_u32(0x2800 + u32::from(*set)).unwrap_or(' ');
        buf.set_string(
            inner.area.x + cells(x),
            inner.area.y + cells(y),
            character.to_string(),
            theme.style(role),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::widgets::synthetic::plain;

    #[test]
    fn marks_are_round_and_within_the_range() {
        assert_eq!(
            round_marks((318.0, 371.0), 5),
            [320.0, 340.0, 360.0],
            "every 20"
        );
        assert_eq!(
            round_marks((0.0, 1.0), 5),
            [0.0, 0.2, 0.4, 0.600_000_000_000_000_1, 0.8, 1.0]
        );
        assert!(round_marks((1.0, 1.0), 5).is_empty());
        assert!(round_marks((f64::NAN, 1.0), 5).is_empty());
    }

    #[test]
    fn a_range_leaves_room_and_is_never_empty() {
        assert_eq!(range_over([].into_iter(), 1.0), None);
        assert_eq!(range_over([5.0].into_iter(), 10.0), Some((0.0, 10.0)));
        let (lo, hi) = range_over([0.0, 100.0].into_iter(), 1.0).unwrap();
        assert!(lo < 0.0 && hi > 100.0);
    }

    #[test]
    fn every_layer_has_its_own_shape() {
        let plot = Plot {
            x: (0.0, 10.0),
            y: (0.0, 10.0),
            x_marks: vec![(0.0, "0".to_owned()), (10.0, "10 min".to_owned())],
            y_marks: vec![(0.0, "0".to_owned()), (10.0, "10 F".to_owned())],
            layers: vec![
                Layer::Band(vec![(6.0, 1.0, 4.0), (10.0, 2.0, 6.0)]),
                Layer::Level(8.0, '-', Role::Quiet),
                Layer::Upright(3.0, 'S', Role::Caution),
                Layer::Curve(vec![(0.0, 0.0), (10.0, 10.0)], Role::Plain),
                Layer::Bars(vec![(9.0, 7.0, 9.5)], Role::Plain),
                Layer::Points(vec![(1.0, 9.0), (99.0, 5.0)], 'o', Role::Heading),
                Layer::Ruler(vec![5.0], Role::Quiet),
            ],
        };
        let mut buf = Buffer::empty(Rect::new(0, 0, 40, 10));
        plot.draw(buf.area, &mut buf, &Theme::default());
        insta::assert_snapshot!(plain(&buf));
        let mut small = Buffer::empty(Rect::new(0, 0, 10, 3));
        plot.draw(small.area, &mut small, &Theme::default());
        assert_eq!(plain(&small).trim(), "", "no room: nothing half drawn");
    }
}
