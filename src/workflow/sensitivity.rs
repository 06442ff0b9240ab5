//! This bread's own sensitivity: the same layout toasted at two dial settings.
//!
//! Browning is k(T) times the full-rate minutes of the toast's dose curve, and ln k falls on a line
//! against 1/T whose slope is -E/R. The line through the tests (least squares) is combined with the
//! published energy by its precision, so that two settings close together change little.

use crate::{
    field::Observation,
    model::{
        Sensitivity, ToastTest,
        kinetics::{DEFAULT_ENERGY, DEFAULT_ENERGY_RELATIVE_SD, GAS_CONSTANT, SensitivitySource},
    },
    planner::dose::{Heat, TOAST, effective_minutes},
    units::Celsius,
};
use std::collections::BTreeSet;

/// How far the level of a test strays from one time to the next, relative: preheat, pulling, loaf
/// (common practice, no source).
const LEVEL_SD: f64 = 0.10;
/// Dial settings closer than this (C) say nothing about sensitivity.
const APART: f64 = 8.0;
/// A test with more than this share of shades at the ends of the card has no trustworthy level.
const ENDS: f64 = 0.25;
/// The dose curve depends on the energy sought; it settles in a few rounds.
const ROUNDS: usize = 8;

/// Estimates the sensitivity of browning near temperature `at` from tests of one oven and mode.
///
/// Uses every full test with a noted time; with fewer than two dial settings among them it is the
/// published default.
pub fn sensitivity_of(tests: &[&ToastTest], at: Celsius) -> Sensitivity {
    let full = tests.iter().filter(|t| !t.is_check());
    let levels: Vec<Level> = full.filter_map(|t| Level::of(t)).collect();
    let (low, high) = levels
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), l| {
            (lo.min(l.dial.0), hi.max(l.dial.0))
        });
    if high - low < APART {
        return Sensitivity::default_at(at);
    }
    let level_sd = levels.iter().map(|l| l.sd).fold(LEVEL_SD, f64::max);
    let prior_sd = DEFAULT_ENERGY * DEFAULT_ENERGY_RELATIVE_SD;
    let (mut energy, mut sd) = (DEFAULT_ENERGY, prior_sd);
    for _ in 0..ROUNDS {
        let points: Vec<(f64, f64)> = levels.iter().filter_map(|l| l.point(energy)).collect();
        let Some((fitted, fitted_sd)) = slope(&points, level_sd) else {
            return Sensitivity::default_at(at);
        };
        let (p, q) = (prior_sd.powi(-2), fitted_sd.powi(-2));
        energy = (DEFAULT_ENERGY * p + fitted * q) / (p + q);
        sd = (p + q).sqrt().recip();
    }
    Sensitivity {
        energy,
        per_c: energy / (GAS_CONSTANT * at.kelvin().powi(2)),
        relative_sd: sd / energy,
        source: SensitivitySource::TwoDials,
    }
}

/// Returns how many times as brown as in earlier tests of an oven and mode the dial and the time of `test` lead one to
/// expect a place; `None` where times are not known.
pub(super) fn times_as_brown(earlier: &[ToastTest], test: &ToastTest) -> Option<f64> {
    // Other places brown otherwise: only dial and time count.
    let point = |test: &ToastTest| {
        let level = Level {
            browning: 1.0,
            ..Level::of(test)?
        };
        level.point(DEFAULT_ENERGY)
    };
    let (here, per_minute) = point(test)?;
    let rates: Vec<f64> = earlier
        .iter()
        .filter_map(point)
        .map(|(there, ln_rate)| ln_rate + DEFAULT_ENERGY * (here - there))
        .collect();
    let mean = rates.iter().sum::<f64>() / rates.len() as f64;
    mean.is_finite().then(|| (mean - per_minute).exp())
}

/// One test's mean browning, time and dial.
struct Level {
    dial: Celsius,
    minutes: crate::units::Minutes,
    browning: f64,
    /// Relative standard deviation of `browning`.
    sd: f64,
}

impl Level {
    fn of(test: &ToastTest) -> Option<Self> {
        let minutes = test.minutes?;
        let seen = super::observe::observations_of(test, 0);
        let exact: Vec<f64> = seen
            .iter()
            .filter(|(_, o)| o.bound == crate::field::Bound::Exact)
            .map(|(_, o)| o.browning)
            .collect();
        // Each photo's level is off by an error of its own, the slices of one photo are off alike.
        let racks: BTreeSet<u8> = test.photos.iter().map(|p| p.rack).collect();
        let lean = |(_, o): &(usize, Observation)| o.lean.map_or(0.0, |l| l.loads[2].powi(2));
        let photo = seen.iter().map(lean).sum::<f64>() / seen.len().max(1) as f64;
        let photo = (photo / racks.len().max(1) as f64).sqrt();
        let ends = 1.0 - exact.len() as f64 / seen.len().max(1) as f64;
        let browning = exact.iter().sum::<f64>() / exact.len() as f64;
        (ends <= ENDS && browning > 0.0).then_some(Self {
            dial: test.setup.dial,
            minutes,
            browning,
            sd: LEVEL_SD.hypot(photo / browning),
        })
    }

    /// Returns (-1/(R T), ln k) with k in 1 / full-rate minute.
    fn point(&self, energy: f64) -> Option<(f64, f64)> {
        let heat = Heat::new(self.dial, energy);
        let full_rate = effective_minutes(&TOAST, &heat, self.minutes);
        (full_rate.0 > 0.0).then(|| {
            (
                -(GAS_CONSTANT * self.dial.kelvin()).recip(),
                (self.browning / full_rate.0).ln(),
            )
        })
    }
}

/// Least-squares slope with its standard error, levels straying by `level_sd`.
fn slope(points: &[(f64, f64)], level_sd: f64) -> Option<(f64, f64)> {
    let n = points.len() as f64;
    let (mx, my) = (
        points.iter().map(|p| p.0).sum::<f64>() / n,
        points.iter().map(|p| p.1).sum::<f64>() / n,
    );
    let sxx: f64 = points.iter().map(|p| (p.0 - mx).powi(2)).sum();
    let sxy: f64 = points.iter().map(|p| (p.0 - mx) * (p.1 - my)).sum();
    (points.len() >= 2 && sxx > 0.0).then(|| (sxy / sxx, level_sd / sxx.sqrt()))
}
