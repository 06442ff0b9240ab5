//! From readings of slices to what the map engine takes.

use crate::{
    compare::SAME_PLACE,
    field::{Bound, Domain, Lean, Observation, Priors, Rack},
    geometry::{Point, nearest_pairs},
    model::{
        Oven, Place, Reading, ToastTest,
        shade::{BARELY_SHADE, EYE_SD_SHADE, SATURATED_SHADE, browning_per_shade},
    },
};
use std::collections::BTreeSet;

/// Half of the smallest step on the card: a shade of 8 says "at least 7.75".
const HALF_STEP: f64 = 0.25;

/// Returns cavity and rack positions of an oven for the engine.
pub(crate) fn domain_of(oven: &Oven) -> Domain {
    Domain {
        width: oven.cavity.width.0,
        depth: oven.cavity.depth.0,
        racks: oven
            .racks
            .iter()
            .map(|r| Rack {
                number: r.number,
                height: r.height.0,
            })
            .collect(),
    }
}

/// Tells whether any slice was read by eye.
pub(super) fn read_by_eye(tests: &[&ToastTest]) -> bool {
    tests
        .iter()
        .flat_map(|t| &t.slices)
        .any(|s| matches!(s.reading, Reading::ByEye(_)))
}

/// Returns what is believed before a slice is scored, by eye or measured.
pub(crate) fn priors_of(by_eye: bool) -> Priors {
    if by_eye {
        Priors::by_eye(EYE_SD_SHADE * browning_per_shade())
    } else {
        Priors::measured()
    }
}

/// Turns a shade read by eye into browning and how to take it: a shade of 8 or more is nearly
/// saturated and says "at least", one below 1 has barely started and says "at most".
pub fn take_by_eye(shade: f64) -> (f64, Bound) {
    let per_shade = browning_per_shade();
    if shade >= SATURATED_SHADE {
        ((shade - HALF_STEP) * per_shade, Bound::AtLeast)
    } else if shade < BARELY_SHADE {
        ((shade + HALF_STEP) * per_shade, Bound::AtMost)
    } else {
        (shade * per_shade, Bound::Exact)
    }
}

/// Tells whether any slice of a test carries a figure: one that is as good as burnt or pale all over shows no pattern.
pub(super) fn tells(test: &ToastTest) -> bool {
    test.slices.iter().any(|slice| match slice.reading {
        Reading::ByEye(shade) => take_by_eye(shade.value()).1 == Bound::Exact,
        Reading::Measured { .. } => true,
        Reading::Unscored | Reading::Skipped | Reading::Missing => false,
    })
}

/// Returns the rack positions of tests that have slices left to score.
pub(super) fn unscored_racks(tests: &[&ToastTest]) -> Vec<u8> {
    let slices = tests.iter().flat_map(|t| &t.slices);
    let left = slices.filter(|s| s.reading == Reading::Unscored);
    left.map(|s| s.rack).collect()
}

/// Returns what one test's slices say, and for each the slice number it comes from (from 1).
///
/// `batch` is the test's place in a pool, from 0.
pub fn observations_of(test: &ToastTest, batch: usize) -> Vec<(usize, Observation)> {
    let size = test.bread.slice;
    test.slices
        .iter()
        .enumerate()
        .filter_map(|(i, slice)| {
            let (dose, sd) = slice.reading.browning(test.untoasted())?;
            let (browning, bound) = if let Reading::ByEye(shade) = slice.reading {
                take_by_eye(shade.value())
            } else {
                (dose.0, Bound::Exact)
            };
            let observation = Observation {
                rack: slice.rack,
                x: slice.place.x.0,
                y: slice.place.y.0,
                width: size.width.0,
                depth: size.depth.0,
                browning,
                sd,
                bound,
                batch,
                lean: lean_of(test, i, batch),
            };
            Some((i + 1, observation))
        })
        .collect()
}

/// Most rack positions an oven has, and more: photos of one test are numbered by theirs.
pub(super) const RACKS: usize = 256;

/// Returns what a slice shares with the others of its photo; `None` where it was not measured in one.
fn lean_of(test: &ToastTest, slice: usize, batch: usize) -> Option<Lean> {
    let slice = test.slices.get(slice)?;
    let Reading::Measured { lightness, .. } = slice.reading else {
        return None;
    };
    let photo = test.photos.iter().find(|p| p.rack == slice.rack)?;
    let on_rack = || test.slices.iter().filter(|s| s.rack == slice.rack);
    let share = |of: fn(&Place) -> f64| {
        let low = on_rack().map(|s| of(&s.place)).fold(f64::MAX, f64::min);
        let high = on_rack().map(|s| of(&s.place)).fold(f64::MIN, f64::max);
        let half = (high - low) / 2.0;
        if half > 0.0 {
            (of(&slice.place) - low) / half - 1.0
        } else {
            0.0
        }
    };
    // One load for all slices of a photo: were it larger for darker ones, browning itself could pass for an error of
    // the level (Peelle's puzzle).
    let measured = on_rack().filter_map(|s| match s.reading {
        Reading::Measured { lightness, .. } => Some(lightness.max(1.0)),
        Reading::ByEye(_) | Reading::Unscored | Reading::Skipped | Reading::Missing => None,
    });
    let (sum, count) = measured.fold((0.0, 0.0), |(sum, count), l| (sum + l, count + 1.0));
    let middling = sum / count;
    // dL* = (L* + 16) / 3 d ln Y, and dB = dL* / L*
    let lightness = lightness.max(1.0);
    let size = photo.lean * (lightness + 16.0) / (3.0 * lightness);
    Some(Lean {
        photo: batch * RACKS + usize::from(slice.rack),
        loads: [
            size * share(|p| p.x.0),
            size * share(|p| p.y.0),
            photo.level / middling,
        ],
    })
}

/// Levels are brought together from this mean browning on, shades.
pub(super) const LEAST_LEVEL_SHADE: f64 = 0.5;
/// Fewest places two tests must share before their levels are compared.
const FEWEST_PAIRS: usize = 3;

/// Brings repeated tests to the level of the first: a test pulled later is darker all over, and its
/// differences are larger in the same proportion.
///
/// Levels are compared over the places that carry a figure in both tests; with too few of those, or
/// hardly any browning, a test is left as it is and only its level is fitted.
pub fn to_one_level(observations: &mut [Observation]) {
    let batches = observations.iter().map(|o| o.batch + 1).max().unwrap_or(0);
    for batch in 1..batches {
        let pairs = same_places(observations, batch);
        let n = pairs.len() as f64;
        let reference = pairs.iter().map(|p| p.0).sum::<f64>() / n;
        let here = pairs.iter().map(|p| p.1).sum::<f64>() / n;
        let least = LEAST_LEVEL_SHADE * browning_per_shade();
        if pairs.len() < FEWEST_PAIRS || reference < least || here < least {
            continue;
        }
        for o in observations.iter_mut().filter(|o| o.batch == batch) {
            o.browning *= reference / here;
            o.sd *= reference / here;
            o.lean = o.lean.map(|l| l.scaled(reference / here));
        }
    }
}

/// Returns the rack positions that carry slices, from the bottom.
pub(super) fn racks_of(observations: &[Observation]) -> Vec<u8> {
    let racks: BTreeSet<u8> = observations.iter().map(|o| o.rack).collect();
    racks.into_iter().collect()
}

/// Returns the slices of one test on one rack position that carry a figure.
pub(super) fn exact_on(observations: &[Observation], rack: u8, batch: usize) -> Vec<&Observation> {
    let here = |o: &&Observation| o.rack == rack && o.batch == batch && o.bound == Bound::Exact;
    observations.iter().filter(here).collect()
}

/// Returns browning in the first test and in `batch` of every place that carries a figure in both.
fn same_places(observations: &[Observation], batch: usize) -> Vec<(f64, f64)> {
    let places = |slices: &[&Observation]| -> Vec<Point> {
        slices.iter().map(|o| Point::new(o.x, o.y)).collect()
    };
    racks_of(observations)
        .into_iter()
        .flat_map(|rack| {
            let first = exact_on(observations, rack, 0);
            let here = exact_on(observations, rack, batch);
            nearest_pairs(&places(&first), &places(&here), SAME_PLACE)
                .into_iter()
                .map(move |(i, j)| (first[i].browning, here[j].browning))
                .collect::<Vec<_>>()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_ends_of_the_card_are_bounds() {
        assert_eq!(take_by_eye(8.0).1, Bound::AtLeast);
        assert_eq!(take_by_eye(7.5).1, Bound::Exact);
        assert_eq!(take_by_eye(1.0).1, Bound::Exact);
        assert_eq!(take_by_eye(0.5).1, Bound::AtMost);
        assert!((take_by_eye(9.0).0 / browning_per_shade() - 8.75).abs() < 1e-12);
    }

    #[test]
    fn a_later_pulled_repeat_is_brought_to_the_first_ones_level() {
        let o = |x: f64, browning, batch| Observation {
            rack: 2,
            x,
            y: 10.0,
            width: 10.0,
            depth: 10.0,
            browning,
            sd: 0.02,
            bound: Bound::Exact,
            batch,
            lean: None,
        };
        // only three of the second test's four places were scored in the first: the fourth, pale
        // one must not weigh in; the third test shares no place and is left alone
        let mut all = [
            o(10.0, 0.3, 0),
            o(20.0, 0.4, 0),
            o(30.0, 0.5, 0),
            o(10.5, 0.6, 1),
            o(20.0, 0.8, 1),
            o(30.0, 1.0, 1),
            o(45.0, 0.2, 1),
            o(55.0, 0.9, 2),
        ];
        to_one_level(&mut all);
        let wanted = [0.3, 0.4, 0.5, 0.3, 0.4, 0.5, 0.1, 0.9];
        for (o, wanted) in all.iter().zip(wanted) {
            assert!(
                (o.browning - wanted).abs() < 1e-12,
                "{} against {wanted}",
                o.browning
            );
        }
        assert!((all[3].sd - 0.01).abs() < 1e-12);
    }
}
