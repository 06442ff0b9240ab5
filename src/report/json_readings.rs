//! The thermometer's figures as JSON: the keys of the command line contract.

use crate::model::formed::formed;
use crate::{
    calibration::{Estimate, Line, Preheat, Recovery, Sureness},
    model::{AirReading, AirRound, Thermometer},
    numeric::student,
    units::Celsius,
};
use serde::Serialize;

/// Intervals of figures read: 90 %, as in the text and in plans.
pub const LEVEL: f64 = 0.9;
/// Interval of a prediction of a bare line: 95 %, as its text says.
const LINE_LEVEL: f64 = 0.95;

/// What one setting showed, for [`SettingJson`].
#[derive(Debug)]
pub struct SettingParts<'a> {
    /// The setting.
    pub dial: Celsius,
    /// True less dial, C.
    pub offset: Option<Estimate>,
    /// Peak to peak, C.
    pub swing: Option<Estimate>,
    /// Length of a cycle, seconds.
    pub cycle: Option<Estimate>,
    /// What the offset rests on.
    pub sureness: Option<Sureness>,
    /// The same in words.
    pub rests_on: String,
    /// Readings behind it.
    pub readings: usize,
    /// The preheat.
    pub preheat: Option<&'a Preheat>,
    /// Every return of the air.
    pub doors: Vec<&'a Recovery>,
}

formed! {
    /// The figures of one setting.
    #[derive(Debug, Clone, Serialize)]
    pub struct SettingJson from p: &SettingParts<'_> {
        dial_c: f64 = p.dial.0,
        offset_c: Option<f64> = p.offset.map(|o| o.value),
        offset_lo_c: Option<f64> = p.offset.map(|o| o.interval(LEVEL).0),
        offset_hi_c: Option<f64> = p.offset.map(|o| o.interval(LEVEL).1),
        offset_se_c: Option<f64> = p.offset.map(|o| o.sd),
        swing_c: Option<f64> = p.swing.map(|s| s.value),
        swing_se_c: Option<f64> = p.swing.map(|s| s.sd),
        cycle_s: Option<f64> = p.cycle.map(|c| c.value),
        cycle_se_s: Option<f64> = p.cycle.map(|c| c.sd),
        whole_cycles: usize = whole_cycles(p.sureness),
        sure: bool = p.sureness.is_some_and(Sureness::is_sure),
        rests_on: String = p.rests_on.clone(),
        readings: usize = p.readings,
        preheat: Option<PreheatJson> = p.preheat.map(Into::into),
        /// The first opening read; the others in `doors`.
        door: Option<DoorJson> = p.doors.first().map(|d| (*d).into()),
        doors: Vec<DoorJson> = p.doors.iter().map(|d| (*d).into()).collect(),
    }
}

formed! {
    #[derive(Debug, Clone, Copy, Serialize)]
    struct PreheatJson from r: &Preheat {
        /// Above the top of the swing it has while it holds; 0 where that cannot be told from nothing.
        overshoot_c: f64 = r.overshoot,
        overshoot_se_c: f64 = r.overshoot_sd,
        at_signal_c: f64 = r.at_signal,
        ready_after_signal_s: f64 = r.ready_after,
        ready_after_signal_se_s: f64 = r.ready_sd,
    }
}

formed! {
    #[derive(Debug, Clone, Copy, Serialize)]
    struct DoorJson from r: &Recovery {
        hold_c: f64 = r.hold.value,
        drop_c: f64 = r.drop.value,
        drop_se_c: f64 = r.drop.sd,
        drop_lo_c: f64 = r.drop_interval(LEVEL).0,
        drop_hi_c: f64 = r.drop_interval(LEVEL).1,
        tau_s: f64 = r.tau.value,
        tau_se_s: f64 = r.tau.sd,
        tau_lo_s: f64 = r.tau_interval(LEVEL).0,
        tau_hi_s: f64 = r.tau_interval(LEVEL).1,
    }
}

fn whole_cycles(sureness: Option<Sureness>) -> usize {
    match sureness {
        Some(Sureness::WholeCycles(n) | Sureness::FewCycles(n)) => n,
        Some(Sureness::Steady | Sureness::Drifting | Sureness::FewReadings(_)) | None => 0,
    }
}

/// Everything that readings say: the setting most read at the top, all of them in `settings`.
#[derive(Debug, Serialize)]
pub struct ReadingsSummaryJson {
    #[serde(flatten)]
    main: Option<SettingJson>,
    settings: Vec<SettingJson>,
    /// The calibration line.
    pub line: Option<LineJson>,
    /// The coarse map of the air.
    pub air_map: Vec<PlaceJson>,
    /// How the offset moves over the months.
    pub drift: Option<DriftJson>,
    /// Visits, with what they changed.
    pub visits: Vec<VisitJson>,
    /// What to do.
    pub advice: Vec<AdviceJson>,
    warnings: Vec<String>,
}

/// One place of the coarse map of the air.
#[derive(Debug, Clone, Serialize)]
pub struct PlaceJson {
    place: String,
    offset_c: f64,
    offset_lo_c: f64,
    offset_hi_c: f64,
    mean_of: usize,
}

impl PlaceJson {
    /// Makes the form of a place and how its air differs from the mean of so many places, those it can be compared with.
    pub fn new(place: String, offset: &Estimate, mean_of: usize) -> Self {
        let (offset_lo_c, offset_hi_c) = offset.interval(LEVEL);
        Self {
            place,
            offset_c: offset.value,
            offset_lo_c,
            offset_hi_c,
            mean_of,
        }
    }
}

/// How the offset moves over the months.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct DriftJson {
    /// C for each day.
    pub slope_c_per_day: f64,
    /// Lower end, 95 %.
    pub slope_lo_c_per_day: f64,
    /// Upper end, 95 %.
    pub slope_hi_c_per_day: f64,
    /// Kendall's tau.
    pub tau: f64,
    /// Two-sided probability of as strong a trend by chance.
    pub p: f64,
    /// Dates behind it.
    pub n: usize,
}

/// A visit and the change of the offset at it.
#[derive(Debug, Clone, Serialize)]
pub struct VisitJson {
    /// When.
    pub when: String,
    /// What was done.
    pub what: String,
    /// After less before, C.
    pub change_c: Option<f64>,
    /// Its standard error.
    pub change_se_c: Option<f64>,
    /// Two-sided probability of as large a change by chance.
    pub p: Option<f64>,
}

/// A sentence of advice.
#[derive(Debug, Clone, Serialize)]
pub struct AdviceJson {
    /// What to do, a word.
    pub verdict: &'static str,
    /// In words.
    pub sentence: String,
    /// What it rests on.
    pub evidence: String,
}

impl ReadingsSummaryJson {
    /// Makes the form of settings, the one with most readings first named.
    pub fn new(settings: &[SettingParts<'_>], warnings: Vec<String>) -> Self {
        let main = settings
            .iter()
            .max_by_key(|s| (s.offset.is_some(), s.readings));
        Self {
            main: main.map(Into::into),
            settings: settings.iter().map(Into::into).collect(),
            line: None,
            air_map: Vec::new(),
            drift: None,
            visits: Vec::new(),
            advice: Vec::new(),
            warnings,
        }
    }
}

/// A straight line.
#[derive(Debug, Serialize)]
pub struct LineJson {
    coefficients: [f64; 2],
    standard_errors: [f64; 2],
    /// Of the two coefficients; null where neither has an error.
    correlation: Option<f64>,
    covariance: f64,
    origin: f64,
    residual_sd: f64,
    df: Option<f64>,
    n: usize,
    r_squared: f64,
    intercept: f64,
    intercept_se: f64,
    slope: f64,
    slope_se: f64,
    prediction: Option<PredictionJson>,
}

#[derive(Debug, Serialize)]
struct PredictionJson {
    at: f64,
    value: f64,
    se: f64,
    lo: f64,
    hi: f64,
}

impl LineJson {
    /// Makes the form of a line, with its value at `at` and its 95 % interval.
    pub fn new(line: &Line, at: Option<f64>) -> Self {
        let (a, b) = line.sds();
        Self {
            coefficients: [line.intercept, line.slope],
            standard_errors: [a, b],
            correlation: line.correlation(),
            covariance: line.covariance.1,
            origin: line.origin,
            residual_sd: line.residual_sd,
            df: line.df.is_finite().then_some(line.df),
            n: line.points,
            r_squared: line.r_squared,
            intercept: line.intercept,
            intercept_se: a,
            slope: line.slope,
            slope_se: b,
            prediction: at.map(|x| {
                let there = line.at(x);
                let half = student::half_width(LINE_LEVEL, there.df) * there.sd;
                PredictionJson {
                    at: x,
                    value: there.value,
                    se: there.sd,
                    lo: there.value - half,
                    hi: there.value + half,
                }
            }),
        }
    }
}

/// A dial setting.
#[derive(Debug, Serialize)]
pub struct DialJson {
    /// The temperature wanted.
    pub want_c: f64,
    /// What to set.
    pub set_c: f64,
    /// Lower end of the exact setting's 90 % interval.
    pub lo_c: f64,
    /// Upper end.
    pub hi_c: f64,
    /// True less dial.
    pub offset_c: f64,
    /// Lower end of its 90 % interval.
    pub offset_lo_c: f64,
    /// Upper end.
    pub offset_hi_c: f64,
    /// Letter of the unit on the dial.
    pub unit: char,
    /// Whether it may be trusted without more readings.
    pub sure: bool,
    /// What it rests on.
    pub evidence: String,
    /// What opening the kitchen had to say.
    pub warnings: Vec<String>,
}

formed! {
    /// A round with all its readings.
    #[derive(Debug, Serialize)]
    pub struct RoundJson from r: &AirRound {
        id: String = r.id.to_string(),
        oven: String = r.oven.to_string(),
        mode: &'static str = r.mode.key(),
        thermometer: Option<String> = r.thermometer.as_ref().map(ToString::to_string),
        readings: Vec<ReadingJson> = r.readings.iter().map(Into::into).collect(),
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct ReadingJson from r: &AirReading {
        at: String = r.at.civil().to_string(),
        dial_c: f64 = r.dial.0,
        air_c: f64 = r.air.0,
        phase: &'static str = r.phase.key(),
        place: String = r.place.key(),
    }
}

/// What was added.
#[derive(Debug, Serialize)]
pub struct AddedJson {
    /// Rounds that grew or were begun.
    pub rounds: Vec<String>,
    /// Readings taken.
    pub added: usize,
    /// Lines left out, with their reasons.
    pub left_out: Vec<String>,
    /// What is to be said beside.
    pub warnings: Vec<String>,
}

formed! {
    /// A thermometer, and whether it has served its time.
    #[derive(Debug, Serialize)]
    pub struct ThermometerJson from of: (&Thermometer, bool) {
        id: String = of.0.id.to_string(),
        name: String = of.0.name.clone(),
        resolution_c: f64 = of.0.resolution.0,
        accuracy_c: f64 = of.0.accuracy.0,
        lag_s: Option<f64> = of.0.lag_s,
        bought: Option<String> = of.0.bought.map(|d| d.to_string()),
        due: bool = of.1,
    }
}
