//! Plane geometry without any knowledge of ovens: grids over a rectangle, reading between their
//! cells, and lines of equal value.

pub mod contour;
pub mod grid;
pub mod resample;

pub use grid::Grid;
pub use resample::Resampler;
