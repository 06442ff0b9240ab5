//! Figures and advice under the charts, in words with units and intervals.

use super::{AirScreen, Chart, said::Said, setup::place_words};
use crate::{
    model::{Gravity, Oven, Thermometer, text::counted},
    report::text_readings::{delta_range, door_words, preheat_words, swing_words},
    tui::{shared::Shared, widgets::Sentence},
    units::CelsiusDelta,
    workflow::readings::{
        LEAST_DATES, LEAST_DAYS, OvenSummary, RoundFigures, advice, habits, sureness_words,
    },
};

/// Days in a year, for a drift a baker can picture.
const YEAR: f64 = 365.25;

impl AirScreen {
    /// Returns the plain lines under the chart in sight, none of them broken to the width yet.
    pub(super) fn plain_lines(&self, shared: &Shared) -> Vec<String> {
        let (Some(oven), Some(found)) = (self.oven(shared), self.found()) else {
            return Vec::new();
        };
        let mut out = match self.chart {
            Chart::Time => self.round_line(shared).into_iter().collect(),
            Chart::Dial => setting_missed(&found.summary).into_iter().collect(),
            Chart::Months => visit_lines(&found.summary, oven),
        };
        let warnings = found.summary.warnings.iter();
        let grave = warnings.filter(|w| w.gravity < Gravity::Minor);
        out.extend(grave.map(|w| format!("! {w}")));
        let advice = advice(&found.summary, oven, shared.now.date());
        out.extend(
            advice
                .into_iter()
                .map(|said| format!("* {}", said.sentence)),
        );
        out
    }

    /// Returns the figures behind the chart in sight and behind the advice.
    pub(super) fn behind(&self, shared: &Shared) -> Vec<Sentence> {
        let (Some(oven), Some(found)) = (self.oven(shared), self.found()) else {
            return Vec::new();
        };
        let mut out = match self.chart {
            Chart::Time => self.round_lines(oven, shared),
            Chart::Dial => dial_lines(found, oven),
            Chart::Months => month_lines(&found.summary, oven),
        };
        for said in advice(&found.summary, oven, shared.now.date()) {
            out.push(format!("{} ({})", said.sentence, said.evidence));
        }
        let warnings = found.summary.warnings.iter().map(Sentence::warning);
        warnings
            .chain(out.into_iter().map(Sentence::finding))
            .collect()
    }

    /// Says which round is on the chart.
    fn round_line(&self, shared: &Shared) -> Option<String> {
        let rounds = self.rounds(shared);
        let said = self.found()?.round(&rounds.get(self.back)?.id)?;
        Some(format!(
            "round {} of {}, by {}, {}",
            rounds.len() - self.back,
            rounds.len(),
            said.thermometer.name,
            place_words(said.place)
        ))
    }

    /// What the round on the chart showed, setting by setting.
    fn round_lines(&self, oven: &Oven, shared: &Shared) -> Vec<String> {
        let rounds = self.rounds(shared);
        let Some(round) = rounds.get(self.back) else {
            return Vec::new();
        };
        let Some(said) = self.found().and_then(|f| f.round(&round.id)) else {
            return Vec::new();
        };
        let mut out: Vec<String> = self.round_line(shared).into_iter().collect();
        for found in &said.figures {
            out.extend(of_round(found, &said.thermometer, oven));
        }
        out
    }
}

/// Writes the figures of one sitting at one setting.
pub(super) fn of_round(
    found: &RoundFigures,
    thermometer: &Thermometer,
    oven: &Oven,
) -> Vec<String> {
    let unit = oven.dial.unit;
    // The mean of one round repeats well; how right the thermometer is does not show in its scatter.
    let own = habits(thermometer, found.dial).common_sd();
    let mut out = Vec::new();
    match (&found.offset, found.hold) {
        (Some(offset), Some(hold)) => {
            out.push(format!(
                "offset at {}: {} thermometer minus dial, {}",
                unit.show(found.dial),
                delta_range(&offset.with_type_b(own), unit),
                sureness_words(hold.sureness)
            ));
            if let Some(swing) = &hold.swing {
                out.push(format!(
                    "swing: {}",
                    swing_words(swing, hold.cycle.as_ref(), unit)
                ));
            }
        }
        (_, _) => out.push(format!(
            "offset at {}: no reading of a hold yet",
            unit.show(found.dial)
        )),
    }
    out.extend(
        found
            .preheat
            .iter()
            .map(|p| format!("preheat: {}", preheat_words(p, unit))),
    );
    out.extend(
        found
            .doors
            .iter()
            .map(|d| format!("door: {}", door_words(d, unit))),
    );
    out
}

fn dial_lines(found: &Said, oven: &Oven) -> Vec<String> {
    let unit = oven.dial.unit;
    let settings = found.summary.settings.iter().map(|s| {
        format!(
            "{}: {} thermometer minus dial, {}, {}",
            unit.show(s.dial),
            delta_range(&s.offset, unit),
            sureness_words(s.sureness),
            counted(s.rounds, "round")
        )
    });
    let places = found.places.iter().map(|place| {
        format!(
            "{}: {} against {}",
            place_words(place.place),
            delta_range(&place.offset, unit),
            place.against()
        )
    });
    settings
        .chain(setting_missed(&found.summary))
        .chain(places)
        .collect()
}

/// Says what a line over the settings lacks.
fn setting_missed(found: &OvenSummary) -> Option<String> {
    if found.line.is_some() || found.settings.is_empty() {
        return None;
    }
    let sure = found.settings.iter().filter(|s| s.sureness.is_sure());
    Some(if sure.count() > 2 {
        "no line fits all settings, so each goes by its own readings".to_owned()
    } else {
        "a line needs a second setting read as well, 20 F or 10 C away".to_owned()
    })
}

fn month_lines(found: &OvenSummary, oven: &Oven) -> Vec<String> {
    let unit = oven.dial.unit;
    let yearly = |c: f64| unit.delta_figure(CelsiusDelta(c * YEAR));
    let drift = match &found.drift {
        Some(drift) => format!(
            "drift since the last visit: {:+.0} {} a year ({:+.0} to {:+.0} {}, 95 %); without any drift such a trend shows {:.0} times in 100",
            yearly(drift.slope.value),
            unit.letter(),
            yearly(drift.slope.lo),
            yearly(drift.slope.hi),
            unit.letter(),
            drift.trend.p * 100.0
        ),
        None => format!(
            "a drift needs readings near one setting on {LEAST_DATES} dates over {LEAST_DAYS} days or more"
        ),
    };
    let mut out = vec![drift];
    out.extend(visit_lines(found, oven));
    out
}

/// Says what each service visit changed.
fn visit_lines(found: &OvenSummary, oven: &Oven) -> Vec<String> {
    let unit = oven.dial.unit;
    let mut out = Vec::new();
    for visit in &found.visits {
        let change = match &visit.jump {
            Some(jump) => {
                let what = if jump.shows() {
                    "offset changed by"
                } else {
                    "no change that shows:"
                };
                format!("{what} {}", delta_range(&jump.change, unit))
            }
            None => "not read in one place before and after, so no change shows".to_owned(),
        };
        out.push(format!(
            "visit {} ({}): {change}",
            visit.when.date(),
            visit.what
        ));
    }
    out
}
