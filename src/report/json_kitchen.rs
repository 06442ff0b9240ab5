//! Ovens, toast tests, bake logs and the shade card as JSON.

use super::{card::CardEntry, json_plan::PlanJson};
use crate::model::formed::formed;
use crate::{
    model::{
        BakeLog, Dial, DoorOpening, Oven, PieceScore, Plate, RackPosition, Reading, ServiceVisit,
        Shade, Slice, ToastTest,
    },
    units::TemperatureUnit,
};
use jiff::{Unit, civil::DateTime};
use serde::Serialize;

formed! {
    #[derive(Debug, Serialize)]
    struct PlateJson from plate: &Plate {
        make: String = plate.make.clone(),
        model: String = plate.model.clone(),
        serial: String = plate.serial.clone(),
        contact: String = plate.contact.clone(),
    }
}

formed! {
    /// An oven.
    #[derive(Debug, Serialize)]
    pub struct OvenJson from oven: &Oven {
        id: String = oven.id.to_string(),
        name: String = oven.name.clone(),
        width_cm: f64 = oven.cavity.width.0,
        depth_cm: f64 = oven.cavity.depth.0,
        height_cm: f64 = oven.cavity.height.0,
        racks: Vec<RackJson> = oven.racks.iter().map(Into::into).collect(),
        heat: Vec<&'static str> = oven.heat.iter().map(|h| h.words()).collect(),
        modes: Vec<&'static str> = oven.modes.iter().map(|m| m.key()).collect(),
        dial: DialJson = (&oven.dial).into(),
        visits: Vec<VisitJson> = oven.visits.iter().map(Into::into).collect(),
        note: String = oven.note.clone(),
        #[serde(skip_serializing_if = "Option::is_none")]
        plate: Option<PlateJson> = (!oven.plate.is_empty()).then(|| (&oven.plate).into()),
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct RackJson from r: &RackPosition {
        rack: u8 = r.number,
        height_cm: f64 = r.height.0,
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct DialJson from dial: &Dial {
        unit: char = dial.unit.letter(),
        step_c: f64 = dial.unit.delta(dial.step).0,
        /// As the dial is marked; only where it is marked in F.
        #[serde(skip_serializing_if = "Option::is_none")]
        step_f: Option<f64> = (dial.unit == TemperatureUnit::Fahrenheit).then_some(dial.step),
        lowest_c: f64 = dial.lowest.0,
        highest_c: f64 = dial.highest.0,
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct VisitJson from visit: &ServiceVisit {
        when: String = minute(visit.when),
        what: String = visit.what.clone(),
    }
}

/// Writes a local time to the minute: seconds say nothing about an oven.
pub(super) fn minute(when: DateTime) -> String {
    let rounded = when.round(Unit::Minute).unwrap_or(when);
    rounded.strftime("%Y-%m-%dT%H:%M").to_string()
}

formed! {
    /// A toast test without its slices.
    #[derive(Debug, Serialize)]
    pub struct TestSummaryJson from test: &ToastTest {
        id: String = test.id.to_string(),
        oven: String = test.setup.oven.to_string(),
        mode: &'static str = test.setup.mode.key(),
        dial_c: f64 = test.setup.dial.0,
        racks: Vec<u8> = test.setup.racks.clone(),
        when: String = minute(test.when),
        minutes: Option<f64> = test.minutes.map(|m| m.0),
        slice_count: usize = test.slices.len(),
        scored: usize = test.scored(),
        complete: bool = test.is_complete(),
        note: String = test.note.clone(),
    }
}

/// One slice with its place and score.
#[derive(Debug, Serialize)]
pub struct SliceJson {
    /// As the layout numbers it, from 1.
    slice: usize,
    rack: u8,
    x_cm: f64,
    y_cm: f64,
    state: &'static str,
    shade: Option<f64>,
    lightness: Option<f64>,
    lightness_sd: Option<f64>,
}

impl SliceJson {
    /// Takes the slice at `index`, counted from 0.
    pub fn new(index: usize, slice: &Slice) -> Self {
        let (state, shade, measured) = match slice.reading {
            Reading::Unscored => ("unscored", None, None),
            Reading::Skipped => ("skipped", None, None),
            Reading::Missing => ("missing", None, None),
            Reading::ByEye(shade) => ("scored", Some(shade.value()), None),
            Reading::Measured { lightness, sd } => ("measured", None, Some((lightness, sd))),
        };
        Self {
            slice: index + 1,
            rack: slice.rack,
            x_cm: slice.place.x.0,
            y_cm: slice.place.y.0,
            state,
            shade,
            lightness: measured.map(|m| m.0),
            lightness_sd: measured.map(|m| m.1),
        }
    }
}

/// A toast test with its slices.
#[derive(Debug, Serialize)]
pub struct TestJson {
    #[serde(flatten)]
    summary: TestSummaryJson,
    /// The slice to score next, from 1; none when all are dealt with.
    next_slice: Option<usize>,
    slices: Vec<SliceJson>,
    /// What to mind before toasting; only of a new test.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    cautions: Vec<String>,
}

impl TestJson {
    /// Adds what to mind before the test is toasted.
    #[must_use]
    pub fn with_cautions(self, cautions: Vec<String>) -> Self {
        Self { cautions, ..self }
    }
}

impl From<&ToastTest> for TestJson {
    fn from(test: &ToastTest) -> Self {
        let open = test.cursor < test.slices.len();
        Self {
            summary: test.into(),
            cautions: Vec::new(),
            next_slice: open.then_some(test.cursor + 1),
            slices: test
                .slices
                .iter()
                .enumerate()
                .map(|(i, s)| SliceJson::new(i, s))
                .collect(),
        }
    }
}

formed! {
    /// A bake log.
    #[derive(Debug, Serialize)]
    pub struct BakeJson from bake: &BakeLog {
        id: String = bake.id.to_string(),
        oven: String = bake.oven.to_string(),
        mode: &'static str = bake.mode.key(),
        kind: String = bake.kind.clone(),
        started: String = minute(bake.started.civil()),
        baked_min: Option<f64> = bake.baked.map(|m| m.0),
        /// Added on the clock by hand.
        added_min: f64 = bake.added.0,
        openings: Vec<OpeningJson> = bake.openings.iter().map(Into::into).collect(),
        outcome: Vec<OutcomeJson> = bake.outcome.iter().map(Into::into).collect(),
        pieces: Vec<PieceJson> = bake.pieces.iter().map(Into::into).collect(),
        /// Whether it counts for the oven's map.
        in_map: bool = bake.in_map,
        note: String = bake.note.clone(),
        plan: PlanJson = PlanJson::new(&bake.plan, Vec::new(), Vec::new()),
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct OpeningJson from o: &DoorOpening {
        at_min: f64 = o.at.0,
        open_for_min: Option<f64> = o.open_for.map(|m| m.0),
        what: String = o.what.words().to_owned(),
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct OutcomeJson from outcome: &(usize, Shade) {
        tray: usize = outcome.0,
        shade: f64 = outcome.1.value(),
    }
}

formed! {
    #[derive(Debug, Serialize)]
    struct PieceJson from p: &PieceScore {
        tray: usize = p.tray,
        /// From 1 at the back, as the tray first went in.
        row: usize = p.row + 1,
        /// From 1 at the left.
        col: usize = p.col + 1,
        shade: f64 = p.shade.value(),
        pulled_min: Option<f64> = p.pulled.map(|m| m.0),
    }
}

/// The shade card.
#[derive(Debug, Serialize)]
pub struct CardJson {
    /// Browning of one whole shade.
    browning_per_shade: f64,
    shades: Vec<CardShadeJson>,
}

#[derive(Debug, Serialize)]
struct CardShadeJson {
    shade: f64,
    words: String,
    lightness: f64,
    a: f64,
    b: f64,
    srgb: String,
}

impl CardJson {
    /// Takes the card's entries, and the browning of one whole shade.
    pub fn new(entries: &[CardEntry<'_>], browning_per_shade: f64) -> Self {
        Self {
            browning_per_shade,
            shades: entries
                .iter()
                .map(|entry| {
                    let (l, a, b) = entry.lab;
                    let (red, green, blue) = entry.srgb;
                    CardShadeJson {
                        shade: entry.shade.value(),
                        words: entry.words.to_owned(),
                        lightness: l,
                        a,
                        b,
                        srgb: format!("#{red:02x}{green:02x}{blue:02x}"),
                    }
                })
                .collect(),
        }
    }
}

/// What an oven can start from.
#[derive(Debug, Serialize)]
pub struct TemplateJson {
    /// How it is named.
    pub key: String,
    /// What it is good for.
    pub reason: String,
    /// Its oven.
    pub oven: OvenJson,
}
