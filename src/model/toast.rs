//! A toast test: one setup, one time in the oven, one loaf; slices laid out, then scored.

use super::{
    bread::Bread,
    id::{OvenId, TestId},
    moment::Moment,
    oven::Mode,
    photo::PhotoNote,
    place::Place,
    shade::{Browning, ROUNDING_SD_SHADE, Shade, UNTOASTED_LIGHTNESS, browning_per_shade},
};
use crate::{
    geometry::rows,
    units::{Celsius, Minutes},
};
use jiff::civil::DateTime;

/// Oven, mode, dial setting and which rack positions carry something at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// Which oven.
    pub oven: OvenId,
    /// How it heats.
    pub mode: Mode,
    /// What its dial is set to.
    pub dial: Celsius,
    /// Numbers of the loaded rack positions, rising.
    pub racks: Vec<u8>,
}

/// What is known of one slice's browning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reading {
    /// Not looked at yet.
    Unscored,
    /// Passed over by the baker; to be left out of the map.
    Skipped,
    /// No slice lay there.
    Missing,
    /// Read by eye against the shade card.
    ByEye(Shade),
    /// Measured lightness L* of the crumb with its standard error.
    Measured {
        /// CIE L*.
        lightness: f64,
        /// Standard error of `lightness`.
        sd: f64,
    },
}

impl Reading {
    /// Returns browning and its standard error, or `None` where nothing is known.
    ///
    /// For a shade read by eye the error is that of rounding to half steps; how far the eye itself
    /// strays shows in the scatter between neighbouring slices and is fitted there.
    /// `untoasted` is the L* of an untoasted slice of the same loaf.
    pub fn browning(self, untoasted: f64) -> Option<(Browning, f64)> {
        match self {
            Self::Unscored | Self::Skipped | Self::Missing => None,
            Self::ByEye(shade) => {
                Some((shade.browning(), ROUNDING_SD_SHADE * browning_per_shade()))
            }
            Self::Measured { lightness, sd } => Some((
                Browning::from_lightness(lightness, untoasted),
                sd / lightness,
            )),
        }
    }

    /// Tells whether the scorer has dealt with this slice.
    pub fn is_settled(self) -> bool {
        match self {
            Self::Unscored => false,
            Self::Skipped | Self::Missing | Self::ByEye(_) | Self::Measured { .. } => true,
        }
    }
}

/// One piece of bread at a place on a rack position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slice {
    /// The rack position it lay on.
    pub rack: u8,
    /// Its centre.
    pub place: Place,
    /// What is known of it.
    pub reading: Reading,
}

/// One setup, one time in the oven, one loaf.
#[derive(Debug, Clone, PartialEq)]
pub struct ToastTest {
    /// Its id.
    pub id: TestId,
    /// The setup it belongs to.
    pub setup: Setup,
    /// When it was toasted, local time.
    pub when: DateTime,
    /// How long the slices were in the oven, where noted.
    pub minutes: Option<Minutes>,
    /// Since when its slices are in the oven, while the toasting clock runs.
    pub toasting: Option<Moment>,
    /// The loaf.
    pub bread: Bread,
    /// The slices in reading order: rack by rack from the bottom, back row first, left to right.
    pub slices: Vec<Slice>,
    /// Index of the slice to score next; `slices.len()` when all are done.
    pub cursor: usize,
    /// Free words.
    pub note: String,
    /// The photos that scores were read from, one for a rack at most.
    pub photos: Vec<PhotoNote>,
}

/// What a quick check's test carries as its note.
pub const CHECK_NOTE: &str = "quick check";
/// What it carries once it has found the oven changed.
pub const CHECK_CHANGED: &str = "quick check: changed";

impl ToastTest {
    /// Parts `slices`, numbers of slices on one rack position, into rows, back row first, each from left to right.
    ///
    /// Slices less than half a slice apart front to back are of one row.
    pub fn rows_of(&self, slices: &[usize]) -> Vec<Vec<usize>> {
        let at = |&i: &usize| (self.slices[i].place.x.0, self.slices[i].place.y.0);
        let places: Vec<(f64, f64)> = slices.iter().map(at).collect();
        let rows = rows(&places, self.bread.slice.depth.0 / 2.0).into_iter();
        rows.map(|row| row.into_iter().map(|i| slices[i]).collect())
            .collect()
    }

    /// Makes a test of the usual bread, not timed yet.
    pub fn new(id: TestId, setup: Setup, when: DateTime, slices: Vec<Slice>) -> Self {
        Self {
            id,
            setup,
            when,
            minutes: None,
            toasting: None,
            bread: Bread::default(),
            slices,
            cursor: 0,
            note: String::new(),
            photos: Vec::new(),
        }
    }

    /// Tells whether it was laid out as a quick check.
    pub fn is_check(&self) -> bool {
        self.note == CHECK_NOTE || self.found_change()
    }

    /// Tells whether it is a quick check that found the oven changed.
    pub fn found_change(&self) -> bool {
        self.note == CHECK_CHANGED
    }

    /// Returns the L* of an untoasted slice: measured, else the default.
    pub fn untoasted(&self) -> f64 {
        self.bread
            .untoasted_lightness
            .unwrap_or(UNTOASTED_LIGHTNESS)
    }

    /// Returns how many slices carry a score.
    pub fn scored(&self) -> usize {
        self.slices
            .iter()
            .filter(|s| s.reading.browning(self.untoasted()).is_some())
            .count()
    }

    /// Tells whether every slice has been dealt with.
    pub fn is_complete(&self) -> bool {
        self.slices.iter().all(|s| s.reading.is_settled())
    }

    /// Returns the index of the first slice not dealt with at or after `from`, else before it.
    pub fn next_unscored(&self, from: usize) -> Option<usize> {
        let n = self.slices.len();
        (from..n)
            .chain(0..from.min(n))
            .find(|&i| !self.slices[i].reading.is_settled())
    }
}
