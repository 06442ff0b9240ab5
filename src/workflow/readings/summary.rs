//! What all readings of an oven in one mode say together, since its last service visit and before.

use super::{
    figures::{figures, rows_at},
    over_time::{Drift, VisitJump, comparable, drift, visits},
    sat::{ALIKE, LEAST_SD, Sat, between_visits, common_sd},
};
use crate::{
    calibration::{Estimate, Line, Sureness, Told},
    model::{
        AirPlace, AirRound, Mode, Oven, Spot, Thermometer, ThermometerId, Warning, air::LOW_SETTING,
    },
    numeric::student,
    units::{Celsius, CelsiusDelta, TemperatureUnit},
    workflow::kitchen::Records,
};
use jiff::civil::DateTime;

/// How much the air may rise for a degree of the dial (an assumption).
const SLOPES: std::ops::RangeInclusive<f64> = 0.7..=1.3;
/// Settings must lie this far apart for a line, C.
const SPREAD_FOR_LINE: f64 = 10.0;
/// The intervals that a line is held against: 90 %, as those of dial settings.
const LEVEL: f64 = 0.9;

/// What is known of one setting.
#[derive(Debug, Clone, PartialEq)]
pub struct SettingSummary {
    /// The setting.
    pub dial: Celsius,
    /// True air less dial, C, the thermometer's own error included.
    pub offset: Estimate,
    /// The part of it that is this setting's alone, without the thermometers' own errors.
    pub scatter: Estimate,
    /// The thermometers behind it, each with the standard uncertainty that its own error brings, C.
    pub shared: Vec<(ThermometerId, f64)>,
    /// Peak to peak, C.
    pub swing: Option<Estimate>,
    /// Length of a cycle, seconds.
    pub cycle: Option<Estimate>,
    /// The best that any sitting gives.
    pub sureness: Sureness,
    /// Sittings behind it.
    pub rounds: usize,
    /// Readings of holds behind it.
    pub readings: usize,
    /// The latest of them.
    pub latest: DateTime,
}

impl SettingSummary {
    /// Tells whether it lies in the range of its own below baking heat.
    pub fn is_low(&self) -> bool {
        self.dial.0 < LOW_SETTING.0
    }
}

/// Everything the readings of an oven in one mode say.
#[derive(Debug, Clone)]
pub struct OvenSummary {
    /// How it heats.
    pub mode: Mode,
    /// Settings read since the last visit, rising.
    pub settings: Vec<SettingSummary>,
    /// True air against dial over the settings of baking heat, where two or more were read and it speaks for each of
    /// them; the thermometers' own errors are in it.
    pub line: Option<Line>,
    /// Sittings since the last visit.
    pub now: Vec<Sat>,
    /// Drift since the last visit.
    pub drift: Option<Drift>,
    /// Offsets of the setting most often read and those near it, over all the months, C, oldest first.
    pub history: Vec<(DateTime, Estimate)>,
    /// Every visit with its change.
    pub visits: Vec<VisitJump>,
    /// What is to be said beside.
    pub warnings: Vec<Warning>,
}

/// Summarises the readings of an oven in one mode.
pub fn summary(kitchen: &Records, oven: &Oven, mode: Mode) -> OvenSummary {
    let sats = sittings(kitchen, oven, mode);
    let last_visit = oven.visits.iter().map(|v| v.when).max();
    let (before, now): (Vec<Sat>, Vec<Sat>) = sats
        .into_iter()
        .partition(|s| last_visit.is_some_and(|visit| s.when < visit));
    let settings = settings(&now);
    let mut warnings: Vec<Warning> = Vec::new();
    for warning in now.iter().flat_map(|s| &s.figures.warnings) {
        if !warnings.contains(warning) {
            warnings.push(warning.clone());
        }
    }
    let since = |r: &&AirRound| {
        let ended = r.span().map(|(_, when)| when.civil());
        r.mode == mode && ended.is_some_and(|ended| last_visit.is_none_or(|v| ended >= v))
    };
    if now.is_empty() && kitchen.rounds_of(&oven.id).iter().any(since) {
        warnings.push(Warning::new(
            "nothing was read in the middle of the oven, so nothing is known of its dial",
            "hang the thermometer there",
        ));
    }
    warnings.extend(check_between_thermometers(&now, oven.dial.unit));
    let all: Vec<&Sat> = before.iter().chain(&now).collect();
    OvenSummary {
        mode,
        line: line(&settings),
        drift: drift(&now.iter().collect::<Vec<_>>()),
        history: comparable(&all)
            .into_iter()
            .map(|d| (d.when, d.offset))
            .collect(),
        visits: visits(oven, &all),
        settings,
        now,
        warnings,
    }
}

/// Returns the thermometer that took a round; one not named, or gone, is taken for a common dial type.
pub fn thermometer_of(kitchen: &Records, id: Option<&ThermometerId>) -> Thermometer {
    id.and_then(|id| kitchen.thermometer(id))
        .cloned()
        .unwrap_or_else(Thermometer::unnamed)
}

/// Every sitting of an oven in a mode, parted at service visits, setting by setting, oldest first.
pub fn sittings(kitchen: &Records, oven: &Oven, mode: Mode) -> Vec<Sat> {
    kitchen
        .rounds_of(&oven.id)
        .into_iter()
        .filter(|r| r.mode == mode)
        .flat_map(|round| between_visits(round, oven))
        .flat_map(|part| sat(kitchen, oven, &part))
        .collect()
}

/// Returns the place whose readings tell how far the dial is off: the middle of the oven, else that of a rack at middle
/// height where the thermometer stood nowhere else.
fn telling(round: &AirRound, oven: &Oven) -> AirPlace {
    let height = oven.cavity.height.0;
    let inner = |rack| {
        let rack = oven.rack(rack);
        rack.is_ok_and(|r| (r.height.0 - 0.5 * height).abs() <= 0.25 * height)
    };
    let first = round.readings.first().map(|r| r.place);
    first
        .filter(|place| place.spot == Spot::Centre && place.rack.is_some_and(inner))
        .filter(|place| round.readings.iter().all(|r| r.place == *place))
        .unwrap_or(AirPlace::CENTRE)
}

fn sat(kitchen: &Records, oven: &Oven, round: &AirRound) -> Vec<Sat> {
    let Some((when, _)) = round.span() else {
        return Vec::new();
    };
    let thermometer = thermometer_of(kitchen, round.thermometer.as_ref());
    let place = telling(round, oven);
    let stood = place.rack.map(|rack| {
        let what = format!("the middle of rack {rack} is taken for the middle of the oven");
        Warning::new(
            what,
            "hang the thermometer in the middle of the oven to be surer",
        )
    });
    figures(&rows_at(round, place), &thermometer)
        .into_iter()
        .map(|mut figures| {
            figures.warnings.extend(stood.clone());
            Sat {
                when: when.civil(),
                thermometer: thermometer.clone(),
                place,
                figures,
            }
        })
        .collect()
}

fn settings(sats: &[Sat]) -> Vec<SettingSummary> {
    let mut held: Vec<&Sat> = sats.iter().filter(|s| s.figures.offset.is_some()).collect();
    held.sort_by(|a, b| a.figures.dial.0.total_cmp(&b.figures.dial.0));
    held.chunk_by(|a, b| (a.figures.dial.0 - b.figures.dial.0).abs() < ALIKE)
        .filter_map(one_setting)
        .collect()
}

fn one_setting(sats: &[&Sat]) -> Option<SettingSummary> {
    // Air on its way somewhere says something only where nothing else does.
    let held: Vec<&Sat> = sats.iter().copied().filter(|s| s.held()).collect();
    let sats = if held.is_empty() { sats } else { &held };
    // The middle of a rack stands in for the oven's middle only where that was not read.
    let middle: Vec<&Sat> = sats
        .iter()
        .copied()
        .filter(|s| s.place == AirPlace::CENTRE)
        .collect();
    let sats = if middle.is_empty() { sats } else { &middle };
    let first = sats.first()?;
    let mut ids: Vec<&ThermometerId> = sats.iter().map(|s| &s.thermometer.id).collect();
    ids.sort();
    ids.dedup();
    // What all readings of one thermometer share does not shrink with their number.
    let (mut offsets, mut commons) = (Vec::new(), Vec::new());
    for id in ids {
        let own: Vec<&&Sat> = sats.iter().filter(|s| s.thermometer.id == *id).collect();
        let list: Vec<Estimate> = own.iter().filter_map(|s| s.figures.offset).collect();
        let common = common_sd(own[0]);
        offsets.push(Estimate::pooled(&list)?.with_type_b(common));
        commons.push((id.clone(), common));
    }
    // Two thermometers are too few to tell how far thermometers stray beyond their word; that they do is warned of.
    let (offset, shares) = Estimate::believed(&offsets)?;
    let shared: Vec<(ThermometerId, f64)> = commons
        .into_iter()
        .zip(shares)
        .map(|((id, common), share)| (id, common * share))
        .collect();
    let holds: Vec<_> = sats.iter().filter_map(|s| s.figures.hold).collect();
    let pool = |pick: fn(&crate::calibration::Holding) -> Option<Estimate>| {
        Estimate::pooled(&holds.iter().filter_map(pick).collect::<Vec<_>>())
    };
    Some(SettingSummary {
        dial: first.figures.dial,
        scatter: alone(&offset, &shared),
        offset,
        shared,
        swing: pool(|h| h.swing),
        cycle: pool(|h| h.cycle),
        sureness: holds
            .iter()
            .map(|h| h.sureness)
            .max_by_key(|s| rank(*s))
            .unwrap_or(Sureness::FewReadings(0)),
        rounds: sats.len(),
        readings: holds.iter().map(|h| h.readings).sum(),
        latest: sats.iter().map(|s| s.when).max()?,
    })
}

fn rank(sureness: Sureness) -> (u8, usize) {
    match sureness {
        Sureness::WholeCycles(n) => (3, n),
        Sureness::Steady => (2, 0),
        Sureness::FewCycles(n) => (1, n),
        Sureness::FewReadings(n) => (0, n),
        Sureness::Drifting => (0, 0),
    }
}

/// What is left of an offset's uncertainty without the thermometers' own errors, which are not estimated from scatter.
fn alone(offset: &Estimate, shared: &[(ThermometerId, f64)]) -> Estimate {
    let common: f64 = shared.iter().map(|(_, sd)| sd * sd).sum();
    let variance = (offset.sd * offset.sd - common).max(0.0);
    Estimate {
        value: offset.value,
        sd: variance.sqrt(),
        df: offset.df * (variance / (offset.sd * offset.sd)).powi(2),
    }
}

/// Keeps the settings that a dial may be set by: those whose air held, and of these only the sure ones where there are any.
pub(super) fn best_known<'s>(
    settings: impl Iterator<Item = &'s SettingSummary>,
) -> Vec<&'s SettingSummary> {
    let mut held: Vec<_> = settings.filter(|s| s.sureness.holds()).collect();
    if held.iter().any(|s| s.sureness.is_sure()) {
        held.retain(|s| s.sureness.is_sure());
    }
    held
}

/// Fits the line; `None` where it does not speak for every setting: there each goes by its own offset.
pub(super) fn line(settings: &[SettingSummary]) -> Option<Line> {
    let held = best_known(settings.iter().filter(|s| !s.is_low()));
    let mut ids: Vec<&ThermometerId> = held
        .iter()
        .flat_map(|s| s.shared.iter().map(|(id, _)| id))
        .collect();
    ids.sort();
    ids.dedup();
    let points: Vec<Told> = held
        .iter()
        .map(|s| Told {
            x: s.dial.0,
            y: s.scatter.with_type_b(LEAST_SD).shifted(s.dial.0),
            shared: s
                .shared
                .iter()
                .filter_map(|(id, sd)| Some((ids.binary_search(&id).ok()?, *sd)))
                .collect(),
        })
        .collect();
    let (first, last) = (points.first()?, points.last()?);
    if last.x - first.x < SPREAD_FOR_LINE {
        return None;
    }
    let line = Line::through(&points, 0.5 * (first.x + last.x)).ok()?;
    // The air goes with the dial, as far as ovens were read; two settings close together make a line of any slope.
    let goes_along = SLOPES.contains(&line.slope);
    (goes_along && held.iter().all(|s| speaks_for(&line, s))).then_some(line)
}

/// Tells whether a line passes within a setting's own scatter and is about as sure there as that setting itself.
fn speaks_for(line: &Line, setting: &SettingSummary) -> bool {
    /// Two settings make a line that is at each as sure as the setting, but for rounding.
    const AS_SURE: f64 = 1.1;
    let half = |e: &Estimate| student::half_width(LEVEL, e.df) * e.sd;
    let own = setting.scatter.with_type_b(LEAST_SD);
    let there = line.at(setting.dial.0);
    let passes = there.value - setting.dial.0 - own.value;
    passes.abs() <= half(&own)
        && half(&there) <= AS_SURE * half(&setting.offset.with_type_b(LEAST_SD))
}

/// A second thermometer's word is a check on the first.
fn check_between_thermometers(now: &[Sat], unit: TemperatureUnit) -> Vec<Warning> {
    let mut out = Vec::new();
    let held: Vec<&Sat> = now.iter().filter(|s| s.held()).collect();
    for (i, a) in held.iter().enumerate() {
        for b in &held[..i] {
            let alike = |s: &Sat| (a.figures.dial.0 - s.figures.dial.0).abs() < ALIKE;
            // Where the middle was read, it alone tells of the dial.
            let middle = held.iter().any(|s| s.place == AirPlace::CENTRE && alike(s));
            let beside = a.place != b.place || (middle && a.place != AirPlace::CENTRE);
            if a.thermometer.id == b.thermometer.id || beside || !alike(b) {
                continue;
            }
            let (Some(x), Some(y)) = (a.figures.offset, b.figures.offset) else {
                continue;
            };
            let gap = x.value - y.value;
            let sd = x
                .with_type_b(common_sd(a))
                .sd
                .hypot(y.with_type_b(common_sd(b)).sd);
            if gap.abs() > 2.0 * sd {
                out.push(Warning::new(
                    format!(
                        "'{}' and '{}' differ by {:.0} {} at one setting, more than both promise",
                        a.thermometer.name,
                        b.thermometer.name,
                        unit.delta_figure(CelsiusDelta(gap.abs())),
                        unit.letter()
                    ),
                    "check both in boiling water and trust neither until then",
                ));
                return out;
            }
        }
    }
    out
}
