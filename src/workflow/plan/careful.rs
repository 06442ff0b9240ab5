//! What to say before anything else: a recipe far from its kind of bake, a mode that is not for it.

use super::{Bake, PlanError, PlanRequest, words::said};
use crate::{
    model::{Mode, Oven},
    planner::{
        dial::Recipe,
        dose::{BROWNING_STARTS, surface},
    },
    units::{Celsius, Minutes, TemperatureUnit},
};

/// A recipe's temperature further from the kind's own than this is doubted, C (common practice, no source).
const FAR_OFF_C: f64 = 60.0;
/// A recipe's time this many times longer or shorter than the kind's own is doubted (common practice, no source).
const FAR_OFF_TIMES: f64 = 3.0;

/// Writes the sentences that belong in front of a plan's advice.
pub(super) fn sentences(oven: &Oven, bake: &Bake<'_>) -> Vec<String> {
    let request = bake.request;
    let mut out = Vec::new();
    let own = request.kind.recipe;
    if (bake.heat.air.0 - own.0).abs() > FAR_OFF_C {
        let unit = oven.dial.unit;
        out.push(format!(
            "Careful: {} is far from this bake's {}{}",
            unit.show(bake.heat.air),
            unit.show(own),
            other_unit(unit, bake.heat.air, own)
                .map_or_else(|| ".".to_owned(), |t| format!("; did you mean {t}?"))
        ));
    }
    let (time, usual) = (bake.dose.bake(), request.kind.time);
    let times = time.0 / usual.0;
    if !(1.0 / FAR_OFF_TIMES..=FAR_OFF_TIMES).contains(&times) {
        let side = if times > 1.0 { "long" } else { "short" };
        out.push(format!(
            "Careful: {} is very {side} for this bake, which usually takes {}; check the time.",
            said(time),
            said(usual)
        ));
    }
    out.extend(mode_is_not_for_it(request));
    out
}

/// What heat from one side only does to a bake (common practice, no source).
fn mode_is_not_for_it(request: &PlanRequest) -> Option<String> {
    match request.mode {
        Mode::TopOnly => Some(
            "Careful: top heat alone browns the top before the inside is done; it is for finishing only (common practice, no source)."
                .to_owned(),
        ),
        Mode::BottomOnly if request.kind.sugared_base => Some(
            "Careful: bottom heat alone burns a sugared base; bake this in another mode (common practice, no source)."
                .to_owned(),
        ),
        Mode::BottomOnly => Some(
            "Careful: bottom heat alone leaves the top pale; it is for crisping a base (common practice, no source)."
                .to_owned(),
        ),
        Mode::StillAir | Mode::Fan | Mode::Proofing => None,
    }
}

/// The same figure in the other unit, where that is near the bake's own: `180 C`.
fn other_unit(unit: TemperatureUnit, given: Celsius, own: Celsius) -> Option<String> {
    let other = match unit {
        TemperatureUnit::Fahrenheit => TemperatureUnit::Celsius,
        TemperatureUnit::Celsius => TemperatureUnit::Fahrenheit,
    };
    let meant = other.temperature(unit.figure(given));
    ((meant.0 - own.0).abs() <= FAR_OFF_C).then(|| other.show(meant))
}

/// Says why a bake browns nothing at all: too cool, or over too soon.
pub(super) fn browns_nothing(oven: &Oven, request: &PlanRequest, recipe: &Recipe) -> PlanError {
    const LONG: Minutes = Minutes(24.0 * 60.0);
    let unit = oven.dial.unit;
    let kind = request.kind.name.clone();
    let hottest = surface(&request.kind.curve, recipe.temperature, LONG);
    if hottest > BROWNING_STARTS {
        return PlanError::TooShort {
            time: recipe.time,
            recipe: unit.show(recipe.temperature),
            kind,
            usual: request.kind.time,
        };
    }
    let own = request.kind.recipe;
    PlanError::TooCool {
        recipe: unit.show(recipe.temperature),
        kind,
        surface: unit.show(hottest),
        starts: unit.show(BROWNING_STARTS),
        hint: other_unit(unit, recipe.temperature, own).map_or_else(
            || format!("this bake's own temperature is {}", unit.show(own)),
            |t| format!("did you mean {t}? This bake's own is {}", unit.show(own)),
        ),
    }
}
