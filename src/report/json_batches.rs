//! A baking day as JSON.

use serde::Serialize;

/// A baking day, for other programs: minutes from its start and degrees Celsius.
#[derive(Debug, Serialize)]
pub struct DayJson {
    /// Key of the kind of bake.
    pub kind: String,
    /// Name of the baker's own recipe; null for the kind itself.
    pub recipe: Option<String>,
    /// Every load, by its start.
    pub batches: Vec<BatchJson>,
    /// When the last tray is done.
    pub total_min: f64,
    /// How far the lightest and the darkest piece of the least even load lie apart; null where that is not known.
    pub least_even_spread_shade: Option<f64>,
    /// What else to know.
    pub advice: Vec<String>,
    /// What stands against trusting it.
    pub warnings: Vec<String>,
    /// Ovens and modes that were left out, with the reason.
    pub left_out: Vec<String>,
}

/// One load.
#[derive(Debug, Serialize)]
pub struct BatchJson {
    /// From 1.
    pub number: usize,
    /// Id of its oven.
    pub oven: String,
    /// Key of the mode.
    pub mode: &'static str,
    /// The trays in it, numbered through the day.
    pub trays: Vec<usize>,
    /// When its door shuts.
    pub start_min: f64,
    /// When its trays are done.
    pub end_min: f64,
    /// What it takes in the oven.
    pub bake_min: f64,
    /// What the dial is set to.
    pub dial_c: f64,
    /// Minutes between the load before it in this oven and this one; 0 for the first.
    pub wait_before_min: f64,
    /// Every opening of the door, from putting in to taking out.
    pub moves: Vec<MoveJson>,
}

/// One opening of the door.
#[derive(Debug, Serialize)]
pub struct MoveJson {
    /// Minutes from the day's start.
    pub at_min: f64,
    /// `in`, `move` or `out`.
    pub kind: &'static str,
    /// What is done.
    pub what: String,
    /// Where every tray is then; empty when they come out.
    pub trays: Vec<PlaceJson>,
}

/// Where a tray is.
#[derive(Debug, Serialize)]
pub struct PlaceJson {
    /// Its number of the day.
    pub tray: usize,
    /// Rack position.
    pub rack: u8,
    /// Turned front to back from how it went in.
    pub turned: bool,
}
