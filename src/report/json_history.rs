//! The life of an oven as JSON.

use crate::field::Range;
use serde::Serialize;

/// Returns an estimate with the ends of its interval.
pub fn ends(range: Range) -> [f64; 3] {
    [range.value, range.lo, range.hi]
}

/// One thing that happened.
#[derive(Debug, Serialize)]
pub struct MomentJson {
    /// Local time.
    pub when: String,
    /// `toast test`, `service visit`, `readings`, `bake`.
    pub what: &'static str,
    /// In words.
    pub words: String,
}

/// Evenness of one rack position in one test.
#[derive(Debug, Serialize)]
pub struct EvennessPointJson {
    /// Local time.
    pub when: String,
    /// Id of the test.
    pub test: String,
    /// Key of the mode.
    pub mode: &'static str,
    /// Rack position.
    pub rack: u8,
    /// Value, lower and upper end (90 %).
    pub spread_shade: [f64; 3],
    /// Value, lower and upper end (90 %).
    pub sd_shade: [f64; 3],
    /// The same in degrees that would brown alike; value, lower and upper end (90 %).
    pub sd_c: [f64; 3],
    /// Name of the hottest place.
    pub hottest: &'static str,
    /// Value, lower and upper end (90 %).
    pub hottest_c: [f64; 3],
}

/// Offset of one sitting.
#[derive(Debug, Serialize)]
pub struct OffsetPointJson {
    /// Local time.
    pub when: String,
    /// Key of the mode.
    pub mode: &'static str,
    /// The setting.
    pub dial_c: f64,
    /// Value, lower and upper end (90 %).
    pub offset_c: [f64; 3],
}

/// The life of an oven.
#[derive(Debug, Serialize)]
pub struct HistoryJson {
    /// Id of the oven.
    pub oven: String,
    /// Oldest first.
    pub moments: Vec<MomentJson>,
    /// Oldest first.
    pub evenness: Vec<EvennessPointJson>,
    /// Oldest first.
    pub offsets: Vec<OffsetPointJson>,
    /// Day from which to test again.
    pub test_again_from: String,
    /// Whether that day has come.
    pub test_again_due: bool,
    /// Why.
    pub test_again_why: String,
}
