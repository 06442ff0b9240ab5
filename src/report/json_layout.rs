//! A lay-out of slices as JSON.

use super::json_kitchen::SliceJson;
use crate::model::Slice;
use serde::Serialize;

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
    /// When to pull.
    pub pull_when: String,
    /// Every slice.
    pub slices: Vec<SliceJson>,
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
