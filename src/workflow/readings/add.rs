//! Adding readings: one, or a whole sitting; nothing bad goes in and nothing good is lost.

use super::{
    csv::{CsvError, CsvReading, LineIssue},
    csv_times::DateAndTime,
};
use crate::{
    model::{
        AirPlace, AirReading, AirReadingError, AirRound, Mode, Moment, Oven, OvenError, OvenId,
        Phase, RoundId, ThermometerId,
    },
    units::Celsius,
    workflow::kitchen::{Kitchen, KitchenError},
};
use jiff::{SignedDuration, tz::TimeZone};

/// Readings further apart than this belong to two sittings.
const SITTING: SignedDuration = SignedDuration::from_hours(2);

/// What readings belong to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sitting {
    /// Which oven.
    pub oven: OvenId,
    /// How it heats.
    pub mode: Mode,
    /// By which thermometer, where it was named.
    pub thermometer: Option<ThermometerId>,
}

/// Why readings were not taken.
#[derive(Debug, thiserror::Error)]
pub enum AddError {
    /// The oven or the disk.
    #[error(transparent)]
    Kitchen(#[from] KitchenError),
    /// The reading cannot be.
    #[error(transparent)]
    Reading(#[from] AirReadingError),
    /// A mode the oven has not.
    #[error(transparent)]
    Oven(#[from] OvenError),
    /// Some lines of a list cannot be used, or give no dial setting.
    #[error(transparent)]
    Lines(#[from] CsvError),
    /// More than one sitting's file can hold.
    #[error(
        "the sitting {round} would hold {would} readings, and one holds at most {}; split the file into parts of at most {} lines each, or keep one line in {}: nothing was taken",
        AirRound::MOST_READINGS, AirRound::MOST_READINGS, .would.div_ceil(AirRound::MOST_READINGS)
    )]
    TooMany {
        /// The round.
        round: RoundId,
        /// How many it would hold.
        would: usize,
    },
    /// A file that gives seconds and no moment at which they begin.
    #[error(
        "the file counts seconds and does not say from when; give the moment of its first line with --at"
    )]
    NoBeginning,
}

/// What was taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Added {
    /// The rounds that grew or were begun.
    pub rounds: Vec<RoundId>,
    /// Readings taken.
    pub count: usize,
    /// Lines left out, and why.
    pub left_out: Vec<LineIssue>,
}

/// Takes one reading into the round it belongs to, or begins one.
///
/// # Errors
/// [`AddError`]; nothing was then taken, unless it is the disk that failed.
pub fn add_reading(
    kitchen: &mut Kitchen,
    sitting: &Sitting,
    reading: AirReading,
    now: Moment,
) -> Result<RoundId, AddError> {
    let oven = oven_of(kitchen, sitting)?;
    reading.check(oven, now)?;
    check_new(kitchen, sitting, &reading)?;
    let mut round = round_for(kitchen, sitting, (reading.at, 1), &[]);
    round.put(reading)?;
    let id = round.id.clone();
    kitchen.save_round(round)?;
    Ok(id)
}

/// Takes the good lines of a file; where some are bad nothing is taken, unless they are to be left out.
///
/// `dial`, `phase` and `place` stand in where the file gives none, `begins` is the moment of its first line.
///
/// # Errors
/// [`AddError`]; nothing was then taken, unless it is the disk that failed.
pub fn add_readings(
    kitchen: &mut Kitchen,
    sitting: &Sitting,
    lines: (&[CsvReading], &[LineIssue]),
    defaults: &Defaults,
    now: Moment,
) -> Result<Added, AddError> {
    let oven = oven_of(kitchen, sitting)?.clone();
    let mut left_out = lines.1.to_vec();
    let mut rounds: Vec<AirRound> = Vec::new();
    let mut count = 0;
    let mut before = None;
    for line in lines.0 {
        let at = moment_of(line, before, defaults)?;
        before = Some(at);
        let reading = AirReading {
            at,
            dial: line
                .dial
                .or(defaults.dial)
                .ok_or(CsvError::NoDial(line.line))?,
            air: line.air,
            phase: line.phase.unwrap_or(defaults.phase),
            place: line.place.unwrap_or(defaults.place),
        };
        let fits = reading.check(&oven, now);
        let new = fits.and_then(|()| check_new(kitchen, sitting, &reading));
        let taken = new.and_then(|()| {
            let i = rounds.iter().position(|r| near(r, reading.at));
            let i = i.unwrap_or_else(|| {
                let adding = (reading.at, lines.0.len());
                rounds.push(round_for(kitchen, sitting, adding, &rounds));
                rounds.len() - 1
            });
            rounds[i].put(reading)
        });
        match taken {
            Ok(()) => count += 1,
            Err(why) => left_out.push(LineIssue {
                line: line.line,
                what: why.to_string(),
            }),
        }
    }
    left_out.sort_by_key(|issue| issue.line);
    if !defaults.skip_bad {
        CsvError::check(&left_out, count)?;
    }
    rounds.retain(|r| !r.readings.is_empty());
    // All of them before the first is saved: a file is taken whole or not at all.
    if let Some(round) = rounds
        .iter()
        .find(|r| r.readings.len() > AirRound::MOST_READINGS)
    {
        return Err(AddError::TooMany {
            round: round.id.clone(),
            would: round.readings.len(),
        });
    }
    let ids = rounds.iter().map(|r| r.id.clone()).collect();
    for round in rounds {
        kitchen.save_round(round)?;
    }
    Ok(Added {
        rounds: ids,
        count,
        left_out,
    })
}

/// What stands in where a file says nothing, and how its bad lines are treated.
#[derive(Debug, Clone, PartialEq)]
pub struct Defaults {
    /// The zone of the times in it.
    pub zone: TimeZone,
    /// The dial setting.
    pub dial: Option<Celsius>,
    /// What the oven was doing.
    pub phase: Phase,
    /// Where the thermometer stood.
    pub place: AirPlace,
    /// The moment of the first line, for files that count seconds.
    pub begins: Option<Moment>,
    /// Leave bad lines out instead of taking nothing.
    pub skip_bad: bool,
}

/// Returns when a line was read: by its own time, in `zone` where it is local, or so many seconds after the beginning.
///
/// An hour that is there twice is the second one where the time would otherwise go back.
fn moment_of(
    line: &CsvReading,
    before: Option<Moment>,
    defaults: &Defaults,
) -> Result<Moment, AddError> {
    if let Some(DateAndTime::Offset(at)) = line.at {
        return Ok(at.by_clock_in(&defaults.zone));
    }
    if let Some(DateAndTime::Local(civil)) = line.at {
        let first = Moment::in_zone(civil, &defaults.zone);
        let again = first.again_in(&defaults.zone);
        return Ok(match (again, before) {
            (Some(again), Some(before)) if first < before && before <= again => again,
            (Some(_) | None, _) => first,
        });
    }
    let begins = defaults.begins.ok_or(AddError::NoBeginning)?;
    // So far beyond the calendar lies the future, which the check refuses in its own words.
    Ok(SignedDuration::try_from_secs_f64(line.seconds)
        .map_or(Moment::MAX, |later| begins.saturating_add(later)))
}

fn oven_of<'k>(kitchen: &'k Kitchen, sitting: &Sitting) -> Result<&'k Oven, AddError> {
    let oven = kitchen.find_oven(sitting.oven.as_str())?;
    oven.mode(sitting.mode)?;
    Ok(oven)
}

fn near(round: &AirRound, at: Moment) -> bool {
    round.span().is_some_and(|(first, last)| {
        at.duration_since(last) <= SITTING && first.duration_since(at) <= SITTING
    })
}

fn is_of(round: &AirRound, sitting: &Sitting) -> bool {
    round.oven == sitting.oven
        && round.mode == sitting.mode
        && round.thermometer == sitting.thermometer
}

/// Checks that a reading stands in no round, also not in one that has no room for more.
fn check_new(
    kitchen: &Kitchen,
    sitting: &Sitting,
    reading: &AirReading,
) -> Result<(), AirReadingError> {
    let mut rounds = kitchen.rounds().iter().filter(|r| is_of(r, sitting));
    rounds.try_for_each(|round| round.check_new(reading))
}

/// The round a reading belongs to, a copy of it or a new one; `begun` are new ones not saved yet.
///
/// A round without room for as many readings as are to be added is left as it is: the next part of a
/// long log begins one of its own.
fn round_for(
    kitchen: &Kitchen,
    sitting: &Sitting,
    (at, adding): (Moment, usize),
    begun: &[AirRound],
) -> AirRound {
    let belongs = |round: &&AirRound| {
        is_of(round, sitting)
            && near(round, at)
            && round.readings.len() + adding <= AirRound::MOST_READINGS
    };
    if let Some(round) = kitchen.rounds().iter().rev().find(belongs) {
        return round.clone();
    }
    let mut id = kitchen.fresh_round_id(&sitting.oven, at.date());
    let mut count = 2;
    while begun.iter().any(|r| r.id == id) {
        id = RoundId::of_words(&format!(
            "{}-{count}",
            kitchen.fresh_round_id(&sitting.oven, at.date())
        ));
        count += 1;
    }
    AirRound {
        id,
        oven: sitting.oven.clone(),
        mode: sitting.mode,
        thermometer: sitting.thermometer.clone(),
        readings: Vec::new(),
        note: String::new(),
    }
}
