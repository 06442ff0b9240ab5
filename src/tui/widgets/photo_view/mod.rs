//! A photo in the terminal, with the lattice, its corners and short words drawn over it.
//!
//! With colour each character cell carries two pixels, one above the other (an upper half block);
//! without, density characters stretched over the shades in sight, so that corners can still be set. Where the terminal
//! takes pixels, the cells are left to a [`Painting`], which the run loop puts behind the words.

mod dots;
mod overlay;
mod painting;
mod raster;
mod scene;
#[cfg(test)]
mod tests;
mod window;

pub use dots::Raster;
pub use painting::Painting;
pub use scene::{CORNERS, Lattice, Mark, PhotoView, size_of};
pub use window::{Projection, Window};

use crate::tui::theme::Theme;
use ratatui::{
    buffer::{Buffer, CellDiffOption},
    layout::Rect,
};

impl PhotoView<'_> {
    /// Returns how the photo lies in `area`.
    pub fn projection(&self, area: Rect) -> Projection {
        Projection::new(area, size_of(self.picture), self.window)
    }

    /// Draws the photo and what lies over it.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let area = area.intersection(buf.area);
        if area.is_empty() {
            return;
        }
        let projection = self.projection(area);
        if theme.pixels.is_some() {
            for position in area.positions() {
                buf[position].reset();
                buf[position].set_diff_option(CellDiffOption::Skip);
            }
        } else {
            raster::draw(self.picture, &projection, buf, theme);
        }
        overlay::draw(self, &projection, buf, theme);
    }
}
