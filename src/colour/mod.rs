//! Colour as the eye sees it: L*a*b*, differences, browning measures and ramps for maps.
//!
//! Conversions rest on the `palette` crate; what is added here is the toast path, the ramps made
//! from it, and the checks against published tables in `tests/reference_colour.rs`.

pub mod browning_index;
pub mod difference;
pub mod lab;
pub mod ramp;

pub use browning_index::browning_index;
pub use difference::ciede2000;
pub use lab::{Lab, Rgb, lab_to_srgb, srgb_to_lab};
pub use ramp::{Ramp, toast_colour};
