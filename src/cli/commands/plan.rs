//! `plan`: which rack, which turn at which minute, which dial setting.

use super::{batches, map::MapSource};
use crate::cli::prelude::*;
use crate::{
    model::{BakeKind, Mode, Recipe, Tray},
    report::{
        json_plan::PlanJson,
        text::{plan_heading, plan_text},
    },
    units::{Celsius, Centimetres, LengthUnit, Minutes, TemperatureUnit},
    workflow::{
        after::learn::own_curve,
        batches::{DayError, DayRequest, day_everywhere, day_in},
        catalogue::{Occasion, bake_kind, bake_kinds, cautions_at},
        plan::{PlanRequest, Told, USUAL_OPENINGS, plan_of},
        recipe::as_kind,
        toast::parse_size,
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
    /// Kind of bake, like thin-cookie.
    #[arg(long, conflicts_with = "recipe_name")]
    kind: Option<String>,
    /// A recipe of your own instead, by name.
    #[arg(long, value_name = "NAME")]
    recipe_name: Option<String>,
    /// Trays, 1 to 3; with --at-once up to 12.
    #[arg(long, default_value_t = 1, allow_negative_numbers = true)]
    trays: u8,
    /// Bake them in loads of at most so many trays, one after another.
    #[arg(long, value_name = "TRAYS", allow_negative_numbers = true)]
    at_once: Option<u8>,
    /// Share the loads among all ovens on record that suit.
    #[arg(long, requires = "at_once", conflicts_with_all = ["test", "oven", "mode", "samples"])]
    all_ovens: bool,
    /// No tray less even than this, shades; 1 when not given.
    #[arg(
        long,
        value_name = "SHADES",
        requires = "at_once",
        allow_negative_numbers = true
    )]
    least_even: Option<f64>,
    /// Outer size of a tray, along the door x front to back, bare figures in the oven's own unit; the recipe's own or
    /// 46x33cm when not given.
    #[arg(long, value_name = "WxD")]
    tray: Option<String>,
    /// Pieces on a tray, along the door x front to back, 12 x 12 at most; the recipe's own or 4x3 when not given.
    #[arg(long, value_name = "CxR", value_parser = values::grid)]
    pieces: Option<(usize, usize)>,
    /// Door openings at most, 0 to 4.
    #[arg(long, default_value_t = USUAL_OPENINGS, value_parser = clap::value_parser!(u8).range(0..=4))]
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

/// What is to be baked: a kind of bake, or a recipe of the baker's own.
pub(super) struct Baked {
    pub(super) kind: BakeKind,
    recipe: Option<Recipe>,
}

/// Finds the kind of bake that was named, or the recipe.
pub(super) fn baked(
    (flag, kind): (&'static str, Option<&str>),
    recipe: Option<&str>,
    session: &Session<'_>,
) -> Result<Baked, Trouble> {
    let Some(name) = recipe else {
        let key = kind.ok_or_else(|| nothing_to_bake(flag))?;
        return Ok(Baked {
            kind: bake_kind(key).or_trouble(flag, key)?.clone(),
            recipe: None,
        });
    };
    let kitchen = session.kitchen_again()?;
    let recipe = kitchen
        .find_recipe(name)
        .or_trouble("--recipe-name", name)?;
    Ok(Baked {
        kind: as_kind(recipe).or_trouble("--recipe-name", name)?,
        recipe: Some(recipe.clone()),
    })
}

/// Says that neither a kind of bake nor a recipe was named, and which kinds there are.
fn nothing_to_bake(flag: &'static str) -> Trouble {
    let kinds: Vec<&str> = bake_kinds().iter().map(|k| k.key.as_str()).collect();
    let kinds = kinds.join(", ");
    let why = format!("what to bake is missing; name one of {kinds}, or a --recipe-name");
    Trouble::user(why).with(flag, "(nothing)")
}

impl Baked {
    /// Returns the tray: what was typed, else the recipe's own, else a half sheet with 4 x 3 pieces.
    pub(super) fn tray(
        &self,
        size: Option<&str>,
        pieces: Option<(usize, usize)>,
        lengths: LengthUnit,
    ) -> Result<Tray, Trouble> {
        let own = self.recipe.as_ref().map(|r| r.tray);
        let (width, depth) = match (size, own) {
            (Some(text), _) => parse_size(text, lengths).or_trouble("--tray", text)?,
            (None, Some(own)) => (own.width, own.depth),
            (None, None) => (Centimetres(46.0), Centimetres(33.0)),
        };
        let own = own.map(|t| (t.across, t.deep));
        let (across, deep) = pieces.or(own).unwrap_or((4, 3));
        Ok(Tray::new(width, depth, across, deep))
    }

    /// Names it; a recipe with its temperature as it was written.
    fn words(&self) -> String {
        match &self.recipe {
            Some(recipe) => format!("{} ({})", recipe.name, recipe.written_words()),
            None => self.kind.name.clone(),
        }
    }
}

pub(crate) fn run(args: &PlanArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    if args.at_once.is_none() && !(1..=3).contains(&args.trays) {
        let why = format!(
            "'{}' cannot be used: it is out of range; give 1 to 3, or say with --at-once how many go in at a time",
            args.trays
        );
        return Err(Trouble::user(why).with("--trays", args.trays));
    }
    let baked = baked(
        ("--kind", args.kind.as_deref()),
        args.recipe_name.as_deref(),
        session,
    )?;
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
        for caution in cautions_at(Occasion::Bake, oven) {
            session.out.line(format!("! {caution}"))?;
        }
    }
    Ok(Exit::Done)
}

/// Makes the question for one load; bare figures are in these units.
fn request(
    args: &PlanArgs,
    baked: &Baked,
    mode: Mode,
    (unit, lengths): (TemperatureUnit, LengthUnit),
) -> Result<PlanRequest, Trouble> {
    let recipe = args
        .recipe
        .as_deref()
        .map(|text| Celsius::parse(text, unit).or_trouble("--recipe", text))
        .transpose()?;
    Ok(PlanRequest {
        kind: baked.kind.clone(),
        trays: usize::from(args.at_once.unwrap_or(args.trays)),
        tray: baked.tray(args.tray.as_deref(), args.pieces, lengths)?,
        max_openings: usize::from(args.openings),
        mode,
        recipe,
        time: args.minutes.map(Minutes),
        seed: args.seed,
    })
}

/// Makes the question for a baking day, where one is asked for.
fn day_request(args: &PlanArgs, load: &PlanRequest) -> Option<DayRequest> {
    args.at_once.map(|_| DayRequest {
        load: load.clone(),
        trays: usize::from(args.trays),
        least_even: args.least_even,
    })
}

/// Plans a day in all ovens that suit.
fn everywhere(args: &PlanArgs, baked: &Baked, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, _) = session.kitchen(Access::Read)?;
    let first = kitchen.ovens().first();
    let units = first.map_or_else(Default::default, |o| (o.dial.unit, o.lengths));
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
