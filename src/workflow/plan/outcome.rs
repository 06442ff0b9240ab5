//! What a search came to: the map it went over, the schedule for every number of openings, and the one chosen.

use super::bake::Bake;
use crate::{
    field::Evidence,
    model::{Oven, Sensitivity},
    planner::{
        BrowningSource,
        door::DoorClock,
        evenness::Verdict,
        schedule::{Schedule, schedule},
        search::Found,
        space::Space,
    },
    units::Minutes,
};

/// Standard deviation, in shades, that is not worth another rack position or a shift: placements that differ by
/// less are as even, and the one nearest the middle and the mean level is taken.
pub(super) const NEGLIGIBLE: f64 = 0.1;

/// The map a plan rests on.
#[derive(Clone)]
pub struct Mapped<'a> {
    /// Browning at every place, with joint samples.
    pub source: &'a dyn BrowningSource,
    /// Mapped rack positions and what each map rests on.
    pub racks: Vec<(u8, Evidence)>,
    /// How strongly this bread answers to temperature.
    pub sensitivity: Sensitivity,
    /// What the map rests on, in words: tests, mode, date.
    pub basis: String,
}

/// The schedules for 0, 1, 2, ... openings: one more opening never makes a bake less even, at worst it is not used.
pub(super) struct Ways {
    pub(super) schedules: Vec<Schedule>,
    /// Openings beyond this do not fit into the bake's time.
    pub(super) too_short_for: Option<usize>,
}

impl Ways {
    pub(super) fn time(
        space: &Space,
        found: &Found,
        clock: &DoorClock<'_>,
        set_at: Minutes,
    ) -> Self {
        let mut schedules: Vec<Schedule> = Vec::new();
        let mut too_short_for = None;
        for (openings, handling) in found.handlings.iter().enumerate() {
            let timed = schedule(space, handling, clock, set_at);
            if timed.is_none() && too_short_for.is_none() {
                too_short_for = Some(openings);
            }
            match (timed, schedules.last()) {
                (Some(timed), Some(last)) if timed.variance >= last.variance - 1e-9 => {
                    schedules.push(last.clone());
                }
                (Some(timed), _) => schedules.push(timed),
                (None, Some(last)) => schedules.push(last.clone()),
                (None, None) => {}
            }
        }
        Self {
            schedules,
            too_short_for,
        }
    }
}

/// What the sentences of advice are written from.
pub(super) struct Outcome<'a> {
    pub(super) oven: &'a Oven,
    pub(super) bake: &'a Bake<'a>,
    pub(super) ground: &'a Mapped<'a>,
    pub(super) space: &'a Space,
    pub(super) ways: &'a Ways,
    pub(super) verdicts: &'a [Verdict],
    pub(super) chosen: usize,
    pub(super) off_lowest: bool,
    pub(super) gap: f64,
}
