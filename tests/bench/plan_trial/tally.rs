//! Sums over many plans.

use super::{OPENINGS, Pieces};

/// Sums over plans; counts are sums of 0 and 1.
#[derive(Clone, Default)]
pub(crate) struct Tally {
    pub(crate) plans: f64,
    /// True spread in the interval told, for the best way with none, at most one, ... openings.
    pub(crate) covered: [f64; OPENINGS + 1],
    /// The same for the way that was chosen.
    pub(crate) chosen_covered: f64,
    pub(crate) chosen_above: f64,
    pub(crate) chosen_below: f64,
    /// Spread told, and width of its interval, shades.
    pub(crate) told: f64,
    pub(crate) width: f64,
    /// What the chosen plan truly gives.
    pub(crate) chosen: Pieces,
    /// The best way of a plan that knows the oven.
    pub(crate) best: Pieces,
    /// The middle of the oven, turned at half the time.
    pub(crate) custom: Pieces,
    /// The chosen placement without its turns.
    pub(crate) alone: Pieces,
    /// Less even than by custom.
    pub(crate) worse_than_custom: f64,
    /// Plans that say no turn is worth it.
    pub(crate) not_worth: f64,
    /// Of those: the plan's own best turn would have gained what is worth telling.
    pub(crate) missed: Pieces,
    /// The same for a plain turn at half the browning.
    pub(crate) missed_plain: Pieces,
    /// What turns that were told gained, shades.
    pub(crate) gained: Pieces,
    /// Turns that were told and made it less even.
    pub(crate) lost: f64,
    /// Time of planning.
    pub(crate) seconds: f64,
}

impl Tally {
    pub(crate) fn add(&mut self, o: &Self) {
        let sums = [
            (&mut self.plans, o.plans),
            (&mut self.chosen_covered, o.chosen_covered),
            (&mut self.chosen_above, o.chosen_above),
            (&mut self.chosen_below, o.chosen_below),
            (&mut self.told, o.told),
            (&mut self.width, o.width),
            (&mut self.worse_than_custom, o.worse_than_custom),
            (&mut self.not_worth, o.not_worth),
            (&mut self.lost, o.lost),
            (&mut self.seconds, o.seconds),
        ];
        for (sum, more) in sums {
            *sum += more;
        }
        for (sum, more) in self.covered.iter_mut().zip(o.covered) {
            *sum += more;
        }
        let pieces = [
            (&mut self.chosen, o.chosen),
            (&mut self.best, o.best),
            (&mut self.custom, o.custom),
            (&mut self.alone, o.alone),
            (&mut self.missed, o.missed),
            (&mut self.missed_plain, o.missed_plain),
            (&mut self.gained, o.gained),
        ];
        for (sum, more) in pieces {
            sum.spread += more.spread;
            sum.sd += more.sd;
        }
    }

    /// Mean over the plans, or their share.
    pub(crate) fn share(&self, sum: f64) -> f64 {
        sum / self.plans.max(1.0)
    }
}
