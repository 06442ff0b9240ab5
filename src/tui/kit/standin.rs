//! Temporary stand-ins for workflow modules that are being built; same names, same signatures.
#![allow(
    missing_docs,
    clippy::allow_attributes,
    clippy::allow_attributes_without_reason,
    clippy::missing_errors_doc,
    clippy::needless_pass_by_value,
    clippy::unnecessary_wraps,
    clippy::too_many_lines
)]

use crate::{
    field::map::{Evenness, FieldMap, Zone},
    model::*,
    units::{Celsius, Centimetres, LengthUnit, Minutes, TemperatureUnit},
};
use std::sync::OnceLock;

#[derive(Debug, thiserror::Error)]
pub enum KitchenError {
    #[error("the disk refused: {0}")]
    Refused(String),
}

#[derive(Debug, Default)]
pub struct Kitchen {
    ovens: Vec<Oven>,
    tests: Vec<ToastTest>,
    bakes: Vec<BakeLog>,
    pub broken: bool,
}

fn put<T>(all: &mut Vec<T>, one: T, same: impl Fn(&T, &T) -> bool) {
    match all.iter().position(|x| same(x, &one)) {
        Some(i) => all[i] = one,
        None => all.push(one),
    }
}

impl Kitchen {
    fn done(&self) -> Result<(), KitchenError> {
        if self.broken {
            Err(KitchenError::Refused("no space left".to_owned()))
        } else {
            Ok(())
        }
    }
    pub fn ovens(&self) -> &[Oven] {
        &self.ovens
    }
    pub fn oven(&self, id: &OvenId) -> Option<&Oven> {
        self.ovens.iter().find(|o| o.id == *id)
    }
    pub fn tests(&self) -> &[ToastTest] {
        &self.tests
    }
    pub fn tests_of(&self, oven: &OvenId) -> Vec<&ToastTest> {
        self.tests
            .iter()
            .filter(|t| t.setup.oven == *oven)
            .collect()
    }
    pub fn test(&self, id: &TestId) -> Option<&ToastTest> {
        self.tests.iter().find(|t| t.id == *id)
    }
    pub fn bakes_of(&self, oven: &OvenId) -> Vec<&BakeLog> {
        self.bakes.iter().filter(|b| b.oven == *oven).collect()
    }
    pub fn save_oven(&mut self, oven: Oven) -> Result<(), KitchenError> {
        put(&mut self.ovens, oven, |a, b| a.id == b.id);
        self.done()
    }
    pub fn save_test(&mut self, test: ToastTest) -> Result<(), KitchenError> {
        put(&mut self.tests, test, |a, b| a.id == b.id);
        self.done()
    }
    pub fn save_bake(&mut self, bake: BakeLog) -> Result<(), KitchenError> {
        put(&mut self.bakes, bake, |a, b| a.id == b.id);
        self.done()
    }
    pub fn remove_test(&mut self, id: &TestId) -> Result<(), KitchenError> {
        self.tests.retain(|t| t.id != *id);
        self.done()
    }
    pub fn fresh_test_id(&self, oven: &OvenId, day: jiff::civil::Date) -> TestId {
        let n = self.tests.len() + 1;
        TestId::new(&format!("{oven}-{day}-{n}")).expect("an id")
    }
    pub fn fresh_oven_id(&self, name: &str) -> OvenId {
        let base = id::slug(name);
        let mut n = 1;
        loop {
            let id = if n == 1 {
                base.clone()
            } else {
                format!("{base}-{n}")
            };
            let id = OvenId::new(&id).expect("an id");
            if self.oven(&id).is_none() {
                return id;
            }
            n += 1;
        }
    }
}

#[derive(Debug)]
pub struct OvenTemplate {
    pub key: String,
    pub name: String,
    pub reason: String,
    pub oven: Oven,
}

pub fn oven_templates() -> &'static [OvenTemplate] {
    static ALL: OnceLock<Vec<OvenTemplate>> = OnceLock::new();
    ALL.get_or_init(|| {
        let oven = Oven {
            id: OvenId::new("wall-oven").expect("an id"),
            name: "wall oven".to_owned(),
            cavity: Cavity {
                width: Centimetres(61.0),
                depth: Centimetres(48.0),
                height: Centimetres(43.0),
            },
            racks: (1..=5_u8)
                .map(|n| RackPosition {
                    number: n,
                    height: Centimetres(5.0 + 6.5 * f64::from(n - 1)),
                })
                .collect(),
            heat: vec![
                HeatSource::BottomElement,
                HeatSource::TopElement,
                HeatSource::RearFan,
            ],
            modes: vec![Mode::StillAir, Mode::Fan],
            dial: Dial {
                unit: TemperatureUnit::Fahrenheit,
                step: 5.0,
                lowest: TemperatureUnit::Fahrenheit.temperature(170.0),
                highest: TemperatureUnit::Fahrenheit.temperature(550.0),
            },
            lengths: LengthUnit::Inches,
            visits: Vec::new(),
            note: String::new(),
        };
        let mut small = oven.clone();
        small.name = "countertop oven".to_owned();
        small.cavity = Cavity {
            width: Centimetres(36.0),
            depth: Centimetres(30.0),
            height: Centimetres(22.0),
        };
        small.racks.truncate(2);
        small.modes = vec![Mode::StillAir, Mode::Fan, Mode::Proofing];
        vec![
            OvenTemplate {
                key: "wall".into(),
                name: "30-inch wall oven".into(),
                reason: "the usual built-in".into(),
                oven,
            },
            OvenTemplate {
                key: "countertop".into(),
                name: "countertop oven".into(),
                reason: "small, holds low settings".into(),
                oven: small,
            },
        ]
    })
}

pub struct CardShade {
    pub shade: Shade,
    pub words: String,
    pub lab: (f64, f64, f64),
}

pub fn shade_card() -> &'static [CardShade] {
    static ALL: OnceLock<Vec<CardShade>> = OnceLock::new();
    ALL.get_or_init(|| {
        [
            "untoasted",
            "dried",
            "first colour",
            "pale gold",
            "golden",
            "deep gold",
            "brown",
            "dark brown",
            "nearly black",
            "burnt black",
        ]
        .iter()
        .zip(0_u8..)
        .map(|(w, d)| {
            let shade = Shade::whole(d).expect("a shade");
            let l = shade.browning().lightness(84.0);
            CardShade {
                shade,
                words: (*w).to_owned(),
                lab: (l, 8.0, 28.0),
            }
        })
        .collect()
    })
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Occasion {
    ToastTest,
    Thermometer,
    Technician,
    Bake,
}

pub fn cautions(_occasion: Occasion) -> &'static [String] {
    static ALL: OnceLock<Vec<String>> = OnceLock::new();
    ALL.get_or_init(|| vec!["Stay with the oven while bread toasts.".to_owned()])
}

/// Same fields as the real one, without its fit.
#[derive(Debug, Clone)]
pub struct MapView {
    pub map: FieldMap,
    pub zones: Vec<Zone>,
    pub evenness: Vec<Evenness>,
    pub untoasted: f64,
    pub findings: Vec<String>,
    pub warnings: Vec<Warning>,
}

#[derive(Debug, thiserror::Error)]
#[error("no map yet")]
pub struct NoMap;

pub fn map_of(
    _oven: &Oven,
    _tests: &[&ToastTest],
    _grid: (usize, usize),
) -> Result<MapView, NoMap> {
    Err(NoMap)
}

#[derive(Debug, Clone)]
pub struct PlanRequest {
    pub kind: BakeKind,
    pub trays: usize,
    pub tray: Tray,
    pub max_openings: usize,
    pub mode: Mode,
    pub recipe: Option<Celsius>,
    pub time: Option<Minutes>,
    pub seed: u64,
}

#[derive(Debug, thiserror::Error)]
#[error("no plan yet")]
pub struct NoPlan;

pub fn plan_bake(
    _oven: &Oven,
    _view: Option<&MapView>,
    _request: &PlanRequest,
) -> Result<Plan, NoPlan> {
    Err(NoPlan)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScoreKey {
    Digit(u8),
    Half,
    Skip,
    Missing,
    Undo,
    Redo,
    To(usize),
    Left,
    Right,
    Up,
    Down,
}

#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct ScoreError(pub String);

#[derive(Debug)]
pub struct Scoring {
    test: ToastTest,
    past: Vec<ToastTest>,
    future: Vec<ToastTest>,
}

impl Scoring {
    pub fn new(test: ToastTest) -> Self {
        Self { test, past: vec![], future: vec![] }
    }
    pub fn test(&self) -> &ToastTest {
        &self.test
    }
    pub fn cursor(&self) -> usize {
        self.test.cursor
    }
    pub fn apply(&mut self, key: ScoreKey) -> Result<bool, ScoreError> {
        let before = self.test.clone();
        let n = self.test.slices.len();
        let at = self.test.cursor;
        let mut set = |test: &mut ToastTest, reading| {
            if at < n {
                test.slices[at].reading = reading;
                test.cursor = test.next_unscored(at + 1).unwrap_or(n);
            }
        };
        match key {
            ScoreKey::Digit(d) => set(&mut self.test, Reading::ByEye(Shade::whole(d).map_err(|e| ScoreError(e.to_string()))?)),
            ScoreKey::Skip => set(&mut self.test, Reading::Skipped),
            ScoreKey::Missing => set(&mut self.test, Reading::Missing),
            ScoreKey::Half => {
                let last = at.checked_sub(1).and_then(|i| self.test.slices.get_mut(i));
                if let Some(slice) = last
                    && let Reading::ByEye(s) = slice.reading
                {
                    slice.reading = Reading::ByEye(s.toggle_half());
                }
            }
            ScoreKey::Undo => {
                return Ok(self.past.pop().map(|p| self.future.push(std::mem::replace(&mut self.test, p))).is_some());
            }
            ScoreKey::Redo => {
                return Ok(self.future.pop().map(|p| self.past.push(std::mem::replace(&mut self.test, p))).is_some());
            }
            ScoreKey::To(i) => self.test.cursor = i.min(n),
            ScoreKey::Left => self.test.cursor = at.saturating_sub(1),
            ScoreKey::Right => self.test.cursor = (at + 1).min(n),
            ScoreKey::Up | ScoreKey::Down => {}
        }
        let changed = self.test != before;
        if self.test.slices != before.slices {
            self.past.push(before);
            self.future.clear();
        }
        Ok(changed)
    }
}

#[derive(Debug, Clone)]
pub struct LayoutRequest {
    pub racks: Vec<u8>,
    pub slice: SliceSize,
    pub gap: Centimetres,
    pub clearance: Centimetres,
    pub counts: Option<(usize, usize)>,
}

#[derive(Debug, Clone)]
pub struct Layout {
    pub slices: Vec<Slice>,
    pub cols: usize,
    pub rows: usize,
    pub per_rack: usize,
    pub loaves: usize,
    pub dial: Celsius,
    pub minutes: (Minutes, Minutes),
    pub pull_when: String,
    pub warnings: Vec<Warning>,
}

#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct LayoutError(pub String);

pub fn lay_out(oven: &Oven, _mode: Mode, request: &LayoutRequest) -> Result<Layout, LayoutError> {
    let fit = |side: f64, slice: f64| {
        let n = ((side - 2.0 * request.clearance.0 + request.gap.0) / (slice + request.gap.0)).floor();
        if n < 1.0 { 0 } else { n as usize }
    };
    let (cols, rows) = (fit(oven.cavity.width.0, request.slice.width.0), fit(oven.cavity.depth.0, request.slice.depth.0));
    if cols * rows == 0 || request.racks.is_empty() {
        return Err(LayoutError("no slice fits; choose a rack position and a smaller slice".to_owned()));
    }
    let mut slices = Vec::new();
    for rack in &request.racks {
        for row in 0..rows {
            for col in 0..cols {
                let place = Place {
                    x: Centimetres(request.clearance.0 + (oven.cavity.width.0 - 2.0 * request.clearance.0) * (col as f64 + 0.5) / cols as f64),
                    y: Centimetres(oven.cavity.depth.0 - request.clearance.0 - (oven.cavity.depth.0 - 2.0 * request.clearance.0) * (row as f64 + 0.5) / rows as f64),
                };
                slices.push(Slice { rack: *rack, place, reading: Reading::Unscored });
            }
        }
    }
    let per_rack = cols * rows;
    Ok(Layout {
        loaves: slices.len().div_ceil(20),
        slices,
        cols,
        rows,
        per_rack,
        dial: TemperatureUnit::Fahrenheit.temperature(350.0),
        minutes: (Minutes(8.0), Minutes(12.0)),
        pull_when: "the thinnest light slice is golden".to_owned(),
        warnings: Vec::new(),
    })
}
