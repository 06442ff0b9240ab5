//! The bake itself, before any tray has its place: dose, door and dial.

use super::{
    made::NextLoad,
    measured::Measured,
    request::{PlanError, PlanRequest},
    words::{fine, said},
};
use crate::{
    model::{DoseCurve, Mode, Oven, Sensitivity, bake::BAKE_TIMES, kinetics::DEFAULT_ENERGY},
    planner::{
        PlannerError,
        dial::{Recipe, Setting, UNREAD_DIAL, setting},
        door::{DoorClock, DoorModel},
        dose::{BROWNING_STARTS, Dose, Heat, same_browning, surface},
        placement::trade_racks,
        space::MOST_TRAYS,
    },
    units::{Celsius, CelsiusDelta, Minutes},
    workflow::catalogue::base_of,
};

/// A recipe's temperature further from the kind's own than this is doubted, C (common practice, no source).
pub(super) const FAR_OFF_C: f64 = 60.0;

/// The air counts as back when it is this near its hold, C: 5 F, the step of many dials (common practice, no source).
const BACK_WITHIN: CelsiusDelta = CelsiusDelta(5.0 / 1.8);

/// The bake itself, before any tray has its place.
pub(super) struct Bake<'r> {
    pub(super) request: &'r PlanRequest,
    /// The air as it will be with the dial at a setting that it has.
    pub(super) heat: Heat,
    pub(super) dose: Dose,
    /// The recipe's own heat and time.
    pub(super) asked: (Heat, Minutes),
    pub(super) door: DoorModel,
    pub(super) setting: Setting,
    pub(super) measured: &'r Measured,
}

impl<'r> Bake<'r> {
    pub(super) fn prepare(
        oven: &Oven,
        request: &'r PlanRequest,
        sensitivity: Option<Sensitivity>,
        measured: &'r Measured,
    ) -> Result<Self, PlanError> {
        oven.mode(request.mode)?;
        if request.mode == Mode::Proofing {
            return Err(PlanError::Proofing);
        }
        let time = request.time.unwrap_or(request.kind.time);
        if !BAKE_TIMES.contains(&time.0) {
            return Err(PlannerError::Time(time.0).into());
        }
        let recipe = Recipe {
            temperature: request.recipe.unwrap_or(request.kind.recipe),
            time,
            for_fan: request.kind.for_fan,
        };
        let height = oven.cavity.height.0;
        let usable = trade_racks(&oven.racks, height, request.trays.clamp(1, MOST_TRAYS)).len();
        if (1..=MOST_TRAYS).contains(&request.trays) && usable < request.trays {
            let trays = request.trays;
            return Err(if request.racks.is_empty() {
                PlannerError::TooClose { trays, usable }.into()
            } else {
                let racks = request.racks.clone();
                PlanError::Free {
                    racks,
                    trays,
                    usable,
                }
            });
        }
        let offset = measured.offset.as_ref();
        let mut setting = setting(&recipe, request.mode, &oven.dial, offset)?;
        if !measured.notes.is_empty() {
            // It was read; what came of that is said instead.
            setting.notes.retain(|note| note != UNREAD_DIAL);
            setting.notes.extend(measured.notes.iter().cloned());
        }
        // The fan's lower setting browns as the recipe's still air does, so the recipe's temperature counts.
        let curve = &request.kind.curve;
        let asked = Heat::new(
            recipe.temperature,
            sensitivity.map_or(DEFAULT_ENERGY, |s| s.energy),
        );
        if Dose::new(curve, &asked, time).total().0 <= 0.0 {
            return Err(browns_nothing(oven, request, &recipe));
        }
        let (heat, time_there) = at_the_mark(curve, (asked, time), setting.rounded_by);
        if time_there != time {
            let by = setting.rounded_by;
            setting
                .notes
                .push(rounded_note(oven, by, (time, time_there)));
        }
        Ok(Self {
            request,
            dose: Dose::new(curve, &heat, time_there),
            asked: (asked, time),
            door: measured
                .door
                .unwrap_or_else(|| DoorModel::typical(request.mode, request.trays)),
            heat,
            setting,
            measured,
        })
    }

    /// Returns the time before which the door must stay shut, 0 where it need not.
    pub(super) fn set_at(&self) -> Minutes {
        let share = self.request.kind.set_at.as_ref().map_or(0.0, |s| s.share);
        Minutes(share * self.dose.bake().0)
    }

    /// Says what the same load, opened at these times, takes where another one was in before it.
    pub(super) fn next_load(&self, openings: &[Minutes]) -> NextLoad {
        let wait = self.door.back_within(BACK_WITHIN);
        NextLoad {
            handling: self.door.open,
            wait,
            bake: self.clock().going_in(wait).at_minutes(openings).bake,
        }
    }

    pub(super) fn clock(&self) -> DoorClock<'_> {
        DoorClock::new(&self.dose, &self.door, &self.heat)
    }
}

/// A change of time below half a minute, or below this share of it, is not worth a sentence.
const WORTH_SAYING: (f64, f64) = (0.5, 0.03);

/// Tells whether a bake of `there` is worth telling from one of `time`.
pub(super) fn is_worth_saying(there: Minutes, time: Minutes) -> bool {
    let (least, share) = WORTH_SAYING;
    (there.0 - time.0).abs() >= least.max(share * time.0)
}

/// Returns the air and the minutes that brown as the recipe does with the dial `rounded_by` above what it should be at.
///
/// Coarse dials miss a setting by up to half a step. Where that is not worth saying the recipe's own stay.
fn at_the_mark(
    curve: &DoseCurve,
    (asked, time): (Heat, Minutes),
    rounded_by: CelsiusDelta,
) -> (Heat, Minutes) {
    let air = Celsius(asked.air.0 + rounded_by.0);
    match same_browning(curve, (asked, time), air) {
        Some(there) if is_worth_saying(there, time) => {
            let energy = asked.energy;
            (Heat { air, energy }, there)
        }
        Some(_) | None => (asked, time),
    }
}

fn rounded_note(oven: &Oven, by: CelsiusDelta, (asked, there): (Minutes, Minutes)) -> String {
    let unit = oven.dial.unit;
    let side = if by.0 < 0.0 { "cooler" } else { "hotter" };
    format!(
        "At this mark of the dial the air is {:.0} {} {side} than asked for: {} become about {} (by browning rates alone; how soon it is done inside may differ).",
        unit.delta_figure(CelsiusDelta(by.0.abs())),
        unit.letter(),
        said(asked),
        fine(there)
    )
}

/// Says why a bake browns nothing at all: too cool, or over too soon.
fn browns_nothing(oven: &Oven, request: &PlanRequest, recipe: &Recipe) -> PlanError {
    const LONG: Minutes = Minutes(24.0 * 60.0);
    let unit = oven.dial.unit;
    let kind = request.kind.name.clone();
    let hottest = surface(&request.kind.curve, recipe.temperature, LONG);
    if hottest > BROWNING_STARTS {
        return PlanError::TooShort {
            time: recipe.time,
            recipe: unit.show(recipe.temperature),
            kind,
            usual: base_of(&request.kind).time,
        };
    }
    let own = base_of(&request.kind).recipe;
    PlanError::TooCool {
        recipe: unit.show(recipe.temperature),
        kind,
        surface: unit.show(hottest),
        starts: unit.show(BROWNING_STARTS),
        hint: unit
            .misread(recipe.temperature, own, FAR_OFF_C)
            .map_or_else(
                || format!("this bake's own temperature is {}", unit.show(own)),
                |t| format!("did you mean {t}? This bake's own is {}", unit.show(own)),
            ),
    }
}
