//! A coarse map of the air from rounds that were read at several places.

use super::{
    figures::{figures, rows_at},
    sat::between_visits,
    summary::thermometer_of,
};
use crate::{
    calibration::{
        Estimate,
        two_ways::{Cell, row_effects},
    },
    model::{AirPlace, AirRound, Mode, Oven, Thermometer},
    units::Celsius,
    workflow::kitchen::Records,
};

/// How the air at one place differs.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceOffset {
    /// Where.
    pub place: AirPlace,
    /// Air there less the mean over the places it can be compared with, C; the thermometer's own error
    /// cancels, since one thermometer went round.
    pub offset: Estimate,
    /// Sittings behind it.
    pub rounds: usize,
    /// How many places that mean is over.
    pub mean_of: usize,
    /// There are other places, which no sitting connects with these.
    pub apart: bool,
}

impl PlaceOffset {
    /// Says what it is held against: `the mean of all places`.
    pub fn against(&self) -> String {
        if self.apart {
            format!("the mean of the {} places read together", self.mean_of)
        } else {
            "the mean of all places".to_owned()
        }
    }
}

/// Makes a coarse map of the air since the last visit, by place.
///
/// Each sitting has its own level, so places that were never read in one sitting are compared by those that both were
/// read with. Empty where no sitting was read at two places or more.
pub fn air_map(kitchen: &Records, oven: &Oven, mode: Mode) -> Vec<PlaceOffset> {
    let last_visit = oven.visits.iter().map(|v| v.when).max();
    let rounds = kitchen.rounds_of(&oven.id).into_iter();
    let rounds = rounds.filter(|round| round.mode == mode);
    let sittings: Vec<Vec<(AirPlace, Estimate)>> = rounds
        .flat_map(|round| between_visits(round, oven))
        .filter(|part| {
            let began = part.span().map(|(began, _)| began.civil());
            began.is_some_and(|began| last_visit.is_none_or(|visit| began >= visit))
        })
        .flat_map(|part| at_settings(&part, &thermometer_of(kitchen, part.thermometer.as_ref())))
        .filter(|means| means.len() > 1)
        .collect();
    let mut places: Vec<AirPlace> = sittings.iter().flatten().map(|(place, _)| *place).collect();
    places.sort();
    let counts: Vec<usize> = places.chunk_by(|a, b| a == b).map(<[_]>::len).collect();
    places.dedup();
    let mut cells = Vec::new();
    for (column, means) in sittings.iter().enumerate() {
        for (place, value) in means {
            let row = places.binary_search(place).unwrap_or(0);
            cells.push(Cell {
                row,
                column,
                value: *value,
            });
        }
    }
    let effects = row_effects(&cells);
    effects
        .iter()
        .map(|effect| {
            let mean_of = effects.iter().filter(|e| e.group == effect.group).count();
            PlaceOffset {
                place: places[effect.row],
                offset: effect.against,
                rounds: counts[effect.row],
                mean_of,
                apart: mean_of < effects.len(),
            }
        })
        .collect()
}

/// The means of a sitting by place, each setting for itself: the oven's offset is another one at another.
fn at_settings(round: &AirRound, thermometer: &Thermometer) -> Vec<Vec<(AirPlace, Estimate)>> {
    let mut places: Vec<AirPlace> = round.readings.iter().map(|r| r.place).collect();
    places.sort();
    places.dedup();
    let mut at: Vec<(Celsius, Vec<(AirPlace, Estimate)>)> = Vec::new();
    for place in places {
        for f in figures(&rows_at(round, place), thermometer) {
            let Some(offset) = f.offset else { continue };
            let one = (place, offset);
            match at
                .iter_mut()
                .find(|(dial, _)| (dial.0 - f.dial.0).abs() < 0.1)
            {
                Some((_, list)) if list.iter().all(|(p, _)| *p != place) => list.push(one),
                // The same setting once more in one sitting: the first hold stands.
                Some(_) => {}
                None => at.push((f.dial, vec![one])),
            }
        }
    }
    at.into_iter().map(|(_, means)| means).collect()
}
