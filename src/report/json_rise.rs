//! A dough's time as JSON.

use serde::Serialize;

/// How long a dough takes, for other programs: minutes and degrees Celsius.
#[derive(Debug, Serialize)]
pub struct RiseJson {
    /// The time, minutes.
    pub minutes: f64,
    /// Lower end of its 90 % interval.
    pub minutes_lo: f64,
    /// Upper end; null where the dough may not rise within a week.
    pub minutes_hi: Option<f64>,
    /// How many times as fast a dough rises once it is as warm as the box.
    pub rate_ratio: f64,
    /// How many times as fast it sours there; null for baker's yeast.
    pub souring_ratio: Option<f64>,
    /// How warm the box is, C.
    pub box_c: f64,
    /// How warm the dough is when it has risen, C.
    pub dough_end_c: f64,
    /// What else to know.
    pub warnings: Vec<String>,
}
