//! What to set for what is wanted: from readings where there are any, else by the trade's custom.

use super::super::{
    kitchen::Records,
    readings::{OffsetTold, OvenSummary, offset_for, since_the_visit, summary},
};
use crate::{
    model::{Dial, Mode, Oven},
    planner::dial::{Recipe, fan_lower, setting},
    report::paper::{DataTable, Table, Value},
    units::{Celsius, CelsiusDelta, Minutes, TemperatureUnit},
};

/// A bake long enough for the fan's custom to hold, min.
const ORDINARY: Minutes = Minutes(30.0);
/// Marks a setting that is not sure yet.
const DOUBT: &str = " *";
/// Settings on the front at most.
const MOST_SETTINGS: usize = 2;
/// A recipe this near to a setting that was read is read itself, C.
const ALIKE: f64 = 1.0;
/// A mark this near to the exact setting is set instead, C: 5 F, the step of a fine dial (a choice, no source).
const FINE: f64 = 5.0 / 1.8;
/// Marks a setting beyond what was read.
const BEYOND: &str = "not read there";

/// The table for the door, the sentences that belong to it, and the figures behind it.
pub(super) struct DialTable {
    pub(super) table: Table,
    pub(super) words: Vec<String>,
    pub(super) data: DataTable,
}

/// Returns what readings say of the dial for a recipe; `None` where no sitting serves.
fn told(found: &OvenSummary, oven: &Oven, recipe: Celsius) -> Option<OffsetTold> {
    let lower = fan_lower(found.mode, oven.dial.unit).unwrap_or(CelsiusDelta(0.0));
    offset_for(found, oven, Celsius(recipe.0 - lower.0)).ok()
}

/// Returns the setting before rounding between the ends of what it lies between, C.
fn unrounded(
    found: &OvenSummary,
    told: &OffsetTold,
    oven: &Oven,
    recipe: Celsius,
) -> (f64, f64, f64) {
    let lower = fan_lower(found.mode, oven.dial.unit).unwrap_or(CelsiusDelta(0.0));
    let air = recipe.0 - lower.0;
    let offset = told.offset;
    (air - offset.hi.0, air - offset.value.0, air - offset.lo.0)
}

/// Says what to set where readings say so and it differs from the recipe: `set 335 for 350 F`; `None` where nothing does.
///
/// What was read itself comes first, the recipes of `bakes` before the rest; nothing is said where nothing was read, or too little.
pub(super) fn set_words(found: &OvenSummary, oven: &Oven, bakes: &[Celsius]) -> Option<String> {
    let (dial, unit) = (&oven.dial, oven.dial.unit);
    let figure = |t: Celsius| format!("{:.0}", unit.figure(t));
    let lower = fan_lower(found.mode, unit).unwrap_or(CelsiusDelta(0.0));
    let held = found.settings.iter().filter(|s| !s.is_low());
    let read: Vec<Celsius> = held.map(|s| s.dial + lower).collect();
    let is_read = |want: &Celsius| read.iter().any(|r| (r.0 - want.0).abs() < ALIKE);
    let mut wanted: Vec<Celsius> = bakes.iter().chain(&read).copied().collect();
    // A stable sort: within each part the order stays.
    wanted.sort_by_key(|want| !is_read(want));
    let mut pairs: Vec<(String, String)> = Vec::new();
    for want in wanted {
        let Some(told) = told(found, oven, want).filter(|t| !t.carried && t.sure) else {
            continue;
        };
        let (lo, exact, hi) = unrounded(found, &told, oven, want);
        let mark = dial.round(Celsius(exact));
        let serves = (lo..=hi).contains(&mark.0) || (mark.0 - exact).abs() <= FINE;
        let set = if serves { mark } else { Celsius(exact) };
        let pair = (figure(set), figure(want));
        if dial.reaches(set) && pair.0 != pair.1 && !pairs.contains(&pair) {
            pairs.push(pair);
        }
    }
    pairs.truncate(MOST_SETTINGS);
    let said: Vec<String> = pairs
        .iter()
        .map(|(set, recipe)| format!("{set} for {recipe}"))
        .collect();
    (!said.is_empty()).then(|| format!("set {} {}", said.join(", "), unit.letter()))
}

/// Makes the dial table of the modes that bake, with a row for every recipe of `bakes` too.
pub(super) fn dial_table(kitchen: &Records, oven: &Oven, bakes: &[Celsius]) -> DialTable {
    let modes: Vec<OvenSummary> = oven
        .modes
        .iter()
        .filter(|m| [Mode::StillAir, Mode::Fan].contains(m))
        .map(|m| summary(kitchen, oven, *m))
        .collect();
    let unit = oven.dial.unit;
    let mut head = vec!["recipe says (no fan)".to_owned()];
    head.extend(modes.iter().map(|m| format!("set, {}", m.mode.words())));
    let mut data = DataTable {
        name: "dial",
        columns: vec!["recipe_c", "mode", "set_c", "set_lo_c", "set_hi_c", "basis"],
        rows: Vec::new(),
    };
    let mut measured = vec![Vec::new(); modes.len()];
    let rows: Vec<Vec<String>> = wanted(&oven.dial, bakes)
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
    let marked = |with: &str| rows.iter().flatten().any(|cell| cell.contains(with));
    let mut words = Vec::new();
    if measured.iter().any(|m| !m.is_empty()) {
        let (step, letter) = (oven.dial.step, unit.letter());
        words.push(format!(
            "Settings are rounded to the dial's step of {step} {letter}. In brackets: what the exact setting lies between."
        ));
    }
    if marked(DOUBT) {
        words.push(format!(
            "{}: a first guess, read for less than three whole cycles.",
            DOUBT.trim()
        ));
    }
    if marked(BEYOND) {
        words.push(format!(
            "({BEYOND}): carried over from the nearest setting that was read."
        ));
    }
    for (found, evidence) in modes.iter().zip(measured) {
        words.push(basis_words(found, unit, evidence.first()));
    }
    DialTable {
        table: Table { head, rows },
        words,
        data,
    }
}

fn capital(mode: Mode) -> &'static str {
    match mode {
        Mode::StillAir => "No fan",
        Mode::Fan => "Fan",
        Mode::BottomOnly => "Bottom only",
        Mode::TopOnly => "Broil",
        Mode::Proofing => "Proofing",
    }
}

/// Returns round settings and the recipes of `bakes`, rising, within the dial's reach.
fn wanted(dial: &Dial, bakes: &[Celsius]) -> Vec<Celsius> {
    let (from, step, count) = match dial.unit {
        TemperatureUnit::Fahrenheit => (300.0, 25.0, 7),
        TemperatureUnit::Celsius => (140.0, 20.0, 6),
    };
    let mut all: Vec<Celsius> = (0..count)
        .map(|i| dial.unit.temperature(from + f64::from(i) * step))
        .chain(bakes.iter().copied())
        .filter(|t| (dial.lowest.0..=dial.highest.0 + 0.5).contains(&t.0))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.dedup_by(|a, b| (a.0 - b.0).abs() < 0.05);
    all
}

/// Returns one cell, its figures in C with their basis, and the evidence where it was measured.
fn one(found: &OvenSummary, oven: &Oven, want: Celsius) -> (String, Vec<Value>, Option<String>) {
    let unit = oven.dial.unit;
    let recipe = Recipe {
        temperature: want,
        time: ORDINARY,
        for_fan: false,
    };
    let numbers = |set: f64, lo: f64, hi: f64, basis: &str| {
        let mut values: Vec<Value> = [set, lo, hi].map(Value::Number).into();
        values.push(Value::Words(basis.to_owned()));
        values
    };
    let told = told(found, oven, want);
    let offset = told.as_ref().map(|t| &t.offset);
    let Ok(set) = setting(&recipe, found.mode, &oven.dial, offset) else {
        let values = numbers(f64::NAN, f64::NAN, f64::NAN, "beyond the dial");
        return ("beyond the dial".to_owned(), values, None);
    };
    let set = set.dial;
    match told {
        Some(told) if told.carried => {
            let cell = format!("{} ({BEYOND})", unit.show(set));
            let values = numbers(set.0, f64::NAN, f64::NAN, BEYOND);
            (cell, values, Some(told.evidence))
        }
        Some(told) => {
            let (lo, exact, hi) = unrounded(found, &told, oven, want);
            let doubt = if told.sure { "" } else { DOUBT };
            let set_words = if (lo..=hi).contains(&set.0) {
                unit.show(set)
            } else {
                let exact = unit.figure(Celsius(exact));
                format!("{exact:.0}, nearest mark {}", unit.show(set))
            };
            let cell = format!(
                "{set_words} ({:.0} to {:.0}){doubt}",
                unit.figure(Celsius(lo)),
                unit.figure(Celsius(hi))
            );
            let values = numbers(set.0, lo, hi, "readings");
            (cell, values, Some(told.evidence))
        }
        None => {
            let values = numbers(set.0, f64::NAN, f64::NAN, "trade default");
            (format!("{} (by custom)", unit.show(set)), values, None)
        }
    }
}

/// Says what a mode's column rests on; the fan's custom is in every setting of it, read or not.
fn basis_words(found: &OvenSummary, unit: TemperatureUnit, evidence: Option<&String>) -> String {
    let custom = fan_lower(found.mode, unit).map(|lower| {
        format!(
            "{:.0} {} lower than the recipe, as is the custom",
            unit.delta_figure(lower),
            unit.letter()
        )
    });
    let unread = if found.settings.is_empty() {
        let since = since_the_visit(found);
        let when = if since.is_empty() { " yet" } else { since };
        format!("no thermometer readings{when}, so the dial is assumed right")
    } else {
        "the thermometer readings do not serve yet, so the dial is assumed right".to_owned()
    };
    let name = capital(found.mode);
    match (custom, evidence) {
        (Some(custom), Some(evidence)) => format!(
            "{name}: {custom}; then as read, {evidence}. How much lower suits a bake best is not in the brackets."
        ),
        (Some(custom), None) => format!("{name}: {custom}; {unread}."),
        (None, Some(evidence)) => format!("{name}: from readings, {evidence}."),
        (None, None) => format!("{name}: {unread}."),
    }
}
