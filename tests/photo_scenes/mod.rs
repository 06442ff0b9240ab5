//! Photos of toasted trays with their truth, drawn by two programs that share no code: `ray` follows every
//! pixel back to the tray, `canvas` paints the tray and bends it into the picture. What each takes for
//! bread, light, lamp, glare, shadow and camera is its own.
#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "pixels and counts, in range by construction"
)]

pub(crate) mod canvas;
pub(crate) mod judge;
pub(crate) mod ray;

/// What lies at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Slice {
    /// Mean L* of the crumb in truth; `None` where no slice lies.
    pub(crate) lightness: Option<f64>,
    /// Half of it is burnt and half is not.
    pub(crate) torn: bool,
}

/// A drawn photo.
#[derive(Debug, Clone)]
pub(crate) struct Drawn {
    /// What it shows, for reports.
    pub(crate) kind: String,
    /// The file.
    pub(crate) jpeg: Vec<u8>,
    pub(crate) rows: usize,
    pub(crate) cols: usize,
    /// Corners of the grid, pixels: back-left, back-right, front-right, front-left.
    pub(crate) corners: [(f64, f64); 4],
    /// One for each place, row by row from the back.
    pub(crate) slices: Vec<Slice>,
    /// The place of the untoasted slice.
    pub(crate) untoasted: Option<usize>,
    /// Upright rectangles (x, y, width, height; pixels) inside cards, with the L* of each.
    pub(crate) cards: Vec<([f64; 4], f64)>,
}
