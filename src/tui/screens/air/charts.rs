//! The three charts: a round over time, the dial against the air, the offset over months.

use crate::{
    model::{AirPlace, AirReading, AirRound, Moment, Oven, Phase, worded::worded},
    tui::{
        theme::Role,
        widgets::{
            Captioned, Layer, Plot,
            captioned::{dates_at, days_from, figures_at},
            plot::{range_over, round_marks},
        },
    },
    units::{Celsius, CelsiusDelta, TemperatureUnit},
    workflow::{
        readings::{OvenSummary, RoundFigures},
        round::Mark,
    },
};
use jiff::civil::DateTime;

/// Intervals shown: 90 %, as everywhere on screen.
const LEVEL: f64 = 0.9;
/// Steps along the band.
const BAND_STEPS: usize = 24;

worded! {
    /// Which chart is shown, with its place among them.
    pub(crate) enum Chart [place] {
        /// One round over time.
        Time: "1/3 ";
        /// Offset against the dial's setting, with the line through it.
        Dial: "2/3 ";
        /// Offset over months.
        Months: "3/3 ";
    }
}

/// What the chart over time is drawn from.
pub(super) struct OverTime<'a> {
    pub(super) round: &'a AirRound,
    /// The place whose figures are told; readings elsewhere have a shape of their own.
    pub(super) place: AirPlace,
    pub(super) figures: Option<&'a RoundFigures>,
    /// Marks set in a round that runs; those of one on record are read from its readings.
    pub(super) marks: Option<&'a [(Moment, Mark)]>,
    pub(super) oven: &'a Oven,
    /// How far the axis reaches at least, seconds: a round that runs grows into it.
    pub(super) until: f64,
}

/// Reads the marks of a round on record from the phases of its readings.
fn marks_of(round: &AirRound) -> Vec<(Moment, Mark)> {
    let mut out = Vec::new();
    let mut before = None;
    for reading in &round.readings {
        let mark = match reading.phase {
            Phase::Signal => Some(Mark::Signal),
            Phase::DoorOpened => Some(Mark::DoorOpened),
            Phase::DoorClosed => Some(Mark::DoorClosed),
            Phase::Heating | Phase::Holding => None,
        };
        // The first reading of a phase is its mark.
        let first = before != Some(reading.phase);
        out.extend(mark.filter(|_| first).map(|m| (reading.at, m)));
        before = Some(reading.phase);
    }
    out
}

fn letter(mark: Mark) -> char {
    match mark {
        Mark::Signal => 'S',
        Mark::Holds => 'H',
        Mark::DoorOpened => 'O',
        Mark::DoorClosed => 'C',
    }
}

impl OverTime<'_> {
    /// Makes the chart; `None` without a reading.
    pub(super) fn drawn(&self) -> Option<Captioned> {
        let unit = self.oven.dial.unit;
        let (began, ended) = self.round.span()?;
        let minutes = |at: Moment| at.duration_since(began).as_secs_f64() / 60.0;
        let dial = unit.figure(self.round.readings.last()?.dial);
        // Once it holds the swing is what matters; the cold beginning may leave the chart.
        let holds = self.figures.is_some_and(|f| f.hold.is_some());
        let readings = self.round.readings.iter();
        let airs = readings
            .filter(|r| !holds || r.phase != Phase::Heating)
            .map(|r| unit.figure(r.air));
        let y = range_over(airs.chain([dial]), 20.0)?;
        let x = (0.0, minutes(ended).max(self.until / 60.0).max(5.0) * 1.02);
        let mut layers = vec![Layer::Level(dial, '\u{2504}', Role::Quiet)];
        let mut legend = "\u{00b7} heating  \u{2022} holding  \u{25cb} door".to_owned();
        if let Some(hold) = self.figures.and_then(|f| f.hold) {
            let mean = unit.figure(Celsius(hold.mean.value));
            if let Some((from, to)) = self.held(&minutes) {
                layers.push(Layer::Curve(vec![(from, mean), (to, mean)], Role::Good));
                legend.push_str("  dots: mean");
                if let Some(cycle) = hold.cycle {
                    let each = cycle.value / 60.0;
                    layers.push(Layer::Ruler(every(from, to, each), Role::Plain));
                    legend.push_str("  ^ cycle");
                }
            }
        }
        let recorded = marks_of(self.round);
        let marks = self.marks.unwrap_or(&recorded);
        for (at, mark) in marks {
            layers.push(Layer::Upright(minutes(*at), letter(*mark), Role::Caution));
        }
        if !marks.is_empty() {
            legend.push_str("  S signal O open C shut");
        }
        let points = self.points(&minutes);
        if points.len() > 3 {
            legend.push_str("  + elsewhere");
        }
        layers.extend(points);
        Some(Captioned {
            heading: format!(
                "Air over time, {}, dial {} (\u{2504}), minutes from the first reading",
                began.date(),
                unit.show(self.round.readings.last()?.dial)
            ),
            plot: Plot {
                x_marks: figures_at(round_marks(x, 8), "", " min"),
                y_marks: figures_at(round_marks(y, 5), "", &format!(" {}", unit.letter())),
                x,
                y,
                layers,
            },
            legend,
        })
    }

    /// Every reading by the shape of its phase, those taken elsewhere last.
    fn points(&self, minutes: &dyn Fn(Moment) -> f64) -> Vec<Layer> {
        let unit = self.oven.dial.unit;
        let of = |wanted: &dyn Fn(&AirReading) -> bool| -> Vec<(f64, f64)> {
            let own = self.round.readings.iter().filter(|r| wanted(r));
            own.map(|r| (minutes(r.at), unit.figure(r.air))).collect()
        };
        let here =
            |r: &AirReading, phases: &[Phase]| r.place == self.place && phases.contains(&r.phase);
        let heating = of(&|r| here(r, &[Phase::Heating, Phase::Signal]));
        let holding = of(&|r| here(r, &[Phase::Holding]));
        let door = of(&|r| here(r, &[Phase::DoorOpened, Phase::DoorClosed]));
        let elsewhere = of(&|r| r.place != self.place);
        let mut out = vec![
            Layer::Points(heating, '\u{00b7}', Role::Plain),
            Layer::Points(holding, '\u{2022}', Role::Heading),
            Layer::Points(door, '\u{25cb}', Role::Caution),
        ];
        if !elsewhere.is_empty() {
            out.push(Layer::Points(elsewhere, '+', Role::Plain));
        }
        out
    }

    /// From which minute to which it held, without what was read before it settled.
    fn held(&self, minutes: &dyn Fn(Moment) -> f64) -> Option<(f64, f64)> {
        let hold = self.figures?.hold?;
        let mut own: Vec<f64> = self
            .round
            .readings
            .iter()
            .filter(|r| r.place == self.place && r.phase == Phase::Holding)
            .map(|r| minutes(r.at))
            .collect();
        own.drain(..hold.unsettled.min(own.len()));
        Some((*own.first()?, *own.last()?))
    }
}

/// Places from `from` to `to`, one every `each`.
fn every(from: f64, to: f64, each: f64) -> Vec<f64> {
    if each.is_nan() || each <= 0.0 {
        return Vec::new();
    }
    (0..200)
        .map(|i| from + f64::from(i) * each)
        .take_while(|x| *x <= to)
        .collect()
}

/// Offset against the dial's setting: every setting with its interval, the line and its band.
///
/// `None` without a setting.
pub(super) fn against_dial(found: &OvenSummary, oven: &Oven) -> Option<Captioned> {
    let unit = oven.dial.unit;
    let delta = |c: f64| unit.delta_figure(CelsiusDelta(c));
    let dial = |c: f64| unit.figure(Celsius(c));
    let bars: Vec<(f64, f64, f64)> = found
        .settings
        .iter()
        .map(|s| {
            let (lo, hi) = s.offset.interval(LEVEL);
            (dial(s.dial.0), delta(lo), delta(hi))
        })
        .collect();
    let points: Vec<(f64, f64)> = found
        .settings
        .iter()
        .map(|s| (dial(s.dial.0), delta(s.offset.value)))
        .collect();
    let x = range_over(points.iter().map(|p| p.0), 60.0)?;
    let mut layers = Vec::new();
    let mut legend = "\u{25c6} setting  \u{2502} likely range  \u{2504} dial is right".to_owned();
    let mut seen: Vec<f64> = bars.iter().flat_map(|b| [b.1, b.2]).collect();
    if let Some(line) = &found.line {
        let at = |share: f64| {
            let c = line.range.0 + share * (line.range.1 - line.range.0);
            let there = line.at(c);
            let (lo, hi) = there.interval(LEVEL);
            (
                dial(c),
                delta(there.value - c),
                delta(lo - c),
                delta(hi - c),
            )
        };
        let along: Vec<_> = (0..=BAND_STEPS)
            .map(|i| at(i as f64 / BAND_STEPS as f64))
            .collect();
        seen.extend(along.iter().flat_map(|p| [p.2, p.3]));
        layers.push(Layer::Band(along.iter().map(|p| (p.0, p.2, p.3)).collect()));
        layers.push(Layer::Curve(
            along.iter().map(|p| (p.0, p.1)).collect(),
            Role::Good,
        ));
        legend.push_str("  dots: line  \u{2591} its likely range");
    }
    let y = range_over(seen.into_iter().chain([0.0]), 10.0)?;
    layers.push(Layer::Level(0.0, '\u{2504}', Role::Quiet));
    layers.push(Layer::Bars(bars, Role::Plain));
    layers.push(Layer::Points(points, '\u{25c6}', Role::Heading));
    Some(Captioned {
        heading: format!(
            "Offset against the dial: thermometer minus dial, {}, over the setting",
            unit.letter()
        ),
        plot: Plot {
            x_marks: figures_at(round_marks(x, 7), "", &format!(" {}", unit.letter())),
            y_marks: figures_at(round_marks(y, 5), "+", &format!(" {}", unit.letter())),
            x,
            y,
            layers,
        },
        legend,
    })
}

/// Offset over the months, with every service visit.
///
/// `None` without a hold at baking heat.
pub(super) fn over_months(found: &OvenSummary, oven: &Oven) -> Option<Captioned> {
    let unit = oven.dial.unit;
    let delta = |c: f64| unit.delta_figure(CelsiusDelta(c));
    let (first, _) = *found.history.first()?;
    let days = |at: DateTime| days_from(first, at);
    let points: Vec<(f64, f64)> = found
        .history
        .iter()
        .map(|(when, offset)| (days(*when), delta(offset.value)))
        .collect();
    let visits: Vec<f64> = found.visits.iter().map(|v| days(v.when)).collect();
    let reach = points.iter().map(|p| p.0).chain(visits.iter().copied());
    let x = range_over(reach, 14.0)?;
    let y = range_over(points.iter().map(|p| p.1).chain([0.0]), 10.0)?;
    let mut layers = vec![Layer::Level(0.0, '\u{2504}', Role::Quiet)];
    let mut legend = "\u{25c6} round  \u{2504} dial is right".to_owned();
    layers.extend(
        visits
            .iter()
            .map(|v| Layer::Upright(*v, 'V', Role::Caution)),
    );
    if !visits.is_empty() {
        legend.push_str("  V service visit");
    }
    if let Some(drift) = &found.drift {
        layers.push(drift_line(drift, &days, unit));
        legend.push_str("  dots: trend since then");
    }
    layers.push(Layer::Points(points, '\u{25c6}', Role::Heading));
    Some(Captioned {
        heading: format!(
            "Offset over the months: thermometer minus dial, {}, by date",
            unit.letter()
        ),
        plot: Plot {
            x_marks: dates_at(first, x),
            y_marks: figures_at(round_marks(y, 5), "+", &format!(" {}", unit.letter())),
            x,
            y,
            layers,
        },
        legend,
    })
}

fn drift_line(
    drift: &crate::workflow::readings::Drift,
    days: &dyn Fn(DateTime) -> f64,
    unit: TemperatureUnit,
) -> Layer {
    let begins = days(drift.begins);
    let ends = drift.points.last().map_or(0.0, |p| p.0);
    let at = |day: f64| {
        let c = drift.slope.intercept + drift.slope.value * day;
        (begins + day, unit.delta_figure(CelsiusDelta(c)))
    };
    Layer::Curve(vec![at(0.0), at(ends)], Role::Good)
}
