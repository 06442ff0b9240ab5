//! What the readings advise, in plain words, each with its evidence.

use super::{
    dial::{Standing, hidden_by_thermometer, standing},
    summary::{OvenSummary, SettingSummary},
};
use crate::{
    calibration::Sureness,
    model::Oven,
    units::{CelsiusDelta, TemperatureUnit},
};
use jiff::civil::Date;

/// What a baker may adjust by the oven's own manual, often about this much (common practice: 35 F).
const USER_ADJUSTMENT: f64 = 35.0 / 1.8;
/// A swing beyond this, peak to peak, is no ordinary one any more (common practice: twice 20 F to either side).
const WIDE_SWING: f64 = 80.0 / 1.8;
/// The intervals of advice.
const LEVEL: f64 = 0.9;

/// What to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Nothing.
    LeaveIt,
    /// Read more before doing anything.
    MoreReadings,
    /// Replace or check the thermometer.
    Thermometer,
    /// Adjust by the manual, or set the dial otherwise.
    AdjustOrDialAround,
    /// Call a technician.
    Technician,
}

/// One sentence of advice and what it rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Advice {
    /// What to do.
    pub verdict: Verdict,
    /// In words.
    pub sentence: String,
    /// What it rests on.
    pub evidence: String,
}

/// Writes the advice that a summary carries, the weightiest first.
pub fn advice(found: &OvenSummary, oven: &Oven, today: Date) -> Vec<Advice> {
    let unit = oven.dial.unit;
    let mut out: Vec<Advice> = found
        .settings
        .iter()
        .flat_map(|s| of_setting(found, oven, s))
        .collect();
    out.extend(of_drift(found, unit));
    out.extend(of_thermometers(found, today));
    if found.settings.is_empty() {
        let since = if oven.visits.is_empty() {
            "yet"
        } else {
            "since the last service visit"
        };
        out.push(Advice {
            verdict: Verdict::MoreReadings,
            sentence: format!(
                "Take readings: nothing was read {} {since}. Let it settle 20 to 30 minutes after the signal (common practice), then read every minute through three whole cycles.",
                found.mode.phrase()
            ),
            evidence: "no reading of a hold".to_owned(),
        });
    }
    out.sort_by_key(|a| std::cmp::Reverse(a.verdict));
    out
}

fn of_setting(found: &OvenSummary, oven: &Oven, s: &SettingSummary) -> Vec<Advice> {
    let unit = oven.dial.unit;
    let (lo, hi) = s.offset.interval(LEVEL);
    let show = |c: f64| unit.show_delta(CelsiusDelta(c));
    let dial = unit.show(s.dial);
    let evidence = format!(
        "at {dial}: offset {} ({} to {}), {}",
        show(s.offset.value),
        show(lo),
        show(hi),
        super::dial::sureness_words(s.sureness)
    );
    let of = |verdict, sentence: String| Advice {
        verdict,
        sentence,
        evidence: evidence.clone(),
    };
    let mut out = Vec::new();
    // A range without a cycle may be anything: no technician is called by it.
    let wide = s.swing.filter(|swing| {
        s.cycle.is_some() && s.sureness.is_sure() && swing.interval(LEVEL).0 > WIDE_SWING
    });
    if let Some(swing) = wide {
        out.push(of(
            Verdict::Technician,
            format!(
                "Call a technician: at {dial} the air swings by {} {} or more from peak to peak, far more than is ordinary.",
                unit.delta_figure(CelsiusDelta(swing.interval(LEVEL).0)).round(),
                unit.letter()
            ),
        ));
    }
    let half_swing = s.swing.map_or(0.0, |swing| 0.5 * swing.value);
    let stands = standing(found, oven, s);
    let runs = stands.runs(s).unwrap_or(s.offset.value);
    let side = if runs < 0.0 { "cold" } else { "hot" };
    let figure = |c: f64| unit.delta_figure(CelsiusDelta(c.abs()));
    let (size, letter) = (figure(runs), unit.letter());
    out.push(match stands {
        Standing::NotHeld | Standing::Unknown => of(Verdict::MoreReadings, more(s, &dial)),
        Standing::Close => of(
            Verdict::LeaveIt,
            format!("Leave the dial alone: {dial} is close enough."),
        ),
        Standing::Off { set, .. } if set == oven.dial.round(s.dial) => of(
            Verdict::LeaveIt,
            format!("Leave the dial alone: at {dial} it runs {size:.0} {letter} {side}, and the next mark is no nearer."),
        ),
        Standing::Off { .. } if runs.abs() <= half_swing => of(
            Verdict::LeaveIt,
            format!("At {dial} it runs {size:.0} {letter} {side}, which is within its swing: nothing to repair, set the dial by it."),
        ),
        Standing::Off { offset, .. }
            if offset.lo.0.abs().min(offset.hi.0.abs()) > USER_ADJUSTMENT =>
        {
            of(
                Verdict::Technician,
                format!("Call a technician: at {dial} it runs {size:.0} {letter} {side}, more than a user's adjustment usually takes (about 35 F or 20 C, common practice)."),
            )
        }
        Standing::Off { set, .. } => {
            let or = if oven.dial.reaches(set) {
                format!(", or set {} for {dial}", unit.show(set))
            } else {
                String::new()
            };
            of(
                Verdict::AdjustOrDialAround,
                format!("At {dial} it runs {size:.0} {letter} {side}: adjust it as its manual says{or}."),
            )
        }
    });
    out
}

/// Says which readings are missing.
fn more(s: &SettingSummary, dial: &str) -> String {
    if hidden_by_thermometer(s) {
        return format!(
            "Can't tell yet what to set for {dial}: the thermometer may be off by as much. Read it by a better one."
        );
    }
    match (s.cycle, s.sureness) {
        (_, Sureness::WholeCycles(_)) => format!(
            "Can't tell yet what to set for {dial}: read three whole cycles there once more, on another day."
        ),
        (_, Sureness::Drifting) => format!(
            "At {dial} the air still rose or fell all through the readings: let it settle, then read on until it stays."
        ),
        (Some(cycle), Sureness::FewCycles(_) | Sureness::FewReadings(_)) => format!(
            "Take more readings at {dial}: three whole cycles of about {:.0} min are {:.0} min in one sitting.",
            cycle.value / 60.0,
            3.2 * cycle.value / 60.0
        ),
        (Some(_) | None, _) => {
            // Half an hour's did not do.
            let many = matches!(s.sureness, Sureness::FewReadings(20..));
            let long = if many { "an hour" } else { "half an hour" };
            format!(
                "Take more readings at {dial}: one every minute for {long}, in one sitting, shows whether the air swings."
            )
        }
    }
}

fn of_drift(found: &OvenSummary, unit: TemperatureUnit) -> Vec<Advice> {
    const YEAR: f64 = 365.25;
    let Some(drift) = &found.drift else {
        return Vec::new();
    };
    let yearly = |perday: f64| unit.show_delta(CelsiusDelta(perday * YEAR));
    let evidence = format!(
        "{} dates over {:.0} days: {} a year ({} to {}), p = {:.3}",
        drift.points.len(),
        drift.points.last().map_or(0.0, |p| p.0),
        yearly(drift.slope.value),
        yearly(drift.slope.lo),
        yearly(drift.slope.hi),
        drift.trend.p
    );
    let (verdict, sentence) = if drift.is_large() {
        (
            Verdict::Technician,
            format!(
                "The offset drifts by {} a year: have a technician look at the sensor and the door's seal.",
                yearly(drift.slope.value)
            ),
        )
    } else if drift.is_told() {
        (
            Verdict::LeaveIt,
            format!(
                "The offset drifts by {} a year, which the dial can follow: read it again each season.",
                yearly(drift.slope.value)
            ),
        )
    } else if drift.shows_none() {
        (
            Verdict::LeaveIt,
            "No drift shows in the sittings.".to_owned(),
        )
    } else {
        (
            Verdict::LeaveIt,
            "Can't tell yet whether the offset drifts: read it again each season.".to_owned(),
        )
    };
    vec![Advice {
        verdict,
        sentence,
        evidence,
    }]
}

fn of_thermometers(found: &OvenSummary, today: Date) -> Vec<Advice> {
    let mut out: Vec<Advice> = Vec::new();
    for sat in &found.now {
        let t = &sat.thermometer;
        let Some(age) = t.age_years(today).filter(|_| t.is_due(today)) else {
            continue;
        };
        let evidence = format!("'{}' is {age:.1} years old", t.name);
        if !out.iter().any(|a| a.evidence == evidence) {
            out.push(Advice {
                verdict: Verdict::Thermometer,
                sentence: format!("'{}' is a cheap thermometer and has served its time: replace it, or check it against a second one (common practice: every two years).", t.name),
                evidence,
            });
        }
    }
    out
}
