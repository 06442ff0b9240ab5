//! What can stand in the way of a map.

use crate::numeric::linear::LinearError;

/// Why no map could be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FieldError {
    #[error(
        "{scored} scored slices are too few for a map; score at least {needed}, better twelve on a rack"
    )]
    TooFew { scored: usize, needed: usize },
    #[error(
        "only {exact} of {scored} slices are neither barely toasted ({pale}) nor nearly burnt ({dark}), so nothing shows; {advice}"
    )]
    NothingTold {
        exact: usize,
        scored: usize,
        pale: usize,
        dark: usize,
        advice: &'static str,
    },
    #[error(
        "slice {number} lies on rack position {rack}, and this oven has none of that number; correct the number"
    )]
    UnknownRack {
        /// Slice number, from 1.
        number: usize,
        rack: u8,
    },
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
    #[error("slice {number}: {what} of {value} cannot be; correct it")]
    Figure {
        /// Slice number, from 1.
        number: usize,
        what: &'static str,
        value: f64,
    },
    #[error(
        "a cavity of {width} x {depth} cm with {racks} rack positions cannot be mapped; describe the oven first"
    )]
    Domain {
        /// Width, cm.
        width: f64,
        /// Depth, cm.
        depth: f64,
        racks: usize,
    },
    #[error("the map could not be computed: {0}; this is a fault in the program")]
    Linear(#[from] LinearError),
}
