//! What a plan takes from the thermometer's record.

use super::request::PlanRequest;
use crate::{
    model::Oven,
    planner::{
        dial::{Offset, fan_lower},
        door::DoorModel,
    },
    units::{Celsius, CelsiusDelta},
    workflow::readings::{DialState, NoOffset, OvenSummary, door_of, offset_for, since_the_visit},
};

/// What was measured of the oven in the plan's mode; nothing of it where nothing was read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Measured {
    /// True less dial at the wanted temperature.
    pub offset: Option<Offset>,
    /// That offset is a first guess, by too few readings.
    pub guessed: bool,
    /// How far the air falls at an opening and how it comes back.
    pub door: Option<DoorModel>,
    /// The door was read, but not well enough to price openings by.
    pub door_unsure: bool,
    /// What is to be said of both.
    pub notes: Vec<String>,
}

/// Looks up what `found`, the readings of an oven in the request's mode, say for a plan.
pub(super) fn measured_from(found: &OvenSummary, oven: &Oven, request: &PlanRequest) -> Measured {
    let recipe = request.recipe.unwrap_or(request.kind.recipe);
    let lower = fan_lower(request.mode, oven.dial.unit).unwrap_or(CelsiusDelta(0.0));
    let want = Celsius(recipe.0 - lower.0);
    let unit = oven.dial.unit;
    let mut out = Measured {
        door: door_of(found, request.trays),
        ..Measured::default()
    };
    let read = || found.now.iter().any(|s| !s.figures.doors.is_empty());
    out.door_unsure = out.door.is_none() && read();
    let told = match offset_for(found, oven, want) {
        Ok(told) => told,
        Err(NoOffset::TooWide(offset)) => {
            out.notes.push(format!(
                "Can't tell yet from readings how far this oven is from its dial ({} to {}): the dial is assumed right. Read it again.",
                unit.show_delta(offset.lo),
                unit.show_delta(offset.hi)
            ));
            return out;
        }
        Err(NoOffset::Unread(why)) => {
            // Nothing read is the ordinary case, and the dial's own note says so.
            let since = since_the_visit(found);
            if !since.is_empty() {
                let note = format!("The dial is assumed right: no thermometer readings{since}.");
                out.notes.push(note);
            } else if !found.settings.is_empty() {
                out.notes
                    .push(format!("Readings of this oven do not serve here: {why}."));
            }
            return out;
        }
    };
    let offset = told.offset;
    out.notes.push(match told.state {
        DialState::Close => format!(
            "The dial is left alone: readings of this oven show it close enough ({} to {}), {}.",
            unit.show_delta(offset.lo),
            unit.show_delta(offset.hi),
            told.evidence
        ),
        DialState::Off | DialState::Unknown => format!(
            "The dial is set by readings of this oven: {}.",
            told.evidence
        ),
    });
    if told.carried {
        out.notes.push(
            "That is beyond what was read: the offset of the nearest setting is carried over, and how far it holds is not known."
                .to_owned(),
        );
    }
    if !told.sure {
        out.notes.push(
            "They are too few to be sure of: read three whole cycles in one sitting before you trust this setting."
                .to_owned(),
        );
    }
    out.offset = Some(offset);
    out.guessed = !told.sure;
    out
}
