//! Plane geometry without any knowledge of ovens: grids over a rectangle, reading between their
//! cells, lines of equal value, which points belong together, and the perspective of a flat thing in a picture.

pub mod contour;
pub mod grid;
pub mod homography;
pub mod nearest;
pub mod point;
pub mod resample;
pub mod rows;

pub use grid::Grid;
pub use homography::Homography;
pub use nearest::nearest_pairs;
pub use point::Point;
pub use resample::Resampler;
pub use rows::rows;
