//! Pixels that lie over an area of cells, and lines drawn into them.

use crate::colour::Rgb;
use ratatui::layout::Rect;

/// Beside the photo.
const BESIDE: Rgb = Rgb(20, 16, 12);
/// A ring around a corner is this part of a row across.
const RING: f64 = 0.35;

/// Pixels that lie over an area of cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Raster {
    /// Pixels in a row.
    pub width: usize,
    /// Rows of pixels.
    pub height: usize,
    /// Red, green and blue, pixel by pixel, row by row.
    pub rgb: Vec<u8>,
    /// Columns and rows of the terminal that a pixel is wide and high.
    grain: (f64, f64),
}

impl Raster {
    /// Begins with `size` (width, height) pixels over `area`, as it is beside a photo.
    pub(super) fn new((width, height): (usize, usize), area: Rect) -> Self {
        let (width, height) = (width.max(1), height.max(1));
        Self {
            width,
            height,
            rgb: [BESIDE.0, BESIDE.1, BESIDE.2].repeat(width * height),
            grain: (
                f64::from(area.width) / width as f64,
                f64::from(area.height) / height as f64,
            ),
        }
    }

    /// Returns width and height as picture files count them.
    pub(crate) fn size(&self) -> (u32, u32) {
        [self.width, self.height]
            .map(|n| u32::try_from(n).unwrap_or(u32::MAX))
            .into()
    }

    /// Returns the columns and rows that a pixel is wide and high.
    pub(super) fn grain(&self) -> (f64, f64) {
        self.grain
    }

    /// Returns how far a pixel's upper left corner lies from the area's, in columns and rows.
    pub(super) fn cells(&self, x: usize, y: usize) -> (f64, f64) {
        (x as f64 * self.grain.0, y as f64 * self.grain.1)
    }

    pub(super) fn set(&mut self, x: usize, y: usize, Rgb(r, g, b): Rgb) {
        if x < self.width && y < self.height {
            let at = 3 * (y * self.width + x);
            self.rgb[at..at + 3].copy_from_slice(&[r, g, b]);
        }
    }

    /// Draws a line two pixels thick between two places, in columns and rows from the area's corner.
    pub(super) fn line(&mut self, (a, b): ((f64, f64), (f64, f64)), colour: Rgb) {
        let size = (self.width as f64, self.height as f64);
        let [a, b] = [a, b].map(|(column, row)| (column / self.grain.0, row / self.grain.1));
        let Some((first, last)) = super::overlay::clip(a, b, size) else {
            return;
        };
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let steps = (dx.abs().max(dy.abs()) * (last - first)).ceil().max(1.0);
        let mut step = 0.0;
        while step <= steps {
            let t = first + (last - first) * step / steps;
            self.dot((a.0 + dx * t, a.1 + dy * t), colour);
            step += 1.0;
        }
    }

    /// Draws a ring around a place, in columns and rows from the area's corner: its middle stays in sight.
    pub(super) fn ring(&mut self, (column, row): (f64, f64), colour: Rgb) {
        let radius = RING / self.grain.1;
        for degrees in 0..360_u16 {
            let (sin, cos) = f64::from(degrees).to_radians().sin_cos();
            let at = (
                column / self.grain.0 + radius * cos,
                row / self.grain.1 + radius * sin,
            );
            self.dot(at, colour);
        }
    }

    fn dot(&mut self, (x, y): (f64, f64), colour: Rgb) {
        if !(x >= 0.0 && y >= 0.0) {
            return;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "not negative; what lies outside is not set"
        )]
        let (x, y) = (x as usize, y as usize);
        for (dx, dy) in [(0, 0), (1, 0), (0, 1), (1, 1)] {
            self.set(x + dx, y + dy, colour);
        }
    }
}
