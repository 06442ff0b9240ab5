//! A coarse map of the air from rounds that were read at several places.

use super::{
    figures::{figures, rows_at},
    summary::thermometer_of,
};
use crate::{
    calibration::Estimate,
    model::{AirPlace, Mode, Oven},
    workflow::kitchen::Kitchen,
};

/// How the air at one place differs.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceOffset {
    /// Where.
    pub place: AirPlace,
    /// Air there less the mean over all places of the same sitting, C; the thermometer's own error
    /// cancels, since one thermometer went round.
    pub offset: Estimate,
    /// Sittings behind it.
    pub rounds: usize,
}

/// Makes a coarse map of the air since the last visit, by place.
///
/// Empty where no sitting was read at two places or more.
pub fn air_map(kitchen: &Kitchen, oven: &Oven, mode: Mode) -> Vec<PlaceOffset> {
    let last_visit = oven.visits.iter().map(|v| v.when).max();
    let mut found: Vec<(AirPlace, Vec<Estimate>)> = Vec::new();
    for round in kitchen.rounds_of(&oven.id) {
        let old = round
            .span()
            .is_none_or(|(began, _)| last_visit.is_some_and(|visit| began < visit));
        if round.mode != mode || old {
            continue;
        }
        let thermometer = thermometer_of(kitchen, round.thermometer.as_ref());
        let mut places: Vec<AirPlace> = round.readings.iter().map(|r| r.place).collect();
        places.sort();
        places.dedup();
        let means: Vec<(AirPlace, Estimate)> = places
            .into_iter()
            .filter_map(|place| {
                let all = figures(&rows_at(round, place), &thermometer);
                let offsets: Vec<Estimate> = all.iter().filter_map(|f| f.offset).collect();
                Some((place, Estimate::pooled(&offsets)?))
            })
            .collect();
        if means.len() < 2 {
            continue;
        }
        let n = means.len() as f64;
        let middle = means.iter().map(|(_, m)| m.value).sum::<f64>() / n;
        let all_sd = means.iter().map(|(_, m)| m.sd * m.sd).sum::<f64>().sqrt() / n;
        for (place, mean) in means {
            let against = mean.shifted(-middle).with_type_b(all_sd);
            match found.iter_mut().find(|(p, _)| *p == place) {
                Some((_, list)) => list.push(against),
                None => found.push((place, vec![against])),
            }
        }
    }
    found.sort_by_key(|(place, _)| *place);
    found
        .into_iter()
        .filter_map(|(place, list)| {
            Some(PlaceOffset {
                place,
                offset: Estimate::pooled(&list)?,
                rounds: list.len(),
            })
        })
        .collect()
}
