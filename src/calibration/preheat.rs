//! Preheat: how far the air shoots over, and how long after the oven's signal it truly holds.

use super::{Holding, Sample};

/// Readings this much outside the swing are not holding yet, as a share of the swing, and in C at the least.
const MARGIN: (f64, f64) = (0.1, 1.0);

/// What a preheat showed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Preheat {
    /// Highest reading from the signal until it holds, less the mean of the hold, C; the swing itself
    /// reaches half its size above the mean. 0 where nothing was higher than the mean.
    pub overshoot: f64,
    /// Standard uncertainty of the overshoot, C.
    pub overshoot_sd: f64,
    /// Reading at the signal less the mean of the hold, C: negative where it came early.
    pub at_signal: f64,
    /// Seconds from the signal until the air stays within its swing.
    pub ready_after: f64,
    /// Standard uncertainty of `ready_after`: the gap between readings around it, as a rectangle.
    pub ready_sd: f64,
}

/// Reads a preheat: all readings of a round in order, when the signal came, and what its hold is.
///
/// `None` without a reading at or after the signal.
pub fn preheat(samples: &[Sample], signal: f64, hold: &Holding) -> Option<Preheat> {
    let after: Vec<Sample> = samples.iter().copied().filter(|s| s.0 >= signal).collect();
    let first = after.first()?;
    let swing = hold.swing.map_or(4.0 * hold.noise, |s| s.value);
    let margin = (MARGIN.0 * swing).max(MARGIN.1).max(2.0 * hold.noise);
    let half = 0.5 * swing + margin;
    let (low, high) = (hold.mean.value - half, hold.mean.value + half);
    let last_out = after.iter().rposition(|s| s.1 < low || s.1 > high);
    let (ready, gap) = match last_out {
        None => (first.0, 0.0),
        Some(i) => match after.get(i + 1) {
            // It came into the swing somewhere between the two readings.
            Some(next) => {
                let out = after[i];
                let edge = if out.1 < low { low } else { high };
                let share = ((edge - out.1) / (next.1 - out.1)).clamp(0.0, 1.0);
                (out.0 + share * (next.0 - out.0), next.0 - out.0)
            }
            None => return None,
        },
    };
    // The peak belongs to the preheat when it comes before the hold, one cycle after the signal at the latest.
    let until = ready.max(signal) + hold.cycle.map_or(0.0, |c| 0.5 * c.value);
    let peak = samples
        .iter()
        .filter(|s| s.0 <= until)
        .map(|s| s.1)
        .fold(f64::NEG_INFINITY, f64::max);
    Some(Preheat {
        overshoot: (peak - hold.mean.value).max(0.0),
        overshoot_sd: hold.mean.sd.hypot(hold.noise),
        at_signal: first.1 - hold.mean.value,
        ready_after: (ready - signal).max(0.0),
        ready_sd: gap / 12.0_f64.sqrt(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibration::{Habits, holding};
    use std::f64::consts::TAU;

    fn round(settle: f64) -> Vec<Sample> {
        (0..180)
            .map(|i| {
                let t = f64::from(i) * 30.0;
                let since = t - 600.0;
                let air = if since < 0.0 {
                    20.0 + (158.0 - 20.0) * t / 600.0
                } else {
                    // past the signal it shoots over and comes down into its swing
                    175.0 + 6.0 * (TAU * since / 480.0).sin() - 17.0 * (-since / 120.0).exp()
                        + 30.0
                            * (since / settle)
                            * (1.0 - since / settle).exp()
                            * (-since / settle).exp()
                };
                (t, air)
            })
            .collect()
    }

    #[test]
    fn the_signal_is_not_readiness() {
        let seen = round(300.0);
        let hold = holding(
            &seen[90..],
            &Habits {
                resolution: 0.1,
                accuracy: 0.0,
                lag: 0.0,
                half_swing: Habits::BAKING_HALF_SWING,
            },
        )
        .unwrap();
        let got = preheat(&seen, 600.0, &hold).unwrap();
        assert!(got.at_signal < -15.0, "{got:?}");
        assert!(got.ready_after > 60.0, "{got:?}");
        assert!(got.overshoot > 8.0, "{got:?}");
        assert_eq!(preheat(&seen, 1e6, &hold), None);
    }
}
