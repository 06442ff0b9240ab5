//! How long a dough takes at another temperature, in a box or in an oven's proofing mode as it truly holds.

use super::{
    ground::mode_of,
    kitchen::Records,
    readings::{OvenSummary, SettingSummary, air_map, summary},
};
use crate::{
    model::{
        Gravity, Mode, Oven, Warning,
        dough::{Dough, LACTOBACILLI, YEAST_SUFFERS},
    },
    planner::rise::{self, NoRise, RiseRequest},
    units::{Celsius, CelsiusDelta, Minutes, TemperatureUnit, plain},
};

pub use crate::planner::rise::{LONGEST, Pace, Rise, Start};

/// Weight of a piece of dough where none is given, grams.
pub const USUAL_GRAMS: f64 = 500.0;

/// No dough is put anywhere colder or hotter, C.
const SENSIBLE: (Celsius, Celsius) = (Celsius(0.0), Celsius(60.0));
/// Weights that one ball of dough may have, grams.
const WEIGHTS: (f64, f64) = (10.0, 20_000.0);
/// The interval of what a box truly holds: 90 %, as that of the time.
const LEVEL: f64 = 0.9;
/// Settings farther than this from one that was read are not taken to be off alike, C.
const REACH: f64 = 15.0;

/// What is known of a dough, and where it is to rise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RiseQuestion {
    /// What makes it rise.
    pub dough: Dough,
    /// How long it took.
    pub known: Minutes,
    /// How warm the dough was then.
    pub known_at: Celsius,
    /// How warm the box is, or what the oven is set to.
    pub at: Celsius,
    /// The dough as it goes in; `None` where it is as warm as the box.
    pub start: Option<Start>,
    /// How this dough keeps to its known time; `None` for what the known time says.
    pub pace: Option<Pace>,
    /// The unit to speak in.
    pub unit: TemperatureUnit,
}

impl RiseQuestion {
    /// Makes the request for air that is `at`, or what an oven holds there.
    pub(super) fn request(&self, at: Celsius, held: Option<Held>) -> RiseRequest {
        RiseRequest {
            dough: self.dough,
            known: self.known,
            known_at: self.known_at,
            at,
            at_doubt: held.map_or(CelsiusDelta(0.0), |h| h.doubt),
            start: self.start,
            pace: self.pace.unwrap_or_else(Pace::as_known),
        }
    }
}

/// How long it takes, and what else to know.
#[derive(Debug, Clone, PartialEq)]
pub struct RiseAnswer {
    /// The time.
    pub rise: Rise,
    /// How warm the box truly is.
    pub at: Celsius,
    /// What was read of it with a thermometer.
    pub held: Option<Held>,
    /// How many times as fast it sours there.
    pub souring: Option<f64>,
    /// What else to know.
    pub warnings: Vec<Warning>,
}

/// Why no time can be told.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RiseError {
    /// A temperature no dough is put at.
    #[error("{0} is no place for a dough; give a temperature from {1} to {2}")]
    Temperature(String, String, String),
    /// A time that is none.
    #[error("a rise of {0} min cannot be reckoned with; give a time above 0, a week at most")]
    Known(String),
    /// A weight no dough has.
    #[error("{0} g is no dough's weight; give 10 to 20000 g")]
    Weight(String),
    /// Too cold or too hot.
    #[error("{dough} does not rise at {at}; keep the dough between {lowest} and {highest}")]
    Never {
        /// What makes it rise.
        dough: &'static str,
        /// Where.
        at: String,
        /// From here on it rises.
        lowest: String,
        /// Up to here.
        highest: String,
    },
    /// So cool that the doughs differ too much.
    #[error(
        "at {0} doughs differ too much for a time to be told; give temperatures from {1} up, and look at a dough that is cooler"
    )]
    Cool(String, String),
    /// More than a week.
    #[error(
        "at {0} this dough may take more than a week; choose a temperature nearer to where its time is known"
    )]
    TooLong(String),
    /// An oven without the mode.
    #[error("{0}; choose an oven that proofs, or leave it out and give what the box holds")]
    Oven(String),
}

/// What an oven's proofing mode truly holds at a setting, by thermometer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// The air in the middle, over whole cycles.
    pub air: Celsius,
    /// Half the width of the 90 % interval of the air around a dough, wherever it stands: the thermometer's and
    /// the readings' doubt, the differences between places, and what the dough follows of the swing.
    pub doubt: CelsiusDelta,
    /// Peak to peak, where it was read.
    pub swing: Option<CelsiusDelta>,
    /// The coolest and the warmest place less their mean, where several were read.
    pub places: Option<(CelsiusDelta, CelsiusDelta)>,
    /// Whether enough was read to trust it.
    pub sure: bool,
}

impl Held {
    /// Says what the oven holds, with what the air around a dough lies between: `Set to 80 F, this oven holds about 92 F (85 to 99).`
    pub fn words(&self, set: Celsius, unit: TemperatureUnit) -> String {
        format!(
            "Set to {}, this oven holds about {} ({:.0} to {:.0}).",
            unit.show(set),
            unit.show(self.air),
            unit.figure(self.air + -self.doubt),
            unit.figure(self.air + self.doubt)
        )
    }

    /// Returns the hottest that the air anywhere gets.
    pub fn hottest(&self) -> Celsius {
        let half = self.swing.map_or(0.0, |s| s.0 / 2.0);
        let place = self.places.map_or(0.0, |(_, warmest)| warmest.0);
        Celsius(self.air.0 + half + place.max(0.0))
    }
}

/// Tells what an oven's proofing mode holds at a setting, for a dough of `grams`; `None` where it was not read near it.
///
/// # Errors
/// [`RiseError::Oven`] where the oven has no proofing mode.
pub fn held_in(
    kitchen: &Records,
    oven: &Oven,
    (set, grams): (Celsius, f64),
) -> Result<Option<Held>, RiseError> {
    mode_of(oven, Some(Mode::Proofing)).map_err(|e| {
        let said = e.to_string();
        RiseError::Oven(said.split("; ").next().unwrap_or_default().to_owned())
    })?;
    let found = summary(kitchen, oven, Mode::Proofing);
    let Some((near, offset, doubt)) = nearest(&found, set) else {
        return Ok(None);
    };
    let places = air_map(kitchen, oven, Mode::Proofing);
    let ends = |pick: fn(f64, f64) -> f64| places.iter().map(|p| p.offset.value).reduce(pick);
    let places = ends(f64::min).zip(ends(f64::max));
    let swing = near.swing.map(|s| s.value);
    let cycle = near.cycle.map_or(f64::MAX, |c| c.value);
    let follows = swing.map_or(0.0, |s| s / 2.0 * rise::followed(grams, cycle.min(1e6)));
    // A dough stands at one place, not known which.
    let place = places.map_or(0.0, |(lo, hi)| lo.abs().max(hi.abs()));
    let all = doubt.0.hypot(place).hypot(follows);
    Ok(Some(Held {
        air: set + offset,
        doubt: CelsiusDelta(all),
        swing: swing.map(CelsiusDelta),
        places: places.map(|(lo, hi)| (CelsiusDelta(lo), CelsiusDelta(hi))),
        sure: near.sureness.is_sure(),
    }))
}

/// Finds how long a dough takes in a box, or in an oven's proofing mode by what was read of it.
///
/// # Errors
/// [`RiseError`] names the first figure that cannot be.
pub fn rise_time(
    question: &RiseQuestion,
    oven: Option<(&Records, &Oven)>,
) -> Result<RiseAnswer, RiseError> {
    check(question)?;
    let mut warnings = Vec::new();
    let mut at = question.at;
    let mut held = None;
    if let Some((kitchen, oven)) = oven {
        let grams = question.start.map_or(USUAL_GRAMS, |s| s.grams);
        held = held_in(kitchen, oven, (at, grams))?;
        if let Some(held) = held {
            at = held.air;
            if !held.sure {
                warnings.push(Warning::new(
                    "Too little was read of this oven's proofing to be sure of it",
                    "read three whole cycles in one sitting",
                ));
            }
        } else {
            warnings.push(Warning::new(
                "No thermometer readings of this oven's proofing near that setting",
                "take some; until then its dial is assumed right",
            ));
        }
    }
    let rise =
        rise::rise(&question.request(at, held)).map_err(|error| refusal(error, question, at))?;
    let hottest = held.map_or(at, |h| h.hottest());
    warnings.extend(remarks(question, &rise, (at, hottest)));
    Warning::gravest_first(&mut warnings);
    let souring = (question.dough == Dough::Sourdough)
        .then(|| LACTOBACILLI.rate(at) / LACTOBACILLI.rate(question.known_at))
        .filter(|ratio| ratio.is_finite());
    Ok(RiseAnswer {
        rise,
        at,
        held,
        souring,
        warnings,
    })
}

/// Checks every figure by itself.
fn check(question: &RiseQuestion) -> Result<(), RiseError> {
    let unit = question.unit;
    let started = question.start.map(|s| s.temperature);
    let (lowest, highest) = SENSIBLE;
    for t in [question.known_at, question.at].into_iter().chain(started) {
        // Half a degree for what 140 F is in Celsius.
        if !(lowest.0 - 1e-9..=highest.0 + 1e-9).contains(&t.0) {
            return Err(RiseError::Temperature(
                unit.show(t),
                unit.show(lowest),
                unit.show(highest),
            ));
        }
    }
    let known = question.known.0;
    if !(known > 0.0 && known <= LONGEST.0) {
        return Err(RiseError::Known(plain(known)));
    }
    match question.start {
        Some(start) if !(WEIGHTS.0..=WEIGHTS.1).contains(&start.grams) => {
            Err(RiseError::Weight(plain(start.grams)))
        }
        Some(_) | None => Ok(()),
    }
}

/// Returns the setting read nearest to a proofing setting, true less dial there, and half the width of its 90 % interval.
fn nearest(
    found: &OvenSummary,
    dial: Celsius,
) -> Option<(&SettingSummary, CelsiusDelta, CelsiusDelta)> {
    let away = |t: Celsius| (t - dial).0.abs();
    let near = found
        .settings
        .iter()
        .filter(|s| s.is_low() && s.sureness.holds() && away(s.dial) <= REACH)
        .min_by(|a, b| away(a.dial).total_cmp(&away(b.dial)))?;
    let (lo, hi) = near.offset.interval(LEVEL);
    Some((
        near,
        CelsiusDelta(near.offset.value),
        CelsiusDelta((hi - lo) / 2.0),
    ))
}

/// Says why nothing rises, with the temperature that is to blame.
fn refusal(error: NoRise, question: &RiseQuestion, at: Celsius) -> RiseError {
    let unit = question.unit;
    let curve = question.dough.rise();
    let never = |blamed: Celsius| RiseError::Never {
        dough: question.dough.key(),
        at: unit.show(blamed),
        lowest: unit.show(Celsius(curve.lowest)),
        highest: unit.show(Celsius(curve.highest)),
    };
    match error {
        NoRise::Known => never(question.known_at),
        NoRise::Box => never(at),
        NoRise::Start => never(question.start.map_or(at, |s| s.temperature)),
        NoRise::Cool(blamed) => {
            let least = unit.figure(question.dough.known_from()).ceil();
            RiseError::Cool(unit.show(blamed), format!("{least:.0} {}", unit.letter()))
        }
        NoRise::TooLong => RiseError::TooLong(unit.show(at)),
    }
}

/// From here on a time is told in hours, minutes.
const HOURS_FROM: f64 = 120.0;

/// Writes a time as a baker says it: `45 min`, `3 h 20 min`.
pub fn span(time: Minutes) -> String {
    let minutes = time.0.round().max(0.0);
    if minutes < HOURS_FROM {
        format!("{minutes:.0} min")
    } else {
        let (hours, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
        format!("{hours:.0} h {rest:.0} min")
    }
}

/// What else to know of a time.
fn remarks(
    question: &RiseQuestion,
    rise: &Rise,
    (at, hottest): (Celsius, Celsius),
) -> Vec<Warning> {
    let mut remarks = vec![
        Warning::new(
            "Dough in the oven is easily forgotten",
            "mark the dial, and take the dough out before you heat the oven",
        )
        .that(Gravity::Spoils),
    ];
    let started = question.start.map_or(at, |s| s.temperature);
    if hottest.0.max(started.0) > YEAST_SUFFERS.0 {
        remarks.push(
            Warning::new(
                format!("Yeast suffers above {}", question.unit.show(YEAST_SUFFERS)),
                "keep the dough cooler",
            )
            .that(Gravity::Spoils),
        );
    }
    if rise.hi.is_none() {
        let what = if at.0 > question.dough.rise().best {
            "So near its limit this dough may barely rise"
        } else {
            "So cool this dough may take more than a week"
        };
        remarks.push(Warning::new(what, "choose a milder temperature"));
    }
    if question.start.is_none() {
        remarks.push(Warning::minor(
            "The dough is taken to be as warm as the box already",
            "give its own temperature and weight if it is not",
        ));
    }
    if question.dough == Dough::Sourdough {
        remarks.push(Warning::minor(
            "No two sourdoughs are alike",
            "look at the dough before the time is up",
        ));
    }
    remarks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::{AirPlace, AirReading, Phase},
        workflow::{
            kitchen::Kitchen,
            readings::{Sitting, add_reading},
        },
    };
    use jiff::civil::date;

    #[test]
    fn one_reading_of_an_oven_is_said_to_be_one() {
        const F: TemperatureUnit = TemperatureUnit::Fahrenheit;
        let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let mut oven = kitchen.find_oven("counter-oven").unwrap().clone();
        oven.id = kitchen.fresh_oven_id("new oven");
        oven.visits.clear();
        kitchen.save_oven(oven.clone()).unwrap();
        let sitting = Sitting {
            oven: oven.id.clone(),
            mode: Mode::Proofing,
            thermometer: None,
        };
        let day = date(2026, 5, 1);
        let (set, air) = (F.temperature(85.0), F.temperature(92.0));
        let reading = AirReading {
            at: day.at(10, 0, 0, 0).into(),
            dial: set,
            air,
            phase: Phase::Holding,
            place: AirPlace::CENTRE,
        };
        add_reading(&mut kitchen, &sitting, reading, day.at(12, 0, 0, 0).into()).unwrap();
        let question = RiseQuestion {
            dough: Dough::Yeast,
            known: Minutes(60.0),
            known_at: F.temperature(75.0),
            at: set,
            start: None,
            pace: None,
            unit: F,
        };
        let told = rise_time(&question, Some((&kitchen, &oven))).unwrap();
        let said = told.held.unwrap().words(set, F);
        let start = "Set to 85 F, this oven holds about 92 F (8";
        assert!(said.starts_with(start), "{said}");
        let warned = |w: &Warning| w.what.starts_with("Too little was read");
        assert!(told.warnings.iter().any(warned), "{:?}", told.warnings);
    }
}
