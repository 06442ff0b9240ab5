//! A quick check as JSON.

use super::json_kitchen::SliceJson;
use serde::Serialize;

/// Where the slices of a quick check go, and what they can show.
#[derive(Debug, Serialize)]
pub struct PlacesJson {
    /// How the oven heats.
    pub mode: &'static str,
    /// Rack positions.
    pub racks: Vec<u8>,
    /// Setting of the dial.
    pub dial_c: f64,
    /// Shortest time to expect, minutes.
    pub minutes_lo: Option<f64>,
    /// Longest time to expect, minutes.
    pub minutes_hi: Option<f64>,
    /// How long the last test at this dial took, minutes.
    pub minutes_before: Option<f64>,
    /// What it is checked against, in words.
    pub known: String,
    /// The smallest change that these slices rule out, shades; null where nothing is known.
    pub shows_shade: Option<f64>,
    /// Slices of a full test.
    pub full_slices: usize,
    /// The smallest change that a full test rules out, shades; null where nothing is known.
    pub full_shows_shade: Option<f64>,
    /// Every slice.
    pub slices: Vec<SliceJson>,
    /// What to do before and while it toasts.
    pub cautions: Vec<String>,
}

/// What a quick check comes to.
#[derive(Debug, Serialize)]
pub struct CheckedJson {
    /// The toast test that holds its slices.
    pub test: String,
    /// Where they lay and how they were scored.
    pub slices: Vec<SliceJson>,
    /// `as-before`, `changed`, `cannot-tell` or `first-look`.
    pub answer: &'static str,
    /// The answer in a sentence.
    pub says: String,
    /// Why, and what to do.
    pub reasons: Vec<String>,
    /// What it was checked against, in words.
    pub known: String,
    /// How often an unchanged oven looks so; null where nothing was known.
    pub chance: Option<f64>,
    /// The part that stands out most.
    pub part: Option<PartJson>,
    /// No part changed by more than this, shades.
    pub at_most_shade: Option<f64>,
    /// Slices that counted.
    pub scored: usize,
}

/// The part that stands out most.
#[derive(Debug, Serialize)]
pub struct PartJson {
    /// Its rack position; null for the same part of all of them.
    pub rack: Option<u8>,
    /// Its name.
    pub place: &'static str,
    /// By how much it browns more than before, beside the rest, shades.
    pub shades: f64,
    /// Lower end of the 90 % interval.
    pub shades_lo: f64,
    /// Upper end.
    pub shades_hi: f64,
    /// The same as degrees; null where so little browned that they say nothing.
    pub degrees_c: Option<f64>,
    /// How plainly it is this part: plainly, or-across (this one, or the one across from it the other way), probably, perhaps.
    pub told: &'static str,
}
