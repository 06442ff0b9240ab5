//! What all readings in one mode say. It grows with the readings, so the worker works it out.

use crate::{
    model::{AirPlace, Mode, OvenId, RoundId, Thermometer},
    tui::trouble::Trouble,
    workflow::{
        kitchen::Records,
        readings::{
            OvenSummary, PlaceOffset, RoundFigures, air_map, figures, rows_at, summary,
            thermometer_of,
        },
    },
};

/// What all readings in one mode say.
#[derive(Debug)]
pub(super) struct Said {
    pub(super) summary: OvenSummary,
    /// Every round.
    rounds: Vec<RoundSaid>,
    /// Where in the oven the air is warmer and cooler.
    pub(super) places: Vec<PlaceOffset>,
}

/// What one round says, at the place where it began.
#[derive(Debug)]
pub(super) struct RoundSaid {
    id: RoundId,
    pub(super) thermometer: Thermometer,
    pub(super) place: AirPlace,
    /// Setting by setting.
    pub(super) figures: Vec<RoundFigures>,
}

impl Said {
    /// Goes through all readings of an oven in a mode.
    pub(super) fn of(kitchen: &Records, oven: &OvenId, mode: Mode) -> Result<Self, Trouble> {
        let oven = kitchen.oven(oven).ok_or(Trouble::Gone)?;
        let rounds = kitchen.rounds_of(&oven.id).into_iter();
        let rounds = rounds.filter(|r| r.mode == mode).map(|round| {
            let thermometer = thermometer_of(kitchen, round.thermometer.as_ref());
            let place = round.readings.first().map_or(AirPlace::CENTRE, |r| r.place);
            RoundSaid {
                id: round.id.clone(),
                figures: figures(&rows_at(round, place), &thermometer),
                thermometer,
                place,
            }
        });
        Ok(Self {
            rounds: rounds.collect(),
            summary: summary(kitchen, oven, mode),
            places: air_map(kitchen, oven, mode),
        })
    }

    /// Returns what a round says.
    pub(super) fn round(&self, id: &RoundId) -> Option<&RoundSaid> {
        self.rounds.iter().find(|r| r.id == *id)
    }
}
