//! `plan`: which rack, which turn at which minute, which dial setting.

use super::map::MapSource;
use crate::{
    cli::{
        session::{Session, texts},
        trouble::{Exit, OrTrouble, Trouble},
    },
    model::{Tray, Warning},
    report::{
        json_plan::PlanJson,
        text::{plan_heading, plan_text},
    },
    units::{Celsius, Minutes},
    workflow::{
        after::learn::with_own_curve,
        catalogue::{Occasion, bake_kind, cautions_at},
        plan::{Measured, PlanRequest, Standing, measured_for, plan_bake, unusual, warn},
        toast::parse_size,
    },
};
use clap::Args;

/// Cells of the map a plan is made on; fine enough for pieces of food.
const GRID: (usize, usize) = (24, 18);

/// Plan a bake.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  rackshade plan --oven wall-oven --kind thin-cookie --trays 2 --tray 46x33cm --pieces 4x3 --openings 2\n  rackshade plan --samples slices.csv --width-cm 63.5 --depth-cm 48.3 --kind sheet-cake --json"
)]
pub(in crate::cli) struct PlanArgs {
    #[command(flatten)]
    source: MapSource,
    /// Kind of bake, like thin-cookie.
    #[arg(long)]
    kind: String,
    /// Trays, 1 to 3.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=3))]
    trays: u8,
    /// Outer size of a tray, along the door x front to back; bare figures in the oven's own unit.
    #[arg(long, value_name = "WxD", default_value = "46x33cm")]
    tray: String,
    /// Pieces on a tray, along the door x front to back, 12 x 12 at most.
    #[arg(long, value_name = "CxR", default_value = "4x3", value_parser = super::grid)]
    pieces: (usize, usize),
    /// Door openings at most, 0 to 4.
    #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u8).range(0..=4))]
    openings: u8,
    /// The recipe's temperature in still air; the kind's own when not given.
    #[arg(long, value_name = "DEGREES")]
    recipe: Option<String>,
    /// The recipe's time in minutes; the kind's own when not given.
    #[arg(long, value_name = "MINUTES")]
    minutes: Option<f64>,
    /// Seed of the joint samples behind the intervals.
    #[arg(long, default_value_t = 1)]
    seed: u64,
}

pub(in crate::cli) fn run(args: &PlanArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let kind = bake_kind(&args.kind).or_trouble("--kind", &args.kind)?;
    let Standing { ground, warnings } = args.source.ground_of_plan(GRID, session)?;
    let kitchen = args.source.kitchen_of_oven(session)?;
    let oven = &ground.oven;
    let (width, depth) = parse_size(&args.tray, oven.lengths).or_trouble("--tray", &args.tray)?;
    let recipe = args
        .recipe
        .as_deref()
        .map(|text| Celsius::parse(text, oven.dial.unit).or_trouble("--recipe", text))
        .transpose()?;
    let (kind, own) = match session.kitchen_again() {
        Ok(kitchen) => with_own_curve(&kitchen, kind),
        Err(_no_kitchen) => (kind.clone(), None),
    };
    let request = PlanRequest {
        kind: kind.clone(),
        trays: usize::from(args.trays),
        tray: Tray {
            width,
            depth,
            across: args.pieces.0,
            deep: args.pieces.1,
        },
        max_openings: usize::from(args.openings),
        mode: ground.mode,
        recipe,
        time: args.minutes.map(Minutes),
        seed: args.seed,
    };
    let measured = kitchen.map_or_else(Measured::default, |kitchen| {
        measured_for(&kitchen, oven, &request)
    });
    let view = ground.view.as_ref();
    let mut plan = plan_bake(oven, view, &request, &measured).map_err(Trouble::user)?;
    warn(&mut plan, &warnings);
    let odd = unusual(&request, oven.dial.unit);
    warn(&mut plan, &odd);
    if let Some(own) = &own {
        plan.advice.push(own.advice());
    }
    if session.json {
        let of_the_map = ground.view.iter().flat_map(|v| &v.warnings);
        let all: Vec<Warning> = odd
            .iter()
            .chain(&warnings)
            .chain(of_the_map)
            .cloned()
            .collect();
        session
            .out
            .json(&PlanJson::from(&plan).with_warnings(texts(&all)))?;
    } else {
        session.out.text(&plan_heading(
            oven,
            request.mode,
            &kind.name,
            (request.trays, &request.tray),
        ))?;
        session.out.text(&plan_text(&plan, oven))?;
        for caution in cautions_at(Occasion::Bake, oven) {
            session.out.line(format!("! {caution}"))?;
        }
    }
    Ok(Exit::Done)
}
