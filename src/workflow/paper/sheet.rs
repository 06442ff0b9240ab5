//! The sheet for the technician: what was measured, how sure it is, and what changed; no cause, no blame.

use super::{
    super::{
        catalogue::{Occasion, cautions_at},
        compare::{Pooling, sides},
        ground::ground_of_oven,
        kitchen::Records,
        observe::tells,
        readings::{
            OvenSummary, SettingSummary, Standing, Verdict, advice, sittings, standing, summary,
            sureness_words,
        },
        view::MapView,
    },
    age::heading,
    card::rests_on,
    data,
    finding::finding,
    request::{DOUBTS, GRID, NoPaper, PaperRequest, mode_for},
    visit::{Around, Span},
    words::{self, row},
};
use crate::{
    calibration::Estimate,
    model::{Oven, ServiceVisit, ToastTest, text::joined},
    report::{
        paper::{Block, DataTable, Document, Table, Value},
        text::oven_words,
        text_readings::at_least,
    },
    units::CelsiusDelta,
};
use jiff::civil::Date;
use std::slice::from_ref;

/// Days in a year, leap years counted in.
const YEAR: f64 = 365.25;

/// Makes the technician's sheet of an oven, before and after a service visit where there was one.
///
/// # Errors
/// [`NoPaper`] when the oven has no such mode or visit, or its tests give no map.
pub fn sheet(kitchen: &Records, oven: &Oven, request: &PaperRequest) -> Result<Document, NoPaper> {
    let visit = visit_of(oven, request)?;
    let mode = mode_for(kitchen, oven, request.mode);
    let ground = ground_of_oven(kitchen, oven, mode, GRID)?;
    let mode = ground.mode;
    let span = Span::around(oven, visit);
    let now: Vec<&ToastTest> = ground.pool.tests.iter().collect();
    let on_record: Vec<&ToastTest> = kitchen
        .tests_of(&oven.id)
        .into_iter()
        .filter(|t| t.setup.mode == mode && t.scored() > 0)
        .collect();
    let (before, after) = visit.map_or_else(Default::default, |visit| {
        around(kitchen, &on_record, (visit, &span))
    });
    let used = || before.iter().chain(&after).chain(&now);
    let (tests, unused): (Vec<&ToastTest>, Vec<&ToastTest>) = on_record
        .iter()
        .partition(|t| used().any(|other| other.id == t.id));
    let found = summary(kitchen, oven, mode);
    let mut blocks = vec![
        Block::Finding(finding(&found, ground.view(), oven)),
        Block::Text(
            "These are measurements: how this oven browned bread and what a thermometer read on the days named. They say nothing of why, and nothing of anyone's work."
                .to_owned(),
        ),
        Block::Heading("The oven".to_owned()),
        Block::Table(oven_table(oven)),
        Block::Heading("Toast tests and their conditions".to_owned()),
        Block::Table(tests_table(&tests, oven, visit, &span)),
    ];
    blocks.extend(unused_words(&unused).map(Block::Text));
    let mut tables = vec![data::slices(&tests)];
    if let Some(view) = ground.view() {
        tables.extend([data::cells(view), data::zones(view), data::evenness(view)]);
        let tense = ("How it browns", "How it browned");
        blocks.push(Block::Heading(heading(tense, &now, oven, mode)));
        blocks.extend(findings(view, oven));
    }
    let (reading_blocks, reading_data) = readings(&found, oven, request);
    blocks.extend(reading_blocks);
    tables.push(reading_data);
    if let Some(visit) = visit {
        let visited = Around {
            oven,
            visit,
            span: &span,
            found: &found,
        };
        let air = sittings(kitchen, oven, mode);
        let (changes, data) = visited.before_and_after((&before, &after), &air);
        blocks.extend(changes);
        tables.extend(data);
    }
    let remarks: Vec<String> = ground
        .view()
        .into_iter()
        .flat_map(|v| &v.warnings)
        .chain(&found.warnings)
        .map(ToString::to_string)
        .collect();
    if !remarks.is_empty() {
        blocks.push(Block::Heading(DOUBTS.to_owned()));
        blocks.push(Block::Points(remarks));
    }
    blocks.push(Block::Cautions(cautions_at(Occasion::Technician, oven)));
    Ok(Document {
        kind: "sheet",
        title: format!("Findings for the technician: {}", oven.name),
        subtitle: format!("{}. {}", request.today, rests_on(&now, mode)),
        foot: "In brackets: 90 % intervals. Degrees on the maps and of zones are what would brown alike, not air temperatures. rackshade"
            .to_owned(),
        front: None,
        one_page: false,
        lengths: oven.lengths,
        blocks,
        data: tables,
    })
}

/// Returns the tests before and after a visit: those that count where the full ones on either side of it are compared.
fn around<'k>(
    kitchen: &'k Records,
    on_record: &[&'k ToastTest],
    (visit, span): (&ServiceVisit, &Span),
) -> (Vec<&'k ToastTest>, Vec<&'k ToastTest>) {
    let full = on_record.iter().filter(|t| !t.is_check() && tells(t));
    let (before, after): (Vec<&ToastTest>, Vec<&ToastTest>) = full
        .filter(|t| span.holds(t.when))
        .partition(|t| t.when < visit.when);
    match (before.last(), after.first()) {
        (Some(b), Some(a)) => sides(kitchen, (from_ref(&b.id), from_ref(&a.id)), Pooling::Beside),
        (None, _) | (_, None) => (before, after),
    }
}

/// Returns the visit asked for, else the latest.
fn visit_of<'o>(
    oven: &'o Oven,
    request: &PaperRequest,
) -> Result<Option<&'o ServiceVisit>, NoPaper> {
    let Some(when) = request.visit else {
        return Ok(oven.visits.iter().max_by_key(|v| v.when));
    };
    // As it is shown: to the minute, or a day alone.
    let what = String::new();
    let (day, asked) = (when.date(), ServiceVisit { when, what }.moment());
    let mut visits = oven.visits.iter();
    let exact = visits.clone().find(|v| v.moment() == asked);
    let found = exact.or_else(|| visits.find(|v| asked == day.to_string() && v.when.date() == day));
    found.map(Some).ok_or_else(|| {
        let known = if oven.visits.is_empty() {
            "note one first: rackshade ovens visit".to_owned()
        } else {
            let known = joined(oven.visits.iter().map(ServiceVisit::moment), ", ");
            format!("there are visits of {known}")
        };
        NoPaper::NoSuchVisit {
            oven: oven.name.clone(),
            when: asked,
            known,
        }
    })
}

fn oven_table(oven: &Oven) -> Table {
    let heights = "racks, height above the floor";
    let parts = ["cavity", heights, "heat", "modes", "dial"];
    let words = oven_words(oven);
    let plate = oven.plate.parts().into_iter();
    let mut rows: Vec<Vec<String>> = plate
        .filter(|(_, words)| !words.is_empty())
        .chain(parts.into_iter().zip(words.iter().map(String::as_str)))
        .map(|(part, words)| row(&[part, words]))
        .collect();
    for visit in &oven.visits {
        rows.push(row(&[
            &format!("service visit {}", visit.moment()),
            &visit.what,
        ]));
    }
    if !oven.note.is_empty() {
        rows.push(row(&["note", &oven.note]));
    }
    Table {
        head: row(&["what", "as described by the baker"]),
        rows,
    }
}

/// Says how many tests of this mode are on record besides.
fn unused_words(unused: &[&ToastTest]) -> Option<String> {
    let (first, last) = (unused.first()?.when.date(), unused.last()?.when.date());
    Some(match unused.len() {
        1 => format!("One more, of {first}, is on record and not used here."),
        n => format!("{n} more, of {first} to {last}, are on record and not used here."),
    })
}

fn tests_table(
    tests: &[&ToastTest],
    oven: &Oven,
    visit: Option<&ServiceVisit>,
    span: &Span,
) -> Table {
    let rows = tests
        .iter()
        .map(|t| {
            let racks: Vec<String> = t.setup.racks.iter().map(u8::to_string).collect();
            let side = visit.map_or("", |v| match (t.when < v.when, span.holds(t.when)) {
                (true, true) => "before",
                (false, true) => "after",
                (true, false) => "earlier",
                (false, false) => "later",
            });
            vec![
                t.when.strftime("%Y-%m-%d %H:%M").to_string(),
                side.to_owned(),
                t.setup.mode.words().to_owned(),
                oven.dial.unit.show(t.setup.dial),
                t.minutes
                    .map_or_else(|| "not noted".to_owned(), |m| m.to_string()),
                racks.join(", "),
                format!("{} of {}", t.scored(), t.slices.len()),
                format!("{}, {}", t.bread.loaf, t.bread.surface.words()),
            ]
        })
        .collect();
    Table {
        head: Table::heads("when | visit | mode | dial | time | racks | slices scored | loaf"),
        rows,
    }
}

fn findings(view: &MapView, oven: &Oven) -> Vec<Block> {
    let even = Table {
        head: Table::heads(
            "rack | lightest to darkest, shades | from place to place, shades | \
             the same in degrees | within half a shade of its mean",
        ),
        rows: view
            .evenness
            .iter()
            .map(|e| {
                vec![
                    e.rack.to_string(),
                    words::interval(e.spread),
                    words::interval(e.sd),
                    words::unsigned(e.sd_c, oven),
                    words::per_cent(e.within_half),
                ]
            })
            .collect(),
    };
    let zones = Table {
        head: row(&["rack", "zone", "strongest", "shades", "area", "how sure"]),
        rows: view
            .zones
            .iter()
            .map(|z| {
                let (kind, place) = words::zone_name(z, oven);
                let half = if z.probability > 0.99 {
                    "over 99 %".to_owned()
                } else {
                    format!("{:.0} %", z.probability * 100.0)
                };
                vec![
                    z.rack.to_string(),
                    format!("{kind} {place}"),
                    words::degrees(z.peak_c, oven),
                    words::interval(z.peak_shade),
                    words::area(z.area, oven.lengths),
                    half,
                ]
            })
            .collect(),
    };
    let mut blocks = vec![Block::Maps(words::maps(view, oven)), Block::Table(even)];
    if view.zones.is_empty() {
        let said = if view.tested_look_even() {
            "No hot or cool zone that these tests can show."
        } else {
            "Can't tell yet where this oven runs hot or cool."
        };
        blocks.push(Block::Text(said.to_owned()));
    } else {
        blocks.push(Block::Table(zones));
    }
    blocks
}

fn readings(found: &OvenSummary, oven: &Oven, request: &PaperRequest) -> (Vec<Block>, DataTable) {
    let mut data = DataTable::new(
        "readings",
        "dial_c offset_c offset_lo_c offset_hi_c swing_c cycle_s rounds readings",
        Vec::new(),
    );
    let since = oven.visits.iter().map(|v| v.when).max();
    let since = since.map_or_else(String::new, |when| {
        format!(" since the visit of {}", when.date())
    });
    let mut blocks = vec![Block::Heading(format!(
        "Thermometer readings{since}, {}",
        found.mode.words()
    ))];
    if found.settings.is_empty() {
        blocks.push(Block::Text(
            "No thermometer readings yet, so the dial is assumed right.".to_owned(),
        ));
        return (blocks, data);
    }
    let mut table = Table {
        head: Table::heads(
            "dial | thermometer minus dial | swing, peak to peak | cycle | sittings | how sure",
        ),
        rows: Vec::new(),
    };
    let unit = oven.dial.unit;
    for s in &found.settings {
        let offset = words::ends(s.offset);
        let swing = s.swing.map(|e| at_least(&e, unit));
        let cycle = s.cycle.map(cycle_words);
        let none = || "can't tell yet".to_owned();
        table.rows.push(vec![
            unit.show(s.dial),
            words::degrees(offset, oven),
            swing.unwrap_or_else(none),
            cycle.unwrap_or_else(none),
            format!("{}, last {}", s.rounds, s.latest.date()),
            sureness_words(s.sureness),
        ]);
        let estimate = |e: Option<Estimate>| e.map_or(f64::NAN, |e| e.value);
        data.rows.push(
            [
                s.dial.0,
                offset.value,
                offset.lo,
                offset.hi,
                estimate(s.swing),
                estimate(s.cycle),
                s.rounds as f64,
                s.readings as f64,
            ]
            .map(Value::Number)
            .into(),
        );
    }
    blocks.push(Block::Table(table));
    blocks.push(Block::Points(said_of_readings(found, oven, request.today)));
    (blocks, data)
}

/// Returns the length of the thermostat's cycle with its interval: `8.0 min (7.6 to 8.4)`.
fn cycle_words(seconds: Estimate) -> String {
    let r = words::ends(seconds);
    format!(
        "{:.1} min ({:.1} to {:.1})",
        r.value / 60.0,
        r.lo / 60.0,
        r.hi / 60.0
    )
}

/// Says what the readings amount to, without what a baker might do about it: that is the technician's to judge.
fn said_of_readings(found: &OvenSummary, oven: &Oven, today: Date) -> Vec<String> {
    let mut said: Vec<String> = found
        .settings
        .iter()
        .map(|s| offset_words(found, s, oven))
        .collect();
    if let Some(drift) = &found.drift {
        let yearly = |per_day: f64| oven.dial.unit.show_delta(CelsiusDelta(per_day * YEAR));
        let (slope, dates) = (drift.slope, drift.points.len());
        said.push(if drift.is_told() {
            format!(
                "Over {dates} dates the offset drifted by {} a year ({} to {}).",
                yearly(slope.value),
                yearly(slope.lo),
                yearly(slope.hi)
            )
        } else if drift.shows_none() {
            format!("No drift shows in {dates} dates.")
        } else {
            format!("Can't tell yet from {dates} dates whether the offset drifts.")
        });
    }
    // How far the thermometer itself may be trusted weakens the figures above.
    let of_thermometers = advice(found, oven, today)
        .into_iter()
        .filter(|a| a.verdict == Verdict::Thermometer);
    said.extend(of_thermometers.map(|a| a.sentence));
    said
}

/// Says which way one setting is off, or that it cannot be told.
fn offset_words(found: &OvenSummary, s: &SettingSummary, oven: &Oven) -> String {
    let unit = oven.dial.unit;
    let dial = unit.show(s.dial);
    let stands = standing(found, oven, s);
    let runs = stands.runs(s).unwrap_or(s.offset.value);
    match stands {
        Standing::NotHeld => format!("At {dial} the air never settled while it was read."),
        Standing::Unknown => format!(
            "Can't tell yet how far {dial} is off: {}.",
            sureness_words(s.sureness)
        ),
        Standing::Close => format!("{dial} is close enough."),
        Standing::Off { .. } => {
            let size = runs.abs();
            let side = if runs < 0.0 { "cold" } else { "hot" };
            let within = s.swing.is_some_and(|swing| size <= 0.5 * swing.value);
            format!(
                "At {dial} it ran {:.0} {} {side} of the dial{}.",
                unit.delta_figure(CelsiusDelta(size)),
                unit.letter(),
                if within {
                    ", less than half of its swing"
                } else {
                    ""
                }
            )
        }
    }
}
