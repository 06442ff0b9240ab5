//! The shaded map of one rack position, seen from above: back wall on top, door at the bottom.
//!
//! With true colour or 256 colours each character cell carries two readings, one above the other
//! (an upper half block). With fewer colours density characters and figures take over. Places too
//! little known are weaker: desaturated and stippled, or in brackets.

mod brush;
mod overlay;
mod raster;
mod sampled;

#[cfg(test)]
mod tests;

pub use raster::{Overlay, Overlays, RackRaster, SliceMark, inside, place_under};
pub(crate) use raster::{cell_under, cells, character, walls, whole};

use crate::{field::RackMap, report::Scale, tui::theme::Theme};
use brush::Brush;
use raster::Canvas;
use ratatui::{buffer::Buffer, layout::Rect, style::Color};
use sampled::Sampled;

/// Returns the ground of a figure on the scale, and an ink to write on it.
pub(crate) fn colours_at(scale: &Scale, value: f64, theme: &Theme) -> (Color, Color) {
    let brush = Brush::of(scale.quantity, theme);
    let i = scale.quantity.ramp().index(scale.share(value));
    (brush.strong[i], brush.ink[i])
}

/// Draws a rack's shading from left to right in one line: the mean over its depth in each cell.
pub(crate) fn draw_strip(
    map: &RackMap,
    scale: &Scale,
    area: Rect,
    (buf, theme): (&mut Buffer, &Theme),
) {
    let cols = usize::from(area.width);
    let sampled = Sampled::new(map, scale.quantity, cols, DEPTHS);
    for (col, x) in (0..cols).zip(area.x..) {
        let sum: f64 = (0..DEPTHS).map(|row| sampled.cell(col, row)).sum();
        let value = sum / DEPTHS as f64;
        if let Some(cell) = buf.cell_mut((x, area.y)) {
            if theme.is_shaded() {
                cell.set_char(' ').set_bg(colours_at(scale, value, theme).0);
            } else {
                cell.set_char(character(scale, value));
            }
        }
    }
}

/// Places from back to front that a strip's mean is taken over.
const DEPTHS: usize = 6;

/// Draws what a little known place looks like, four cells wide, at a figure of the scale.
pub(crate) fn draw_doubt(
    scale: &Scale,
    value: f64,
    area: Rect,
    (buf, theme): (&mut Buffer, &Theme),
) {
    let brush = Brush::of(scale.quantity, theme);
    let i = scale.quantity.ramp().index(scale.share(value));
    for col in 0..4_u16.min(area.width) {
        let Some(cell) = buf.cell_mut((area.x + col, area.y)) else {
            continue;
        };
        let colour = |half: u16| {
            if (col + half).is_multiple_of(3) {
                brush.strong[i]
            } else {
                brush.weak[i]
            }
        };
        if theme.is_shaded() {
            cell.set_char('▀').set_fg(colour(0)).set_bg(colour(1));
        } else if col.is_multiple_of(2) {
            cell.set_char(character(scale, value));
        }
    }
}

impl RackRaster<'_> {
    /// Draws frame, shading and overlays; an area too small for a picture stays as it was.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let Some(inner) = inside(area, &self.map.grid) else {
            return;
        };
        walls(inner, (self.map.rack, self.map.evidence), buf, theme);
        let sampled = Sampled::new(
            self.map,
            self.scale.quantity,
            usize::from(inner.width),
            usize::from(inner.height),
        );
        let mut canvas = Canvas {
            inner,
            buf,
            sampled: &sampled,
            scale: self.scale,
            brush: Brush::of(self.scale.quantity, theme),
            theme,
            taken: vec![false; usize::from(inner.width) * usize::from(inner.height)],
        };
        canvas.shade(self.overlays.has(Overlay::Doubt));
        overlay::draw(self, &mut canvas);
    }
}
