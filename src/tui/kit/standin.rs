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
