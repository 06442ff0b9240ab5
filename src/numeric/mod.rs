//! Small numerical tools that no well-kept crate gives; no word of ovens or colours in here.

pub mod polyline;

pub use polyline::read_polyline;
