//! `plan`: which rack, which turn at which minute, which dial setting.

use super::{
    baked::{BakeArgs, Baked},
    batches,
    map::MapSource,
};
use crate::cli::prelude::*;
use crate::{
    model::Mode,
    report::{
        json_plan::PlanJson,
        text::{plan_heading, plan_text},
    },
    units::{LengthUnit, TemperatureUnit},
    workflow::{
        after::learn::own_curve,
        batches::{DayError, DayRequest, day_everywhere, day_in},
        catalogue::{Occasion, cautions_at},
        plan::{PlanRequest, Told, plan_of},
    },
};

/// Cells of the map a plan is made on; fine enough for pieces of food.
const GRID: (usize, usize) = (24, 18);

/// Plan a bake.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  rackshade plan --oven wall-oven --kind thin-cookie --trays 2 --tray 46x33cm --pieces 4x3 --openings 2\n  rackshade plan --recipe-name 'oat biscuits' --oven wall-oven --trays 6 --at-once 2\n  rackshade plan --samples slices.csv --width-cm 63.5 --depth-cm 48.3 --kind sheet-cake --json"
)]
pub(crate) struct PlanArgs {
    #[command(flatten)]
    source: MapSource,
    #[command(flatten)]
    bake: BakeArgs,
    /// Rack positions that are free, counted from the bottom; all of them when not given.
    #[arg(
        long,
        value_name = "N,N..",
        value_delimiter = ',',
        conflicts_with = "all_ovens"
    )]
    racks: Vec<u8>,
    /// Bake them in loads of at most so many trays, one after another.
    #[arg(long, value_name = "TRAYS")]
    at_once: Option<u8>,
    /// Share the loads among all ovens on record that suit.
    #[arg(long, requires = "at_once", conflicts_with_all = ["test", "oven", "mode", "samples"])]
    all_ovens: bool,
    /// No load less even than this, shades from lightest to darkest; 2 when not given.
    #[arg(long, value_name = "SHADES", requires = "at_once", value_parser = values::figure)]
    least_even: Option<f64>,
    /// Seed of the joint samples behind the intervals.
    #[arg(long, default_value_t = 1)]
    seed: u64,
}

pub(crate) fn run(args: &PlanArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    if args.at_once.is_none() {
        let more = ", or say with --at-once how many go in at a time";
        args.bake.few_trays(more)?;
    }
    let baked = args.bake.baked(session)?;
    if args.all_ovens {
        return everywhere(args, &baked, session);
    }
    let ground = args.source.ground(GRID, session)?;
    let oven = &ground.oven;
    let told = match session.kitchen_again() {
        Ok(kitchen) if args.source.is_on_record() => Told::look_up(&kitchen, &ground, &baked.kind),
        // Samples are of no oven on record, but the baker's own curve of a kind holds in any.
        Ok(kitchen) => Told {
            air: None,
            own: own_curve(&kitchen, &baked.kind),
        },
        Err(_no_kitchen) => Told::default(),
    };
    let request = request(args, &baked, ground.mode, (oven.dial.unit, oven.lengths))?;
    if let Some(day) = day_request(args, &request) {
        let day = day_in(&ground, &told, &day).map_err(|why| blame(&why, args))?;
        let kitchen = session.kitchen_again().ok();
        return batches::print((&day, &baked.words()), kitchen.as_deref(), session);
    }
    let planned = plan_of(&ground, &told, &request).map_err(Trouble::user)?;
    let sentences = planned.sentences();
    if session.json {
        let warnings = texts(&planned.warnings);
        session
            .out
            .json(&PlanJson::new(&planned.plan, sentences, warnings))?;
    } else {
        session.out.text(&plan_heading(
            oven,
            request.mode,
            &baked.words(),
            (request.trays, &request.tray),
        ))?;
        session
            .out
            .text(&plan_text(&planned.plan, &sentences, oven))?;
        session.out.marked("!", cautions_at(Occasion::Bake, oven))?;
    }
    Ok(Exit::Done)
}

/// Makes the question for one load; bare figures are in these units.
fn request(
    args: &PlanArgs,
    baked: &Baked,
    mode: Mode,
    units: (TemperatureUnit, LengthUnit),
) -> Result<PlanRequest, Trouble> {
    let one = args.bake.request(baked, mode, units)?;
    Ok(PlanRequest {
        trays: args.at_once.map_or(one.trays, usize::from),
        racks: args.racks.clone(),
        seed: args.seed,
        ..one
    })
}

/// Makes the question for a baking day, where one is asked for.
fn day_request(args: &PlanArgs, load: &PlanRequest) -> Option<DayRequest> {
    args.at_once.map(|_| DayRequest {
        load: load.clone(),
        trays: usize::from(args.bake.trays),
        least_even: args.least_even,
    })
}

/// Plans a day in all ovens that suit.
fn everywhere(args: &PlanArgs, baked: &Baked, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, _) = session.kitchen(Access::Read)?;
    let units = kitchen.units();
    let request = request(args, baked, Mode::StillAir, units)?;
    let Some(request) = day_request(args, &request) else {
        return Err(Trouble::user("give --at-once with --all-ovens"));
    };
    let day = day_everywhere(&kitchen, &request).map_err(|why| blame(&why, args))?;
    batches::print((&day, &baked.words()), Some(&kitchen), session)
}

/// Names the argument that a day cannot be made with.
fn blame(why: &DayError, args: &PlanArgs) -> Trouble {
    let at_once = args.at_once.unwrap_or_default();
    let (name, value) = match why {
        DayError::Trays(trays) => ("--trays", trays.to_string()),
        DayError::AtOnce { .. } => ("--at-once", at_once.to_string()),
        DayError::Plan(_) => return Trouble::user(why),
        DayError::Limit(limit) => ("--least-even", limit.clone()),
        DayError::Uneven { allowed, .. } => ("--least-even", allowed.to_string()),
        DayError::NoOven(_) => ("--all-ovens", String::new()),
    };
    Trouble::user(why).with(name, value)
}
