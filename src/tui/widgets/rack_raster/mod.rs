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
pub(crate) use raster::{cells, character};

use crate::tui::theme::Theme;
use brush::Brush;
use raster::Canvas;
use ratatui::{buffer::Buffer, layout::Rect};
use sampled::Sampled;

impl RackRaster<'_> {
    /// Draws frame, shading and overlays; an area too small for a picture stays as it was.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let Some(inner) = inside(area, &self.map.grid) else {
            return;
        };
        self.frame(inner, buf, theme);
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
