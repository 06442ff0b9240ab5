//! What to set for what is wanted: from readings where there are any, else by the trade's custom.

use super::super::{
    kitchen::Kitchen,
    readings::{OvenSummary, dial_of, summary},
};
use crate::{
    model::{Dial, Mode, Oven},
    planner::dial::{Recipe, setting},
    report::paper::{DataTable, Table, Value},
    units::{Celsius, Minutes, TemperatureUnit},
};

/// A bake long enough for the fan's custom to hold, min.
const ORDINARY: Minutes = Minutes(30.0);

/// Marks a setting that is not sure yet.
const DOUBT: &str = " *";

/// The table for the door, the sentences that belong to it, and the figures behind it.
pub(super) struct DialTable {
    pub(super) table: Table,
    pub(super) words: Vec<String>,
    pub(super) data: DataTable,
}

/// Makes the dial table of the modes that bake.
pub(super) fn dial_table(kitchen: &Kitchen, oven: &Oven) -> DialTable {
    let modes: Vec<OvenSummary> = oven
        .modes
        .iter()
        .filter(|m| [Mode::StillAir, Mode::Fan].contains(m))
        .map(|m| summary(kitchen, oven, *m))
        .collect();
    let unit = oven.dial.unit;
    let mut head = vec!["recipe says (still air)".to_owned()];
    head.extend(modes.iter().map(|m| format!("set, {}", m.mode.words())));
    let mut data = DataTable {
        name: "dial",
        columns: vec!["recipe_c", "mode", "set_c", "set_lo_c", "set_hi_c", "basis"],
        rows: Vec::new(),
    };
    let mut measured = vec![Vec::new(); modes.len()];
    let rows: Vec<Vec<String>> = wanted(&oven.dial)
        .into_iter()
        .map(|want| {
            let mut row = vec![unit.show(want)];
            for (found, evidence) in modes.iter().zip(&mut measured) {
                let (cell, values, basis) = one(found, oven, want);
                row.push(cell);
                evidence.extend(basis);
                let mut line = vec![
                    Value::Number(want.0),
                    Value::Words(found.mode.key().to_owned()),
                ];
                line.extend(values);
                data.rows.push(line);
            }
            row
        })
        .collect();
    let mut words = Vec::new();
    if measured.iter().any(|m| !m.is_empty()) {
        let (step, letter) = (oven.dial.step, unit.letter());
        words.push(format!(
            "Settings are rounded to the dial's step of {step} {letter}; in brackets where the exact one lies (90 %)."
        ));
    }
    if rows.iter().flatten().any(|cell| cell.ends_with(DOUBT)) {
        words.push(format!(
            "{}: rests on less than three whole cycles.",
            DOUBT.trim()
        ));
    }
    for (found, evidence) in modes.iter().zip(measured) {
        words.push(match evidence.first() {
            Some(evidence) => format!("{}: from readings, {evidence}.", capital(found.mode)),
            None => trade_words(found.mode, unit),
        });
    }
    DialTable {
        table: Table { head, rows },
        words,
        data,
    }
}

fn capital(mode: Mode) -> &'static str {
    match mode {
        Mode::StillAir => "Still air",
        Mode::Fan => "Fan",
        Mode::BottomOnly => "Bottom only",
        Mode::TopOnly => "Top only",
        Mode::Proofing => "Proofing",
    }
}

/// Returns round settings within the dial's reach.
fn wanted(dial: &Dial) -> Vec<Celsius> {
    let (from, step, count) = match dial.unit {
        TemperatureUnit::Fahrenheit => (300.0, 25.0, 7),
        TemperatureUnit::Celsius => (140.0, 20.0, 6),
    };
    (0..count)
        .map(|i| dial.unit.temperature(from + f64::from(i) * step))
        .filter(|t| (dial.lowest.0..=dial.highest.0 + 0.5).contains(&t.0))
        .collect()
}

/// Returns one cell, its figures in C with their basis, and the evidence where it was measured.
fn one(found: &OvenSummary, oven: &Oven, want: Celsius) -> (String, Vec<Value>, Option<String>) {
    let unit = oven.dial.unit;
    let recipe = Recipe {
        temperature: want,
        time: ORDINARY,
    };
    let numbers = |set: f64, lo: f64, hi: f64, basis: &str| {
        let mut values: Vec<Value> = [set, lo, hi].map(Value::Number).into();
        values.push(Value::Words(basis.to_owned()));
        values
    };
    // What the air should be in this mode, before the oven's own error.
    let by_custom = match setting(&recipe, found.mode, &oven.dial, None) {
        Ok(by_custom) => by_custom,
        Err(_beyond_the_dial) => {
            let values = numbers(f64::NAN, f64::NAN, f64::NAN, "beyond the dial");
            return ("beyond the dial".to_owned(), values, None);
        }
    };
    match dial_of(found, oven, by_custom.dial) {
        Ok(answer) => {
            let (lo, hi) = answer.range;
            let doubt = if answer.sure { "" } else { DOUBT };
            let cell = format!(
                "{} ({:.0} to {:.0}){doubt}",
                unit.show(answer.set),
                unit.figure(lo),
                unit.figure(hi)
            );
            let values = numbers(answer.set.0, lo.0, hi.0, "readings");
            (cell, values, Some(answer.evidence))
        }
        Err(_not_read) => {
            let set = by_custom.dial;
            let values = numbers(set.0, f64::NAN, f64::NAN, "trade default");
            (format!("{} (trade default)", unit.show(set)), values, None)
        }
    }
}

fn trade_words(mode: Mode, unit: TemperatureUnit) -> String {
    let unread = "not read with a thermometer, so the dial is taken at its word";
    match (mode, unit) {
        (Mode::Fan, TemperatureUnit::Fahrenheit) => {
            format!("Fan: 25 F lower than the recipe (common practice, no source); {unread}.")
        }
        (Mode::Fan, TemperatureUnit::Celsius) => {
            format!("Fan: 15 C lower than the recipe (common practice, no source); {unread}.")
        }
        (Mode::StillAir | Mode::BottomOnly | Mode::TopOnly | Mode::Proofing, _) => {
            format!("{}: {unread}.", capital(mode))
        }
    }
}
