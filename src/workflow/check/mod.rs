//! A quick check with a few slices: where to lay them, and whether the oven is still the one on record.

mod answer;
mod known;
mod places;

pub use answer::{Answer, Checked, PartChange, PartTold, check};
pub use known::{CheckError, Known, SLICES};
pub use places::{CheckRequest, Places, USUAL_SLICES, places, scored_test};
