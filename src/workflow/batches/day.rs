//! A baking day: its loads, and what is to be said of them.

use crate::{
    model::{Mode, OvenId, Plan, Warning},
    units::Minutes,
};

/// One load of the day.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// From 1, by their start.
    pub number: usize,
    /// Its oven.
    pub oven: OvenId,
    /// How that heats.
    pub mode: Mode,
    /// The trays in it, numbered through the day.
    pub trays: Vec<usize>,
    /// When its door shuts, minutes into the day.
    pub start: Minutes,
    /// When it is done.
    pub end: Minutes,
    /// The plan it follows; its trays have their numbers of the day.
    pub plan: Plan,
    /// Minutes its door stands open to put it in, and again to take it out.
    pub handling: Minutes,
    /// Minutes after it is out until the air is back.
    pub wait: Minutes,
}

/// A baking day.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// Every load, by its start.
    pub batches: Vec<Batch>,
    /// When the last tray is done, minutes.
    pub total: Minutes,
    /// How far the lightest and the darkest piece of the least even load lie apart, shades; `None` where nothing was tested.
    pub worst: Option<f64>,
    /// What stands against trusting it.
    pub warnings: Vec<Warning>,
    /// What else to know.
    pub advice: Vec<String>,
    /// Ovens and modes that were left out, with the reason.
    pub left_out: Vec<String>,
}

impl Day {
    /// Says how far the lightest and the darkest piece of the least even load lie apart, as a plan of one load does;
    /// `None` where nothing was tested.
    pub fn least_even(&self) -> Option<String> {
        self.worst?;
        let loads = self.batches.iter().map(|b| b.plan.evenness);
        let least = loads.max_by(|a, b| a.spread.total_cmp(&b.spread))?;
        let (lo, hi) = least.spread_range;
        Some(format!("{:.1} shades ({lo:.1} to {hi:.1})", least.spread))
    }
}
