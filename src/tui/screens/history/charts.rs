//! The three charts: evenness, the hottest place, and the offset over time.

use crate::{
    field::Range,
    model::{Mode, Oven, worded::worded},
    tui::{
        theme::Role,
        widgets::{
            Captioned, Layer, Plot,
            captioned::{dates_at, days_from, figures_at},
            plot::{range_over, round_marks},
        },
    },
    units::CelsiusDelta,
    workflow::history::{EvennessPoint, Happening, History},
};
use jiff::civil::DateTime;

/// Share of the axis between racks of one test, so that their intervals stand beside each other.
const BESIDE: f64 = 0.022;
/// Days the axis covers at least.
const LEAST_DAYS: f64 = 14.0;

worded! {
    /// Which chart is shown, with its place among them.
    pub(crate) enum Chart [place] {
        /// How uneven each rack position browned.
        Evenness: "1/3 ";
        /// How much hotter than its rack the hottest place was.
        Hottest: "2/3 ";
        /// Air less dial.
        Offset: "3/3 ";
    }
}

impl Chart {
    /// Says why there is nothing to draw, and what to do.
    pub(super) fn nothing(self, mode: Mode) -> String {
        let mode = mode.phrase();
        match self {
            Self::Evenness | Self::Hottest => format!(
                "No toast test {mode} was scored yet. Lay one out, toast and score it: its evenness and its hottest place stand here from then on."
            ),
            Self::Offset => format!(
                "No hold was read {mode} yet. A round with the thermometer tells how far the air is from the dial; it stands here from then on."
            ),
        }
    }
}

/// One interval on a chart.
struct Bar {
    when: DateTime,
    /// Place among those of one moment, from the middle.
    beside: f64,
    sign: char,
    range: Range,
}

/// Makes a chart over the whole time line; `None` where nothing was measured in this mode.
///
/// The day of `marked` is pointed at.
pub(super) fn drawn(
    chart: Chart,
    life: &History,
    oven: &Oven,
    mode: Mode,
    marked: Option<DateTime>,
) -> Option<Captioned> {
    let first = life.moments.first()?.when;
    let bars = match chart {
        Chart::Evenness => of_racks(life, mode, |p| p.sd_c),
        Chart::Hottest => of_racks(life, mode, |p| p.hottest_c),
        Chart::Offset => offsets(life, mode),
    };
    if bars.is_empty() {
        return None;
    }
    let unit = oven.dial.unit;
    let delta = |c: f64| unit.delta_figure(CelsiusDelta(c));
    let days = |at: DateTime| days_from(first, at);
    let x = range_over(life.moments.iter().map(|m| days(m.when)), LEAST_DAYS)?;
    let seen = bars.iter().flat_map(|b| [b.range.lo, b.range.hi]);
    let y = range_over(seen.map(delta).chain([0.0]), 6.0)?;
    let across = |b: &Bar| days(b.when) + b.beside * BESIDE * (x.1 - x.0);
    let mut layers = vec![Layer::Level(0.0, '\u{2504}', Role::Quiet)];
    layers.extend(
        life.moments
            .iter()
            .filter(|m| m.what == Happening::Visit)
            .map(|m| Layer::Upright(days(m.when), 'V', Role::Caution)),
    );
    layers.extend(marked.map(|at| Layer::Upright(days(at), '\u{25bc}', Role::Heading)));
    let spans = bars.iter().map(|b| {
        let (lo, hi) = (delta(b.range.lo), delta(b.range.hi));
        (across(b), lo, hi)
    });
    layers.push(Layer::Bars(spans.collect(), Role::Plain));
    layers.extend(bars.iter().map(|b| {
        let point = vec![(across(b), delta(b.range.value))];
        Layer::Points(point, b.sign, Role::Heading)
    }));
    let (heading, sign) = match chart {
        Chart::Evenness => ("Unevenness: from place to place on each rack", ""),
        Chart::Hottest => ("Hottest place above its rack's mean", "+"),
        Chart::Offset => ("Offset: thermometer minus dial", "+"),
    };
    let points = match chart {
        Chart::Evenness | Chart::Hottest => "digit: rack",
        Chart::Offset => "\u{25c6} sitting",
    };
    Some(Captioned {
        heading: format!("{heading}, {}, {}, by date", unit.letter(), mode.words()),
        legend: format!(
            "{points}  \u{2502} likely range  V service visit  \u{25bc} under the cursor"
        ),
        plot: Plot {
            x_marks: dates_at(first, x),
            y_marks: figures_at(round_marks(y, 5), sign, &format!(" {}", unit.letter())),
            x,
            y,
            layers,
        },
    })
}

/// Returns a figure of every rack of every test in a mode, those of one test beside each other.
fn of_racks(life: &History, mode: Mode, figure: impl Fn(&EvennessPoint) -> Range) -> Vec<Bar> {
    let points = life.mapped.points().filter(|p| p.mode == mode);
    let points: Vec<&EvennessPoint> = points.collect();
    points
        .chunk_by(|a, b| a.test == b.test)
        .flat_map(|test| {
            let middle = (test.len() as f64 - 1.0) / 2.0;
            test.iter()
                .enumerate()
                .map(move |(i, p)| (*p, i as f64 - middle))
        })
        .map(|(point, beside)| Bar {
            when: point.when,
            beside,
            sign: char::from_digit(u32::from(point.rack % 10), 10).unwrap_or('\u{25c6}'),
            range: figure(point),
        })
        .collect()
}

fn offsets(life: &History, mode: Mode) -> Vec<Bar> {
    let own = life.offsets.iter().filter(|p| p.mode == mode);
    own.map(|p| Bar {
        when: p.when,
        beside: 0.0,
        sign: '\u{25c6}',
        range: p.offset_c,
    })
    .collect()
}
