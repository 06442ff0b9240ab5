//! Planning a bake: placements, moves with their times, dial setting, and what each is worth.

mod advice;
mod bake;
mod careful;
mod made;
mod measured;
mod notes;
mod outcome;
mod request;
mod searched;
mod trade;
mod words;

pub use made::{Expected, NextLoad, Planned};
pub use measured::Measured;
pub use outcome::Mapped;
pub use request::{PlanError, PlanRequest, USUAL_OPENINGS};
pub use searched::FitSource;

use super::{
    after::learn::{OwnCurve, own_curve},
    ground::Ground,
    kitchen::Records,
    readings::{OvenSummary, summary},
    view::MapView,
};
use crate::{
    field::Evidence,
    model::{BakeKind, Oven, Warning},
};
use bake::Bake;
use measured::measured_from;

/// What the records tell a plan beside the map: worked out once for many plans of one oven and mode.
#[derive(Debug, Clone, Default)]
pub struct Told {
    /// What the readings say of the oven in the mode.
    pub air: Option<OvenSummary>,
    /// The baker's own dose curve of the kind of bake.
    pub own: Option<OwnCurve>,
}

impl Told {
    /// Looks up what the records say for a plan on `ground`.
    pub fn look_up(records: &Records, ground: &Ground, kind: &BakeKind) -> Self {
        Self {
            air: Some(summary(records, &ground.oven, ground.mode)),
            own: own_curve(records, kind),
        }
    }
}

/// Makes a plan for a bake in the oven and mode of `ground`, on its map or, without one, by the trade's custom.
///
/// Every face makes its plans here, so that all show the same figures with the same warnings.
///
/// # Errors
/// [`PlanError`] says which figure cannot be and what to give instead.
pub fn plan_of(ground: &Ground, told: &Told, request: &PlanRequest) -> Result<Planned, PlanError> {
    let oven = request.free_in(&ground.oven)?;
    let mut request = PlanRequest {
        mode: ground.mode,
        ..request.clone()
    };
    if let Some(own) = &told.own {
        request.kind.curve = own.refit.curve;
    }
    let measured = told
        .air
        .as_ref()
        .map_or_else(Measured::default, |air| measured_from(air, &oven, &request));
    let mut planned = match ground.view() {
        Some(view) => on_view(view, request.seed, |map| {
            plan_on(&oven, Some(map), &request, &measured)
        })?,
        None => plan_on(&oven, None, &request, &measured)?,
    };
    let without = ground
        .map
        .as_ref()
        .err()
        .and_then(super::ground::NoMap::warning);
    let of_map = ground.view().into_iter().flat_map(|v| v.warnings.clone());
    planned
        .warnings
        .splice(0..0, without.into_iter().chain(of_map));
    Warning::gravest_first(&mut planned.warnings);
    planned
        .advice
        .extend(told.own.as_ref().map(OwnCurve::advice));
    Ok(planned)
}

/// Returns the rack positions among which a plan for one tray chooses, from the bottom; every one where none was tested.
///
/// # Errors
/// [`PlanError`] says what about the tray cannot be and what to give instead.
pub fn racks_for_one(ground: &Ground, request: &PlanRequest) -> Result<Vec<u8>, PlanError> {
    let oven = &ground.oven;
    let request = PlanRequest {
        mode: ground.mode,
        ..request.clone()
    };
    match ground.view() {
        Some(view) => on_view(view, request.seed, |map| {
            searched::racks_for_one(oven, map, &request)
        }),
        None => Ok(oven.racks.iter().map(|r| r.number).collect()),
    }
}

/// Hands a map on as what plans rest on.
fn on_view<T>(view: &MapView, seed: u64, then: impl FnOnce(&Mapped<'_>) -> T) -> T {
    let racks: Vec<u8> = view.map.racks.iter().map(|r| r.rack).collect();
    let source = FitSource::new(&view.fit, &racks, seed);
    let mapped = Mapped {
        source: &source,
        racks: view
            .map
            .racks
            .iter()
            .map(|r| (r.rack, r.evidence))
            .collect(),
        sensitivity: view.sensitivity,
        basis: basis(view),
    };
    then(&mapped)
}

/// Says what the map rests on: mode and tested rack positions.
fn basis(view: &MapView) -> String {
    let tested: Vec<String> = view
        .map
        .racks
        .iter()
        .filter(|r| r.evidence == Evidence::Tested)
        .map(|r| r.rack.to_string())
        .collect();
    let what = view.mode.map_or_else(
        || "the samples given".to_owned(),
        |mode| format!("toast tests {}", mode.phrase()),
    );
    let plural = if tested.len() == 1 { "" } else { "s" };
    format!("{what} on rack position{plural} {}", tested.join(", "))
}

/// Plans on a map from any source, or by the trade's defaults where there is none.
///
/// `measured` is what a thermometer has told of the oven; defaults stand in where it has told nothing. Faces plan with
/// [`plan_of`], which knows what the records tell; this is for maps of another origin.
///
/// # Errors
/// [`PlanError`] says which figure cannot be and what to give instead.
pub fn plan_on(
    oven: &Oven,
    mapped: Option<&Mapped<'_>>,
    request: &PlanRequest,
    measured: &Measured,
) -> Result<Planned, PlanError> {
    let sensitivity = mapped.map(|m| m.sensitivity);
    let bake = Bake::prepare(oven, request, sensitivity, measured)?;
    let mut planned = match mapped {
        Some(mapped) => searched::searched(oven, mapped, &bake),
        None => trade::by_trade(oven, &bake),
    }?;
    planned
        .warnings
        .splice(0..0, careful::warnings(oven, &bake));
    planned
        .warnings
        .extend(careful::burns_below(oven, request, &planned.plan));
    Warning::gravest_first(&mut planned.warnings);
    Ok(planned)
}

#[cfg(test)]
mod careful_tests;
#[cfg(test)]
mod tests;
