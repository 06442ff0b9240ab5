//! What a plan takes from the thermometer's record, and what the bake would be like without it.

use super::{Bake, PlanRequest, words::said};
use crate::{
    model::{Oven, kinetics::relative_rate},
    planner::{
        dial::{Offset, fan_lower},
        door::{DoorModel, DoorSource},
        dose::{Heat, effective_minutes, minutes_for_effective},
    },
    units::{Celsius, CelsiusDelta, Minutes},
    workflow::{
        kitchen::Kitchen,
        readings::{OvenSummary, dial_of, door_of, is_told, summary},
    },
};

/// What was measured of the oven in the plan's mode; nothing of it where nothing was read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measured {
    /// True less dial at the wanted temperature, where it is told from nothing.
    pub offset: Option<Offset>,
    /// How far the air falls at an opening and how it comes back.
    pub door: Option<DoorModel>,
    /// What is to be said of both.
    pub notes: Vec<String>,
}

/// Looks up what the readings say of an oven for a plan.
pub fn measured_for(kitchen: &Kitchen, oven: &Oven, request: &PlanRequest) -> Measured {
    measured_from(&summary(kitchen, oven, request.mode), oven, request)
}

/// Looks up what `found`, the readings of an oven in the request's mode, say for a plan.
pub fn measured_from(found: &OvenSummary, oven: &Oven, request: &PlanRequest) -> Measured {
    let recipe = request.recipe.unwrap_or(request.kind.recipe);
    let lower = fan_lower(request.mode, oven.dial.unit).unwrap_or(CelsiusDelta(0.0));
    let want = Celsius(recipe.0 - lower.0);
    let unit = oven.dial.unit;
    let mut out = Measured {
        door: door_of(found, request.trays),
        ..Measured::default()
    };
    match dial_of(found, oven, want) {
        Ok(answer) => {
            let offset = answer.offset;
            let range = format!(
                "{} ({} to {})",
                unit.show_delta(offset.value),
                unit.show_delta(offset.lo),
                unit.show_delta(offset.hi)
            );
            if is_told(&offset) {
                out.notes.push(format!(
                    "The dial is set by readings of this oven: {}.",
                    answer.evidence
                ));
                if !answer.sure {
                    out.notes.push(
                        "They are too few to be sure of: read three whole cycles in one sitting before you trust this setting."
                            .to_owned(),
                    );
                }
                out.offset = Some(offset);
            } else {
                out.notes.push(format!(
                    "Readings of this oven give an offset of {range}, which cannot be told from nothing, so the dial is left as it is: {}.",
                    answer.evidence
                ));
            }
        }
        // Nothing read is the ordinary case, and the dial's own note says so.
        Err(_) if found.settings.is_empty() => {}
        Err(why) => out
            .notes
            .push(format!("Readings of this oven do not serve here: {why}.")),
    }
    out
}

/// Says what an opening costs by this oven's own readings.
pub(super) fn door_note(oven: &Oven, bake: &Bake<'_>) -> Option<String> {
    if bake.door.source != DoorSource::Measured {
        return None;
    }
    let unit = oven.dial.unit;
    Some(format!(
        "Each opening is priced by readings of this oven: {:.0} {} lost, coming back with a time constant of {} (open for {} is assumed); it costs {:.0} s of full browning besides.",
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
    let usual = bake.dose.bake();
    let at = |by: CelsiusDelta| same_browning(bake, Celsius(bake.heat.air.0 + by.0));
    let minutes = at(offset.value)?;
    // Less than half a minute is not worth a sentence.
    if (minutes.0 - usual.0).abs() < 0.5 {
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

/// Says a time finely enough that a change of a minute shows: to 10 s below 20 min, else to the minute.
fn fine(t: Minutes) -> Minutes {
    let step = if t.0 < 20.0 { 6.0 } else { 1.0 };
    Minutes((t.0 * step).round() / step)
}

fn same_browning(bake: &Bake<'_>, air: Celsius) -> Option<Minutes> {
    let curve = &bake.request.kind.curve;
    let energy = bake.heat.energy;
    let whole = effective_minutes(curve, &bake.heat, bake.dose.bake());
    let heat = Heat { air, energy };
    let factor = relative_rate(energy, air, bake.heat.air);
    minutes_for_effective(curve, &heat, Minutes(whole.0 / factor))
}
