//! When air is said to hold still, and when not.

use super::{Sample, Sureness, holding, holding::Habits};
use crate::numeric::random::Stream;
use std::f64::consts::TAU;

const HABITS: Habits = Habits {
    resolution: 0.5,
    accuracy: 1.0,
    lag: 0.0,
    half_swing: Habits::BAKING_HALF_SWING,
};

/// A cycle of 15 min read each minute for 31 min, which rises in an eighth of it: no one wave stands out from chance.
#[test]
fn a_slow_lopsided_cycle_is_not_air_that_holds_still() {
    for from in 0..15 {
        for swing in [40.0 / 1.8, 10.0] {
            let mut s = Stream::new(from);
            let seen: Vec<Sample> = (0..31)
                .map(|i| {
                    let phase = ((f64::from(i) + from as f64) / 15.0).fract();
                    let wave = if phase < 0.12 {
                        phase / 0.12
                    } else {
                        (1.0 - phase) / 0.88
                    };
                    let air = 170.0 + swing * (wave - 0.5) + 0.2 * s.normal();
                    (f64::from(i) * 60.0, air)
                })
                .collect();
            let hold = holding(&seen, &HABITS).unwrap();
            assert_ne!(hold.sureness, Sureness::Steady, "{swing} C from {from}");
            assert!(!hold.sureness.is_sure(), "{hold:?}");
        }
    }
}

/// Scatter of 2.5 C, read every 10 s: its range is no swing, once three slow cycles would have gone by.
#[test]
fn air_that_scatters_is_not_told_to_be_read_for_ever() {
    for seed in 0..10 {
        let scatter = |minutes: u32| {
            let mut s = Stream::new(seed);
            let seen = (0..=6 * minutes).map(|i| (f64::from(i) * 10.0, 170.0 + 2.5 * s.normal()));
            holding(&seen.collect::<Vec<Sample>>(), &HABITS).unwrap()
        };
        let long = scatter(120);
        assert_eq!(long.sureness, Sureness::Steady, "seed {seed}: {long:?}");
        let (lo, hi) = long.mean.interval(0.9);
        assert!(hi - lo < 2.0 && lo < 170.5 && hi > 169.5, "{long:?}");
        assert_eq!(scatter(58).sureness, Sureness::Steady);
        assert_eq!(scatter(30).sureness, Sureness::FewReadings(181));
    }
}

#[test]
fn an_oven_that_holds_still_is_called_steady() {
    let still: Vec<Sample> = (0..40)
        .map(|i| (f64::from(i) * 60.0, 170.0 + 0.2 * f64::from(i * 7 % 5)))
        .collect();
    let hold = holding(&still, &HABITS).unwrap();
    assert!(
        hold.sureness.is_sure() && hold.swing.unwrap().value < 1.0,
        "{hold:?}"
    );
}

/// A look before the bake and one after it: what lies between was not read.
#[test]
fn minutes_that_nobody_read_make_no_whole_cycles() {
    let look = |from: f64| {
        (0..10).map(move |i| {
            let t = from + 60.0 * f64::from(i);
            (t, 170.0 + 10.0 * (TAU * t / 480.0).sin())
        })
    };
    let both: Vec<Sample> = look(0.0).chain(look(80.0 * 60.0)).collect();
    let hold = holding(&both, &HABITS).unwrap();
    assert!(!hold.sureness.is_sure(), "{hold:?}");
    // read all the time, the same hour and a half is sure
    let all: Vec<Sample> = (0..9).flat_map(|k| look(600.0 * f64::from(k))).collect();
    assert!(holding(&all, &HABITS).unwrap().sureness.is_sure());
}
