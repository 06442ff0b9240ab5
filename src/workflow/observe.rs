//! From readings of slices to what the map engine takes.

use crate::{
    field::{Bound, Observation},
    model::{
        Reading, ToastTest,
        shade::{BARELY_SHADE, SATURATED_SHADE, browning_per_shade},
    },
};

/// Half of the smallest step on the card: a shade of 8 says "at least 7.75".
const HALF_STEP: f64 = 0.25;

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
            let (browning, bound) = match slice.reading {
                Reading::ByEye(shade) => take_by_eye(shade.value()),
                Reading::Measured { .. }
                | Reading::Unscored
                | Reading::Skipped
                | Reading::Missing => (dose.0, Bound::Exact),
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
            };
            Some((i + 1, observation))
        })
        .collect()
}

/// Brings repeated tests to the level of the first: a test pulled later is darker all over, and its
/// differences are larger in the same proportion.
///
/// Levels are compared over the rack positions that both tests have; without one in common, or
/// with hardly any browning, a test is left as it is and only its level is fitted.
pub fn to_one_level(observations: &mut [Observation]) {
    let batches = observations.iter().map(|o| o.batch + 1).max().unwrap_or(0);
    for batch in 1..batches {
        let racks = |b: usize| -> Vec<u8> {
            let mut racks: Vec<u8> = observations
                .iter()
                .filter(|o| o.batch == b)
                .map(|o| o.rack)
                .collect();
            racks.sort_unstable();
            racks.dedup();
            racks
        };
        let (first, own) = (racks(0), racks(batch));
        let common: Vec<u8> = own.into_iter().filter(|r| first.contains(r)).collect();
        let level = |b: usize| {
            let means: Vec<f64> = common
                .iter()
                .map(|&rack| {
                    mean(
                        observations
                            .iter()
                            .filter(|o| o.batch == b && o.rack == rack),
                    )
                })
                .collect();
            means.iter().sum::<f64>() / means.len() as f64
        };
        let (reference, here) = (level(0), level(batch));
        let least = browning_per_shade() / 2.0;
        if common.is_empty() || reference < least || here < least {
            continue;
        }
        for o in observations.iter_mut().filter(|o| o.batch == batch) {
            o.browning *= reference / here;
            o.sd *= reference / here;
        }
    }
}

fn mean<'o>(observations: impl Iterator<Item = &'o Observation>) -> f64 {
    let (sum, n) = observations.fold((0.0, 0.0), |(s, n), o| (s + o.browning, n + 1.0));
    sum / n
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
        let o = |rack, browning, batch| Observation {
            rack,
            x: 10.0,
            y: 10.0,
            width: 10.0,
            depth: 10.0,
            browning,
            sd: 0.02,
            bound: Bound::Exact,
            batch,
        };
        let mut all = [
            o(2, 0.3, 0),
            o(2, 0.5, 0),
            o(2, 0.6, 1),
            o(2, 1.0, 1),
            o(3, 1.2, 1),
            o(5, 0.9, 2),
        ];
        to_one_level(&mut all);
        let got: Vec<f64> = all.iter().map(|o| o.browning).collect();
        for (got, wanted) in got.iter().zip([0.3, 0.5, 0.3, 0.5, 0.6, 0.9]) {
            assert!((got - wanted).abs() < 1e-12);
        }
        assert!((all[2].sd - 0.01).abs() < 1e-12);
    }
}
