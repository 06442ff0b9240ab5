//! Plane geometry without any knowledge of ovens: grids over a rectangle.

pub mod grid;

pub use grid::Grid;
