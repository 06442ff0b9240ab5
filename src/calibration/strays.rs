//! Single readings that cannot be: slips of the pen, lost digits, a probe that was knocked.
//!
//! A stray stands out from both neighbours to the same side, by far more than neighbours differ by elsewhere
//! (median absolute deviation, as in Hampel 1974), and lies outside what nearly all readings range over.
//! So neither the corners of a swing nor the step from preheat to hold are taken for one.

use super::sample::Sample;
use crate::numeric::quantile::{of_sorted, quantile};

/// So many times the usual distance between a reading and its neighbours' line (a normal deviation each) stand out.
const FAR: f64 = 6.0;
/// Nothing nearer than this is a stray, C, nor nearer than so many steps of the display.
const LEAST: (f64, f64) = (3.0, 4.0);
/// A stray lies outside the middle nine tenths of all readings by this share of their range.
const BEYOND: f64 = 0.5;
/// Fewer readings say nothing of what is usual.
const FEWEST: usize = 8;
/// At most this share of the readings: more are no slips.
const MOST: f64 = 0.05;
/// Median absolute deviation to standard deviation, for normal scatter.
const NORMAL: f64 = 1.4826;

/// Returns the indices of single readings that cannot be, rising; the last one may be one too, the first not.
pub fn strays(samples: &[Sample], resolution: f64) -> Vec<usize> {
    if samples.len() < FEWEST {
        return Vec::new();
    }
    let misses: Vec<f64> = samples
        .windows(3)
        .map(|w| {
            let share = (w[1].0 - w[0].0) / (w[2].0 - w[0].0).max(f64::MIN_POSITIVE);
            (w[1].1 - w[0].1 - share * (w[2].1 - w[0].1)).abs()
        })
        .collect();
    let far = (FAR * NORMAL * quantile(&misses, 0.5))
        .max(LEAST.0)
        .max(LEAST.1 * resolution);
    let mut values: Vec<f64> = samples.iter().map(|s| s.1).collect();
    values.sort_by(f64::total_cmp);
    let (low, high) = (of_sorted(&values, 0.05), of_sorted(&values, 0.95));
    let margin = (BEYOND * (high - low)).max(LEAST.0);
    let found: Vec<usize> = (1..samples.len())
        .filter(|&i| {
            let air = samples[i].1;
            let before = air - samples[i - 1].1;
            let after = samples.get(i + 1).map_or(before, |next| air - next.1);
            let alone = before.signum() * after.signum() > 0.0;
            let stands_out = alone && before.abs().min(after.abs()) > far;
            stands_out && (air < low - margin || air > high + margin)
        })
        .collect();
    // A few among many are slips; more are something that happens in the oven.
    let most = (MOST * samples.len() as f64).max(1.0);
    if found.len() as f64 > most {
        Vec::new()
    } else {
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        calibration::{Habits, Sureness, holding},
        numeric::random::Stream,
    };
    use std::f64::consts::TAU;

    /// An hour's hold at 175 C, read every minute: a swing of 10 C every 8 minutes, noise 0.5 C.
    fn hour(seed: u64) -> Vec<Sample> {
        let mut s = Stream::new(seed);
        (0..61)
            .map(|i| {
                let t = f64::from(i) * 60.0;
                (t, 175.0 + 5.0 * (TAU * t / 480.0).sin() + 0.5 * s.normal())
            })
            .collect()
    }

    #[test]
    fn a_lost_digit_is_found_wherever_it_stands_and_the_cycle_with_it() {
        let habits = Habits {
            resolution: 0.1,
            accuracy: 0.0,
            lag: 0.0,
            half_swing: Habits::BAKING_HALF_SWING,
        };
        for seed in 0..20 {
            let good = hour(seed);
            assert_eq!(strays(&good, 0.1), Vec::<usize>::new(), "seed {seed}");
            for at in [1, 23, 59, 60] {
                let mut slipped = good.clone();
                slipped[at].1 -= 100.0;
                assert_eq!(strays(&slipped, 0.1), [at], "seed {seed}");
                slipped.remove(at);
                let hold = holding(&slipped, &habits).unwrap();
                assert!(matches!(hold.sureness, Sureness::WholeCycles(n) if n >= 6));
                assert!((hold.swing.unwrap().value - 10.0).abs() < 1.5, "{hold:?}");
            }
        }
    }

    #[test]
    fn what_happens_in_the_oven_is_no_slip() {
        let mut fallen = hour(3);
        for reading in &mut fallen[30..33] {
            reading.1 -= 40.0;
        }
        assert!(
            strays(&fallen, 0.1).is_empty(),
            "three on end are an open door"
        );
        let climb: Vec<Sample> = (0..40)
            .map(|i| {
                let t = f64::from(i) * 30.0;
                (
                    t,
                    if i < 6 {
                        90.0 + 10.0 * f64::from(i)
                    } else {
                        175.0
                    },
                )
            })
            .collect();
        assert!(strays(&climb, 1.0).is_empty(), "the step to the hold");
        // A saw read only three times in a cycle, all corners.
        let saw: Vec<Sample> = (0..40_usize)
            .map(|i| (i as f64 * 180.0, 170.0 + [0.0, 14.0, 5.0][i % 3]))
            .collect();
        assert!(strays(&saw, 1.0).is_empty());
        assert!(strays(&[(0.0, 170.0), (60.0, 70.0), (120.0, 170.0)], 1.0).is_empty());
    }
}
