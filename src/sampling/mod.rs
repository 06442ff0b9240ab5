//! From a picture of toasted slices to a score for each: where the slices lie, which of their
//! pixels are crumb, what the light did to them, and how brown that leaves them.
//!
//! Everything here works on linear light; decoding is the business of the layer above.

pub mod picture;

pub use picture::Picture;
