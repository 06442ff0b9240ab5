//! Planning a bake: placements, moves with their times, dial setting, and what each is worth.

mod advice;
mod careful;
mod measured;
mod standing;
mod trade;
mod unusual;
mod words;

pub use measured::{Measured, measured_for, measured_from};
pub use standing::{Standing, stand_on_oven};
pub use unusual::unusual;

use super::map::MapView;
use crate::{
    field::{Evidence, Fit, Range},
    model::{
        Alternative, BakeKind, Forecast, Mode, Oven, Plan, Sensitivity, SensitivitySource, Tray,
        Warning, Yardstick, kinetics::DEFAULT_ENERGY, shade::browning_per_shade,
    },
    planner::{
        BrowningSource, PlannerError,
        dial::{Recipe, Setting, UNREAD_DIAL, setting},
        door::{DoorClock, DoorModel},
        dose::{Dose, Heat},
        evenness::{Judge, Verdict, recommend},
        placement::{burns_from_below, trade_racks},
        schedule::{Schedule, schedule},
        search::{Arrangement, Effort, Found, TrayAt, search},
        space::{Load, MOST_TRAYS, Site, Space},
    },
    units::{Celsius, Minutes},
};

/// Joint samples of the map behind each interval.
const SAMPLES: usize = 300;
/// Standard deviation, in shades, that is not worth another rack position or a shift: placements that differ by
/// less are as even, and the one nearest the middle and the mean level is taken.
const NEGLIGIBLE: f64 = 0.1;

/// What is to be baked, and how it may be handled.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanRequest {
    /// Kind of bake.
    pub kind: BakeKind,
    /// How many trays, 1 to 3.
    pub trays: usize,
    /// Every tray; all are alike.
    pub tray: Tray,
    /// Most openings of the door, 0 to 4.
    pub max_openings: usize,
    /// How the oven heats.
    pub mode: Mode,
    /// The recipe's still-air temperature; the kind's own when `None`.
    pub recipe: Option<Celsius>,
    /// The recipe's time; the kind's own when `None`.
    pub time: Option<Minutes>,
    /// Seed of the joint samples.
    pub seed: u64,
}

/// Why no plan can be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// The trays, openings, time or dial cannot be.
    #[error(transparent)]
    Planner(#[from] PlannerError),
    /// A mode the oven has not.
    #[error("'{oven}' has no mode '{mode}'; it has {has}")]
    Mode {
        /// The oven's name.
        oven: String,
        /// The mode asked for.
        mode: &'static str,
        /// The modes it has.
        has: String,
    },
    /// A mode that bakes nothing.
    #[error("proofing browns nothing, so there is nothing to plan; choose a mode that bakes")]
    Proofing,
    /// A temperature at which nothing browns.
    #[error(
        "at {recipe} the surface of {kind} gets no hotter than {surface}, and nothing browns below {starts}; {hint}"
    )]
    TooCool {
        /// The recipe's temperature.
        recipe: String,
        /// The kind's name.
        kind: String,
        /// The hottest its surface gets.
        surface: String,
        /// Where browning starts.
        starts: String,
        /// What to do.
        hint: String,
    },
    /// A bake that ends before anything browns.
    #[error(
        "after {time} at {recipe} nothing of {kind} has browned yet; give a longer time, it usually takes {usual}"
    )]
    TooShort {
        /// The recipe's time.
        time: Minutes,
        /// The recipe's temperature.
        recipe: String,
        /// The kind's name.
        kind: String,
        /// The kind's own time.
        usual: Minutes,
    },
}

/// The map a plan rests on.
#[derive(Clone)]
pub struct Ground<'a> {
    /// Browning at every place, with joint samples.
    pub source: &'a dyn BrowningSource,
    /// Mapped rack positions and what each map rests on.
    pub racks: Vec<(u8, Evidence)>,
    /// How strongly this bread answers to temperature.
    pub sensitivity: Sensitivity,
    /// What the map rests on, in words: tests, mode, date.
    pub basis: String,
}

/// A fitted map as the planner's source of browning.
#[derive(Debug, Clone, Copy)]
pub struct FitSource<'a> {
    /// The fit.
    pub fit: &'a Fit,
    /// Seed of its joint samples.
    pub seed: u64,
}

impl BrowningSource for FitSource<'_> {
    fn browning(&self, rack: u8, x: f64, y: f64) -> Option<f64> {
        self.brownings(rack, &[(x, y)])?.first().copied()
    }

    fn brownings(&self, rack: u8, places: &[(f64, f64)]) -> Option<Vec<f64>> {
        self.fit.means(rack, places)
    }

    fn samples(&self, points: &[(u8, f64, f64)], count: usize) -> Vec<Vec<f64>> {
        self.fit.samples(points, count, self.seed)
    }
}

/// The bake itself, before any tray has its place.
struct Bake<'r> {
    request: &'r PlanRequest,
    heat: Heat,
    dose: Dose,
    door: DoorModel,
    setting: Setting,
    measured: &'r Measured,
}

/// Plans a bake on the map of the oven's toast tests or of bare samples.
///
/// Without a map, or with one made in another mode, the trade's defaults are used and said to be such.
///
/// # Errors
/// [`PlanError`] says which figure cannot be and what to give instead.
pub fn plan_bake(
    oven: &Oven,
    view: Option<&MapView>,
    request: &PlanRequest,
    measured: &Measured,
) -> Result<Plan, PlanError> {
    let same_mode = |v: &&MapView| v.mode.is_none_or(|mode| mode == request.mode);
    let Some(view) = view.filter(same_mode) else {
        return plan_on(oven, None, request, measured);
    };
    let source = FitSource {
        fit: &view.fit,
        seed: request.seed,
    };
    let ground = Ground {
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
    let mut plan = plan_on(oven, Some(&ground), request, measured)?;
    warn(&mut plan, &view.warnings);
    Ok(plan)
}

/// Puts warnings in front of what a plan advises.
pub fn warn(plan: &mut Plan, warnings: &[Warning]) {
    let sentences = warnings.iter().map(|w| format!("Careful: {w}."));
    plan.advice.splice(0..0, sentences);
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
        |mode| format!("toast tests in {}", mode.words()),
    );
    let plural = if tested.len() == 1 { "" } else { "s" };
    format!("{what} on rack position{plural} {}", tested.join(", "))
}

/// Plans a bake on a map from any source, or by the trade's defaults where there is none.
///
/// `measured` is what a thermometer has told of the oven; defaults stand in where it has told nothing.
///
/// # Errors
/// [`PlanError`] says which figure cannot be and what to give instead.
pub fn plan_on(
    oven: &Oven,
    ground: Option<&Ground<'_>>,
    request: &PlanRequest,
    measured: &Measured,
) -> Result<Plan, PlanError> {
    let sensitivity = ground.map(|g| g.sensitivity);
    let bake = Bake::prepare(oven, request, sensitivity, measured)?;
    let mut plan = match ground {
        Some(ground) => searched(oven, ground, &bake),
        None => trade::by_trade(oven, &bake),
    }?;
    plan.advice.splice(0..0, careful::sentences(oven, &bake));
    Ok(plan)
}

impl<'r> Bake<'r> {
    fn prepare(
        oven: &Oven,
        request: &'r PlanRequest,
        sensitivity: Option<Sensitivity>,
        measured: &'r Measured,
    ) -> Result<Self, PlanError> {
        if !oven.modes.contains(&request.mode) {
            return Err(PlanError::Mode {
                oven: oven.name.clone(),
                mode: request.mode.words(),
                has: oven
                    .modes
                    .iter()
                    .map(|m| m.words())
                    .collect::<Vec<_>>()
                    .join(", "),
            });
        }
        if request.mode == Mode::Proofing {
            return Err(PlanError::Proofing);
        }
        let time = request.time.unwrap_or(request.kind.time);
        if !(2.0..=600.0).contains(&time.0) {
            return Err(PlannerError::Time(time.0).into());
        }
        let recipe = Recipe {
            temperature: request.recipe.unwrap_or(request.kind.recipe),
            time,
        };
        let height = oven.cavity.height.0;
        let usable = trade_racks(&oven.racks, height, request.trays.clamp(1, MOST_TRAYS)).len();
        if (1..=MOST_TRAYS).contains(&request.trays) && usable < request.trays {
            return Err(PlannerError::TooClose {
                trays: request.trays,
                usable,
            }
            .into());
        }
        let offset = measured.offset.as_ref();
        let mut setting = setting(&recipe, request.mode, &oven.dial, offset)?;
        if !measured.notes.is_empty() {
            // It was read; what came of that is said instead.
            setting.notes.retain(|note| note != UNREAD_DIAL);
            setting.notes.extend(measured.notes.iter().cloned());
        }
        // The fan's lower setting browns as the recipe's still air does, so the recipe's temperature counts.
        let heat = Heat {
            air: recipe.temperature,
            energy: energy(sensitivity, recipe.temperature),
        };
        let dose = Dose::new(&request.kind.curve, &heat, time);
        if dose.total().0 <= 0.0 {
            return Err(careful::browns_nothing(oven, request, &recipe));
        }
        Ok(Self {
            request,
            dose,
            door: measured
                .door
                .unwrap_or_else(|| DoorModel::typical(request.mode, request.trays)),
            heat,
            setting,
            measured,
        })
    }

    /// Returns the time before which the door must stay shut, 0 where it need not.
    fn set_at(&self) -> Minutes {
        let share = self.request.kind.set_at.as_ref().map_or(0.0, |s| s.share);
        Minutes(share * self.dose.bake().0)
    }

    fn clock(&self) -> DoorClock<'_> {
        DoorClock::new(&self.dose, &self.door, &self.heat)
    }
}

fn energy(sensitivity: Option<Sensitivity>, at: Celsius) -> f64 {
    match sensitivity {
        Some(s) if s.source == SensitivitySource::TwoDials => s.energy_at(at),
        Some(_) | None => DEFAULT_ENERGY,
    }
}

/// The rack positions that may be used (tested ones where there are enough), and whether the lowest was left out for a sugared base.
fn sites(oven: &Oven, ground: &Ground<'_>, request: &PlanRequest) -> (Vec<Site>, bool) {
    let all: Vec<Site> = oven
        .racks
        .iter()
        .filter_map(|r| {
            let (_, evidence) = ground.racks.iter().find(|(n, _)| *n == r.number)?;
            Some(Site {
                rack: r.number,
                height: r.height,
                evidence: *evidence,
            })
        })
        .collect();
    // what was tested is known; what lies between is guessed, and looks more even than it is
    let tested: Vec<Site> = all
        .iter()
        .filter(|s| s.evidence == Evidence::Tested)
        .copied()
        .collect();
    let all = if tested.len() >= request.trays {
        tested
    } else {
        all
    };
    let off_lowest: Vec<Site> = all.iter().filter(|s| s.rack > 1).copied().collect();
    let burns = request.kind.sugared_base && burns_from_below(oven, request.mode);
    if burns && off_lowest.len() >= request.trays && off_lowest.len() < all.len() {
        (off_lowest, true)
    } else {
        (all, false)
    }
}

/// The schedules for 0, 1, 2, ... openings: one more opening never makes a bake less even, at worst it is not used.
struct Ways {
    schedules: Vec<Schedule>,
    /// Openings beyond this do not fit into the bake's time.
    too_short_for: Option<usize>,
}

impl Ways {
    fn time(space: &Space, found: &Found, clock: &DoorClock<'_>, set_at: Minutes) -> Self {
        let mut schedules: Vec<Schedule> = Vec::new();
        let mut too_short_for = None;
        for (openings, handling) in found.handlings.iter().enumerate() {
            let timed = schedule(space, handling, clock, set_at);
            if timed.is_none() && too_short_for.is_none() {
                too_short_for = Some(openings);
            }
            match (timed, schedules.last()) {
                (Some(timed), Some(last)) if timed.variance >= last.variance - 1e-9 => {
                    schedules.push(last.clone());
                }
                (Some(timed), _) => schedules.push(timed),
                (None, Some(last)) => schedules.push(last.clone()),
                (None, None) => {}
            }
        }
        Self {
            schedules,
            too_short_for,
        }
    }
}

/// What the sentences of advice are written from.
struct Outcome<'a> {
    oven: &'a Oven,
    bake: &'a Bake<'a>,
    ground: &'a Ground<'a>,
    space: &'a Space,
    ways: &'a Ways,
    verdicts: &'a [Verdict],
    chosen: usize,
    off_lowest: bool,
    gap: f64,
}

fn searched(oven: &Oven, ground: &Ground<'_>, bake: &Bake<'_>) -> Result<Plan, PlanError> {
    let request = bake.request;
    let (sites, off_lowest) = sites(oven, ground, request);
    let load = Load {
        cavity: oven.cavity,
        tray: request.tray,
        trays: request.trays,
        sites,
    };
    let space = load.spread(ground.source)?;
    let effort = Effort {
        openings: request.max_openings,
        negligible: NEGLIGIBLE * browning_per_shade(),
        configurations: Effort::CONFIGURATIONS,
    };
    let found = search(&space, &effort)?;
    let clock = bake.clock();
    let ways = Ways::time(&space, &found, &clock, bake.set_at());
    let arrangements = ways.schedules.iter().flat_map(|s| &s.arrangements);
    let judge = Judge::new(&space, ground.source, arrangements, SAMPLES);
    let verdicts: Vec<Verdict> = ways
        .schedules
        .iter()
        .map(|s| judge.weigh(&s.arrangements, &s.timeline.shares))
        .collect();
    let chosen = recommend(&verdicts);
    let best = &ways.schedules[chosen];
    let first = &best.arrangements[0];
    let time = bake.dose.bake();
    let outcome = Outcome {
        oven,
        bake,
        ground,
        space: &space,
        ways: &ways,
        verdicts: &verdicts,
        chosen,
        off_lowest,
        gap: found.gap[chosen] / browning_per_shade(),
    };
    let pieces = judge.pieces(&best.arrangements, &best.timeline.shares);
    Ok(Plan {
        kind: request.kind.key.clone(),
        segments: best.segments(&space),
        bake: best.timeline.bake,
        dial: bake.setting.dial,
        steps_to_dial: bake.setting.steps.clone(),
        evenness: verdicts[chosen].yardstick(best.timeline.bake),
        unturned: judge
            .weigh(std::slice::from_ref(first), &[1.0])
            .yardstick(time),
        halfway: halfway(&judge, first, &clock, time),
        alternatives: ways
            .schedules
            .iter()
            .zip(&verdicts)
            .enumerate()
            .map(|(openings, (s, v))| Alternative {
                openings,
                evenness: v.yardstick(s.timeline.bake),
                segments: s.segments(&space),
            })
            .collect(),
        tray: Some(request.tray),
        forecast: forecast(
            request,
            judge.ratios(&best.arrangements, &best.timeline.shares),
        ),
        advice: outcome.advice(&pieces),
    })
}

/// Names the piece that each ratio belongs to: tray by tray, row by row from the back.
fn forecast(request: &PlanRequest, ratios: Vec<Range>) -> Vec<Forecast> {
    let tray = request.tray;
    ratios
        .into_iter()
        .enumerate()
        .map(|(i, ratio)| Forecast {
            tray: i / (tray.across * tray.deep) + 1,
            row: i / tray.across % tray.deep,
            col: i % tray.across,
            ratio: ratio.value,
            range: (ratio.lo, ratio.hi),
        })
        .collect()
}

/// What custom gives: at half the time, swap the racks and turn every tray.
fn halfway(
    judge: &Judge<'_>,
    first: &Arrangement,
    clock: &DoorClock<'_>,
    time: Minutes,
) -> Yardstick {
    let swapped: Arrangement = first
        .iter()
        .rev()
        .map(|at| TrayAt {
            turned: true,
            ..*at
        })
        .collect();
    let timeline = clock.at_minutes(&[Minutes(time.0 / 2.0)]);
    judge
        .weigh(&[first.clone(), swapped], &timeline.shares)
        .yardstick(timeline.bake)
}

#[cfg(test)]
mod tests;
