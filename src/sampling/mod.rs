//! From a picture of toasted slices to a score for each: where the slices lie, which of their
//! pixels are crumb, what the light did to them, and how brown that leaves them.
//!
//! Everything here works on linear light; decoding is the business of the layer above.

mod agree;
mod correction;
mod crumb;
mod fellows;
mod flags;
mod ground;
mod laid;
mod lattice;
mod lay;
mod light;
mod locate;
mod outline;
mod patch;
mod patches;
pub mod picture;
mod pieces;
mod planes;
mod quality;
mod rectify;
mod references;
mod regions;
pub mod request;
mod score;
pub mod scores;
mod spoil;
mod tone;
mod turned;

pub use agree::GridFit;
pub use crumb::Unreadable;
pub use patch::Measured;
pub use patches::{PatchScore, read_patches};
pub use picture::Picture;
pub use pieces::{Piece, Pieces, read_pieces};
pub use quality::Quality;
pub use references::describe;
pub use request::{Rectangle, Reference, Request, SamplingError, Side};
pub use score::read;
pub use scores::{Flag, LightKind, LightShare, Place, Scores, SliceScore, Verdict};
pub use turned::read_turned;

#[cfg(test)]
mod scene;
#[cfg(test)]
mod spoilt_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod turned_tests;
