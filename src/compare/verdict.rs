//! Better, no change that can be told, or worse: how sure it is that a rack position browns more evenly.
//!
//! Every place's change is set against the pattern that both tests have in common. A change against
//! the pattern evens it out, one along it makes it stronger: the slope of that line is how much of the
//! pattern went or came. With a flat prior the slope follows Student's distribution (Gelman et al.
//! 2013, sec. 14.2, from memory), which gives the probability. Where nothing changed it is wrong no more often than it
//! says, for errors of change and common pattern are independent (see `pairs`); `tests/bench/
//! compare_study.rs` measures it.
//!
//! Level can have changed by a factor (a test pulled later) or alike everywhere (a paler loaf, an eye that
//! strays from day to day). The slices alone do not tell which, and a pattern that stays as it is while all
//! grows darker by a step is weaker after the one and unchanged after the other. A verdict must hold both ways.

use super::pairs::RackPairs;
use crate::{
    field::Observation,
    numeric::{normal, random::Stream, student},
};
use std::collections::BTreeMap;

/// Chance, on either side, that something is said of a comparison in which nothing changed: 4 in 100 in
/// all, so that the measured share stays below 5 in 100.
const WRONGLY_TOLD: f64 = 0.02;
/// A change as large as the detectable one is told this often.
const NINE_TIMES_IN_TEN: f64 = 0.9;
/// Most further tests that are worth proposing.
const MOST_TESTS: u32 = 8;

/// What can be said of a rack position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// It browns more evenly than before.
    Better,
    /// No change of its evenness can be told.
    NoChange,
    /// It browns less evenly than before.
    Worse,
}

/// Returns for each rack position the probability from which on "better" or "worse" is said of it, given
/// the probabilities that they brown more evenly.
///
/// The chance of a wrong word holds for all of them together (Holm 1979, from memory): the surest answers
/// for all positions, the next for all but one, and so on until one is not sure enough.
pub(super) fn limits(more_even: &[f64]) -> Vec<f64> {
    let doubt = |i: usize| more_even[i].min(1.0 - more_even[i]);
    let mut surest_first: Vec<usize> = (0..more_even.len()).collect();
    surest_first.sort_by(|&a, &b| doubt(a).total_cmp(&doubt(b)));
    let mut limits = vec![1.0; more_even.len()];
    let mut left = more_even.len();
    for i in surest_first {
        let allowed = WRONGLY_TOLD / left as f64;
        limits[i] = 1.0 - allowed;
        if doubt(i) <= allowed {
            left -= 1;
        }
    }
    limits
}

/// Tells whether a change would be told of this rack position by itself if level were known to change by a
/// factor, and is not if it may have changed by a step.
pub(super) fn hangs_on_level((by_factor, by_step): (f64, f64)) -> bool {
    let alone = |more_even| Verdict::of(more_even, 1.0 - WRONGLY_TOLD);
    alone(by_factor) != Verdict::NoChange && alone(by_factor) != alone(by_step)
}

impl Verdict {
    /// Judges the probability that it browns more evenly; something is said from `limit` on.
    pub fn of(more_even: f64, limit: f64) -> Self {
        if more_even >= limit {
            Self::Better
        } else if more_even <= 1.0 - limit {
            Self::Worse
        } else {
            Self::NoChange
        }
    }

    /// Returns the word JSON and CSV have, which stays as it is.
    pub fn key(self) -> &'static str {
        match self {
            Self::Better => "better",
            Self::NoChange => "no change that can be told",
            Self::Worse => "worse",
        }
    }
}

/// Returns the one of two probabilities that says less; a half where they contradict each other.
pub(super) fn cautious(one: f64, other: f64) -> f64 {
    let (a, b) = (one - 0.5, other - 0.5);
    if a * b <= 0.0 {
        0.5
    } else if a.abs() < b.abs() {
        one
    } else {
        other
    }
}

/// What it would take to tell a change of evenness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settle {
    /// A change of the standard deviation this large, B, would be told nine times in ten by what
    /// there is.
    pub detectable_sd: f64,
    /// Further tests after the change, with the same slices, that would tell a change as large as it
    /// looks now; `None` where it has been told, or no reasonable number would.
    pub more_after: Option<u32>,
    /// The same with as many further tests on both sides.
    pub more_on_both: Option<u32>,
    /// Slices of a further test: as many as lay in the same places.
    pub slices: usize,
}

/// Fewest changes that make a line.
const FEWEST: usize = 4;
/// Degrees of freedom that the scatter around the common pattern adds to that of the changes.
const FREEDOM_OF_PATTERN: f64 = 3.0;

/// The change of every place against the common pattern.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Slope {
    /// Change for each unit of the pattern: -1 would take it away.
    pub(super) rise: f64,
    /// Where the line crosses no change, B.
    pub(super) centre: f64,
    standard_error: f64,
    freedom: f64,
    /// Standard deviation of the pattern along the line, B.
    spread: f64,
}

impl Slope {
    /// Fits the line; `pattern` is the common pattern at the place of every pair, and `noise` the
    /// scatter of changes that the pairs' scatter around it lets expect.
    pub(super) fn fit(pattern: &[f64], on: &RackPairs, noise: f64) -> Self {
        // A change of which only a bound is known has no place on the line: at its limit it would look
        // smaller than it may be, or, where levels differ, larger.
        let exact: Vec<(f64, Observation)> = pattern
            .iter()
            .zip(&on.pairs)
            .filter_map(|(&x, pair)| Some((x, pair.figure()?)))
            .collect();
        let told: Vec<(f64, f64)> = exact.iter().map(|(x, c)| (*x, c.browning)).collect();
        let n = told.len() as f64;
        let (mx, my) = told
            .iter()
            .fold((0.0, 0.0), |sum, p| (sum.0 + p.0 / n, sum.1 + p.1 / n));
        let (mut sxx, mut sxy, mut syy) = (0.0, 0.0, 0.0);
        for &(x, y) in &told {
            sxx += (x - mx).powi(2);
            sxy += (x - mx) * (y - my);
            syy += (y - my).powi(2);
        }
        // A pattern of nothing has no direction to be judged along.
        let flat = sxx <= 1e-12 || told.len() < FEWEST;
        let slope = if flat { 0.0 } else { sxy / sxx };
        let reading =
            on.pairs.iter().map(|p| p.reading).sum::<f64>() / on.pairs.len().max(1) as f64;
        let freedom = (n - 2.0).max(0.0) + FREEDOM_OF_PATTERN;
        let squares = (syy - slope * sxy).max(0.0) + FREEDOM_OF_PATTERN * (noise * noise + reading);
        let residual = (squares / freedom).sqrt();
        Self {
            rise: slope,
            centre: mx,
            standard_error: if flat {
                0.0
            } else {
                (residual / sxx.sqrt()).hypot(led_astray(&exact, (mx, sxx)))
            },
            freedom,
            spread: (sxx / n.max(1.0)).sqrt(),
        }
    }

    /// Returns the change that the slope gives a place of common browning `common`.
    pub(super) fn of_pattern(&self, common: f64) -> f64 {
        self.rise * (common - self.centre)
    }

    /// Returns the standard deviation whose normal 90 % interval is as wide as Student's.
    pub(super) fn doubt(&self) -> f64 {
        self.standard_error * student::quantile(0.95, self.freedom) / normal::Z90
    }

    /// Returns the line with a slope drawn from its distribution.
    pub(super) fn drawn(&self, stream: &mut Stream) -> Self {
        let p = stream.uniform().clamp(1e-6, 1.0 - 1e-6);
        Self {
            rise: self.rise + self.standard_error * student::quantile(p, self.freedom),
            ..*self
        }
    }

    /// Returns the one of two that says less; where they contradict each other, nothing.
    ///
    /// `self` and `other` are of the same pairs, brought to one level in two ways.
    pub(super) fn cautious(&self, other: &Self) -> Self {
        let of_error = |slope: &Self| {
            if slope.standard_error <= 0.0 {
                0.0
            } else {
                slope.rise / slope.standard_error
            }
        };
        let (one, two) = (of_error(self), of_error(other));
        if one * two <= 0.0 {
            Self { rise: 0.0, ..*self }
        } else if two.abs() < one.abs() {
            *other
        } else {
            *self
        }
    }

    /// Returns the probability that the pattern has become weaker.
    pub(super) fn more_even(&self) -> f64 {
        if self.standard_error <= 0.0 {
            return 0.5;
        }
        student::cdf(-self.rise / self.standard_error, self.freedom)
    }

    /// Tells what would settle it, a verdict being told from the probability `told` on; `None` where there is no line.
    pub(super) fn settle(&self, on: &RackPairs, told: f64) -> Option<Settle> {
        if self.standard_error <= 0.0 {
            return None;
        }
        let limit = student::quantile(told, self.freedom);
        let often = normal::quantile(NINE_TIMES_IN_TEN);
        let n = on.pairs.len() as f64;
        let (before, after) = on.pairs.iter().fold((0.0, 0.0), |sum, p| {
            (sum.0 + p.variance.0 / n, sum.1 + p.variance.1 / n)
        });
        let (nb, na) = on.readings;
        let open = Verdict::of(self.more_even(), told) == Verdict::NoChange;
        // What is left of the variance of a change after k more tests.
        let tells =
            |left: f64| open && self.rise.abs() / (self.standard_error * left.sqrt()) >= limit;
        let more = |left: &dyn Fn(f64) -> f64| {
            (1..=MOST_TESTS).find(|&k| tells(left(f64::from(k)) / (before + after)))
        };
        Some(Settle {
            detectable_sd: (limit + often) * self.standard_error * self.spread,
            more_after: more(&|k| before + after * na / (na + k)),
            more_on_both: more(&|k| before * nb / (nb + k) + after * na / (na + k)),
            slices: on.pairs.len(),
        })
    }
}

/// Returns the standard deviation of the slope by how photos lean: a lean along the pattern passes for a change of it,
/// however little the slices scatter.
fn led_astray(told: &[(f64, Observation)], (mx, sxx): (f64, f64)) -> f64 {
    let mut by_photo: BTreeMap<usize, [f64; 3]> = BTreeMap::new();
    for (x, lean) in told.iter().filter_map(|(x, c)| Some((x, c.lean?))) {
        let sums = by_photo.entry(lean.photo).or_default();
        for (sum, load) in sums.iter_mut().zip(lean.loads) {
            *sum += (x - mx) * load / sxx;
        }
    }
    let squares = by_photo.values().flatten().map(|s| s * s);
    squares.sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Holm 1979 by hand for four positions and 2 in 100 a side: 0.5 %, 0.667 %, 1 %, 2 %.
    #[test]
    fn the_chance_of_a_wrong_word_is_shared_among_positions() {
        let close = |got: &[f64], wanted: &[f64]| {
            assert!(
                got.len() == wanted.len()
                    && got.iter().zip(wanted).all(|(g, w)| (g - w).abs() < 1e-12),
                "{got:?} against {wanted:?}"
            );
        };
        close(&limits(&[0.99]), &[0.98]);
        close(
            &limits(&[0.5, 0.001, 0.992, 0.999]),
            &[0.98, 0.995, 0.99, 1.0 - 0.02 / 3.0],
        );
        // The surest is not sure enough, so none is, however many stand behind it.
        close(&limits(&[0.994, 0.993, 0.5, 0.5]), &[0.995; 4]);
        close(&limits(&[]), &[]);
    }
}
