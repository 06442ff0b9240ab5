//! One sitting at one setting, as the months are told from it.

use super::figures::{RoundFigures, habits};
use crate::{
    calibration::Estimate,
    model::{AirPlace, AirReading, AirRound, Oven, Thermometer},
};
use jiff::civil::DateTime;

/// Settings closer than this are one setting, C.
pub(super) const ALIKE: f64 = 1.0;
/// From one round to the next no hold repeats better than this, C: what keeps weights and their errors finite.
pub(super) const LEAST_SD: f64 = 0.2;

/// One sitting's figures at one setting, with what it was read by and when.
#[derive(Debug, Clone)]
pub struct Sat {
    /// When it began.
    pub when: DateTime,
    /// The thermometer; one not named is taken for a common dial type.
    pub thermometer: Thermometer,
    /// Where it stood: the air of another place is hotter or cooler, with no fault of the dial.
    pub(super) place: AirPlace,
    /// Its figures.
    pub figures: RoundFigures,
}

impl Sat {
    /// Returns true air less dial, C, the thermometer's own error included; `None` where nothing held.
    pub fn offset(&self) -> Option<Estimate> {
        let own = self.figures.offset?;
        Some(own.with_type_b(common_sd(self)))
    }

    /// Tells whether the air was seen to hold, and not only on its way there.
    pub(super) fn held(&self) -> bool {
        self.figures.hold.is_some_and(|h| h.sureness.holds())
    }
}

/// Parts a round at the service visits that fell into it: what was read before one says nothing of the oven after it.
pub(super) fn between_visits(round: &AirRound, oven: &Oven) -> Vec<AirRound> {
    let visits = |r: &AirReading| {
        oven.visits
            .iter()
            .filter(|v| v.when <= r.at.civil())
            .count()
    };
    let parts = round.readings.chunk_by(|a, b| visits(a) == visits(b));
    let part = |readings: &[AirReading]| AirRound {
        id: round.id.clone(),
        oven: round.oven.clone(),
        mode: round.mode,
        thermometer: round.thermometer.clone(),
        readings: readings.to_vec(),
        note: round.note.clone(),
    };
    parts.map(part).collect()
}

/// Keeps the sittings taken where most of them were, in the middle of the oven if that is one of such places.
pub(super) fn of_one_place<'s>(sats: &[&'s Sat]) -> Vec<&'s Sat> {
    let at = |place: AirPlace| sats.iter().copied().filter(move |s| s.place == place);
    let most = sats
        .iter()
        .map(|s| s.place)
        .max_by_key(|place| (at(*place).count(), *place == AirPlace::CENTRE));
    most.map_or_else(Vec::new, |place| at(place).collect())
}

/// Returns the standard uncertainty that all readings of a sitting share, C.
pub(super) fn common_sd(sat: &Sat) -> f64 {
    habits(&sat.thermometer, sat.figures.dial).common_sd()
}
