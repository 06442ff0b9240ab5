//! A baking day: its loads, and what is to be said of them.

use crate::{
    model::{Warning, day::Batch},
    units::Minutes,
};

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
    /// Makes the day that these loads are, with nothing further to say of it.
    pub fn of_loads(batches: Vec<Batch>) -> Self {
        let ends = batches.iter().map(|b| b.end.0);
        let plans = || batches.iter().map(|b| b.plan.evenness);
        let known = plans().all(|e| e.is_known());
        let worst = plans().map(|e| e.spread).max_by(f64::total_cmp);
        Self {
            total: Minutes(ends.fold(0.0, f64::max)),
            worst: worst.filter(|_| known),
            batches,
            warnings: Vec::new(),
            advice: Vec::new(),
            left_out: Vec::new(),
        }
    }

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
