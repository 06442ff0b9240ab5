//! Figures, words and JSON of a result, looked through for what is not a number and for browning below zero.

use rackshade::{
    field::{Fit, lattice},
    model::Oven,
    report::{
        Quantity,
        json::JsonResult,
        json_compare::CompareJson,
        json_map::{MapJson, MapParts},
        json_plan::PlanJson,
        text::{Characters, CompareSheet, MapSheet, compare_text, map_text, plan_text},
    },
    workflow::{compare::CompareView, plan::Planned, view::MapView},
};
use serde_json::Value;
use std::{collections::BTreeMap, fmt};

/// Browning this far below zero is rounding.
const ROUNDING: f64 = 1e-9;
/// What may be absent in JSON: a figure that was not asked for or cannot be told by its nature. `shade`,
/// `lightness` and `lightness_se` are of slices not read, or read in the other way.
const MAY_BE_ABSENT: [&str; 12] = [
    // the name of a recipe, where a plan is for a kind
    "recipe",
    "paired",
    "t",
    "to_settle",
    "more_tests_after",
    "more_tests_on_both_sides",
    "shade",
    "lightness",
    "lightness_se",
    // of a dial that was not read
    "set_c",
    "set_lo_c",
    "set_hi_c",
];

/// What is wrong, by face: how often, and where first.
#[derive(Default)]
pub(crate) struct Faults {
    found: BTreeMap<String, (usize, u64, String)>,
    seed: u64,
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (face, (times, seed, first)) in &self.found {
            writeln!(f, "{face}: {times} times, first in test {seed}: {first}")?;
        }
        Ok(())
    }
}

impl Faults {
    pub(crate) fn begin(&mut self, seed: u64) {
        self.seed = seed;
    }

    pub(crate) fn seed(&self) -> u64 {
        self.seed
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    pub(crate) fn note(&mut self, face: &str, what: impl Into<String>) {
        let entry = self.found.entry(face.to_owned());
        entry.or_insert_with(|| (0, self.seed, what.into())).0 += 1;
    }

    /// Looks for words that stand for no number.
    pub(crate) fn words(&mut self, face: &str, text: &str) {
        if let Some(at) = no_number_in(text) {
            let from = text[..at].rfind('\n').map_or(0, |i| i + 1);
            let line: String = text[from..].chars().take(100).collect();
            self.note(face, line.lines().next().unwrap_or_default());
        }
    }

    /// Looks through every figure of a result: its debug form has them all.
    pub(crate) fn figures(&mut self, face: &str, result: &impl fmt::Debug) {
        let text = format!("{result:?}");
        if let Some(at) = no_number_in(&text) {
            let from = text[..at].rfind(", ").unwrap_or(0);
            self.note(face, text[from..].chars().take(40).collect::<String>());
        }
    }

    pub(crate) fn not_below_zero(&mut self, face: &str, browning: impl IntoIterator<Item = f64>) {
        let least = browning.into_iter().fold(f64::INFINITY, f64::min);
        if least < -ROUNDING {
            self.note(face, format!("{least:.4}"));
        }
    }

    /// Looks for words and for `null` where a number belongs; returns what was read.
    pub(crate) fn json(&mut self, face: &str, text: &str) -> Value {
        self.words(face, text);
        let value = serde_json::from_str(text).unwrap_or(Value::Null);
        if let Some(key) = absent_in(&value, "all of it") {
            self.note(face, format!("null as {key}"));
        }
        value
    }
}

/// Finds `NaN`, `inf` or `infinity` as words of their own, signed or not.
fn no_number_in(text: &str) -> Option<usize> {
    let part_of_word = |b: Option<&u8>| b.is_some_and(u8::is_ascii_alphanumeric);
    let bytes = text.as_bytes();
    ["NaN", "nan", "inf", "Infinity", "infinity"]
        .into_iter()
        .flat_map(|word| text.match_indices(word))
        .find(|(at, word)| {
            let before = at.checked_sub(1).and_then(|i| bytes.get(i));
            !part_of_word(before) && !part_of_word(bytes.get(at + word.len()))
        })
        .map(|(at, _)| at)
}

/// Finds the first key with nothing where a figure belongs.
fn absent_in(value: &Value, key: &str) -> Option<String> {
    match value {
        Value::Null => (!MAY_BE_ABSENT.contains(&key)).then(|| key.to_owned()),
        Value::Array(items) => items.iter().find_map(|v| absent_in(v, key)),
        Value::Object(map) => map.iter().find_map(|(k, v)| absent_in(v, k)),
        Value::Bool(_) | Value::Number(_) | Value::String(_) => None,
    }
}

/// Returns every number under a key, however deep.
pub(crate) fn numbers(value: &Value, key: &str) -> Vec<f64> {
    fn all(value: &Value, out: &mut Vec<f64>) {
        match value {
            Value::Number(n) => out.extend(n.as_f64()),
            Value::Array(items) => items.iter().for_each(|v| all(v, out)),
            Value::Object(_) | Value::Null | Value::Bool(_) | Value::String(_) => {}
        }
    }
    let mut out = Vec::new();
    match value {
        Value::Object(map) => {
            for (k, v) in map {
                if k == key {
                    all(v, &mut out);
                }
                out.extend(numbers(v, key));
            }
        }
        Value::Array(items) => out.extend(items.iter().flat_map(|v| numbers(v, key))),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
    out
}

/// What maps are drawn in.
pub(crate) fn quantities(oven: &Oven, view: &MapView) -> [Quantity; 2] {
    [
        Quantity::Shade,
        Quantity::Degrees {
            unit: oven.dial.unit,
            per_c: view.sensitivity.per_c,
        },
    ]
}

/// Lays a map out as commands do.
pub(crate) fn map_sheet<'m>(oven: &'m Oven, view: &'m MapView, quantity: Quantity) -> MapSheet<'m> {
    MapSheet {
        oven,
        map: &view.map,
        zones: &view.zones,
        evenness: &view.evenness,
        findings: &view.findings,
        warnings: &view.warnings,
        quantity,
        characters: Characters::Ascii,
    }
}

/// A map: its figures, its places, its samples, its text and its JSON.
pub(crate) fn mapped(oven: &Oven, view: &MapView, faults: &mut Faults) {
    faults.figures("map, figures", &view.map);
    faults.figures("zones, figures", &view.zones);
    faults.figures("evenness, figures", &view.evenness);
    faults.figures("sensitivity, figures", &view.sensitivity);
    faults.figures("disagreement of slices", &view.fit.disagreement());
    for rack in &view.map.racks {
        faults.not_below_zero("map, browning below zero", rack.mean.iter().copied());
        faults.not_below_zero("map, mean of a rack below zero", [rack.rack_mean]);
        places(oven, view, rack.rack, faults);
        let drawn = samples(&view.fit, view, rack.rack);
        faults.figures("joint samples, figures", &drawn);
        faults.not_below_zero(
            "joint samples, browning below zero",
            drawn.into_iter().flatten(),
        );
    }
    for quantity in quantities(oven, view) {
        faults.words("map, text", &map_text(&map_sheet(oven, view, quantity)));
    }
    let parts = MapParts {
        map: &view.map,
        zones: &view.zones,
        evenness: &view.evenness,
        untoasted: view.untoasted,
    };
    let warnings = view.warnings.iter().map(ToString::to_string).collect();
    match MapJson::new(parts, &view.findings, warnings).to_json_text() {
        Ok(text) => {
            let json = faults.json("map, json", &text);
            // Lighter than untoasted bread is browning below zero.
            let above = numbers(&json, "lightness_hi")
                .into_iter()
                .map(|l| view.untoasted - l);
            faults.not_below_zero("map, json, interval lighter than untoasted (L*)", above);
        }
        Err(why) => faults.note("map, json", why.to_string()),
    }
}

/// The one place that draws joint samples.
fn samples(fit: &Fit, view: &MapView, rack: u8) -> Vec<Vec<f64>> {
    let grid = view.rack(rack).map(|r| r.grid);
    let points = grid.map_or_else(Vec::new, |grid| lattice(rack, &grid));
    fit.samples(&points, 20, 1)
}

/// Reads the map in its corners, its middle and on a wall.
fn places(oven: &Oven, view: &MapView, rack: u8, faults: &mut Faults) {
    let (w, d) = (oven.cavity.width.0, oven.cavity.depth.0);
    for (x, y) in [
        (0.1, 0.1),
        (w - 0.1, d - 0.1),
        (w / 2.0, d / 2.0),
        (w / 3.0, 0.0),
    ] {
        let read = view.read_out(rack, x, y);
        faults.figures("reading of a place, figures", &read);
        let shade = read.iter().map(|r| r.shade.value);
        faults.not_below_zero("reading of a place, shade below zero", shade);
        let lower = read.iter().map(|r| r.shade.lo);
        faults.not_below_zero("reading of a place, interval below zero (shades)", lower);
        let point = view.fit.at(rack, x, y);
        faults.figures("estimate of a place, figures", &point);
        faults.not_below_zero(
            "estimate of a place, browning below zero",
            point.iter().map(|p| p.mean),
        );
    }
}

/// A plan: its figures, its text and its JSON.
pub(crate) fn planned(oven: &Oven, planned: &Planned, faults: &mut Faults) {
    faults.figures("plan, figures", planned);
    let ratios = planned
        .plan
        .forecast
        .iter()
        .flat_map(|f| [f.ratio, f.range.0]);
    faults.not_below_zero("plan, browning of a piece below zero", ratios);
    let text = plan_text(&planned.plan, &planned.sentences(), oven);
    faults.words("plan, text", &text);
    let warnings = planned.warnings.iter().map(ToString::to_string).collect();
    match PlanJson::new(&planned.plan, planned.advice.clone(), warnings).to_json_text() {
        Ok(text) => {
            faults.json("plan, json", &text);
        }
        Err(why) => faults.note("plan, json", why.to_string()),
    }
}

/// A comparison: its figures, its text and its JSON.
pub(crate) fn compared(view: &CompareView, faults: &mut Faults) {
    faults.figures("comparison, figures", &view.comparison);
    for rack in &view.comparison.racks {
        let both = rack.before.mean.iter().chain(&rack.after.mean);
        faults.not_below_zero("comparison, browning below zero", both.copied());
    }
    for quantity in [
        Quantity::Shade,
        Quantity::Degrees {
            unit: view.unit,
            per_c: view.sensitivity.per_c,
        },
    ] {
        let sheet = CompareSheet {
            comparison: &view.comparison,
            tests: &view.tests,
            findings: &view.findings,
            warnings: &view.warnings,
            quantity,
        };
        faults.words("comparison, text", &compare_text(&sheet));
    }
    let warnings = view.warnings.iter().map(ToString::to_string).collect();
    match CompareJson::new(&view.comparison, &view.tests, (&view.findings, warnings)).to_json_text()
    {
        Ok(text) => {
            faults.json("comparison, json", &text);
        }
        Err(why) => faults.note("comparison, json", why.to_string()),
    }
}
