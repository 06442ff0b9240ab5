//! The picture that scores are read from: linear light, made smaller than the photo it came from.

/// A picture in linear sRGB primaries (D65), upright, row by row from the top left.
///
/// A value of 1 is the brightest the camera stored; colours outside sRGB may lie below 0 or above 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Linear red, green, blue of each pixel; `width * height` of them.
    pub pixels: Vec<[f32; 3]>,
    /// Pixels of the upright photo for one pixel of this picture, along a side; at least 1.
    pub scale: f64,
}

impl Picture {
    /// Returns the pixel at column `x` and row `y`; both must lie inside.
    pub fn at(&self, x: usize, y: usize) -> [f32; 3] {
        self.pixels[y * self.width + x]
    }
}
