//! A lay-out of slices as JSON.

use super::json_kitchen::SliceJson;
use crate::model::Slice;
use serde::Serialize;

/// What another test would bring, shades (half the typical 90 % interval of a place against its rack).
#[derive(Debug, Serialize)]
pub struct NextJson {
    /// What the map is good to now.
    pub now_shade: f64,
    /// Ways to lay it out, the best first.
    pub ways: Vec<WayJson>,
}

/// One way to lay out the next test.
#[derive(Debug, Serialize)]
pub struct WayJson {
    /// In words.
    pub way: &'static str,
    /// What the map is good to afterwards, shades.
    pub then_shade: f64,
    /// Every slice.
    pub slices: Vec<SliceJson>,
}

/// Where each slice goes, and what to expect.
#[derive(Debug, Serialize)]
pub struct LayoutJson {
    /// Slices along the door.
    pub cols: usize,
    /// Slices front to back.
    pub rows: usize,
    /// Slices on each rack.
    pub per_rack: usize,
    /// Loaves needed.
    pub loaves: usize,
    /// Setting of the dial.
    pub dial_c: f64,
    /// Shortest time to expect.
    pub minutes_lo: Option<f64>,
    /// Longest time to expect.
    pub minutes_hi: Option<f64>,
    /// How long the last test at this dial took, minutes.
    pub minutes_before: Option<f64>,
    /// When to pull.
    pub pull_when: String,
    /// Every slice.
    pub slices: Vec<SliceJson>,
    /// What another test would bring, where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<NextJson>,
    /// What to do before and while it toasts.
    pub cautions: Vec<String>,
    /// Remarks.
    pub warnings: Vec<String>,
}

/// Writes slices in reading order.
pub fn slices_json(slices: &[Slice]) -> Vec<SliceJson> {
    slices
        .iter()
        .enumerate()
        .map(|(i, s)| SliceJson::new(i, s))
        .collect()
}
