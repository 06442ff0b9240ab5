//! When air is said to hold still, and when not.

use super::{Sample, Sureness, holding, holding::Habits};
use crate::numeric::random::Stream;

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
