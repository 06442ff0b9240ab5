//! How long a dough takes at another temperature, in a box or in an oven's proofing mode as it truly holds.

use super::{
    ground::mode_of,
    kitchen::Records,
    readings::{OvenSummary, summary},
};
use crate::{
    model::{
        Mode, Oven, Warning,
        dough::{Dough, LACTOBACILLI, YEAST_SUFFERS},
    },
    planner::rise::{self, LONGEST, NoRise, RiseRequest},
    units::{Celsius, CelsiusDelta, Minutes, TemperatureUnit, plain},
};

pub use crate::planner::rise::{Rise, Start};

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
    /// The unit to speak in.
    pub unit: TemperatureUnit,
}

/// How long it takes, and what else to know.
#[derive(Debug, Clone, PartialEq)]
pub struct RiseAnswer {
    /// The time.
    pub rise: Rise,
    /// How warm the box truly is.
    pub at: Celsius,
    /// Whether that was read with a thermometer.
    pub read: bool,
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
    /// More than a week.
    #[error(
        "at {0} this dough takes more than a week; choose a temperature nearer to where its time is known"
    )]
    TooLong(String),
    /// An oven without the mode.
    #[error("{0}; choose an oven that proofs, or leave it out and give what the box holds")]
    Oven(String),
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
    let mut at_doubt = CelsiusDelta(0.0);
    let mut read = false;
    if let Some((kitchen, oven)) = oven {
        mode_of(oven, Some(Mode::Proofing)).map_err(|e| {
            let said = e.to_string();
            RiseError::Oven(said.split("; ").next().unwrap_or_default().to_owned())
        })?;
        if let Some((offset, doubt)) = held(&summary(kitchen, oven, Mode::Proofing), at) {
            (at, at_doubt, read) = (at + offset, doubt, true);
        } else {
            warnings.push(Warning::new(
                "No thermometer readings of this oven's proofing near that setting",
                "take some; until then its dial is assumed right",
            ));
        }
    }
    let request = RiseRequest {
        dough: question.dough,
        known: question.known,
        known_at: question.known_at,
        at,
        at_doubt,
        start: question.start,
    };
    let rise = rise::rise(&request).map_err(|error| refusal(error, question, at))?;
    warnings.extend(remarks(question, &rise, at));
    let souring = (question.dough == Dough::Sourdough)
        .then(|| LACTOBACILLI.rate(at) / LACTOBACILLI.rate(question.known_at))
        .filter(|ratio| ratio.is_finite());
    Ok(RiseAnswer {
        rise,
        at,
        read,
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

/// Returns true less dial at a proofing setting with half the width of its 90 % interval, by the setting read nearest to it.
fn held(found: &OvenSummary, dial: Celsius) -> Option<(CelsiusDelta, CelsiusDelta)> {
    let away = |t: Celsius| (t - dial).0.abs();
    let near = found
        .settings
        .iter()
        .filter(|s| s.is_low() && s.sureness.holds() && away(s.dial) <= REACH)
        .min_by(|a, b| away(a.dial).total_cmp(&away(b.dial)))?;
    let (lo, hi) = near.offset.interval(LEVEL);
    Some((
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
        NoRise::TooLong => RiseError::TooLong(unit.show(at)),
    }
}

/// What else to know of a time.
fn remarks(question: &RiseQuestion, rise: &Rise, at: Celsius) -> Vec<Warning> {
    let mut remarks = vec![Warning::new(
        "Dough in the oven is easily forgotten",
        "mark the dial, and take the dough out before you heat the oven",
    )];
    let started = question.start.map_or(at, |s| s.temperature);
    if at.0.max(started.0) > YEAST_SUFFERS.0 {
        remarks.push(Warning::new(
            format!("Yeast suffers above {}", question.unit.show(YEAST_SUFFERS)),
            "keep the dough cooler",
        ));
    }
    if rise.hi.is_none() {
        remarks.push(Warning::new(
            "So near its limit this dough may barely rise",
            "choose a milder temperature",
        ));
    }
    if question.start.is_none() {
        remarks.push(Warning::new(
            "The dough is taken to be as warm as the box already",
            "give its own temperature and weight if it is not",
        ));
    }
    if question.dough == Dough::Sourdough {
        remarks.push(Warning::new(
            "No two sourdoughs are alike",
            "look at the dough before the time is up",
        ));
    }
    remarks
}
