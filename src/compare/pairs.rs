//! Same places of two tests: what each says of the pattern in common and of what changed.
//!
//! Slices of a place before and after give a weighted mean and a difference. Weighted by what each
//! scatters, the errors of the two have nothing to do with each other, whatever the oven's pattern is:
//! so a verdict on the difference, judged along the pattern of the mean, is not led astray by noise
//! that both carry (as with sums and differences in Pitman 1939 and Morgan 1939).

use super::side::Side;
use crate::{
    field::{Bound, Lean, Observation},
    geometry::{Point, nearest_pairs},
    numeric::quantile::quantile,
};

/// Slices of two tests closer than this, cm, lay in the same place.
pub const SAME_PLACE: f64 = 2.0;
/// Fewest pairs on a rack position that are judged as pairs.
pub(super) const FEWEST_PAIRS: usize = 6;
/// Least share of the places of the smaller layout that must have a partner.
const SHARE: f64 = 0.7;

/// One place of one side: the mean of the slices that lay there.
#[derive(Debug, Clone, Copy)]
struct Spot {
    at: Observation,
    readings: f64,
}

/// One place of both sides, after brought to the level of before.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair {
    /// Browning before and after as they were, bounds at their limit.
    pub(super) raw: (f64, f64),
    /// Weighted mean of both: what they say of the pattern in common.
    pub(super) common: Observation,
    /// After minus before; `None` where both only say "at least" or both "at most".
    pub(super) change: Option<Observation>,
    /// Variance that slice-to-slice scatter gives the common figure and the change.
    scatter: (f64, f64),
    /// Variance of the change from reading errors alone.
    pub(super) reading: f64,
    /// Variance of before and of after (at the level of before) at this place.
    pub(super) variance: (f64, f64),
}

impl Pair {
    /// Returns the change where it is a figure and no bound.
    pub(super) fn figure(&self) -> Option<Observation> {
        self.change.filter(|change| change.bound == Bound::Exact)
    }
}

/// How after is brought to the level of before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// By a factor: browning of dry bread keeps its ratios as it goes on.
    Ratio,
    /// By what is alike everywhere: a paler loaf, or an eye that strays by a step from one day to the next.
    Shift,
}

/// What brings a browning of after to the level of before.
#[derive(Debug, Clone, Copy)]
struct Level {
    scale: f64,
    shift: f64,
}

impl Level {
    fn brought(self, browning: f64) -> f64 {
        self.scale * browning + self.shift
    }
}

/// The pairs of one rack position.
#[derive(Debug, Clone)]
pub(super) struct RackPairs {
    pub(super) rack: u8,
    pub(super) pairs: Vec<Pair>,
    /// What brings after to the level of before.
    pub(super) scale: f64,
    /// Share of before in the common figure.
    pub(super) share_before: f64,
    /// Readings at a place, typically: before and after.
    pub(super) readings: (f64, f64),
}

/// Finds the pairs of a rack position; `None` where the layouts have too little in common.
pub(super) fn pairs_on(
    rack: u8,
    way: Way,
    before: &Side<'_>,
    after: &Side<'_>,
) -> Option<RackPairs> {
    let (b, a) = (spots(before, rack), spots(after, rack));
    let places = |spots: &[Spot]| -> Vec<Point> { spots.iter().map(|s| place(&s.at)).collect() };
    let together: Vec<(Spot, Spot)> = nearest_pairs(&places(&b), &places(&a), SAME_PLACE)
        .into_iter()
        .map(|(i, j)| (b[i], a[j]))
        .collect();
    let needed = (SHARE * b.len().min(a.len()) as f64).max(FEWEST_PAIRS as f64);
    if (together.len() as f64) < needed {
        return None;
    }
    let level = level_of(&together, way, before.least_level);
    let scatter = (
        before.priors.scatter.median.powi(2),
        after.priors.scatter.median.powi(2),
    );
    let pairs: Vec<Pair> = together
        .iter()
        .map(|(b, a)| pair(b, a, level, scatter))
        .collect();
    let typical = |f: &dyn Fn(&(Spot, Spot)) -> f64| {
        quantile(&together.iter().map(f).collect::<Vec<_>>(), 0.5)
    };
    let share: Vec<f64> = pairs.iter().map(|p| share_before(p.variance)).collect();
    Some(RackPairs {
        rack,
        scale: level.scale,
        share_before: quantile(&share, 0.5),
        readings: (typical(&|p| p.0.readings), typical(&|p| p.1.readings)),
        pairs,
    })
}

/// Returns the typical slice-to-slice scatter expected of common figures and of changes, B.
pub(super) fn expected_scatter(racks: &[RackPairs]) -> (f64, f64) {
    let of = |f: fn(&Pair) -> f64| {
        let all: Vec<f64> = racks.iter().flat_map(|r| &r.pairs).map(f).collect();
        quantile(&all, 0.5).sqrt()
    };
    (of(|p| p.scatter.0), of(|p| p.scatter.1))
}

/// Groups the slices of one rack position by place, test by test: two slices of one test are two places
/// however close they lie.
fn spots(side: &Side<'_>, rack: u8) -> Vec<Spot> {
    let own: Vec<&Observation> = side
        .observations
        .iter()
        .filter(|o| o.rack == rack)
        .collect();
    let mut tests: Vec<usize> = own.iter().map(|o| o.batch).collect();
    tests.sort_unstable();
    tests.dedup();
    let mut out: Vec<Spot> = Vec::new();
    for test in tests {
        let of_test: Vec<&Observation> = own.iter().filter(|o| o.batch == test).copied().collect();
        let known: Vec<Point> = out.iter().map(|s| place(&s.at)).collect();
        let here: Vec<Point> = of_test.iter().map(|o| place(o)).collect();
        let pairs = nearest_pairs(&known, &here, SAME_PLACE);
        for &(spot, slice) in &pairs {
            out[spot].take_in(of_test[slice]);
        }
        let alone = (0..of_test.len()).filter(|i| pairs.iter().all(|(_, slice)| slice != i));
        out.extend(alone.map(|i| Spot {
            at: *of_test[i],
            readings: 1.0,
        }));
    }
    out
}

fn place(slice: &Observation) -> Point {
    Point::new(slice.x, slice.y)
}

impl Spot {
    /// Takes a slice of a further test into the mean.
    fn take_in(&mut self, slice: &Observation) {
        let n = self.readings;
        let at = &mut self.at;
        at.browning = (n * at.browning + slice.browning) / (n + 1.0);
        at.sd = (n * at.sd).hypot(slice.sd) / (n + 1.0);
        at.bound = join(at.bound, slice.bound);
        self.readings += 1.0;
    }
}

/// How a mean of two readings is to be taken: a bound on either bounds it.
fn join(one: Bound, other: Bound) -> Bound {
    match one {
        Bound::Exact => other,
        Bound::AtLeast | Bound::AtMost => one,
    }
}

/// Ratio or difference of the mean levels over places that carry a figure on both sides; none where
/// hardly any browning, or too few places, would make it a guess.
fn level_of(together: &[(Spot, Spot)], way: Way, least: f64) -> Level {
    let exact: Vec<(f64, f64)> = together
        .iter()
        .filter(|(b, a)| b.at.bound == Bound::Exact && a.at.bound == Bound::Exact)
        .map(|(b, a)| (b.at.browning, a.at.browning))
        .collect();
    let n = exact.len() as f64;
    let (b, a) = exact
        .iter()
        .fold((0.0, 0.0), |sum, p| (sum.0 + p.0 / n, sum.1 + p.1 / n));
    let known = exact.len() >= 3 && b > least && a > least;
    let (scale, shift) = match way {
        Way::Ratio if known => (b / a, 0.0),
        Way::Shift if known => (1.0, b - a),
        Way::Ratio | Way::Shift => (1.0, 0.0),
    };
    Level { scale, shift }
}

fn share_before((before, after): (f64, f64)) -> f64 {
    after / (before + after)
}

fn pair(b: &Spot, a: &Spot, level: Level, scatter: (f64, f64)) -> Pair {
    let squared = level.scale * level.scale;
    let slice = (scatter.0 / b.readings, squared * scatter.1 / a.readings);
    let reading = (b.at.sd.powi(2), squared * a.at.sd.powi(2));
    let variance = (slice.0 + reading.0, slice.1 + reading.1);
    let (wb, wa) = (share_before(variance), 1.0 - share_before(variance));
    let brought = level.brought(a.at.browning);
    let mixed = |v: (f64, f64)| wb * wb * v.0 + wa * wa * v.1;
    let of_change = match (b.at.bound, a.at.bound) {
        (Bound::Exact, bound) => Some(bound),
        (Bound::AtLeast, Bound::Exact | Bound::AtMost) => Some(Bound::AtMost),
        (Bound::AtMost, Bound::Exact | Bound::AtLeast) => Some(Bound::AtLeast),
        (Bound::AtLeast, Bound::AtLeast) | (Bound::AtMost, Bound::AtMost) => None,
    };
    Pair {
        raw: (b.at.browning, a.at.browning),
        common: Observation {
            browning: wb * b.at.browning + wa * brought,
            sd: mixed(reading).sqrt(),
            bound: join(b.at.bound, a.at.bound),
            batch: 0,
            lean: Lean::joined(
                b.at.lean.map(|l| l.scaled(wb)),
                a.at.lean.map(|l| l.scaled(wa * level.scale)),
            ),
            ..b.at
        },
        change: of_change.map(|bound| Observation {
            browning: brought - b.at.browning,
            sd: (reading.0 + reading.1).sqrt(),
            bound,
            batch: 0,
            lean: Lean::joined(b.at.lean, a.at.lean.map(|l| l.scaled(level.scale))),
            ..b.at
        }),
        scatter: (mixed(slice), slice.0 + slice.1),
        reading: reading.0 + reading.1,
        variance,
    }
}
