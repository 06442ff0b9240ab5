//! What to set for a wanted temperature, and what a plan may take from the readings.

use super::summary::{OvenSummary, SettingSummary, best_known, summary};
use crate::{
    calibration::{Estimate, Sureness},
    model::{
        Dial, Mode, Oven,
        air::LOW_SETTING,
        text::{counted, joined},
    },
    numeric::student,
    planner::dial::Offset,
    units::{Celsius, CelsiusDelta, TemperatureUnit},
    workflow::kitchen::Records,
};

/// The intervals of dial settings: 90 %, as everywhere in plans.
const LEVEL: f64 = 0.9;
/// No oven's air is farther from its dial, C (a choice, no source): what scatters more is no more unknown.
const FARTHEST: f64 = 100.0;
/// Farther than this from the settings read nothing is said, C.
const REACH: f64 = 30.0;
/// Farther than this from what is wanted no offset is carried over, C.
const CARRIED: u32 = 200;
/// How much an offset may change for each degree of setting where only one was read (an assumption;
/// 0.05 is 5 F in 100 F).
const SLOPE_SD: f64 = 0.05;
/// An offset known no better than to this sets no dial, but for a first guess: the interval is wider than what bakers correct by (10 F to
/// either side doubled; a choice, no source).
const TOO_WIDE: f64 = 20.0 / 1.8;
/// A dial is close enough where it is off by no more than this or one step of it, C (10 F, what bakers correct by; a
/// choice, no source).
const CLOSE: f64 = 10.0 / 1.8;
/// What to set for a wanted temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct DialAnswer {
    /// The temperature wanted in the oven.
    pub want: Celsius,
    /// What to set, rounded to the dial's step; what it says itself where nothing can be told.
    pub set: Celsius,
    /// The same before rounding.
    pub exact: Celsius,
    /// Ends of its 90 % interval.
    pub range: (Celsius, Celsius),
    /// True less dial there, with its 90 % interval.
    pub offset: Offset,
    /// What that says of the dial.
    pub state: DialState,
    /// Whether it may be trusted without more readings.
    pub sure: bool,
    /// What it rests on, in words.
    pub evidence: String,
}

/// What an offset says of a dial: every face goes by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DialState {
    /// It is off.
    Off,
    /// It is off by no more than a step, if at all: it is left alone.
    Close,
    /// It may be right, and may be off by more; or the offset is known too badly to set a dial by.
    Unknown,
}

impl DialState {
    /// Tells it from the ends of an offset's interval, as they are shown.
    ///
    /// `guess`: it rests on too few readings and is said to be a first guess on every face. Only then a wide interval is
    /// no matter where it tells that the dial is off.
    fn of(offset: &Offset, dial: &Dial, guess: bool) -> Self {
        let shown = |c: CelsiusDelta| dial.unit.delta_figure(c).round();
        let (lo, hi) = (shown(offset.lo), shown(offset.hi));
        let near = dial.step.max(shown(CelsiusDelta(CLOSE)));
        let told = lo > 0.0 || hi < 0.0;
        if told && (guess || !is_wide(offset)) {
            Self::Off
        } else if lo >= -near && hi <= near {
            Self::Close
        } else {
            Self::Unknown
        }
    }
}

impl DialAnswer {
    /// Says what to set, with the figure before rounding where the dial's marks do not meet it: `365 F, the mark nearest to 363 F (358 F to 368 F)`.
    pub fn setting_words(&self, unit: TemperatureUnit) -> String {
        let (set, exact) = (unit.show(self.set), unit.show(self.exact));
        let (lo, hi) = (unit.show(self.range.0), unit.show(self.range.1));
        if self.state == DialState::Unknown {
            return format!("{set}, as it says itself");
        }
        if set == exact {
            format!("{set} ({lo} to {hi})")
        } else {
            format!("{set}, the mark nearest to {exact} ({lo} to {hi})")
        }
    }

    /// Says why not to set it so without further ado, and what would settle it; `None` where the dial is off and that is sure.
    pub fn doubt(&self) -> Option<&'static str> {
        match self.state {
            DialState::Unknown => Some(
                "Can't tell yet how far it is off. Three whole cycles in one round would settle it, by a good thermometer.",
            ),
            DialState::Off | DialState::Close if !self.sure => Some(
                "Too few readings to be sure. Three whole cycles in one round would settle it.",
            ),
            DialState::Close => {
                Some("That is close enough: leaving the dial alone serves as well.")
            }
            DialState::Off => None,
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
    /// True less dial, with its 90 % interval; nothing where the dial is close enough to be left alone.
    pub offset: Offset,
    /// What it says of the dial: off or close.
    pub state: DialState,
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
    /// The offset is known too badly to tell whether the dial is off.
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
    let value = match answer.state {
        DialState::Unknown => return Err(NoOffset::TooWide(answer.offset)),
        DialState::Close => CelsiusDelta(0.0),
        DialState::Off => answer.offset.value,
    };
    Ok(OffsetTold {
        offset: Offset {
            value,
            ..answer.offset
        },
        state: answer.state,
        carried,
        sure: answer.sure,
        evidence: answer.evidence,
    })
}

/// Finds what is known nearest to a temperature that is too far from what was read.
fn carried_over(found: &OvenSummary, oven: &Oven, want: Celsius) -> Option<DialAnswer> {
    let nearest = |a: f64, b: f64| (a - want.0).abs().total_cmp(&(b - want.0).abs());
    let read = best_known(found.settings.iter().filter(|s| !s.is_low()));
    let read = read.iter().map(|s| s.dial.0);
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
    /// It is off by no more than a step, if at all.
    Close,
    /// It is off, and this is what to set.
    Off {
        /// True less dial where the air is as hot as this setting says.
        offset: Offset,
        /// What to set.
        set: Celsius,
    },
}

impl Standing {
    /// Returns how far the air is off, C: as read at the setting, unless all settings say it is the other way.
    pub fn runs(&self, at: &SettingSummary) -> Option<f64> {
        match self {
            Self::Off { offset, .. } => {
                let (own, told) = (at.offset.value, offset.value.0);
                Some(if own * told > 0.0 { own } else { told })
            }
            Self::NotHeld | Self::Unknown | Self::Close => None,
        }
    }
}

/// Tells how an oven stands to its dial at a setting that was read.
pub fn standing(found: &OvenSummary, oven: &Oven, at: &SettingSummary) -> Standing {
    if !at.sureness.holds() {
        return Standing::NotHeld;
    }
    match reckoned(found, oven, at.dial) {
        Ok(DialAnswer {
            offset, set, state, ..
        }) if at.sureness.is_sure() => match state {
            DialState::Off => Standing::Off { offset, set },
            DialState::Close => Standing::Close,
            DialState::Unknown => Standing::Unknown,
        },
        Ok(_) | Err(_) => Standing::Unknown,
    }
}

/// Tells whether it is the thermometer's own error, more than scatter, that hides how far a setting is off.
pub(super) fn hidden_by_thermometer(at: &SettingSummary) -> bool {
    let common: f64 = at.shared.iter().map(|(_, sd)| sd * sd).sum();
    at.sureness.is_sure() && common > at.scatter.sd.powi(2)
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

/// Tells whether an offset is known no better than to [`TOO_WIDE`].
fn is_wide(offset: &Offset) -> bool {
    offset.hi.0 - offset.lo.0 > 2.0 * TOO_WIDE
}

/// Returns true less dial where a temperature is wanted and this is set for it, with the ends of its interval.
fn offset_of(want: Celsius, (exact, lo, hi): (f64, f64, f64)) -> Offset {
    Offset {
        value: CelsiusDelta(want.0 - exact),
        lo: CelsiusDelta(want.0 - hi),
        hi: CelsiusDelta(want.0 - lo),
    }
}

/// Reckons what to set, whether the dial reaches so far or not.
pub(super) fn reckoned(
    found: &OvenSummary,
    oven: &Oven,
    want: Celsius,
) -> Result<DialAnswer, DialError> {
    let unit = oven.dial.unit;
    let low = want.0 < LOW_SETTING.0;
    let in_range = || found.settings.iter().filter(|s| s.is_low() == low);
    let near = best_known(in_range());
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
    let line = found.line.as_ref().filter(|_| !low);
    let set_for = |want: Celsius| {
        line.and_then(|line| line.inverse(want.0, LEVEL))
            .unwrap_or_else(|| by_own_offsets(&near, want))
    };
    let set_for = |want: Celsius| {
        let (exact, lo, hi) = set_for(want);
        (exact, lo.max(exact - FARTHEST), hi.min(exact + FARTHEST))
    };
    let (exact, lo, hi) = set_for(want);
    // Near a setting that was read, or near what it gave.
    let reach = first.dial.0 - REACH..=last.dial.0 + REACH;
    if !reach.contains(&exact) && !reach.contains(&want.0) {
        return Err(DialError::FarOutside {
            want: unit.show(want),
            lowest: unit.show(first.dial),
            highest: unit.show(last.dial),
        });
    }
    let offset = offset_of(want, (exact, lo, hi));
    // Either all of them are sure or none is.
    let sure = first.sureness.is_sure();
    let state = match DialState::of(&offset, &oven.dial, !sure) {
        DialState::Off => DialState::Off,
        // Away from what was read it is less sure, but no other dial.
        own @ (DialState::Close | DialState::Unknown) => {
            let far = |s: &SettingSummary| (s.dial.0 - want.0).abs();
            let nearest = near.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
            let at = nearest.map_or(want, |s| s.dial);
            match DialState::of(&offset_of(at, set_for(at)), &oven.dial, !sure) {
                DialState::Off if !is_wide(&offset) => DialState::Off,
                DialState::Off | DialState::Close | DialState::Unknown => own,
            }
        }
    };
    Ok(DialAnswer {
        want,
        set: oven.dial.round(match state {
            DialState::Off | DialState::Close => Celsius(exact),
            DialState::Unknown => want,
        }),
        exact: Celsius(exact),
        range: (Celsius(lo), Celsius(hi)),
        offset,
        state,
        sure: sure && state != DialState::Unknown,
        evidence: evidence(&near, unit),
    })
}

/// Says in a few words what the readings come to: what to set at the setting read best, or to leave the dial alone.
///
/// `None` where nothing was read at baking heat.
pub fn dial_verdict(found: &OvenSummary, oven: &Oven) -> Option<String> {
    let unit = oven.dial.unit;
    let baking = found.settings.iter().filter(|s| !s.is_low());
    let read = |s: &SettingSummary| (s.sureness.is_sure(), s.rounds);
    let off = |s: &SettingSummary| s.offset.value.abs();
    // Of settings read equally well the one that is off the most.
    let best = baking.max_by(|a, b| read(a).cmp(&read(b)).then(off(a).total_cmp(&off(b))))?;
    let dial = unit.show(best.dial);
    let stay = || format!("Leave the dial alone: {dial} is close enough.");
    Some(match standing(found, oven, best) {
        Standing::Close => stay(),
        Standing::Off { set, .. } if set == oven.dial.round(best.dial) => stay(),
        Standing::Off { set, .. } if !oven.dial.reaches(set) => {
            format!("The dial does not reach what {dial} needs.")
        }
        Standing::Off { set, .. } => format!("Set {} for {dial}.", unit.show(set)),
        Standing::Unknown if hidden_by_thermometer(best) => {
            format!("Can't tell yet what to set for {dial}. Read it by a better thermometer.")
        }
        Standing::NotHeld | Standing::Unknown => {
            format!("Can't tell yet what to set for {dial}. Read some more.")
        }
    })
}

/// A setting that was read, or several so close to each other that their scatter turns them over.
struct Knot {
    dial: f64,
    /// True less dial.
    offset: Estimate,
}

impl Knot {
    fn air(&self) -> f64 {
        self.dial + self.offset.value
    }

    /// Takes two for one in their middle, known no better than the worse of them and than they agree.
    fn with(&self, other: &Self) -> Self {
        let (a, b) = (self.offset, other.offset);
        Self {
            dial: f64::midpoint(self.dial, other.dial),
            offset: Estimate {
                value: f64::midpoint(a.value, b.value),
                sd: a.sd.max(b.sd).hypot(0.5 * (a.value - b.value)),
                df: a.df.min(b.df),
            },
        }
    }
}

/// The dial by the offsets of the settings read, straight from one to the next and beyond them the nearest's; less
/// sure the farther from a setting it is.
///
/// The air rises with the dial, so what is wanted hotter is never set lower.
fn by_own_offsets(near: &[&SettingSummary], want: Celsius) -> (f64, f64, f64) {
    let mut knots: Vec<Knot> = Vec::new();
    for s in near {
        let (dial, offset) = (s.dial.0, s.offset);
        let mut knot = Knot { dial, offset };
        while let Some(before) = knots.pop_if(|before| before.air() >= knot.air()) {
            knot = before.with(&knot);
        }
        knots.push(knot);
    }
    let after = knots.partition_point(|k| k.air() < want.0);
    let (a, b) = (
        after.checked_sub(1).and_then(|i| knots.get(i)),
        knots.get(after),
    );
    let (Some(a), Some(b)) = (a.or(b), b.or(a)) else {
        return (want.0, want.0, want.0);
    };
    let (rise, run) = (b.air() - a.air(), b.dial - a.dial);
    let between = run > 0.0;
    let share = if between {
        (want.0 - a.air()) / rise
    } else {
        0.0
    };
    let mix = |of: fn(&Estimate) -> f64| (1.0 - share) * of(&a.offset) + share * of(&b.offset);
    let exact = if between {
        a.dial + share * run
    } else {
        want.0 - a.offset.value
    };
    let away = (exact - a.dial).abs().min((exact - b.dial).abs());
    // One thermometer's error is alike in both, so their errors do not average out.
    let offset = Estimate {
        value: want.0 - exact,
        sd: mix(|e| e.sd),
        df: mix(|e| 1.0 / e.df).recip(),
    }
    .with_type_b(SLOPE_SD * away);
    let half = student::half_width(LEVEL, offset.df) * offset.sd;
    // Where the air rises by less than the dial, the dial has to turn by more.
    let half = if between { half * run / rise } else { half };
    (exact, exact - half, exact + half)
}

/// Says what an answer rests on: `3 sittings at 350 F, the last on 2026-11-20: 4 whole cycles`.
fn evidence(near: &[&SettingSummary], unit: TemperatureUnit) -> String {
    let words = near.iter().map(|s| {
        format!(
            "{} at {} (last {}): {}",
            counted(s.rounds, "sitting"),
            unit.show(s.dial),
            s.latest.date(),
            sureness_words(s.sureness)
        )
    });
    joined(words, "; ")
}

/// Says how sure a mean is.
pub fn sureness_words(sureness: Sureness) -> String {
    match sureness {
        Sureness::WholeCycles(n) => format!("{n} whole cycles"),
        Sureness::FewCycles(n) => {
            format!("only {}, three are wanted", counted(n, "whole cycle"))
        }
        Sureness::Steady => "no cycle shows, and its mean held".to_owned(),
        Sureness::Drifting => "the air still rose or fell, it did not hold yet".to_owned(),
        Sureness::FewReadings(n) => format!(
            "only {}, which may have fallen anywhere into a swing",
            counted(n, "reading")
        ),
    }
}
