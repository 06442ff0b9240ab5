//! A photo in the terminal, with the lattice, its corners and short words drawn over it.
//!
//! With colour each character cell carries two pixels, one above the other (an upper half block);
//! without, density characters stretched over the shades in sight, so that corners can still be set.

mod overlay;
mod raster;
#[cfg(test)]
mod tests;
mod window;

pub use window::{Projection, Window};

use crate::{
    geometry::Point,
    sampling::Picture,
    tui::theme::{Role, Theme},
};
use ratatui::{buffer::Buffer, layout::Rect};

/// The corners of a lattice by place, in the order they are kept.
pub const CORNERS: [&str; 4] = ["back-left", "back-right", "front-right", "front-left"];

/// The lattice of slices, in pixels of the photo.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lattice {
    /// Outer corners: back-left, back-right, front-right, front-left.
    pub corners: [Point; 4],
    /// Rows of slices, back to door.
    pub rows: usize,
    /// Columns of slices, left to right.
    pub cols: usize,
}

/// A short text at a place of the photo.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Where its middle is, pixels of the photo.
    pub at: Point,
    /// A few characters.
    pub text: String,
    /// What it is for.
    pub role: Role,
}

/// A photo with what is drawn over it.
#[derive(Debug, Clone, Copy)]
pub struct PhotoView<'a> {
    /// The photo, linear light.
    pub picture: &'a Picture,
    /// Which part of it is in sight.
    pub window: Window,
    /// The lattice.
    pub lattice: Option<Lattice>,
    /// Which of the lattice's corners is in hand; no corner is drawn when `None`.
    pub corner: Option<usize>,
    /// Four-cornered patches to outline, pixels of the photo.
    pub patches: &'a [[Point; 4]],
    /// Short texts, drawn last.
    pub marks: &'a [Mark],
}

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
        raster::draw(self.picture, &projection, buf, theme);
        overlay::draw(self, &projection, buf, theme);
    }
}

/// Returns width and height of the photo that a picture was made from, pixels.
pub fn size_of(picture: &Picture) -> (f64, f64) {
    (
        picture.width as f64 * picture.scale,
        picture.height as f64 * picture.scale,
    )
}
