//! `plan`: which rack, which turn at which minute, which dial setting.

use super::map::MapSource;
use crate::{
    cli::{
        session::{Session, texts},
        trouble::{Exit, OrTrouble, Trouble},
        values,
    },
    model::Tray,
    report::{
        json_plan::PlanJson,
        text::{plan_heading, plan_text},
    },
    units::{Celsius, Minutes},
    workflow::{
        after::learn::own_curve,
        catalogue::{Occasion, bake_kind, cautions_at},
        plan::{PlanRequest, Told, plan_of},
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
pub(crate) struct PlanArgs {
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
    #[arg(long, value_name = "CxR", default_value = "4x3", value_parser = values::grid)]
    pieces: (usize, usize),
    /// Door openings at most, 0 to 4.
    #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u8).range(0..=4))]
    openings: u8,
    /// The recipe's temperature without a fan; the kind's own when not given.
    #[arg(long, value_name = "DEGREES")]
    recipe: Option<String>,
    /// The recipe's time in minutes; the kind's own when not given.
    #[arg(long, value_name = "MINUTES")]
    minutes: Option<f64>,
    /// Seed of the joint samples behind the intervals.
    #[arg(long, default_value_t = 1)]
    seed: u64,
}

pub(crate) fn run(args: &PlanArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let kind = bake_kind(&args.kind).or_trouble("--kind", &args.kind)?;
    let ground = args.source.ground(GRID, session)?;
    let oven = &ground.oven;
    let (width, depth) = parse_size(&args.tray, oven.lengths).or_trouble("--tray", &args.tray)?;
    let recipe = args
        .recipe
        .as_deref()
        .map(|text| Celsius::parse(text, oven.dial.unit).or_trouble("--recipe", text))
        .transpose()?;
    let told = match session.kitchen_again() {
        Ok(kitchen) if args.source.is_on_record() => Told::look_up(&kitchen, &ground, kind),
        // Samples are of no oven on record, but the baker's own curve of a kind holds in any.
        Ok(kitchen) => Told {
            air: None,
            own: own_curve(&kitchen, kind),
        },
        Err(_no_kitchen) => Told::default(),
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
            &kind.name,
            (request.trays, &request.tray),
        ))?;
        session
            .out
            .text(&plan_text(&planned.plan, &sentences, oven))?;
        for caution in cautions_at(Occasion::Bake, oven) {
            session.out.line(format!("! {caution}"))?;
        }
    }
    Ok(Exit::Done)
}
