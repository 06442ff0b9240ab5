//! What a photo is drawn from: the picture, the lattice over it, patches and short texts.

use super::window::Window;
use crate::{geometry::Point, sampling::Picture, tui::theme::Role};

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

/// Returns width and height of the photo that a picture was made from, pixels.
pub fn size_of(picture: &Picture) -> (f64, f64) {
    (
        picture.width as f64 * picture.scale,
        picture.height as f64 * picture.scale,
    )
}
