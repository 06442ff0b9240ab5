//! Before and after a service visit, on the technician's sheet: toast tests, and what the thermometer read.

use super::{
    super::{
        compare::{
            CompareView, TestGroup, compare_tests, is_of_rack, more_even_words, state_words,
        },
        readings::{OvenSummary, Sat},
        view::READ_ON,
    },
    request::GRID,
    words,
};
use crate::{
    calibration::Estimate,
    model::{Oven, ServiceVisit, ToastTest},
    report::{
        paper::{Block, DataTable, Table, Value},
        text_readings::at_least,
    },
};
use jiff::civil::DateTime;

/// The time around a visit that no other visit cuts off.
pub(super) struct Span {
    from: Option<DateTime>,
    to: Option<DateTime>,
}

impl Span {
    pub(super) fn around(oven: &Oven, visit: Option<&ServiceVisit>) -> Self {
        let at = visit.map(|v| v.when);
        let others = || oven.visits.iter().map(|v| v.when);
        Self {
            from: others().filter(|w| at.is_some_and(|at| *w < at)).max(),
            to: others().filter(|w| at.is_some_and(|at| *w > at)).min(),
        }
    }

    pub(super) fn holds(&self, when: DateTime) -> bool {
        self.from.is_none_or(|from| when >= from) && self.to.is_none_or(|to| when < to)
    }
}

/// A visit and what surrounds it.
pub(super) struct Around<'a> {
    pub(super) oven: &'a Oven,
    pub(super) visit: &'a ServiceVisit,
    pub(super) span: &'a Span,
    /// What the readings say.
    pub(super) found: &'a OvenSummary,
}

impl Around<'_> {
    /// Sets toast tests and sittings with the thermometer before and after each other.
    pub(super) fn before_and_after(
        &self,
        (before, after): (&[&ToastTest], &[&ToastTest]),
        air: &[Sat],
    ) -> (Vec<Block>, Vec<DataTable>) {
        let mut blocks = vec![
            Block::Heading(format!(
                "Before and after the visit of {}",
                self.visit.moment()
            )),
            Block::Text(format!("What was done: {}", self.visit.what)),
        ];
        let mut tables = Vec::new();
        let read: Vec<&Sat> = air
            .iter()
            .filter(|s| self.span.holds(s.when) && s.offset().is_some())
            .collect();
        if !read.is_empty() {
            blocks.push(Block::Table(self.air_table(&read)));
            blocks.extend(self.air_sentence().map(Block::Text));
            tables.push(self.air_data(&read));
        }
        if before.is_empty() || after.is_empty() {
            blocks.push(Block::Text(
                "There is no full toast test that tells anything on both sides of it in this mode, so no maps are set against each other."
                    .to_owned(),
            ));
            return (blocks, tables);
        }
        let group = |tests| TestGroup {
            oven: self.oven,
            tests,
        };
        // Maps on paper are drawn in fewer cells than figures are read on, as on every face.
        let drawn = compare_tests(group(before), group(after), GRID);
        match compare_tests(group(before), group(after), READ_ON) {
            Ok(view) => {
                let maps = drawn
                    .ok()
                    .and_then(|drawn| words::both_maps(&drawn, self.oven));
                blocks.extend(maps.map(Block::Maps));
                blocks.push(Block::Table(change_table(&view)));
                blocks.push(Block::Points(said(&view)));
                if !view.warnings.is_empty() {
                    blocks.push(Block::Text("What stands against comparing:".to_owned()));
                    let said = view.warnings.iter();
                    let said = said.map(ToString::to_string);
                    blocks.push(Block::Points(said.collect()));
                }
                tables.push(change_data(&view));
            }
            Err(why) => blocks.push(Block::Text(why.to_string())),
        }
        (blocks, tables)
    }

    fn side(&self, when: DateTime) -> &'static str {
        if when < self.visit.when {
            "before"
        } else {
            "after"
        }
    }

    /// Every sitting with the thermometer around the visit.
    fn air_table(&self, read: &[&Sat]) -> Table {
        let unit = self.oven.dial.unit;
        let rows = read
            .iter()
            .map(|sat| {
                let hold = sat.figures.hold;
                let swing = hold.and_then(|h| h.swing).map(|e| at_least(&e, unit));
                let offset = sat
                    .offset()
                    .map(|e| words::degrees(words::ends(e), self.oven));
                let none = || "can't tell yet".to_owned();
                vec![
                    sat.when.strftime("%Y-%m-%d %H:%M").to_string(),
                    self.side(sat.when).to_owned(),
                    unit.show(sat.figures.dial),
                    offset.unwrap_or_else(none),
                    swing.unwrap_or_else(none),
                    sat.thermometer.name.clone(),
                ]
            })
            .collect();
        Table {
            head: Table::heads(
                "thermometer read | visit | dial | thermometer minus dial | \
                 swing, peak to peak | thermometer",
            ),
            rows,
        }
    }

    /// How the offset changed; what one thermometer is wrong by is the same before and after.
    fn air_sentence(&self) -> Option<String> {
        let visits = &self.found.visits;
        let here = visits.iter().find(|j| j.when == self.visit.when)?;
        let jump = here.jump.as_ref()?;
        let change = words::degrees(words::ends(jump.change), self.oven);
        Some(if jump.shows() {
            format!("Thermometer minus dial changed by {change}.")
        } else {
            format!("No change that shows in thermometer minus dial: {change}.")
        })
    }

    fn air_data(&self, read: &[&Sat]) -> DataTable {
        let rows = read
            .iter()
            .map(|sat| {
                let three = |e: Option<Estimate>| {
                    let r = e.map(words::ends);
                    [r.map(|r| r.value), r.map(|r| r.lo), r.map(|r| r.hi)]
                        .map(|v| Value::Number(v.unwrap_or(f64::NAN)))
                };
                let mut line = vec![
                    Value::Words(sat.when.to_string()),
                    Value::Words(self.side(sat.when).to_owned()),
                    Value::Number(sat.figures.dial.0),
                ];
                line.extend(three(sat.offset()));
                line.extend(three(sat.figures.hold.and_then(|h| h.swing)));
                line
            })
            .collect();
        DataTable::new(
            "air_before_and_after",
            "when side dial_c offset_c offset_lo_c offset_hi_c swing_c swing_lo_c swing_hi_c",
            rows,
        )
    }
}

/// Returns what the comparison found, a rack of which no change is told in one line.
fn said(view: &CompareView) -> Vec<String> {
    let racks = view.comparison.racks.iter();
    let same = || racks.clone().filter(|r| !words::has_changed(r));
    let of_same = |finding: &str| same().any(|r| is_of_rack(finding, r.rack));
    let told = view.findings.iter().filter(|f| !of_same(f)).cloned();
    same()
        .map(|r| format!("Rack {}: evenness: {}.", r.rack, state_words(r)))
        .chain(told)
        .collect()
}

fn change_table(view: &CompareView) -> Table {
    Table {
        head: Table::heads(
            "rack | evenness | probability of more even | \
             from place to place before, shades | after | change | change of lightest to darkest, shades",
        ),
        rows: view
            .comparison
            .racks
            .iter()
            .map(|r| {
                vec![
                    r.rack.to_string(),
                    state_words(r),
                    more_even_words(r),
                    words::interval(r.sd.before),
                    words::interval(r.sd.after),
                    words::change(r.sd.change),
                    words::change(r.spread.change),
                ]
            })
            .collect(),
    }
}

fn change_data(view: &CompareView) -> DataTable {
    let rows = view
        .comparison
        .racks
        .iter()
        .map(|r| {
            let mut line = vec![
                Value::Number(f64::from(r.rack)),
                Value::Words(r.verdict.key().to_owned()),
                Value::Number(r.more_even_ways.0),
                Value::Number(r.more_even_ways.1),
            ];
            for range in [r.level.change, r.spread.change, r.sd.change] {
                line.extend([range.value, range.lo, range.hi].map(Value::Number));
            }
            line
        })
        .collect();
    DataTable::new(
        "before_and_after",
        "rack verdict probability_more_even_by_factor probability_more_even_by_step \
         level_change_shade level_change_lo_shade level_change_hi_shade spread_change_shade \
         spread_change_lo_shade spread_change_hi_shade sd_change_shade sd_change_lo_shade \
         sd_change_hi_shade",
        rows,
    )
}
