//! What is said beside a plan of the oven itself: what an opening costs, an uncorrected dial, a tray too large.

use super::{
    bake::{Bake, is_worth_saying},
    careful::{TIGHT, air_beside},
    words::{fine, said},
};
use crate::{
    model::Oven,
    planner::{dial::Offset, door::DoorSource, dose::same_browning, space::WALL_CLEARANCE},
    units::{Celsius, CelsiusDelta},
};

/// Says what an opening costs by this oven's own readings.
pub(super) fn door_note(oven: &Oven, bake: &Bake<'_>) -> Option<String> {
    if bake.door.source != DoorSource::Measured {
        return None;
    }
    let unit = oven.dial.unit;
    Some(format!(
        "Each opening is priced by readings of this oven: {:.0} {} lost, two thirds of it back after {} (open for {} is assumed); it costs up to {:.0} s of full browning besides.",
        unit.delta_figure(bake.door.drop),
        unit.letter(),
        said(bake.door.recovery),
        said(bake.door.open),
        bake.door.lost_full_rate(&bake.heat).seconds()
    ))
}

/// Says what the bake would have taken with the dial at the recipe's own figure.
///
/// The same browning at the air's true temperature: minutes so that k(true) times the effective minutes there equal
/// those of the plan. Browning alone decides; how soon it is done inside is another matter.
pub(super) fn uncorrected(oven: &Oven, bake: &Bake<'_>, offset: &Offset) -> Option<String> {
    let unit = oven.dial.unit;
    let (heat, usual) = bake.asked;
    let curve = &bake.request.kind.curve;
    let at = |by: CelsiusDelta| same_browning(curve, bake.asked, Celsius(heat.air.0 + by.0));
    let minutes = at(offset.value)?;
    // Where the dial has no mark nearer than the recipe's own, that is what is planned.
    let is_planned = (offset.value.0 - bake.setting.rounded_by.0).abs() < 0.1;
    if is_planned || !is_worth_saying(minutes, usual) {
        return None;
    }
    // The colder end takes longer.
    let (slow, quick) = (at(offset.lo), at(offset.hi));
    let side = if offset.value.0 < 0.0 { "cold" } else { "hot" };
    let range = match (quick, slow) {
        (Some(quick), Some(slow)) => format!(" ({} to {})", fine(quick), fine(slow)),
        (Some(quick), None) => format!(" ({} or longer)", fine(quick)),
        (None, _) => String::new(),
    };
    Some(format!(
        "With the dial left uncorrected, {:.0} {} {side}, this {} bake would take about {}{range} for the same browning (by browning rates alone; how soon it is done inside may differ).",
        unit.delta_figure(CelsiusDelta(offset.value.0.abs())),
        unit.letter(),
        said(usual),
        fine(minutes)
    ))
}

/// Says so when a tray leaves less air to the walls than it should.
pub(super) fn clearance_note(oven: &Oven, bake: &Bake<'_>) -> Option<String> {
    let air = air_beside(oven, bake.request);
    (TIGHT - 0.05..WALL_CLEARANCE.0 - 0.05)
        .contains(&air.0)
        .then(|| {
            format!(
                "The tray leaves only {} of air to the walls; {} let it move freely.",
                oven.lengths.show(air),
                oven.lengths.show(WALL_CLEARANCE)
            )
        })
}
