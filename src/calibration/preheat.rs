//! Preheat: how far the air shoots over, and how long after the oven's signal it truly holds.

use super::{holding::Holding, sample::Sample};
use crate::numeric::whole;

/// Readings this much outside the swing are not holding yet, as a share of the swing, and in C at the least.
const MARGIN: (f64, f64) = (0.1, 1.0);
/// How long readings must stay inside where no cycle is known, seconds (common practice: an ordinary cycle is shorter).
const STILL: f64 = 600.0;
/// Share of the readings of a hold that lie outside by their noise; no share of fewer than [`FEW`].
const STRAYS: f64 = 0.05;
/// Among fewer readings than these no single one is taken for a stray: it may be all that was seen of a swing too wide.
const FEW: usize = 8;
/// An overshoot within so many standard uncertainties is none: the highest of many readings is always a little high.
const TOLD: f64 = 3.0;

/// What a preheat showed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Preheat {
    /// Highest reading of the preheat, from the first one to half a cycle after it holds, above the top of the swing
    /// that it has while it holds, C; 0 where that cannot be told from nothing.
    pub overshoot: f64,
    /// Standard uncertainty of the overshoot, C.
    pub overshoot_sd: f64,
    /// Reading at the signal less the mean of the hold, C: negative where it came early.
    pub at_signal: f64,
    /// Seconds from the signal until the air stays within its swing for a whole cycle, but for strays.
    pub ready_after: f64,
    /// Standard uncertainty of `ready_after`: the gap between the readings around it as a rectangle, and their noise.
    pub ready_sd: f64,
}

/// Reads a preheat: all readings of a round in order, when the signal came, and what its hold is.
///
/// `None` without a reading at or after the signal, and where the air was not seen to hold after it.
pub fn preheat(samples: &[Sample], signal: f64, hold: &Holding) -> Option<Preheat> {
    let after: Vec<Sample> = samples.iter().copied().filter(|s| s.0 >= signal).collect();
    let first = after.first()?;
    let swing = hold.swing.map_or(4.0 * hold.noise, |s| s.value);
    let margin = (MARGIN.0 * swing).max(MARGIN.1).max(2.0 * hold.noise);
    let half = 0.5 * swing + margin;
    let band = Band {
        low: hold.mean.value - half,
        high: hold.mean.value + half,
        during: hold.cycle.map_or(STILL, |c| c.value),
    };
    let i = band.first_held(&after)?;
    let (ready, ready_sd) = match i.checked_sub(1).map(|before| after[before]) {
        None => (first.0, 0.0),
        // It came into the swing somewhere between the two readings.
        Some(out) => {
            let next = after[i];
            let (edge, gap) = (band.nearer_edge(out.1), next.0 - out.0);
            let share = ((edge - out.1) / (next.1 - out.1)).clamp(0.0, 1.0);
            let blurred = gap * (hold.noise / (next.1 - out.1)).abs().min(1.0);
            (out.0 + share * gap, (gap / 12.0_f64.sqrt()).hypot(blurred))
        }
    };
    let until = ready + hold.cycle.map_or(0.0, |c| 0.5 * c.value);
    let peak = samples
        .iter()
        .filter(|s| s.0 <= until)
        .map(|s| s.1)
        .fold(f64::NEG_INFINITY, f64::max);
    let over = peak - hold.mean.value - 0.5 * swing;
    let swing_sd = hold.swing.map_or(0.0, |s| 0.5 * s.sd);
    let overshoot_sd = hold.mean.sd.hypot(hold.noise).hypot(swing_sd);
    Some(Preheat {
        overshoot: if over > TOLD * overshoot_sd {
            over
        } else {
            0.0
        },
        overshoot_sd,
        at_signal: first.1 - hold.mean.value,
        ready_after: ready - signal,
        ready_sd,
    })
}

/// Where the air stays while it holds, and how long it must have stayed there.
struct Band {
    low: f64,
    high: f64,
    during: f64,
}

impl Band {
    fn holds(&self, air: f64) -> bool {
        self.low <= air && air <= self.high
    }

    fn nearer_edge(&self, air: f64) -> f64 {
        if air < self.low { self.low } else { self.high }
    }

    /// Index of the first reading from which the air stays inside; half the time is enough where readings end.
    ///
    /// One reading outside between two inside is a stray, and so many are allowed as noise makes; two on end are an excursion.
    fn first_held(&self, after: &[Sample]) -> Option<usize> {
        let last = after.last()?.0;
        (0..after.len())
            .take_while(|&i| last - after[i].0 >= 0.5 * self.during)
            .find(|&i| {
                let window: Vec<bool> = after[i..]
                    .iter()
                    .take_while(|s| s.0 <= after[i].0 + self.during)
                    .map(|s| self.holds(s.1))
                    .collect();
                let out = window.iter().filter(|inside| !**inside).count();
                let begins = window.iter().take(2).all(|inside| *inside);
                let excursion = window.windows(2).any(|pair| !pair[0] && !pair[1]);
                begins && !excursion && out <= strays_in(window.len())
            })
    }
}

/// How many of so many readings may lie outside by their noise.
fn strays_in(readings: usize) -> usize {
    if readings < FEW {
        0
    } else {
        whole::floor(STRAYS * readings as f64).max(1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        calibration::{Habits, holding},
        numeric::random::Stream,
    };
    use std::f64::consts::TAU;

    const SEEDS: u64 = 60;
    const SIGNAL: f64 = 600.0;
    const GAP: f64 = 30.0;
    const MEAN: f64 = 175.0;
    const HALF_SWING: f64 = 8.0;
    const NOISE: f64 = 1.0;
    const HABITS: Habits = Habits {
        resolution: 0.1,
        accuracy: 0.0,
        lag: 0.0,
        half_swing: Habits::BAKING_HALF_SWING,
    };

    /// The air without noise: up to the signal a climb, from there on its swing and what `settling` adds to it.
    fn air(t: f64, settling: fn(f64) -> f64) -> f64 {
        let since = t - SIGNAL;
        if since < 0.0 {
            20.0 + (MEAN + settling(0.0) - 20.0) * t / SIGNAL
        } else {
            MEAN + HALF_SWING * (TAU * since / 480.0).sin() + settling(since)
        }
    }

    /// A hundred minutes read every half minute, by a thermometer with noise.
    fn told(seed: u64, settling: fn(f64) -> f64) -> Preheat {
        let mut s = Stream::new(seed);
        let seen: Vec<Sample> = (0..220)
            .map(|i| {
                let t = f64::from(i) * GAP;
                (t, air(t, settling) + NOISE * s.normal())
            })
            .collect();
        let hold = holding(&seen[100..], &HABITS).unwrap();
        preheat(&seen, SIGNAL, &hold).unwrap()
    }

    /// Seconds after the signal when the air without noise is last outside its swing and the margin of twice the noise.
    fn truth(settling: fn(f64) -> f64) -> f64 {
        (0..36_000)
            .rev()
            .map(|i| f64::from(i) * 0.1)
            .find(|since| (air(SIGNAL + since, settling) - MEAN).abs() > HALF_SWING + 2.0 * NOISE)
            .unwrap_or(0.0)
    }

    fn at_once(_since: f64) -> f64 {
        0.0
    }

    fn comes_late(since: f64) -> f64 {
        -30.0 * (-since / 100.0).exp()
    }

    fn shoots_over(since: f64) -> f64 {
        let x = since / 240.0;
        32.0 * x * (1.0 - x).exp() * (-0.6 * x).exp()
    }

    #[test]
    fn air_that_holds_from_the_signal_on_is_ready_then_whatever_strays_later() {
        assert!(truth(at_once) < 1e-9);
        let all: Vec<Preheat> = (0..SEEDS).map(|seed| told(seed, at_once)).collect();
        let late = all.iter().filter(|p| p.ready_after > GAP).count();
        assert!(late <= 2, "{late} of {SEEDS} ready late");
        let over = all.iter().filter(|p| p.overshoot > 0.0).count();
        assert!(
            over <= 2,
            "{over} of {SEEDS} told of an overshoot that is the swing"
        );
    }

    #[test]
    fn readiness_and_overshoot_lie_near_their_truth_on_both_sides() {
        for settling in [comes_late as fn(f64) -> f64, shoots_over] {
            let wanted = truth(settling);
            let peak = (0..36_000)
                .map(|i| air(SIGNAL + f64::from(i) * 0.1, settling) - MEAN - HALF_SWING)
                .fold(0.0, f64::max);
            for seed in 0..SEEDS {
                let got = told(seed, settling);
                let near = (got.ready_after - wanted).abs();
                assert!(near < 3.0 * GAP, "seed {seed}: {wanted} s, {got:?}");
                assert!(got.ready_sd > 0.0 && got.ready_sd < 2.0 * GAP, "{got:?}");
                let off = (got.overshoot - peak).abs();
                assert!(off < 4.0 * NOISE, "seed {seed}: {peak} C, {got:?}");
            }
        }
    }

    #[test]
    fn without_a_hold_after_the_signal_nothing_is_told() {
        let seen: Vec<Sample> = (0..220)
            .map(|i| (f64::from(i) * GAP, air(f64::from(i) * GAP, comes_late)))
            .collect();
        let hold = holding(&seen[100..], &HABITS).unwrap();
        assert_eq!(preheat(&seen, 1e6, &hold), None);
        assert_eq!(
            preheat(&seen[..22], SIGNAL, &hold),
            None,
            "too short to tell"
        );
        assert!(preheat(&seen, SIGNAL, &hold).unwrap().at_signal < -25.0);
    }
}
