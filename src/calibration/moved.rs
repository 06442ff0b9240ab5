//! How far air moves one way over readings, told from their scatter.

use super::{sample::Sample, thin::thin};

/// Air that moves by more than this over a stretch without a cycle does not hold still, C, where the move is told
/// from the scatter by [`MOVE_TOLD`] standard errors (an assumption: a step or two of a dial thermometer).
pub(super) const MOVE: f64 = 3.0;
/// See [`MOVE`].
const MOVE_TOLD: f64 = 3.0;
/// More readings than this are averaged in bins before they are compared with one another.
const MOST_COMPARED: usize = 1200;

/// Slope of the straight line through readings, C per second.
pub(super) fn slope(samples: &[Sample]) -> f64 {
    let n = samples.len() as f64;
    let (t, c) = samples
        .iter()
        .fold((0.0, 0.0), |sum, s| (sum.0 + s.0 / n, sum.1 + s.1 / n));
    let (mut spread, mut together) = (0.0, 0.0);
    for s in samples {
        spread += (s.0 - t).powi(2);
        together += (s.0 - t) * (s.1 - c);
    }
    if spread > 0.0 { together / spread } else { 0.0 }
}

/// What is left of readings about a curve: the sum of squares, and how many independent readings they are worth.
pub(super) fn left_about(samples: &[Sample], at: impl Fn(f64) -> f64) -> (f64, f64) {
    let left: Vec<Sample> = samples.iter().map(|s| (s.0, s.1 - at(s.0))).collect();
    (left.iter().map(|s| s.1 * s.1).sum(), worth(&left))
}

/// Returns how many independent readings have a mean known as well as that of these, which lie about nothing.
///
/// Correlations are summed in pairs of lags while a pair is positive (Geyer 1992, Statist. Sci. 7, 473). About a curve
/// fitted to them they resemble each other less than they do, by the variance of their mean.
pub(super) fn worth(left: &[Sample]) -> f64 {
    let all = left.len() as f64;
    let square = left.iter().map(|s| s.1 * s.1).sum::<f64>() / all;
    let (_, thinned) = thin(left, MOST_COMPARED);
    let n = thinned.len() as f64;
    let at = |lag: usize| -> f64 {
        let pairs = thinned.iter().zip(thinned.iter().skip(lag));
        pairs.map(|(a, b)| a.1 * b.1).sum::<f64>() / n
    };
    let own = at(0);
    if own <= 0.0 {
        return all;
    }
    let (mut sum, mut lags) = (1.0, 0);
    while 2 * (lags + 2) < thinned.len() {
        let pair = if lags == 0 {
            at(1)
        } else {
            at(lags + 1) + at(lags + 2)
        };
        if pair <= 0.0 {
            break;
        }
        sum += 2.0 * pair / own;
        lags += if lags == 0 { 1 } else { 2 };
    }
    let lost = (sum / n).min(0.5);
    let sum = (sum + lost * (1.0 + 2.0 * lags as f64)) / (1.0 + lost);
    (square * n / (own * sum)).clamp(2.0, all.max(2.0))
}

/// How far readings move from first to last along their straight line.
pub(super) struct Moved {
    /// C.
    pub(super) by: f64,
    /// Its standard error.
    sd: f64,
    /// Standard deviation of readings about the line.
    pub(super) noise: f64,
}

impl Moved {
    pub(super) fn of(samples: &[Sample], value: f64) -> Self {
        let n = samples.len() as f64;
        let span = samples[samples.len() - 1].0 - samples[0].0;
        let middle = samples.iter().map(|s| s.0).sum::<f64>() / n;
        let spread: f64 = samples.iter().map(|s| (s.0 - middle).powi(2)).sum();
        let slope = slope(samples);
        // A slope takes two of the readings' degrees of freedom, and residuals that resemble each other count for fewer.
        let (left, worth) = left_about(samples, |t| value + slope * (t - middle));
        let noise = (left / (n - 2.0)).sqrt();
        Self {
            by: slope * span,
            sd: noise * (n / worth / spread).sqrt() * span,
            noise,
        }
    }

    pub(super) fn is_told(&self) -> bool {
        self.by.abs() > MOVE && self.by.abs() > MOVE_TOLD * self.sd
    }
}
