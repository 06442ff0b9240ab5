//! How the offset goes over the months: what each visit changed, and whether it drifts in between.
//!
//! A thermometer's own error is common to all its readings. It cancels where one thermometer read before and
//! after, and counts in full where another one did: an oven has not changed because it was read by something else.

use super::sat::{ALIKE, LEAST_SD, Sat, common_sd, of_one_place};
use crate::{
    calibration::{
        Estimate,
        drift::{Jump, Slope, Trend, jump, slope, trend},
        two_ways::{Cell, row_effects},
    },
    model::{Oven, Thermometer, ThermometerId, air::LOW_SETTING},
    numeric::quantile::quantile,
};
use jiff::civil::DateTime;

/// From one day to another an oven's hold differs by about this, C, though nothing was done to it (an assumption, no
/// source); days enough show their own scatter.
const DAY_SD: f64 = 1.0;
/// So many days show how far one day is from another.
const ENOUGH_DAYS: usize = 3;
/// Settings this close are compared over the months, C.
const COMPARABLE: f64 = 15.0;
/// A drift is a matter of months: over fewer days than these a few offsets rise or fall by chance (common practice, no source).
pub const LEAST_DAYS: f64 = 60.0;
/// Dates that can tell a drift, at the least: of four in a row, two orders in 24 are as plain, which is 8 times in 100.
pub const LEAST_DATES: usize = 5;
/// A drift beyond this in a year is worth a technician's look, C (common practice, no source).
const YEARLY_DRIFT: f64 = 10.0;
/// Days in a year, leap years counted in.
const YEAR: f64 = 365.25;

/// A visit and what it changed.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitJump {
    /// When.
    pub when: DateTime,
    /// What was done.
    pub what: String,
    /// The change of the offset; `None` where one side was not read.
    pub jump: Option<Jump>,
}

/// How the offset moves over the months.
#[derive(Debug, Clone, PartialEq)]
pub struct Drift {
    /// When the first of them was.
    pub begins: DateTime,
    /// Days since the first of them, and offsets in C, one for each date, all by one thermometer.
    pub points: Vec<(f64, f64)>,
    /// C per day, with its 95 % interval.
    pub slope: Slope,
    /// Whether there is one at all.
    pub trend: Trend,
    /// Standard uncertainty of the difference of two of these offsets, by their own errors, C.
    pub own_sd: f64,
}

impl Drift {
    /// Tells whether there is a drift: by the order of the offsets, by its interval, and by a move that is more than two
    /// of them by themselves may differ.
    pub fn is_told(&self) -> bool {
        let days = self.points.last().map_or(0.0, |p| p.0);
        self.trend.p < 0.05
            && self.slope.lo * self.slope.hi > 0.0
            && (self.slope.value * days).abs() > 2.0 * self.own_sd
    }

    /// Tells whether a drift that there is has moved the oven since `when`: by more than two readings may differ.
    pub fn is_told_since(&self, when: DateTime) -> bool {
        let before = when.duration_since(self.begins).as_secs_f64() / 86400.0;
        let days = self.points.last().map_or(0.0, |p| p.0) - before.max(0.0);
        self.is_told() && days > 0.0 && (self.slope.value * days).abs() > 2.0 * self.own_sd
    }

    /// Returns the nearer end of the slope's interval, C per day: the drift is surely no smaller. 0 where none is told.
    pub fn at_least(&self) -> f64 {
        if self.is_told() {
            self.slope.lo.abs().min(self.slope.hi.abs())
        } else {
            0.0
        }
    }

    /// Tells whether it is surely one that is worth a technician's look.
    pub fn is_large(&self) -> bool {
        self.at_least() * YEAR > YEARLY_DRIFT
    }

    /// Tells whether there may be none, and one worth a technician's look is out of the question: only then does none show.
    pub fn shows_none(&self) -> bool {
        let may_be_none = self.slope.lo * self.slope.hi <= 0.0;
        may_be_none && self.slope.lo.abs().max(self.slope.hi.abs()) * YEAR < YEARLY_DRIFT
    }
}

/// An offset with its date and what read it.
#[derive(Debug, Clone)]
pub(super) struct Dated {
    pub(super) when: DateTime,
    /// The setting, C.
    dial: f64,
    /// C, without the thermometer's own error.
    pub(super) offset: Estimate,
    thermometer: ThermometerId,
    /// It was not named: two such may be two different ones.
    unnamed: bool,
    common_sd: f64,
}

/// Offsets of the setting most often read, and those near it, read in one place: when, how much, and read by what.
pub(super) fn comparable(sats: &[&Sat]) -> Vec<Dated> {
    let baking: Vec<&Sat> = sats
        .iter()
        .copied()
        .filter(|s| s.held() && s.figures.dial.0 >= LOW_SETTING.0)
        .collect();
    let near = |dial: f64| {
        baking
            .iter()
            .filter(move |s| (s.figures.dial.0 - dial).abs() <= COMPARABLE)
    };
    let Some(usual) = baking
        .iter()
        .map(|s| s.figures.dial.0)
        .max_by_key(|dial| near(*dial).count())
    else {
        return Vec::new();
    };
    let near: Vec<&Sat> = near(usual).copied().collect();
    of_one_place(&near)
        .into_iter()
        .filter_map(|s| {
            Some(Dated {
                when: s.when,
                dial: s.figures.dial.0,
                offset: s.figures.offset?.with_type_b(LEAST_SD),
                thermometer: s.thermometer.id.clone(),
                unnamed: s.thermometer.id == Thermometer::unnamed().id,
                common_sd: common_sd(s),
            })
        })
        .collect()
}

/// The thermometers among offsets, each once.
fn thermometers(dated: &[Dated]) -> Vec<&ThermometerId> {
    let mut ids: Vec<_> = dated.iter().map(|d| &d.thermometer).collect();
    ids.sort();
    ids.dedup();
    ids
}

fn by(dated: &[Dated], id: &ThermometerId) -> Vec<Dated> {
    dated
        .iter()
        .filter(|d| d.thermometer == *id)
        .cloned()
        .collect()
}

/// Makes one offset of all that one thermometer read on a date, what the settings differ by left out: they share that
/// day. With each goes the group of settings it can be compared within; a visit parts its date.
fn dates(dated: &[Dated], visit: Option<DateTime>) -> Vec<(usize, Dated)> {
    let mut dials: Vec<f64> = dated.iter().map(|d| d.dial).collect();
    dials.sort_by(f64::total_cmp);
    dials.dedup_by(|a, b| (*a - *b).abs() < ALIKE);
    let row = |d: &Dated| {
        dials
            .partition_point(|dial| *dial <= d.dial)
            .saturating_sub(1)
    };
    let day = |d: &Dated| (d.when.date(), visit.is_some_and(|visit| d.when >= visit));
    let days: Vec<&[Dated]> = dated.chunk_by(|a, b| day(a) == day(b)).collect();
    let mut cells = Vec::new();
    for (column, own) in days.iter().enumerate() {
        cells.extend(own.iter().map(|d| Cell {
            row: row(d),
            column,
            value: d.offset,
        }));
    }
    let effects = row_effects(&cells);
    let of = |d: &Dated| effects.iter().find(|e| e.row == row(d));
    days.iter()
        .filter_map(|own| {
            let first = own.first()?;
            let n = own.len() as f64;
            let (mut value, mut variance, mut spare) = (0.0, 0.0, 0.0);
            for d in *own {
                let part = (d.offset.sd / n).powi(2);
                value += (d.offset.value - of(d)?.against.value) / n;
                variance += part;
                spare += part * part / d.offset.df;
            }
            let offset = Estimate::new(value, variance.sqrt(), variance * variance / spare);
            Some((
                of(first)?.group,
                Dated {
                    offset,
                    ..first.clone()
                },
            ))
        })
        .collect()
}

/// Keeps the largest group of dates that can be compared.
fn largest(dates: &[(usize, Dated)]) -> Vec<Dated> {
    let of = |group: usize| dates.iter().filter(move |(own, _)| *own == group);
    let most = dates
        .iter()
        .map(|(group, _)| *group)
        .max_by_key(|group| of(*group).count());
    most.map_or_else(Vec::new, |group| {
        of(group).map(|(_, d)| d.clone()).collect()
    })
}

/// Combines dates of one thermometer; fewer than [`ENOUGH_DAYS`] do not show how far one day is from another.
fn over_days<'d>(dates: impl Iterator<Item = &'d Dated>) -> Option<Estimate> {
    let offsets: Vec<Estimate> = dates.map(|d| d.offset).collect();
    let pooled = Estimate::pooled(&offsets)?;
    Some(if offsets.len() < ENOUGH_DAYS {
        pooled.with_type_b(DAY_SD / (offsets.len() as f64).sqrt())
    } else {
        pooled
    })
}

/// Finds how the offset drifts, by the thermometer that read it most often.
pub(super) fn drift(now: &[&Sat]) -> Option<Drift> {
    let all = comparable(now);
    let dated = thermometers(&all)
        .into_iter()
        .map(|id| largest(&dates(&by(&all, id), None)))
        .max_by_key(Vec::len)?;
    let begins = dated.first()?.when;
    let points: Vec<(f64, f64)> = dated
        .iter()
        .map(|d| {
            let days = d.when.duration_since(begins).as_secs_f64() / 86400.0;
            (days, d.offset.value)
        })
        .collect();
    if points.len() < LEAST_DATES || points.last()?.0 < LEAST_DAYS {
        return None;
    }
    // One that was not named may have been another each time.
    let own = |d: &Dated| d.offset.sd.hypot(if d.unnamed { d.common_sd } else { 0.0 });
    let sds: Vec<f64> = dated.iter().map(own).collect();
    Some(Drift {
        begins,
        slope: slope(&points, 0.95).ok()?,
        trend: trend(&points).ok()?,
        own_sd: quantile(&sds, 0.5) * 2.0_f64.sqrt(),
        points,
    })
}

/// What every visit changed, from the one before it to the one after.
pub(super) fn visits(oven: &Oven, all: &[&Sat]) -> Vec<VisitJump> {
    let mut visits: Vec<_> = oven.visits.iter().collect();
    visits.sort_by_key(|v| v.when);
    let dated = comparable(all);
    let between = |from: Option<DateTime>, to: Option<DateTime>| -> Vec<Dated> {
        dated
            .iter()
            .filter(|d| from.is_none_or(|f| d.when >= f) && to.is_none_or(|t| d.when < t))
            .cloned()
            .collect()
    };
    visits
        .iter()
        .enumerate()
        .map(|(i, visit)| {
            let before = i.checked_sub(1).map(|p| visits[p].when);
            let after = visits.get(i + 1).map(|v| v.when);
            VisitJump {
                when: visit.when,
                what: visit.what.clone(),
                jump: change(
                    visit.when,
                    &between(before, Some(visit.when)),
                    &between(Some(visit.when), after),
                ),
            }
        })
        .collect()
}

/// The change from one side to the other: by thermometers known to have read both where there are any.
fn change(visit: DateTime, before: &[Dated], after: &[Dated]) -> Option<Jump> {
    let named: Vec<Dated> = after.iter().filter(|d| !d.unnamed).cloned().collect();
    let after_by = thermometers(&named);
    let both: Vec<Estimate> = thermometers(before)
        .into_iter()
        .filter(|id| after_by.contains(id))
        .filter_map(|id| {
            let own = dates(&[by(before, id), by(after, id)].concat(), Some(visit));
            let (after, before): (Vec<Dated>, Vec<Dated>) = own
                .into_iter()
                .map(|(_, d)| d)
                .partition(|d| d.when >= visit);
            jump(&[over_days(before.iter())?], &[over_days(after.iter())?])
        })
        .map(|jump| jump.change)
        .collect();
    match Estimate::pooled(&both) {
        Some(change) => Some(Jump::of(change)),
        None => jump(&[side(before)?], &[side(after)?]),
    }
}

/// One side of a visit, each thermometer's own error in it.
fn side(dated: &[Dated]) -> Option<Estimate> {
    let each: Vec<Estimate> = thermometers(dated)
        .into_iter()
        .filter_map(|id| {
            let own = dates(&by(dated, id), None);
            let common = own.first()?.1.common_sd;
            Some(over_days(own.iter().map(|(_, d)| d))?.with_type_b(common))
        })
        .collect();
    Estimate::pooled(&each)
}
