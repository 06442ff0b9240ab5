//! What is said of a recipe that is far from what its kind of bake usually takes.

use super::PlanRequest;
use crate::{
    model::Warning,
    units::{Celsius, TemperatureUnit, plain},
};

/// A time this many times the usual one, or its part, is more likely a slip of the hand (common practice,
/// no source).
const TIMES: f64 = 3.0;
/// A temperature this far from the usual one too, C (common practice, no source).
const APART: f64 = 60.0;

/// Says where a recipe's time or temperature is far from what the kind of bake usually takes.
pub fn unusual(request: &PlanRequest, unit: TemperatureUnit) -> Vec<Warning> {
    let kind = &request.kind;
    let mut out = Vec::new();
    if let Some(time) = request.time {
        let ratio = time.0 / kind.time.0;
        if !(1.0 / TIMES..=TIMES).contains(&ratio) {
            out.push(Warning::new(
                format!(
                    "{} min is far from the usual {} min of {}",
                    plain(time.0),
                    plain(kind.time.0),
                    kind.name
                ),
                "check the recipe's time",
            ));
        }
    }
    let apart = |recipe: &Celsius| (recipe.0 - kind.recipe.0).abs() > APART;
    if let Some(recipe) = request.recipe.filter(apart) {
        out.push(Warning::new(
            format!(
                "{} is far from the usual {} of {}",
                unit.show(recipe),
                unit.show(kind.recipe),
                kind.name
            ),
            "check the recipe's temperature",
        ));
    }
    out
}
