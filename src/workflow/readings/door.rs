//! What the readings of a door that was opened tell a plan.

use super::summary::OvenSummary;
use crate::{
    calibration::{Estimate, Recovery},
    model::air::LOW_SETTING,
    numeric::student,
    planner::door::{DoorModel, DoorSource},
    units::{CelsiusDelta, Minutes},
};

/// The intervals that are shown: 90 %, as everywhere in plans.
const LEVEL: f64 = 0.9;
/// Drop and time constant known to no better than this share (90 %) are not used: published ones differ by a
/// factor of five or more, so anything within a factor of two and a half is better.
const VAGUE: f64 = 0.9;

/// An opening whose residuals resemble each other so much that fewer than a quarter of its readings count rides on a swing
/// that is not known, and prices no plan.
const RIDES: f64 = 4.0;

/// Returns how far the air falls and how it comes back in an oven and mode, for a plan of so many trays.
///
/// Drop and time constant are those of all openings read since the last service visit, each weighed by what it is
/// worth; how long the door stands open stays as it is typical for so many trays. `None` where they are not known well enough.
pub fn door_of(found: &OvenSummary, trays: usize) -> Option<DoorModel> {
    let doors: Vec<_> = found
        .now
        .iter()
        .filter(|s| s.figures.dial.0 >= LOW_SETTING.0)
        .flat_map(|s| &s.figures.doors)
        .filter(|d| d.alike < RIDES)
        .collect();
    let pool = |pick: fn(&Recovery) -> Estimate| {
        Estimate::pooled(&doors.iter().map(|d| pick(d)).collect::<Vec<_>>())
    };
    let ln_tau = pool(|d| d.ln_tau(LEVEL))?;
    let drop = pool(|d| d.drop)?;
    // Less well known than this, by the intervals that are shown, they say less than the typical figures do.
    let half = |e: &Estimate| student::half_width(LEVEL, e.df) * e.sd;
    let known = half(&ln_tau) < VAGUE && half(&drop) < VAGUE * drop.value;
    known.then(|| DoorModel {
        drop: CelsiusDelta(drop.value),
        recovery: Minutes(ln_tau.value.exp() / 60.0),
        source: DoorSource::Measured,
        ..DoorModel::typical(found.mode, trays)
    })
}
