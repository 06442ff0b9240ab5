//! From a picture of toasted slices to a score for each: where the slices lie, which of their
//! pixels are crumb, what the light did to them, and how brown that leaves them.
//!
//! Everything here works on linear light; decoding is the business of the layer above.

mod crumb;
mod lattice;
mod light;
mod locate;
mod outline;
mod patch;
pub mod picture;
mod planes;
mod quality;
mod regions;
pub mod request;
pub mod score;
mod tone;

pub use picture::Picture;
pub use request::{Reference, Request, SamplingError};
pub use score::{Scores, read};
