//! What to set for a wanted temperature, and what a plan may take from the readings.

use super::{
    sat::LEAST_SD,
    summary::{ALIKE, OvenSummary, SettingSummary, summary},
};
use crate::{
    calibration::{Estimate, Line, Recovery, Sureness},
    model::{Mode, Oven, air::LOW_SETTING},
    numeric::student,
    planner::{
        dial::Offset,
        door::{DoorModel, DoorSource},
    },
    units::{Celsius, CelsiusDelta, Minutes, TemperatureUnit},
    workflow::kitchen::Records,
};

/// The intervals of dial settings: 90 %, as everywhere in plans.
const LEVEL: f64 = 0.9;
/// Farther than this from the settings read nothing is said, C.
const REACH: f64 = 30.0;
/// Farther than this from what is wanted no offset is carried over, C.
const CARRIED: u32 = 200;
/// How much an offset may change for each degree of setting where only one was read (an assumption;
/// 0.05 is 5 F in 100 F).
const SLOPE_SD: f64 = 0.05;
/// An offset that may be nothing and is known no better than to this sets no dial: the interval is wider than what
/// bakers correct by (10 F to either side doubled; a choice, no source).
const TOO_WIDE: f64 = 20.0 / 1.8;
/// Drop and time constant known to no better than this share (90 %) are not used: published ones differ by a
/// factor of five or more, so anything within a factor of two and a half is better.
const VAGUE: f64 = 0.9;

/// An opening whose residuals resemble each other so much that fewer than a quarter of its readings count rides on a swing
/// that is not known, and prices no plan.
const RIDES: f64 = 4.0;

/// What to set for a wanted temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct DialAnswer {
    /// The temperature wanted in the oven.
    pub want: Celsius,
    /// What to set, rounded to the dial's step.
    pub set: Celsius,
    /// The same before rounding.
    pub exact: Celsius,
    /// Ends of its 90 % interval.
    pub range: (Celsius, Celsius),
    /// True less dial there, with its 90 % interval.
    pub offset: Offset,
    /// Whether it may be trusted without more readings.
    pub sure: bool,
    /// What it rests on, in words.
    pub evidence: String,
}

impl DialAnswer {
    /// Says what to set, with the figure before rounding where the dial's marks do not meet it: `365 F, the mark nearest to 363 F (358 F to 368 F)`.
    pub fn setting_words(&self, unit: TemperatureUnit) -> String {
        let (set, exact) = (unit.show(self.set), unit.show(self.exact));
        let (lo, hi) = (unit.show(self.range.0), unit.show(self.range.1));
        if set == exact {
            format!("{set} ({lo} to {hi})")
        } else {
            format!("{set}, the mark nearest to {exact} ({lo} to {hi})")
        }
    }
}

/// Why no dial setting can be given.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DialError {
    /// Nothing was read.
    #[error(
        "this oven has no thermometer readings {mode} {range}{since}, so its dial is assumed right; read three whole cycles there first: rackshade readings add"
    )]
    NoReadings {
        /// The mode, as a phrase.
        mode: &'static str,
        /// Which range.
        range: &'static str,
        /// Since when, where it was read before.
        since: &'static str,
    },
    /// All that was read there was on its way.
    #[error(
        "what was read of this oven {mode} {range} still rose or fell, so nothing is known of its hold; read on until the air stays: rackshade readings add"
    )]
    NotHeld {
        /// The mode, as a phrase.
        mode: &'static str,
        /// Which range.
        range: &'static str,
    },
    /// Too far from what was read.
    #[error(
        "{want} is too far from the settings read, {lowest} to {highest}; read the oven at a setting near it first"
    )]
    FarOutside {
        /// What is wanted.
        want: String,
        /// Lowest setting read.
        lowest: String,
        /// Highest setting read.
        highest: String,
    },
    /// Beyond the dial.
    #[error(
        "{want} would need the dial at {needed}, and it goes from {lowest} to {highest}; bake at a temperature it reaches, or in another oven"
    )]
    Beyond {
        /// What is wanted.
        want: String,
        /// What the dial would have to be.
        needed: String,
        /// Its lowest.
        lowest: String,
        /// Its highest.
        highest: String,
    },
}

/// Says since when nothing was read, where the oven was read before a service visit and not after it; else nothing.
pub fn since_the_visit(found: &OvenSummary) -> &'static str {
    if found.now.is_empty() && !found.history.is_empty() {
        " since the last service visit"
    } else {
        ""
    }
}

/// Finds the dial setting for a wanted temperature from the readings since the last visit.
///
/// # Errors
/// [`DialError`] where nothing near was read or the dial does not reach.
pub fn dial_for(
    kitchen: &Records,
    oven: &Oven,
    mode: Mode,
    want: Celsius,
) -> Result<DialAnswer, DialError> {
    dial_of(&summary(kitchen, oven, mode), oven, want)
}

/// What readings say of how far an oven is from its dial where a temperature is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct OffsetTold {
    /// True less dial.
    pub offset: Offset,
    /// It is that of the setting nearest to what was read; how it is here was not read.
    pub carried: bool,
    /// Whether it may be trusted without more readings.
    pub sure: bool,
    /// What it rests on, in words.
    pub evidence: String,
}

/// Why readings set no dial.
#[derive(Debug, Clone, PartialEq)]
pub enum NoOffset {
    /// No sitting serves.
    Unread(DialError),
    /// The offset may be nothing, and is known too badly.
    TooWide(Offset),
}

/// Returns the offset that plans, the card and its table of settings go by, also where the dial does not reach so far.
///
/// Beyond what was read the nearest offset that is known is carried over, so that no setting jumps at that edge.
///
/// # Errors
/// [`NoOffset`] says why the readings set no dial there.
pub fn offset_for(found: &OvenSummary, oven: &Oven, want: Celsius) -> Result<OffsetTold, NoOffset> {
    let here = reckoned(found, oven, want);
    let carried = matches!(here, Err(DialError::FarOutside { .. }));
    let answer = if carried {
        carried_over(found, oven, want).map_or(here, Ok)
    } else {
        here
    };
    let answer = answer.map_err(NoOffset::Unread)?;
    if !is_told(&answer.offset) && is_wide(&answer.offset) {
        return Err(NoOffset::TooWide(answer.offset));
    }
    Ok(OffsetTold {
        offset: answer.offset,
        carried,
        sure: answer.sure,
        evidence: answer.evidence,
    })
}

/// Finds what is known nearest to a temperature that is too far from what was read.
fn carried_over(found: &OvenSummary, oven: &Oven, want: Celsius) -> Option<DialAnswer> {
    let nearest = |a: f64, b: f64| (a - want.0).abs().total_cmp(&(b - want.0).abs());
    let read = found.settings.iter().filter(|s| !s.is_low());
    let read = read.map(|s| s.dial.0);
    let toward = if read.min_by(|a, b| nearest(*a, *b))? > want.0 {
        1.0
    } else {
        -1.0
    };
    (1..=CARRIED).find_map(|i| {
        let nearer = Celsius(want.0 + toward * f64::from(i));
        reckoned(found, oven, nearer).ok()
    })
}

/// How an oven stands to its dial at a setting that was read: what verdict, advice and papers say goes by it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Standing {
    /// The air never settled while it was read.
    NotHeld,
    /// Too little was read, or it scatters too much.
    Unknown,
    /// No difference can be measured.
    Close,
    /// It is off, and this is what to set.
    Off {
        /// True less dial where the air is as hot as this setting says.
        offset: Offset,
        /// What to set.
        set: Celsius,
    },
}

/// Tells how an oven stands to its dial at a setting that was read.
pub fn standing(found: &OvenSummary, oven: &Oven, at: &SettingSummary) -> Standing {
    if !at.sureness.holds() {
        return Standing::NotHeld;
    }
    let shown = |c: CelsiusDelta| oven.dial.unit.delta_figure(c).round();
    match reckoned(found, oven, at.dial) {
        Ok(answer) if at.sureness.is_sure() => {
            let offset = answer.offset;
            if shown(offset.lo) > 0.0 || shown(offset.hi) < 0.0 {
                let set = answer.set;
                Standing::Off { offset, set }
            } else if is_wide(&offset) {
                Standing::Unknown
            } else {
                Standing::Close
            }
        }
        Ok(_) | Err(_) => Standing::Unknown,
    }
}

/// Tells whether an offset is known no better than to [`TOO_WIDE`].
fn is_wide(offset: &Offset) -> bool {
    offset.hi.0 - offset.lo.0 > 2.0 * TOO_WIDE
}

/// The same from a summary at hand.
///
/// # Errors
/// As [`dial_for`].
pub fn dial_of(found: &OvenSummary, oven: &Oven, want: Celsius) -> Result<DialAnswer, DialError> {
    let unit = oven.dial.unit;
    let answer = reckoned(found, oven, want)?;
    if !oven.dial.reaches(answer.set) {
        return Err(DialError::Beyond {
            want: unit.show(want),
            needed: unit.show(answer.set),
            lowest: unit.show(oven.dial.lowest),
            highest: unit.show(oven.dial.highest),
        });
    }
    Ok(answer)
}

/// Reckons what to set, whether the dial reaches so far or not.
fn reckoned(found: &OvenSummary, oven: &Oven, want: Celsius) -> Result<DialAnswer, DialError> {
    let unit = oven.dial.unit;
    let low = want.0 < LOW_SETTING.0;
    let in_range = || found.settings.iter().filter(|s| s.is_low() == low);
    let near: Vec<&SettingSummary> = in_range().filter(|s| s.sureness.holds()).collect();
    let (Some(first), Some(last)) = (near.first(), near.last()) else {
        let mode = found.mode.phrase();
        let range = if low {
            "at proofing warmth"
        } else {
            "at baking heat"
        };
        return Err(if in_range().next().is_some() {
            DialError::NotHeld { mode, range }
        } else {
            let since = since_the_visit(found);
            DialError::NoReadings { mode, range, since }
        });
    };
    let missed = |line: &Line| near.iter().any(|s| is_one(s, want) && misses(line, s));
    let (exact, lo, hi) = match found.line.as_ref().filter(|line| !low && !missed(line)) {
        Some(line) => line
            .inverse(want.0, LEVEL)
            .unwrap_or_else(|| by_nearest(&near, want)),
        None => by_nearest(&near, want),
    };
    // Near a setting that was read, or near what it gave.
    let reach = first.dial.0 - REACH..=last.dial.0 + REACH;
    if !reach.contains(&exact) && !reach.contains(&want.0) {
        return Err(DialError::FarOutside {
            want: unit.show(want),
            lowest: unit.show(first.dial),
            highest: unit.show(last.dial),
        });
    }
    Ok(DialAnswer {
        want,
        set: oven.dial.round(Celsius(exact)),
        exact: Celsius(exact),
        range: (Celsius(lo), Celsius(hi)),
        offset: Offset {
            value: CelsiusDelta(want.0 - exact),
            lo: CelsiusDelta(want.0 - hi),
            hi: CelsiusDelta(want.0 - lo),
        },
        sure: near.iter().any(|s| s.sureness.is_sure()),
        evidence: evidence(&near, unit),
    })
}

/// Says in a few words what the readings come to: what to set at the setting read best, or to leave the dial alone.
///
/// `None` where nothing was read at baking heat.
pub fn dial_verdict(found: &OvenSummary, oven: &Oven) -> Option<String> {
    let unit = oven.dial.unit;
    let baking = found.settings.iter().filter(|s| !s.is_low());
    let best = baking.max_by_key(|s| (s.sureness.is_sure(), s.rounds))?;
    let dial = unit.show(best.dial);
    let stay = || format!("Leave the dial alone: {dial} is close enough.");
    Some(match standing(found, oven, best) {
        Standing::Close => stay(),
        Standing::Off { set, .. } if set == oven.dial.round(best.dial) => stay(),
        Standing::Off { set, .. } if !oven.dial.reaches(set) => {
            format!("The dial does not reach what {dial} needs.")
        }
        Standing::Off { set, .. } => format!("Set {} for {dial}.", unit.show(set)),
        Standing::NotHeld | Standing::Unknown => {
            format!("Can't tell yet what to set for {dial}. Read some more.")
        }
    })
}

/// Tells whether a temperature is one that was set and read.
fn is_one(setting: &SettingSummary, at: Celsius) -> bool {
    (setting.dial.0 - at.0).abs() < ALIKE
}

/// Tells whether a line passes a setting by more than that setting's own readings scatter: there they say more than it does.
fn misses(line: &Line, setting: &SettingSummary) -> bool {
    let own = setting.scatter.with_type_b(LEAST_SD);
    let passes = line.at(setting.dial.0).value - setting.dial.0 - own.value;
    passes.abs() > student::half_width(LEVEL, own.df) * own.sd
}

/// The dial by the offset of the nearest setting read, less sure the farther it is.
fn by_nearest(near: &[&SettingSummary], want: Celsius) -> (f64, f64, f64) {
    let miss = |s: &SettingSummary| (want.0 - s.offset.value - s.dial.0).abs();
    let nearest = near.iter().min_by(|a, b| miss(a).total_cmp(&miss(b)));
    nearest.map_or((want.0, want.0, want.0), |s| {
        let offset = s.offset.with_type_b(SLOPE_SD * miss(s));
        let exact = want.0 - offset.value;
        let half = student::half_width(LEVEL, offset.df) * offset.sd;
        (exact, exact - half, exact + half)
    })
}

/// Says what an answer rests on: `3 sittings at 350 F, the last on 2026-11-20: 4 whole cycles`.
fn evidence(near: &[&SettingSummary], unit: TemperatureUnit) -> String {
    let words: Vec<String> = near
        .iter()
        .map(|s| {
            format!(
                "{} sitting{} at {} (last {}): {}",
                s.rounds,
                if s.rounds == 1 { "" } else { "s" },
                unit.show(s.dial),
                s.latest.date(),
                sureness_words(s.sureness)
            )
        })
        .collect();
    words.join("; ")
}

/// Says how sure a mean is.
pub fn sureness_words(sureness: Sureness) -> String {
    match sureness {
        Sureness::WholeCycles(n) => format!("{n} whole cycles"),
        Sureness::FewCycles(n) => {
            format!(
                "only {n} whole cycle{}, three are wanted",
                if n == 1 { "" } else { "s" }
            )
        }
        Sureness::Steady => "the air held still".to_owned(),
        Sureness::Drifting => "the air still rose or fell, it did not hold yet".to_owned(),
        Sureness::FewReadings(n) => format!(
            "only {n} reading{}, which may have fallen anywhere into a swing",
            if n == 1 { "" } else { "s" }
        ),
    }
}

/// Returns how far the oven is from its dial where `at` is wanted, for a plan: true less dial, 90 %.
///
/// `None` where nothing near was read since the last service visit.
pub fn measured_offset(kitchen: &Records, oven: &Oven, mode: Mode, at: Celsius) -> Option<Offset> {
    Some(dial_for(kitchen, oven, mode, at).ok()?.offset)
}

/// Tells whether an offset is told from nothing by its interval.
pub fn is_told(offset: &Offset) -> bool {
    offset.lo.0 > 0.0 || offset.hi.0 < 0.0
}

/// Returns how far the air falls and how it comes back in this oven and mode, for a plan.
///
/// Drop and time constant are those of all openings read since the last service visit, each weighed by what it is
/// worth; how long the door stands open stays as it is typical for so many trays. `None` where they are not known well enough.
pub fn measured_door(
    kitchen: &Records,
    oven: &Oven,
    mode: Mode,
    trays: usize,
) -> Option<DoorModel> {
    door_of(&summary(kitchen, oven, mode), trays)
}

/// The same from a summary at hand.
pub fn door_of(found: &OvenSummary, trays: usize) -> Option<DoorModel> {
    let doors: Vec<_> = found
        .now
        .iter()
        .filter(|s| s.figures.dial.0 >= LOW_SETTING.0)
        .flat_map(|s| &s.figures.doors)
        .filter(|d| d.alike < RIDES)
        .collect();
    let pool = |pick: fn(&Recovery) -> Estimate| {
        Estimate::pooled(&doors.iter().map(|d| pick(d)).collect::<Vec<_>>())
    };
    let ln_tau = pool(|d| d.ln_tau(LEVEL))?;
    let drop = pool(|d| d.drop)?;
    // Less well known than this, by the intervals that are shown, they say less than the typical figures do.
    let half = |e: &Estimate| student::half_width(LEVEL, e.df) * e.sd;
    let known = half(&ln_tau) < VAGUE && half(&drop) < VAGUE * drop.value;
    known.then(|| DoorModel {
        drop: CelsiusDelta(drop.value),
        recovery: Minutes(ln_tau.value.exp() / 60.0),
        source: DoorSource::Measured,
        ..DoorModel::typical(found.mode, trays)
    })
}
