//! The sheet for the technician: what was measured, how sure it is, and what changed; no cause, no blame.

use super::{
    super::{
        catalogue::{Occasion, cautions_at},
        ground::ground_of_oven,
        kitchen::Kitchen,
        map::MapView,
        readings::{OvenSummary, advice, sittings, summary, sureness_words},
    },
    DOUBTS, GRID, NoPaper, PaperRequest,
    card::rests_on,
    data, mode_for,
    visit::{Around, Span},
    words,
};
use crate::{
    calibration::Estimate,
    model::{Mode, Oven, ServiceVisit, ToastTest},
    report::paper::{Block, DataTable, Document, Table, Value},
};

/// Makes the technician's sheet of an oven, before and after a service visit where there was one.
///
/// # Errors
/// [`NoPaper`] when the oven has no such mode or visit, or its tests give no map.
pub fn sheet(kitchen: &Kitchen, oven: &Oven, request: &PaperRequest) -> Result<Document, NoPaper> {
    let visit = visit_of(oven, request)?;
    let mode = mode_for(kitchen, oven, request.mode);
    let ground = ground_of_oven(kitchen, oven, mode, GRID)?;
    let mode = ground.mode;
    let span = Span::around(oven, visit);
    let tests: Vec<&ToastTest> = kitchen
        .tests_of(&oven.id)
        .into_iter()
        .filter(|t| t.setup.mode == mode && t.scored() > 0)
        .collect();
    let (before, after): (Vec<&ToastTest>, Vec<&ToastTest>) = tests
        .iter()
        .filter(|t| span.holds(t.when))
        .partition(|t| visit.is_some_and(|v| t.when < v.when));
    let mut blocks = vec![
        Block::Text(
            "These are measurements: how this oven browned bread and what a thermometer read on the days named. They say nothing of why, and nothing of anyone's work."
                .to_owned(),
        ),
        Block::Heading("The oven".to_owned()),
        Block::Table(oven_table(oven)),
        Block::Heading("Toast tests and their conditions".to_owned()),
        Block::Table(tests_table(&tests, oven, visit)),
    ];
    let mut tables = vec![data::slices(&tests)];
    if let Some(view) = &ground.view {
        tables.extend([data::cells(view), data::zones(view), data::evenness(view)]);
        blocks.extend(findings(view, oven, mode));
    }
    let found = summary(kitchen, oven, mode);
    let (reading_blocks, reading_data) = readings(&found, oven, request);
    blocks.extend(reading_blocks);
    tables.push(reading_data);
    if let Some(visit) = visit {
        let around = Around {
            oven,
            visit,
            span: &span,
            found: &found,
        };
        let air = sittings(kitchen, oven, mode);
        let (changes, data) = around.before_and_after((&before, &after), &air);
        blocks.extend(changes);
        tables.extend(data);
    }
    let remarks: Vec<String> = ground
        .view
        .iter()
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
        subtitle: format!("{}. {}", request.today, rests_on(&tests, mode)),
        foot: "Intervals in brackets are 90 %. Degrees of maps are what would brown alike, not air temperatures. rackshade"
            .to_owned(),
        one_page: false,
        lengths: oven.lengths,
        blocks,
        data: tables,
    })
}

/// Returns the visit asked for, else the latest.
fn visit_of<'o>(
    oven: &'o Oven,
    request: &PaperRequest,
) -> Result<Option<&'o ServiceVisit>, NoPaper> {
    let Some(day) = request.visit else {
        return Ok(oven.visits.iter().max_by_key(|v| v.when));
    };
    let found = oven.visits.iter().find(|v| v.when.date() == day);
    found.map(Some).ok_or_else(|| {
        let days: Vec<String> = oven
            .visits
            .iter()
            .map(|v| v.when.date().to_string())
            .collect();
        let known = if days.is_empty() {
            "note one first: rackshade ovens visit".to_owned()
        } else {
            format!("there are visits of {}", days.join(", "))
        };
        NoPaper::NoSuchVisit {
            oven: oven.name.clone(),
            day,
            known,
        }
    })
}

pub(super) fn row(cells: &[&str]) -> Vec<String> {
    cells.iter().map(|&c| c.to_owned()).collect()
}

fn oven_table(oven: &Oven) -> Table {
    let l = |v| oven.lengths.show(v);
    let c = oven.cavity;
    let heights: Vec<String> = oven
        .racks
        .iter()
        .map(|r| format!("{} at {}", r.number, l(r.height)))
        .collect();
    let heat: Vec<&str> = oven.heat.iter().map(|h| h.words()).collect();
    let modes: Vec<&str> = oven.modes.iter().map(|m| m.words()).collect();
    let t = |v| oven.dial.unit.show(v);
    let mut rows = vec![
        row(&[
            "cavity",
            &format!(
                "{} wide, {} deep, {} high",
                l(c.width),
                l(c.depth),
                l(c.height)
            ),
        ]),
        row(&[
            "rack positions, height above the floor",
            &heights.join(", "),
        ]),
        row(&["heat", &heat.join(", ")]),
        row(&["modes", &modes.join(", ")]),
        row(&[
            "dial",
            &format!(
                "{} to {}, steps of {} {}",
                t(oven.dial.lowest),
                t(oven.dial.highest),
                oven.dial.step,
                oven.dial.unit.letter()
            ),
        ]),
    ];
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

fn tests_table(tests: &[&ToastTest], oven: &Oven, visit: Option<&ServiceVisit>) -> Table {
    let rows = tests
        .iter()
        .map(|t| {
            let racks: Vec<String> = t.setup.racks.iter().map(u8::to_string).collect();
            let side = visit.map_or("", |v| if t.when < v.when { "before" } else { "after" });
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
        head: row(&[
            "when",
            "visit",
            "mode",
            "dial",
            "time",
            "racks",
            "slices scored",
            "loaf",
        ]),
        rows,
    }
}

fn findings(view: &MapView, oven: &Oven, mode: Mode) -> Vec<Block> {
    let even = Table {
        head: row(&[
            "rack",
            "lightest to darkest, shades",
            "standard deviation, shades",
            "the same in degrees",
            "within half a shade of its mean",
        ]),
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
                    format!("{:.0} cm2", z.area),
                    half,
                ]
            })
            .collect(),
    };
    let mut blocks = vec![
        Block::Heading(format!("How it browns now, {}", mode.words())),
        Block::Maps(words::maps(view, oven)),
        Block::Table(even),
    ];
    if view.zones.is_empty() {
        blocks.push(Block::Text(
            "No hot or cool zone can be told apart from slice-to-slice noise.".to_owned(),
        ));
    } else {
        blocks.push(Block::Table(zones));
    }
    blocks
}

fn readings(found: &OvenSummary, oven: &Oven, request: &PaperRequest) -> (Vec<Block>, DataTable) {
    let mut data = DataTable {
        name: "readings",
        columns: vec![
            "dial_c",
            "offset_c",
            "offset_lo_c",
            "offset_hi_c",
            "swing_c",
            "cycle_s",
            "rounds",
            "readings",
        ],
        rows: Vec::new(),
    };
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
            "None on record: whether the air is what the dial says has not been read.".to_owned(),
        ));
        return (blocks, data);
    }
    let mut table = Table {
        head: row(&[
            "dial",
            "air less dial",
            "swing, peak to peak",
            "cycle",
            "sittings",
            "how sure",
        ]),
        rows: Vec::new(),
    };
    let unit = oven.dial.unit;
    for s in &found.settings {
        let offset = words::ends(s.offset);
        let swing = s.swing.map(|e| words::unsigned(words::ends(e), oven));
        let cycle = s.cycle.map(|e| format!("{:.1} min", e.value / 60.0));
        let none = || "not told".to_owned();
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
    let advised = advice(found, oven, request.today);
    blocks.push(Block::Points(
        advised
            .into_iter()
            .map(|a| format!("{} ({})", a.sentence, a.evidence))
            .collect(),
    ));
    (blocks, data)
}
