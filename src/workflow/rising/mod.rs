//! A dough while it rises: how far it is, when it is ready, and what a look at it teaches.
//!
//! Growth is taken to begin slowly, while the water takes up gas, a sourdough's the more so: at a quarter of the way to
//! twice the size more than a quarter of the rise is over. How much more, and how well a step is told by eye, are
//! assumptions.

use super::{
    kitchen::Records,
    rise::{Held, Pace, RiseAnswer, RiseError, RiseQuestion, Start, held_in},
};
use crate::{
    model::{
        Moment, Oven,
        dough::Dough,
        rising::{DoughLook, Grown, OwnDough, RiseLog},
    },
    planner::rise::{LONGEST, RiseRequest, minutes, rise, share, temperature},
    units::{Celsius, CelsiusDelta, Minutes},
};
use jiff::SignedDuration;

/// How much the same dough differs from day to day, 90 %, as a factor (an assumption).
const DAY_TO_DAY: f64 = 1.1;
/// A kitchen, where nothing else is known, C.
const ROOM: Celsius = Celsius(22.0);
/// How much faster or slower a dough rises in a kitchen than in one of [`ROOM`], 90 %, as a share: 3 C either way at 10 % a
/// degree (an assumption).
const KITCHEN: f64 = 0.3;
/// How long an oven heats before it bakes, where nothing else is known (common practice, no source).
pub const USUAL_HEATING: Minutes = Minutes(20.0);

/// How far a dough is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RisingNow {
    /// How long it has been rising.
    pub elapsed: Minutes,
    /// The share of the rise that has gone on, 1 at twice the size.
    pub share: f64,
    /// How long it takes in all: value and 90 % interval.
    pub total: (Minutes, Minutes, Minutes),
    /// How many times as fast it rises as its known time says.
    pub pace: Pace,
    /// What is left; negative when it is past.
    pub left: Minutes,
    /// Whether the last look at it was too early, or too far from all that was expected, to tell a pace.
    pub untold: bool,
}

/// When to put a dough in so that it is ready when the oven is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadyPlan {
    /// Put it in.
    pub put_in: Moment,
    /// Take it out: from here on the oven heats, and the dough waits in the kitchen.
    pub take_out: Moment,
    /// It is ready, and so is the oven.
    pub ready: Moment,
    /// The 90 % interval of when it is ready; without an end where it may not rise within a week.
    pub between: (Moment, Option<Moment>),
    /// The time that was wanted, where even a dough put in at once is later; the others then say how soon it can be.
    pub too_late_for: Option<Moment>,
}

impl ReadyPlan {
    /// Moves the plan to begin at `now` where it should have begun before.
    fn no_earlier_than(self, now: Moment) -> Self {
        let late = now.duration_since(self.put_in);
        if late.as_secs() < 60 {
            return self;
        }
        Self {
            put_in: now,
            take_out: self.take_out.saturating_add(late),
            ready: self.ready.saturating_add(late),
            between: (
                self.between.0.saturating_add(late),
                self.between.1.map(|end| end.saturating_add(late)),
            ),
            too_late_for: Some(self.ready),
        }
    }

    /// Says it: what to do now, then the rest; with the day where that is not the day of `now`.
    pub fn says(&self, now: Moment) -> [String; 2] {
        let today = now.civil().date();
        let clock = |m: Moment| {
            let day = m.civil().date();
            let shape = if day == today {
                "%H:%M"
            } else if today.tomorrow().ok() == Some(day) {
                "%H:%M tomorrow"
            } else {
                "%H:%M on %a %-d %b"
            };
            m.civil().strftime(shape).to_string()
        };
        let first = match self.too_late_for {
            Some(wanted) => format!("Too late for {}. Put it in now.", clock(wanted)),
            None => format!("Put it in at {}.", clock(self.put_in)),
        };
        let (from, until) = self.between;
        let until = until.map_or_else(|| "or later".to_owned(), |end| format!("to {}", clock(end)));
        let rest = format!(
            "Take it out at {} and heat the oven; it rises on in an ordinary kitchen. Ready at about {} ({} {until}).",
            clock(self.take_out),
            clock(self.ready),
            clock(from)
        );
        [first, rest]
    }
}

/// Why a look cannot be noted.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LookError {
    /// Nothing rises.
    #[error("{0} is not rising; put it to rise first")]
    NotRising(String),
    /// Less than was seen before.
    #[error("it was {0} already; look again, dough does not shrink")]
    Less(&'static str),
}

/// How well a step is told by eye: half the width of the 90 % interval of its logarithm.
fn eye(grown: Grown) -> f64 {
    match grown {
        Grown::Quarter => 0.35,
        Grown::Half => 0.22,
        Grown::ThreeQuarters => 0.15,
        Grown::Doubled => 0.10,
    }
}

/// What a step of growth says of the rise: the share of it that is over, and half the width of the 90 % interval of its
/// logarithm. Growth goes with a power of what is over, between 1 and, of a sourdough, 1.7 (assumptions, no source).
fn says(dough: &OwnDough, grown: Grown) -> (f64, f64) {
    let slowest = match dough.leaven {
        Dough::Yeast => 1.25,
        Dough::Sourdough => 1.7,
    };
    let (least, most) = (grown.share(), grown.share().powf(1.0 / slowest));
    let middle = (least * most).sqrt();
    (middle, eye(grown).hypot((most / middle).ln()))
}

/// A look before this share of the rise tells no pace: what the eye misjudges is more than what has grown.
const TELLS_FROM: f64 = 0.2;
/// Nor does one by which it is so many times as fast or slow as expected: another dough, or a slip.
const BEYOND: f64 = 4.0;

/// Tells whether a look tells the pace of a dough, given the share of the rise expected by then.
fn tells_pace(over: f64, expected: f64) -> bool {
    let times = over / expected;
    expected >= TELLS_FROM && (1.0 / BEYOND..=BEYOND).contains(&times)
}

/// Makes the request of one rise of a dough, given how it keeps to its known time.
fn request(dough: &OwnDough, log: &RiseLog, pace: Pace) -> RiseRequest {
    RiseRequest {
        dough: dough.leaven,
        known: dough.known,
        known_at: dough.known_at,
        at: log.air,
        at_doubt: log.air_doubt,
        start: Some(Start {
            temperature: log.start,
            grams: dough.grams,
        }),
        pace,
    }
}

/// Returns the looks that tell the pace, each with the share expected by then: the first of each step, for later ones
/// only say that it is still so far.
fn telling(dough: &OwnDough, log: &RiseLog) -> Vec<(DoughLook, f64)> {
    let expected = |look: &DoughLook| {
        let expected = share(&request(dough, log, Pace::as_known()), look.after)?;
        let (over, _) = says(dough, look.grown);
        tells_pace(over, expected).then_some((*look, expected))
    };
    let mut looks: Vec<_> = log.looks.iter().filter_map(expected).collect();
    looks.dedup_by_key(|(look, _)| look.grown);
    looks
}

/// Returns how a dough keeps to its known time, learnt from every rise that was looked at, and from how many.
pub fn pace_of(dough: &OwnDough) -> (Pace, usize) {
    let last = |log: &RiseLog| {
        let (look, expected) = telling(dough, log).pop()?;
        let (over, doubt) = says(dough, look.grown);
        Some((over, expected, doubt.hypot(DAY_TO_DAY.ln())))
    };
    let ended = dough.rises.iter().filter(|r| r.ended.is_some());
    let looks: Vec<_> = ended.filter_map(last).collect();
    if looks.is_empty() {
        return (Pace::as_known(), 0);
    }
    let learnt = Pace::as_known().learn(&looks);
    let pace = Pace {
        // However often it was looked at, days differ.
        doubt: learnt.doubt.hypot(DAY_TO_DAY.ln()),
        ..learnt
    };
    (pace, looks.len())
}

/// Tells how far a dough is; `None` where it never rises at that temperature, or no time can be told.
pub fn rising_now(dough: &OwnDough, log: &RiseLog, now: Moment) -> Option<RisingNow> {
    let elapsed = elapsed(log, now);
    let (told, _) = pace_of(dough);
    let before = request(dough, log, told);
    let first = rise(&before).ok()?;
    let widest = first.hi.map_or(1.0, |hi| (hi.0 / first.time.0).ln());
    let prior = Pace {
        doubt: widest.max((first.time.0 / first.lo.0).ln()).max(told.doubt),
        ..told
    };
    let told = telling(dough, log).into_iter();
    let looks: Vec<_> = told
        .map(|(look, expected)| {
            let (over, doubt) = says(dough, look.grown);
            (over, expected, doubt)
        })
        .collect();
    // A step that was told before is no news, however late it is noted again.
    let news = |l: &&DoughLook| {
        !log.looks
            .iter()
            .any(|o| o.grown == l.grown && o.after < l.after)
    };
    let last = log.looks.iter().rfind(news);
    let untold = last.is_some_and(|l| !telling(dough, log).iter().any(|(t, _)| t == l));
    let pace = prior.learn(&looks);
    let found = request(dough, log, pace);
    let doubled = log.looks.iter().find(|l| l.grown == Grown::Doubled);
    let total = match doubled {
        Some(look) => look.after,
        None => minutes(&found)?,
    };
    let (lo, hi) = match doubled {
        Some(_) => (total, total),
        None => (
            Minutes(total.0 * (-pace.doubt).exp()),
            Minutes(total.0 * pace.doubt.exp()),
        ),
    };
    Some(RisingNow {
        elapsed,
        share: match doubled {
            Some(_) => 1.0,
            None => share(&found, elapsed)?,
        },
        total: (total, lo, hi),
        pace,
        left: Minutes(total.0 - elapsed.0),
        untold,
    })
}

/// Returns how long a dough has been rising, by the instants; [`LONGEST`] where it was forgotten for longer.
pub fn elapsed(log: &RiseLog, now: Moment) -> Minutes {
    let since = now.duration_since(log.started).as_secs_f64() / 60.0;
    log.ended.unwrap_or(Minutes(since.clamp(0.0, LONGEST.0)))
}

/// Begins a rise in an oven's proofing mode, or in any other warm place.
///
/// # Errors
/// [`RiseError`] where the oven does not proof, or the dough does not rise there.
pub fn begin(
    records: &Records,
    dough: &OwnDough,
    (oven, set): (Option<&Oven>, Celsius),
    start: Celsius,
    now: Moment,
) -> Result<(RiseLog, Option<Held>), RiseError> {
    let held = match oven {
        Some(oven) => held_in(records, oven, (set, dough.grams))?,
        None => None,
    };
    let log = RiseLog {
        started: now,
        oven: oven.map(|o| o.id.clone()),
        set,
        air: held.map_or(set, |h| h.air),
        air_doubt: held.map_or(CelsiusDelta(0.0), |h| h.doubt),
        start,
        looks: Vec::new(),
        ended: None,
    };
    Ok((log, held))
}

/// Notes a look at a dough that rises.
///
/// # Errors
/// [`LookError`] where it does not rise, or has grown less than at the look before.
pub fn look(dough: &mut OwnDough, grown: Grown, now: Moment) -> Result<(), LookError> {
    let name = dough.name.clone();
    let log = dough.rising_mut().ok_or(LookError::NotRising(name))?;
    if let Some(last) = log.looks.last()
        && last.grown > grown
    {
        return Err(LookError::Less(last.grown.words()));
    }
    let after = elapsed(log, now);
    log.looks.push(DoughLook { after, grown });
    Ok(())
}

/// Notes that a dough was taken out.
///
/// # Errors
/// [`LookError::NotRising`] where it does not rise.
pub fn take_out(dough: &mut OwnDough, now: Moment) -> Result<Minutes, LookError> {
    let name = dough.name.clone();
    let log = dough.rising_mut().ok_or(LookError::NotRising(name))?;
    let after = elapsed(log, now);
    log.ended = Some(after);
    Ok(after)
}

/// Finds when to put a dough in so that it is ready in `minutes` from `now`; see [`ready_plan`].
///
/// `None` where it never rises, or there is not so much time left.
pub fn ready_for(
    question: &RiseQuestion,
    answer: &RiseAnswer,
    (now, minutes): (Moment, Minutes),
    heating: Minutes,
) -> Option<ReadyPlan> {
    let asked = question.request(answer.at, answer.held);
    let ready = now + SignedDuration::from_secs_f64(minutes.0 * 60.0);
    Some(ready_plan(&asked, ready, heating)?.no_earlier_than(now))
}

/// Finds when to put a dough in so that it is ready at `ready`, where the oven it rises in has to heat for `heating`
/// before: the dough is taken out then, and goes on in the kitchen while it cools.
///
/// `None` where it never rises, or waiting alone would be too much.
pub fn ready_plan(asked: &RiseRequest, ready: Moment, heating: Minutes) -> Option<ReadyPlan> {
    let found = rise(asked).ok()?;
    let whole = found.time;
    // Both shares of the rise, the one outside from as warm as the dough has become by then.
    let risen = |inside: f64| {
        let waits = RiseRequest {
            at: ROOM,
            start: Some(Start {
                temperature: temperature(asked, Minutes(inside)),
                grams: asked.start.map_or(super::rise::USUAL_GRAMS, |s| s.grams),
            }),
            ..*asked
        };
        Some(share(asked, Minutes(inside))? + share(&waits, heating)?)
    };
    if risen(0.0)? >= 1.0 {
        return None;
    }
    let (mut lo, mut hi) = (0.0, whole.0);
    for _ in 0..40 {
        let middle = f64::midpoint(lo, hi);
        if risen(middle)? < 1.0 {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    let back = |minutes: f64| {
        #[expect(clippy::cast_possible_truncation, reason = "a week at most")]
        let seconds = (minutes * 60.0).round() as i64;
        ready.saturating_add(SignedDuration::from_secs(-seconds))
    };
    let kitchen = heating.0 * KITCHEN;
    let (sooner, later) = (whole.0 - found.lo.0, found.hi.map(|hi| hi.0 - whole.0));
    Some(ReadyPlan {
        put_in: back(hi + heating.0),
        take_out: back(heating.0),
        ready,
        between: (
            back(sooner.hypot(kitchen)),
            later.map(|later| back(-later.hypot(kitchen))),
        ),
        too_late_for: None,
    })
}

#[cfg(test)]
mod tests;
