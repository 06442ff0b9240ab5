//! What can stand in the way of a map.

use crate::numeric::linear::LinearError;

/// Why no map could be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FieldError {
    /// Fewer scored slices than a map needs.
    #[error(
        "{scored} scored slices are too few for a map; score at least {needed}, better twelve on a rack"
    )]
    TooFew {
        /// How many there are.
        scored: usize,
        /// How many are needed.
        needed: usize,
    },
    /// Nearly every slice only says "at least" or "at most".
    #[error(
        "only {exact} of {scored} slices are neither barely toasted ({pale}) nor nearly burnt ({dark}), so nothing shows; {advice}"
    )]
    NothingTold {
        /// Slices that carry a figure.
        exact: usize,
        /// All scored slices.
        scored: usize,
        /// Slices that only say "at most".
        pale: usize,
        /// Slices that only say "at least".
        dark: usize,
        /// Pull later, or earlier.
        advice: &'static str,
    },
    /// A slice lies on a rack position that is not in the oven.
    #[error(
        "slice {number} lies on rack position {rack}, and this oven has none of that number; correct the number"
    )]
    UnknownRack {
        /// Slice number, from 1.
        number: usize,
        /// The rack position given.
        rack: u8,
    },
    /// A slice's centre lies outside the cavity.
    #[error(
        "slice {number} at {x:.1} cm from the left and {y:.1} cm from the door lies outside the {width:.1} x {depth:.1} cm cavity; correct its place or the cavity"
    )]
    Outside {
        /// Slice number, from 1.
        number: usize,
        /// Its x, cm.
        x: f64,
        /// Its y, cm.
        y: f64,
        /// Cavity width, cm.
        width: f64,
        /// Cavity depth, cm.
        depth: f64,
    },
    /// A figure that is no number, or a negative error.
    #[error("slice {number}: {what} of {value} cannot be; correct it")]
    Figure {
        /// Slice number, from 1.
        number: usize,
        /// Which figure.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// The cavity has no area or no rack position.
    #[error(
        "a cavity of {width} x {depth} cm with {racks} rack positions cannot be mapped; describe the oven first"
    )]
    Domain {
        /// Width, cm.
        width: f64,
        /// Depth, cm.
        depth: f64,
        /// Count of rack positions.
        racks: usize,
    },
    /// The linear algebra broke down.
    #[error("the map could not be computed: {0}; this is a fault in the program")]
    Linear(#[from] LinearError),
}
