//! How even a bake comes out, over joint samples of the map, and when one more opening pays.
//!
//! The mean map is smoother than any oven that could be behind it, so its own spread is too small. Each
//! figure is therefore the median over joint samples, with the range that holds nine in ten of them.

use super::{BrowningSource, search::Arrangement, space::Space};
use crate::{
    field::{Range, UNSEEN},
    model::{Yardstick, shade::browning_per_shade},
    numeric::quantile::of_sorted,
    units::Minutes,
};
use std::collections::BTreeMap;

/// A gain in expected spread below this, in shades, is not worth an opening: it is lost in the minute that the
/// door costs.
pub const WORTH_AN_OPENING: f64 = 0.03;
/// Every opening after the first must gain this much more, in shades: it costs another minute and another burst
/// of heat for what nobody would see (common practice, no source).
pub const WORTH_ONE_MORE: f64 = 0.1;
/// Pieces that differ by less than this, in shades, look alike: no opening can make them look more so (half of
/// the finest step the card is read to).
pub const LOOKS_ALIKE: f64 = 0.25;

/// Joint samples of the browning at every place that is used.
#[derive(Debug, Clone)]
pub struct Judge<'s> {
    space: &'s Space,
    /// Index into a sample, by spot and place; `usize::MAX` for spots not asked for.
    index: Vec<Vec<usize>>,
    samples: Vec<Vec<f64>>,
}

/// Evenness of one handling in every sample, in shades.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// Darkest minus lightest piece, or part of a large one.
    pub spread: Vec<f64>,
    /// Standard deviation over the pieces.
    pub sd: Vec<f64>,
    /// Spread and standard deviation of what each piece is expected to be.
    expected: (f64, f64),
}

impl<'s> Judge<'s> {
    /// Draws `count` joint samples at the places of the given arrangements.
    ///
    /// Falls back on the map itself, as the only sample, where the source knows no uncertainty.
    pub fn new<'a>(
        space: &'s Space,
        source: &dyn BrowningSource,
        arrangements: impl IntoIterator<Item = &'a Arrangement>,
        count: usize,
    ) -> Self {
        let mut index = vec![Vec::new(); space.spots.len()];
        let mut known: BTreeMap<(u8, i64, i64), usize> = BTreeMap::new();
        let (mut points, mut means) = (Vec::new(), Vec::new());
        for at in arrangements.into_iter().flatten() {
            if !index[at.spot].is_empty() {
                continue;
            }
            let spot = &space.spots[at.spot];
            for ((x, y), mean) in spot.places.iter().zip(&spot.browning) {
                let place = *known
                    .entry((spot.rack, micrometres(*x), micrometres(*y)))
                    .or_insert_with(|| {
                        points.push((spot.rack, *x, *y));
                        means.push(*mean);
                        points.len() - 1
                    });
                index[at.spot].push(place);
            }
        }
        let mut samples = source.samples(&points, count);
        if samples.is_empty() {
            samples.push(means);
        }
        Self {
            space,
            index,
            samples,
        }
    }

    /// Weighs arrangements, each held for its share, in every sample.
    pub fn weigh(&self, arrangements: &[Arrangement], shares: &[f64]) -> Verdict {
        let mut expected = vec![0.0; self.space.trays * self.space.cells.count()];
        let (spread, sd) = self
            .samples
            .iter()
            .map(|sample| {
                let parts = self.parts_in(sample, arrangements, shares);
                for (sum, part) in expected.iter_mut().zip(&parts) {
                    *sum += part / self.samples.len() as f64;
                }
                spread_and_sd(&parts)
            })
            .unzip();
        Verdict {
            spread,
            sd,
            expected: spread_and_sd(&expected),
        }
    }

    /// Returns each piece's browning less the mean of all, in shades, tray by tray in lattice order, with interval.
    pub fn pieces(&self, arrangements: &[Arrangement], shares: &[f64]) -> Vec<Range> {
        self.each(arrangements, shares, |piece, mean| {
            (piece - mean) / browning_per_shade()
        })
    }

    /// Returns the shade each piece is expected to have, in the order of [`Self::pieces`]: the mean over the samples.
    pub fn shades(&self, arrangements: &[Arrangement], shares: &[f64]) -> Vec<f64> {
        let mut sums = vec![0.0; self.space.trays * self.space.cells.count()];
        for sample in &self.samples {
            let parts = self.parts_in(sample, arrangements, shares);
            for (sum, part) in sums.iter_mut().zip(parts) {
                *sum += part / browning_per_shade() / self.samples.len() as f64;
            }
        }
        self.space.cells.means(&sums)
    }

    /// Returns each piece's browning over the mean of all, in the order of [`Self::pieces`], with interval.
    pub fn ratios(&self, arrangements: &[Arrangement], shares: &[f64]) -> Vec<Range> {
        // what has hardly browned is set against a tenth of a shade: nothing can be told of rates there
        let least = 0.1 * browning_per_shade();
        self.each(arrangements, shares, |piece, mean| piece / mean.max(least))
    }

    /// Sums up a figure of every piece, made of its browning and the mean of all, over the samples.
    fn each(
        &self,
        arrangements: &[Arrangement],
        shares: &[f64],
        figure: impl Fn(f64, f64) -> f64,
    ) -> Vec<Range> {
        let draws: Vec<Vec<f64>> = self
            .samples
            .iter()
            .map(|sample| {
                let parts = self.parts_in(sample, arrangements, shares);
                let pieces = self.space.cells.means(&parts);
                let mean = pieces.iter().sum::<f64>() / pieces.len() as f64;
                pieces.iter().map(|p| figure(*p, mean)).collect()
            })
            .collect();
        let pieces = draws.first().map_or(0, Vec::len);
        (0..pieces)
            .map(|i| range(draws.iter().map(|d| d[i]).collect()))
            .collect()
    }

    /// Returns the browning of every piece, the large ones in parts.
    fn parts_in(&self, sample: &[f64], arrangements: &[Arrangement], shares: &[f64]) -> Vec<f64> {
        let n = self.space.cells.count();
        let mut pieces = vec![0.0; self.space.trays * n];
        for (arrangement, share) in arrangements.iter().zip(shares) {
            for (at, tray) in arrangement.iter().zip(pieces.chunks_mut(n)) {
                let spot = &self.space.spots[at.spot];
                for (i, piece) in tray.iter_mut().enumerate() {
                    *piece += share * sample[self.index[at.spot][spot.place_of(i, at.turned)]];
                }
            }
        }
        pieces
    }
}

impl Verdict {
    /// Sums up: medians and 90 % ranges, with the length of the bake.
    pub fn yardstick(&self, minutes: Minutes) -> Yardstick {
        let spread = told(range(self.spread.clone()), self.expected.0);
        let sd = told(range(self.sd.clone()), self.expected.1);
        Yardstick {
            spread: spread.value,
            spread_range: (spread.lo, spread.hi),
            sd: sd.value,
            sd_range: (sd.lo, sd.hi),
            minutes,
        }
    }

    /// Tells whether the darkest and the lightest piece look alike already.
    pub fn looks_alike(&self) -> bool {
        range(self.spread.clone()).value < LOOKS_ALIKE
    }

    /// Tells whether they differ by a step of the card or more.
    pub fn is_uneven(&self) -> bool {
        range(self.spread.clone()).value >= 1.0
    }

    /// Tells whether they look alike however the map errs.
    pub fn surely_look_alike(&self) -> bool {
        range(self.spread.clone()).hi < LOOKS_ALIKE
    }

    /// Tells whether less spread is to be expected than with `other`, by the median told and by the mean.
    fn is_more_even_than(&self, other: &Self) -> bool {
        let median = |v: &Self| range(v.spread.clone()).value;
        self.gain_over(other) > 0.0 && median(self) <= median(other)
    }

    /// Returns how much less spread (shades) is to be expected than with `other`, over the same samples.
    pub fn gain_over(&self, other: &Self) -> f64 {
        self.gains(other).sum::<f64>() / self.spread.len().max(1) as f64
    }

    /// How much less spread there is than with `other`, sample by sample.
    fn gains(&self, other: &Self) -> impl Iterator<Item = f64> {
        other.spread.iter().zip(&self.spread).map(|(o, s)| o - s)
    }

    /// Returns the same with the interval that is told of it: from nothing where what the pieces are expected to be
    /// gains no more than the draws scatter.
    pub fn gain_told(&self, other: &Self) -> Range {
        let expected = (other.expected.0 - self.expected.0).max(0.0);
        let mut draws = range(self.gains(other).collect());
        draws.lo = draws.lo.max(0.0);
        Range {
            value: self.gain_over(other),
            ..told(draws, expected)
        }
    }
}

/// Returns, for 0, 1, 2, ... openings, whose handling to take: that of fewer openings where one more makes the bake no
/// more even. A search goes by the variance, and times are rounded, so that a spread can come out larger for it.
pub fn no_worse(verdicts: &[Verdict]) -> Vec<usize> {
    let mut best = 0;
    (0..verdicts.len())
        .map(|k| {
            if k > 0 && verdicts[k].is_more_even_than(&verdicts[best]) {
                best = k;
            }
            best
        })
        .collect()
}

/// Chooses how many openings to recommend: the first from which no larger number is expected to gain enough.
///
/// `verdicts` belong to 0, 1, 2, ... openings.
pub fn recommend(verdicts: &[Verdict]) -> usize {
    let mut chosen = 0;
    for (k, verdict) in verdicts.iter().enumerate() {
        let gain = verdict.gain_over(&verdicts[chosen]);
        // Each further opening must pay on its own, not only all of them together.
        let price = |opening: usize| {
            if opening == 0 {
                WORTH_AN_OPENING
            } else {
                WORTH_ONE_MORE
            }
        };
        let price: f64 = (chosen..k).map(price).sum();
        if k > chosen && !verdicts[chosen].looks_alike() && gain >= price {
            chosen = k;
        }
    }
    chosen
}

/// Makes an interval of a spread honest at both ends.
///
/// A draw is never quite even, so the draws' own lower end lies above what an even oven has: the lower end is taken
/// as far below the spread of what is `expected` as the draws reach above their median. And no draw holds a pattern
/// finer than the slices: the upper end is widened by [`UNSEEN`].
fn told(draws: Range, expected: f64) -> Range {
    Range {
        value: draws.value,
        lo: (expected - (draws.hi - draws.value)).clamp(0.0, draws.lo),
        hi: draws.value + UNSEEN * (draws.hi - draws.value),
    }
}

/// Returns darkest minus lightest, and the standard deviation, of browning in shades.
fn spread_and_sd(pieces: &[f64]) -> (f64, f64) {
    let n = pieces.len() as f64;
    let mean = pieces.iter().sum::<f64>() / n;
    let variance = pieces.iter().map(|p| (p - mean).powi(2)).sum::<f64>() / n;
    let low = pieces.iter().copied().fold(f64::INFINITY, f64::min);
    let high = pieces.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let shade = browning_per_shade();
    ((high - low) / shade, variance.sqrt() / shade)
}

/// Sums up draws as median and 5 % and 95 % quantiles; not a number without draws.
fn range(mut draws: Vec<f64>) -> Range {
    draws.sort_by(f64::total_cmp);
    Range {
        value: of_sorted(&draws, 0.5),
        lo: of_sorted(&draws, 0.05),
        hi: of_sorted(&draws, 0.95),
    }
}

/// Rounds to micrometres, so that a place reached by two ways of reckoning is one place.
#[expect(
    clippy::cast_possible_truncation,
    reason = "places in an oven are far below the largest count"
)]
fn micrometres(cm: f64) -> i64 {
    (cm * 1e4).round() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn verdict(sd: &[f64]) -> Verdict {
        Verdict {
            spread: sd.to_vec(),
            sd: sd.to_vec(),
            expected: (0.0, 0.0),
        }
    }

    #[test]
    fn one_more_opening_never_makes_a_bake_less_even() {
        let [a, b, c] = [[0.9, 1.0, 1.1], [0.3, 0.35, 0.4], [0.3, 0.38, 0.5]].map(|v| verdict(&v));
        assert_eq!(no_worse(&[a.clone(), b.clone(), c]), [0, 1, 1]);
        assert_eq!(no_worse(&[b, a]), [0, 0]);
    }

    #[test]
    fn an_opening_is_recommended_only_while_it_pays() {
        let still = verdict(&[0.8, 0.9, 1.0, 1.1]);
        let once = verdict(&[0.4, 0.5, 0.6, 0.7]);
        let twice = verdict(&[0.39, 0.48, 0.58, 0.69]);
        assert_eq!(recommend(&[still.clone(), once.clone(), twice]), 1);
        // Better in some samples and worse in others: what is to be expected decides.
        let doubtful = verdict(&[0.3, 0.3, 1.5, 1.7]);
        assert_eq!(recommend(&[still.clone(), doubtful]), 0);
        // Two openings pay where one alone does not.
        assert_eq!(recommend(&[still.clone(), still.clone(), once.clone()]), 2);
        assert_eq!(recommend(std::slice::from_ref(&still)), 0);
        // A second opening for less than a tenth of a shade is not worth it, however sure.
        let little = verdict(&[0.34, 0.44, 0.54, 0.64]);
        assert_eq!(recommend(&[still, once, little]), 1);
        // A single opening pays from three hundredths of a shade on.
        let barely = verdict(&[0.76, 0.86, 0.96, 1.06]);
        assert_eq!(recommend(&[verdict(&[0.8, 0.9, 1.0, 1.1]), barely]), 1);
        // A spread of 0.2 shade cannot be seen, so nothing buys an opening.
        let unseen = verdict(&[0.2, 0.21, 0.22]);
        assert_eq!(recommend(&[unseen, verdict(&[0.1, 0.1, 0.1])]), 0);
    }
}
