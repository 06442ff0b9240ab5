//! What to say before anything else: a recipe far from its kind of bake, a mode that is not for it.

use super::{
    bake::{Bake, FAR_OFF_C},
    request::PlanRequest,
    words::said,
};
use crate::{
    model::{Gravity, Mode, Oven, Plan, Warning},
    planner::placement::burns_from_below,
    units::Centimetres,
    workflow::catalogue::base_of,
};

/// A recipe's time this many times longer or shorter than the kind's own is doubted (common practice, no source).
const FAR_OFF_TIMES: f64 = 3.0;

/// Returns what stands against the bake as it was asked for.
pub(super) fn warnings(oven: &Oven, bake: &Bake<'_>) -> Vec<Warning> {
    let request = bake.request;
    let mut out = Vec::new();
    // A recipe is held against the kind it browns like.
    let kind = base_of(&request.kind);
    let own = kind.recipe;
    if (bake.asked.0.air.0 - own.0).abs() > FAR_OFF_C {
        let unit = oven.dial.unit;
        out.push(Warning::misleads(
            format!(
                "{} is far from this bake's {}",
                unit.show(bake.asked.0.air),
                unit.show(own)
            ),
            unit.misread(bake.asked.0.air, own, FAR_OFF_C)
                .map_or_else(String::new, |t| format!("did you mean {t}?")),
        ));
    }
    let (time, usual) = (bake.asked.1, kind.time);
    let times = time.0 / usual.0;
    if !(1.0 / FAR_OFF_TIMES..=FAR_OFF_TIMES).contains(&times) {
        out.push(Warning::misleads(
            format!(
                "{} is far from the usual {} of {}",
                said(time),
                said(usual),
                kind.name
            ),
            "check the recipe's time",
        ));
    }
    out.extend(mode_is_not_for_it(request));
    out.extend(hardly_goes_in(oven, request));
    out
}

/// A tray needs this much air to either wall, cm, or it stands against guides and heat (common practice, no source).
pub(super) const TIGHT: f64 = 2.5;

/// Says so when a tray leaves hardly any air.
fn hardly_goes_in(oven: &Oven, request: &PlanRequest) -> Option<Warning> {
    let air = air_beside(oven, request);
    (air.0 < TIGHT - 0.05).then(|| {
        Warning::misleads(
            format!(
                "The tray leaves only {} of air to the walls",
                oven.lengths.show(air)
            ),
            "see that it goes in between the guides, or take a smaller one",
        )
    })
}

/// Returns the least air between a tray in the middle and the walls.
pub(super) fn air_beside(oven: &Oven, request: &PlanRequest) -> Centimetres {
    let (tray, cavity) = (request.tray, oven.cavity);
    let across = cavity.width.0 - tray.width.0;
    Centimetres(across.min(cavity.depth.0 - tray.depth.0) / 2.0)
}

/// The lowest rack position counts as low down to this share of the height (common practice, no source).
const LOW: f64 = 1.0 / 3.0;

/// Says so when a plan has to put a sugared base next to the heat from below.
pub(super) fn burns_below(oven: &Oven, request: &PlanRequest, plan: &Plan) -> Option<Warning> {
    if !request.kind.sugared_base || !burns_from_below(oven, request.mode) {
        return None;
    }
    let lowest = oven.racks.iter().find(|r| r.number == 1)?;
    let is_used = plan
        .segments
        .iter()
        .flat_map(|s| &s.trays)
        .any(|t| t.rack == 1);
    (is_used && lowest.height.0 < LOW * oven.cavity.height.0).then(|| {
        Warning::new(
            "On the lowest rack heat from below burns a sugared base",
            "free a higher one, or shield it with a second tray below",
        )
        .that(Gravity::Spoils)
    })
}

/// What heat from one side only does to a bake (common practice, no source).
fn mode_is_not_for_it(request: &PlanRequest) -> Option<Warning> {
    let (what, advice, gravity) = match request.mode {
        Mode::TopOnly => (
            "top heat alone browns the top before the inside is done",
            "it is for finishing only",
            Gravity::Spoils,
        ),
        Mode::BottomOnly if request.kind.sugared_base => (
            "bottom heat alone burns a sugared base",
            "bake this in another mode",
            Gravity::Spoils,
        ),
        Mode::BottomOnly => (
            "bottom heat alone leaves the top pale",
            "it is for crisping a base",
            Gravity::Misleads,
        ),
        Mode::StillAir | Mode::Fan | Mode::Proofing => return None,
    };
    Some(Warning::new(what, advice).that(gravity))
}
