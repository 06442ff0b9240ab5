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
    units::{Celsius, Centimetres, Minutes, TemperatureUnit},
};

/// Same fields as the real one, without its fit.
#[derive(Debug, Clone)]
pub struct MapView {
    pub map: FieldMap,
    pub zones: Vec<Zone>,
    pub evenness: Vec<Evenness>,
    pub sensitivity: Sensitivity,
    pub untoasted: f64,
    pub findings: Vec<String>,
    pub warnings: Vec<Warning>,
}

#[derive(Debug, Clone, Copy)]
pub struct Sensitivity {
    pub per_c: f64,
    pub relative_sd: f64,
}

#[derive(Debug, Clone, Copy)]
pub struct ReadOut {
    pub shade: crate::field::Range,
    pub degrees_c: crate::field::Range,
    pub rise_c_per_cm: (f64, f64),
}

impl MapView {
    pub fn read_out(&self, _rack: u8, _x: f64, _y: f64) -> Option<ReadOut> {
        None
    }
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
        let n =
            ((side - 2.0 * request.clearance.0 + request.gap.0) / (slice + request.gap.0)).floor();
        if n < 1.0 { 0 } else { n as usize }
    };
    let (cols, rows) = (
        fit(oven.cavity.width.0, request.slice.width.0),
        fit(oven.cavity.depth.0, request.slice.depth.0),
    );
    if cols * rows == 0 || request.racks.is_empty() {
        return Err(LayoutError(
            "no slice fits; choose a rack position and a smaller slice".to_owned(),
        ));
    }
    let mut slices = Vec::new();
    for rack in &request.racks {
        for row in 0..rows {
            for col in 0..cols {
                let place = Place {
                    x: Centimetres(
                        request.clearance.0
                            + (oven.cavity.width.0 - 2.0 * request.clearance.0)
                                * (col as f64 + 0.5)
                                / cols as f64,
                    ),
                    y: Centimetres(
                        oven.cavity.depth.0
                            - request.clearance.0
                            - (oven.cavity.depth.0 - 2.0 * request.clearance.0)
                                * (row as f64 + 0.5)
                                / rows as f64,
                    ),
                };
                slices.push(Slice {
                    rack: *rack,
                    place,
                    reading: Reading::Unscored,
                });
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
