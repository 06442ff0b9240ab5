//! Before and after: what changed on each rack position, and how sure that is.
//!
//! [`compare()`] takes the slices of two sides (tests before and after) and tells level (a whole test
//! lighter or darker) apart from pattern. After is brought to the level of before on every rack
//! position; what is left is pattern. Where slices lay in the same places, the pattern in common and the change
//! are two fields of their own, fitted to means and differences of the pairs, so that what both tests
//! share cannot blur the change; otherwise each side is fitted by itself. The verdict's rule is in
//! `verdict`, the plain paired tests in `paired`.

mod change;
mod fields;
mod figures;
mod paired;
mod pairs;
mod side;
mod verdict;

pub use change::{Change, ChangedZone};
pub use paired::{PairedTests, paired_tests};
pub use pairs::SAME_PLACE;
pub use side::Side;
pub use verdict::{Settle, Verdict};

use crate::{
    field::{FieldError, RackMap, Range, Reading},
    numeric::student,
};
use fields::{Joined, Maps, Separate, combined, slopes};
use figures::{Figures, changed_zones, figures, more_even, on_level};
use pairs::{RackPairs, Way, pairs_on};
use verdict::{Slope, cautious, hangs_on_level, limits};

/// What a difference rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Slices lay in the same places: pair by pair.
    SamePlaces,
    /// Each side was mapped by itself; the difference is that of the maps.
    Apart,
}

/// What changed on one rack position.
#[derive(Debug, Clone, PartialEq)]
pub struct RackComparison {
    /// Rack position.
    pub rack: u8,
    /// The map before.
    pub before: RackMap,
    /// The map after, brought to the level of before.
    pub after: RackMap,
    /// After minus before at one level; `contrast` is the change of the pattern, against the rack's
    /// own mean.
    pub difference: RackMap,
    /// The change of the pattern laid on the mean level before, so that it reads in degrees hotter and cooler like
    /// any map, and those of after are those of before plus those of the change.
    pub change_on_level: RackMap,
    /// Mean shade of the rack position as toasted, level included.
    pub level: Change,
    /// Darkest minus lightest (5 % and 95 % quantiles of the map) at the level of before, shades.
    pub spread: Change,
    /// Standard deviation over the area at the level of before, shades.
    pub sd: Change,
    /// Area more than what is noticeable off the rack's own mean, sq cm.
    pub zone_area: Change,
    /// Where the change is sure.
    pub zones: Vec<ChangedZone>,
    /// Better, no change that can be told, or worse.
    pub verdict: Verdict,
    /// Probability that was asked for to say one or the other.
    pub told_from: f64,
    /// Probability that it browns more evenly than before, whichever way its level changed: the one of
    /// [`Self::more_even_ways`] that says less, a half where they contradict each other.
    pub more_even: f64,
    /// The same if its level changed by a factor, and if it changed alike everywhere.
    pub more_even_ways: (f64, f64),
    /// A change of evenness would be told if level were known to change by a factor, and is not
    /// because it may have changed alike everywhere.
    pub hangs_on_level: bool,
    /// Pairs of slices in the same place that carry a figure on both sides, tested without a model; `None` without them.
    pub paired: Option<PairedTests>,
    /// What it would take to tell; `None` where the places differ or too few carry a figure.
    pub settle: Option<Settle>,
}

impl RackComparison {
    /// Returns the probability that belongs to the verdict: that it is better or worse as said, or,
    /// where nothing is told, that of the likelier of the two.
    pub fn probability(&self) -> f64 {
        match self.verdict {
            Verdict::Better => self.more_even,
            Verdict::Worse => 1.0 - self.more_even,
            Verdict::NoChange => self.more_even.max(1.0 - self.more_even),
        }
    }
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// What it rests on.
    pub basis: Basis,
    /// Rack positions tested on both sides, from the bottom up.
    pub racks: Vec<RackComparison>,
    /// Rack positions tested before only, and after only.
    pub unmatched: (Vec<u8>, Vec<u8>),
}

/// Why two sides cannot be compared.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CompareError {
    /// No rack position was tested on both sides.
    #[error(
        "before was toasted on rack {before}, after on rack {after}; toast on one of the same rack positions"
    )]
    NoRack {
        /// Positions before.
        before: String,
        /// Positions after.
        after: String,
    },
    /// The map engine refused one side.
    #[error(transparent)]
    Field(#[from] FieldError),
}

/// Compares two sides on a grid of (columns, rows) cells.
///
/// # Errors
/// [`CompareError`] when no rack position was tested on both sides, or slices cannot be used.
pub fn compare(
    before: &Side<'_>,
    after: &Side<'_>,
    grid: (usize, usize),
    reading: &Reading,
) -> Result<Comparison, CompareError> {
    let (b, a) = (tested(before), tested(after));
    let shared: Vec<u8> = b.iter().copied().filter(|r| a.contains(r)).collect();
    if shared.is_empty() {
        return Err(CompareError::NoRack {
            before: listed(&b),
            after: listed(&a),
        });
    }
    let same_size = before.domain.width.total_cmp(&after.domain.width).is_eq()
        && before.domain.depth.total_cmp(&after.domain.depth).is_eq();
    let pairs = |way: Way| -> Option<Vec<RackPairs>> {
        let on = |&rack: &u8| pairs_on(rack, way, before, after);
        same_size.then(|| shared.iter().map(on).collect()).flatten()
    };
    let (basis, racks) = match (pairs(Way::Ratio), pairs(Way::Shift)) {
        (Some(ratio), Some(shift)) => {
            let found = of_pairs((&ratio, &shift), before, grid, reading)?;
            (Basis::SamePlaces, found)
        }
        (None, _) | (_, None) => (
            Basis::Apart,
            apart(&shared, (before, after), grid, reading)?,
        ),
    };
    Ok(Comparison {
        basis,
        racks,
        unmatched: (
            b.iter().copied().filter(|r| !a.contains(r)).collect(),
            a.iter().copied().filter(|r| !b.contains(r)).collect(),
        ),
    })
}

fn of_pairs(
    (racks, shifted): (&[RackPairs], &[RackPairs]),
    side: &Side<'_>,
    grid: (usize, usize),
    reading: &Reading,
) -> Result<Vec<RackComparison>, FieldError> {
    let fields = Joined::fit(racks, side)?;
    let shifted = slopes(shifted, side)?;
    let area = side.domain.width * side.domain.depth;
    let maps = fields.maps(racks, grid);
    let found = racks
        .iter()
        .zip(fields.slopes.iter().zip(&shifted))
        .zip(maps)
        .map(|((on, (slope, shifted)), maps)| {
            let samples = fields.samples((on, slope), side.domain, reading.seed);
            let told = slope.cautious(shifted);
            Found {
                rack: on.rack,
                maps,
                figures: figures(&samples, on.scale, (area, area), reading),
                more_even: told.more_even(),
                ways: (slope.more_even(), shifted.more_even()),
                pairs: Some((told, on)),
            }
        });
    Ok(concluded(&found.collect::<Vec<_>>(), reading))
}

fn apart(
    shared: &[u8],
    (before, after): (&Side<'_>, &Side<'_>),
    grid: (usize, usize),
    reading: &Reading,
) -> Result<Vec<RackComparison>, FieldError> {
    let fields = Separate::fit(before, after)?;
    let area = |side: &Side<'_>| side.domain.width * side.domain.depth;
    let areas = (area(before), area(after));
    let found = fields.maps(shared, grid).into_iter().map(|(b, a)| {
        let least = before.least_level;
        let scale = if b.rack_mean > least && a.rack_mean > least {
            b.rack_mean / a.rack_mean
        } else {
            1.0
        };
        let rack = b.rack;
        let mut samples = fields.samples(rack, reading.seed);
        for (_, after) in &mut samples.both {
            for v in after {
                *v *= scale;
            }
        }
        let (at_one_level, as_toasted) = more_even(&samples, scale);
        Found {
            rack,
            more_even: cautious(at_one_level, as_toasted),
            ways: (at_one_level, as_toasted),
            figures: figures(&samples, scale, areas, reading),
            maps: Maps {
                difference: combined(&b, &a, (-1.0, scale)),
                after: combined(&a, &a, (scale, 0.0)),
                before: b,
            },
            pairs: None,
        }
    });
    Ok(concluded(&found.collect::<Vec<_>>(), reading))
}

/// What was found on a rack position, before it is judged beside the others.
struct Found<'p> {
    rack: u8,
    maps: Maps,
    figures: Figures,
    /// Probability that it is more even, whichever way its level changed.
    more_even: f64,
    /// The same, level taken as a factor and as alike everywhere.
    ways: (f64, f64),
    /// The slope that the probability is of and its pairs, where slices lay in the same places.
    pairs: Option<(Slope, &'p RackPairs)>,
}

/// Judges all rack positions together.
fn concluded(found: &[Found<'_>], reading: &Reading) -> Vec<RackComparison> {
    let more_even: Vec<f64> = found.iter().map(|f| f.more_even).collect();
    found
        .iter()
        .zip(limits(&more_even))
        .map(|(f, told_from)| {
            let figures = |on: &RackPairs| -> Vec<(f64, f64)> {
                let exact = on.pairs.iter().filter(|p| p.figure().is_some());
                exact.map(|p| p.raw).collect()
            };
            let paired = f.pairs.and_then(|(_, on)| paired_tests(&figures(on)));
            let (before, after, difference) = (&f.maps.before, &f.maps.after, &f.maps.difference);
            let change_on_level = on_level(before, after, difference, reading.per_shade);
            RackComparison {
                rack: f.rack,
                level: at_least_as_wide(f.figures.level, paired.as_ref(), reading),
                spread: f.figures.spread,
                sd: f.figures.sd,
                zone_area: f.figures.zone_area,
                zones: changed_zones(difference, &change_on_level, reading),
                hangs_on_level: hangs_on_level(f.ways),
                verdict: Verdict::of(f.more_even, told_from),
                told_from,
                more_even: f.more_even,
                more_even_ways: f.ways,
                paired,
                settle: f.pairs.and_then(|(slope, on)| slope.settle(on, told_from)),
                before: before.clone(),
                after: after.clone(),
                difference: difference.clone(),
                change_on_level,
            }
        })
        .collect()
}

/// Returns the change of the level with an interval no narrower than that of the plain paired t: what brought
/// after to the level of before was told by the same slices.
fn at_least_as_wide(level: Change, paired: Option<&PairedTests>, reading: &Reading) -> Change {
    let half = paired.map_or(0.0, |p| {
        student::half_width(0.9, (p.n - 1) as f64) * p.standard_error / reading.per_shade
    });
    let change = level.change;
    Change {
        change: Range {
            lo: change.lo.min(change.value - half),
            hi: change.hi.max(change.value + half),
            ..change
        },
        ..level
    }
}

fn tested(side: &Side<'_>) -> Vec<u8> {
    let mut racks: Vec<u8> = side.observations.iter().map(|o| o.rack).collect();
    racks.sort_unstable();
    racks.dedup();
    racks
}

fn listed(racks: &[u8]) -> String {
    let words: Vec<String> = racks.iter().map(u8::to_string).collect();
    words.join(" and ")
}
