//! Recipes as JSON.

use crate::{
    model::{Recipe, Shade, Written},
    units::Celsius,
};
use serde::Serialize;

/// A recipe, for other programs: degrees Celsius, minutes and centimetres.
#[derive(Debug, Serialize)]
pub struct RecipeJson {
    id: String,
    name: String,
    /// `no-fan`, `fan` or `gas-mark`.
    written: &'static str,
    /// As it was written, with its unit.
    written_as: String,
    gas_mark: Option<String>,
    still_air_c: f64,
    fan_c: f64,
    minutes: f64,
    wanted_shade: Option<f64>,
    tray_cm: [f64; 2],
    pieces: [usize; 2],
    kind: String,
    note: String,
}

impl RecipeJson {
    /// Makes the form; the temperatures are those without and with a fan.
    pub fn new(recipe: &Recipe, still_air: Celsius, fan: Celsius) -> Self {
        let (written, gas_mark) = match recipe.written {
            Written::NoFan(_) => ("no-fan", None),
            Written::Fan(_) => ("fan", None),
            Written::Gas(mark) => ("gas-mark", Some(mark.to_string())),
        };
        let tray = recipe.tray;
        Self {
            id: recipe.id.to_string(),
            name: recipe.name.clone(),
            written,
            written_as: recipe.written_words(),
            gas_mark,
            still_air_c: still_air.0,
            fan_c: fan.0,
            minutes: recipe.time.0,
            wanted_shade: recipe.wanted.map(Shade::value),
            tray_cm: [tray.width.0, tray.depth.0],
            pieces: [tray.across, tray.deep],
            kind: recipe.kind.clone(),
            note: recipe.note.clone(),
        }
    }
}
