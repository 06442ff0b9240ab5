//! What came out of the oven, what bakes teach, and which oven to take, as JSON.

use super::{json_kitchen::BakeJson, json_plan::PlanJson};
use crate::model::BakeLog;
use serde::Serialize;

/// A figure with its 90 % interval.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct FigureJson {
    /// The estimate.
    pub value: f64,
    /// Lower end.
    pub lo: f64,
    /// Upper end.
    pub hi: f64,
}

/// One score against what was expected.
#[derive(Debug, Serialize)]
pub struct PlaceJson {
    /// Tray number, from 1.
    pub tray: usize,
    /// Row from 1 at the back, as the tray first went in; none for a whole tray.
    pub row: Option<usize>,
    /// Column from 1 at the left; none for a whole tray.
    pub col: Option<usize>,
    /// Shade expected, with interval.
    pub expected_shade: FigureJson,
    /// Shade it came out with.
    pub actual_shade: f64,
    /// Difference in standard errors.
    pub standardised: f64,
}

/// Predicted against actual.
#[derive(Debug, Serialize)]
pub struct AfterJson {
    /// How dark on the whole.
    pub level_shade: FigureJson,
    /// What it was meant to have.
    pub wanted_shade: Option<f64>,
    /// How many of the scores are 8 or above; where they are most, the level is the least it may be, else that of the rest.
    pub burnt: usize,
    /// Minutes to add (or take off) to come out as wanted.
    pub minutes_to_wanted: Option<f64>,
    /// Root mean square of actual less expected; none for a bake that went another way than planned.
    pub pattern_error_shade: f64,
    /// What it would be if map and eye are as good as they say; none as above.
    pub pattern_expected_shade: f64,
    /// Every score.
    pub places: Vec<PlaceJson>,
}

/// A bake with what came out of it.
#[derive(Debug, Serialize)]
pub struct BakeAfterJson {
    #[serde(flatten)]
    bake: BakeJson,
    after: Option<AfterJson>,
    map: Option<MapVerdictJson>,
    notes: Vec<String>,
}

/// What several bakes say of the map.
#[derive(Debug, Serialize)]
pub struct MapVerdictJson {
    /// `too-little`, `fits` or `off`.
    pub verdict: &'static str,
    /// Bakes that count.
    pub bakes: usize,
    /// Chance of as much agreement while the map is right.
    pub p: Option<f64>,
    /// Level of the test.
    pub level: f64,
}

impl BakeAfterJson {
    /// Takes a bake, what came out, what the bakes say of the map, and what is to be said beside it.
    pub fn new(
        bake: &BakeLog,
        after: Option<AfterJson>,
        map: Option<MapVerdictJson>,
        notes: Vec<String>,
    ) -> Self {
        Self {
            bake: bake.into(),
            after,
            map,
            notes,
        }
    }
}

/// What the bakes of a kind teach of when it browns.
#[derive(Debug, Serialize)]
pub struct LearnJson {
    /// Key of the kind.
    pub kind: String,
    /// Bakes that count.
    pub bakes: usize,
    /// Pieces that count.
    pub pieces: usize,
    /// Whether it is enough for plans to use it.
    pub enough: bool,
    /// Share of the default's uncertainty that the bakes removed, 0..1.
    pub learned: f64,
    /// Share of the usual time at which half of the browning is done.
    pub half_share: FigureJson,
    /// The same by the default curve.
    pub half_share_default: FigureJson,
    /// The usual time.
    pub usual_min: f64,
    /// Factor on the time before it browns.
    pub warming_factor: FigureJson,
    /// Factor on the approach to the final heat of the surface.
    pub approach_factor: FigureJson,
    /// Scatter of the pieces in their stated errors.
    pub scatter: f64,
}

/// One way to bake it.
#[derive(Debug, Serialize)]
pub struct ChoiceJson {
    /// From 1; those that tie share the first.
    pub rank: usize,
    /// Id of the oven.
    pub oven: String,
    /// Key of the mode.
    pub mode: &'static str,
    /// Rack positions used.
    pub racks: Vec<u8>,
    /// `tests` or `custom`.
    pub basis: &'static str,
    /// Toast tests behind it.
    pub tests: usize,
    /// Day of the newest.
    pub newest_test: Option<String>,
    /// Days since then.
    pub age_days: Option<i32>,
    /// Whether a rack position lies between tested ones, or beyond them.
    pub interpolated: bool,
    /// Whether it cannot be told from the first.
    pub ties_with_first: bool,
    /// The plan that gives it.
    pub plan: PlanJson,
}

/// Every way to bake it, ranked.
#[derive(Debug, Serialize)]
pub struct ChoicesJson {
    /// Tested ways first, then those by custom.
    pub ways: Vec<ChoiceJson>,
    /// What cannot be, and why.
    pub refused: Vec<String>,
}
