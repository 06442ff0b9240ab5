//! A coarse map of the air from rounds that were read at several places.

use super::{
    figures::{figures, rows_at},
    summary::thermometer_of,
};
use crate::{
    calibration::Estimate,
    model::{AirPlace, Mode, Oven},
    units::Celsius,
    workflow::kitchen::Records,
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
pub fn air_map(kitchen: &Records, oven: &Oven, mode: Mode) -> Vec<PlaceOffset> {
    let last_visit = oven.visits.iter().map(|v| v.when).max();
    let mut found: Vec<(AirPlace, Vec<Estimate>)> = Vec::new();
    for round in kitchen.rounds_of(&oven.id) {
        let old = round
            .span()
            .is_none_or(|(began, _)| last_visit.is_some_and(|visit| began.civil() < visit));
        if round.mode != mode || old {
            continue;
        }
        let thermometer = thermometer_of(kitchen, round.thermometer.as_ref());
        let mut places: Vec<AirPlace> = round.readings.iter().map(|r| r.place).collect();
        places.sort();
        places.dedup();
        // Places are compared at one setting: the oven's offset is another one at another.
        let mut at: Vec<(Celsius, Vec<(AirPlace, Estimate)>)> = Vec::new();
        for place in places {
            for f in figures(&rows_at(round, place), &thermometer) {
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
        for (place, against) in at.iter().flat_map(|(_, means)| against_their_mean(means)) {
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

/// Each place less the mean over all of them, which it is part of: of n places with sds s, place i keeps
/// `s_i`^2 (1 - 2/n) + sum of s^2 / n^2. Nothing of a single place.
fn against_their_mean(means: &[(AirPlace, Estimate)]) -> Vec<(AirPlace, Estimate)> {
    let n = means.len() as f64;
    if means.len() < 2 {
        return Vec::new();
    }
    let middle = means.iter().map(|(_, m)| m.value).sum::<f64>() / n;
    means
        .iter()
        .enumerate()
        .map(|(i, (place, mean))| {
            let (mut variance, mut spare) = (0.0, 0.0);
            for (j, (_, other)) in means.iter().enumerate() {
                let gain = if i == j { 1.0 - 1.0 / n } else { 1.0 / n };
                let part = (gain * other.sd).powi(2);
                variance += part;
                spare += part * part / other.df;
            }
            let against = Estimate {
                value: mean.value - middle,
                sd: variance.sqrt(),
                df: if spare > 0.0 {
                    variance * variance / spare
                } else {
                    f64::INFINITY
                },
            };
            (*place, against)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Spot;

    /// By hand: a - (a + b) / 2 of two alike is (a - b) / 2, with an sd of 0.71 of one.
    #[test]
    fn a_place_is_part_of_the_mean_it_is_held_against() {
        let of = |spot, value, sd| {
            let place = AirPlace { rack: None, spot };
            (place, Estimate { value, sd, df: 4.0 })
        };
        let two =
            against_their_mean(&[of(Spot::BackLeft, 8.0, 1.0), of(Spot::FrontRight, 2.0, 1.0)]);
        assert!((two[0].1.value - 3.0).abs() < 1e-12 && (two[1].1.value + 3.0).abs() < 1e-12);
        assert!((two[0].1.sd - 0.5_f64.sqrt()).abs() < 1e-12);
        assert!(
            (two[0].1.df - 8.0).abs() < 1e-9,
            "both scatters count: {:?}",
            two[0]
        );
        assert!(against_their_mean(&two[..1]).is_empty());
    }
}
