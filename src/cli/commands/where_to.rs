//! `where`: which oven, which mode, which rack position for a bake.

use super::plan::baked;
use crate::cli::prelude::*;
use crate::{
    model::Mode,
    report::{
        json_after::{ChoiceJson, ChoicesJson},
        json_plan::PlanJson,
    },
    units::{Celsius, LengthUnit, Minutes},
    workflow::{
        catalogue::bake_kind,
        choice::{Basis, Choice, Choices, choices},
        plan::{PlanRequest, USUAL_OPENINGS},
    },
};

/// Rank the ovens, modes and rack positions on record for one bake.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  rackshade where --bake thin-cookie --tray 33x24cm --pieces 3x2"
)]
pub(crate) struct WhereArgs {
    /// Kind of bake, like thin-cookie.
    #[arg(long, value_name = "KIND", conflicts_with = "recipe_name")]
    bake: Option<String>,
    /// A recipe of your own instead, by name.
    #[arg(long, value_name = "NAME")]
    recipe_name: Option<String>,
    /// Trays, 1 to 3.
    #[arg(long, default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=3))]
    trays: u8,
    /// Outer size of a tray, along the door x front to back, bare figures in centimetres; the recipe's own or 33x24cm
    /// when not given.
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
}

pub(crate) fn run(args: &WhereArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, _) = session.kitchen(Access::Read)?;
    if let Some(key) = &args.bake {
        bake_kind(key).or_trouble("--bake", key)?;
    }
    let baked = baked(
        ("--bake", args.bake.as_deref()),
        args.recipe_name.as_deref(),
        session,
    )?;
    let unit = kitchen.ovens().first().map(|o| o.dial.unit);
    let usual = args.recipe_name.is_none().then_some("33x24cm");
    let size = args.tray.as_deref().or(usual);
    let tray = baked.tray(size, args.pieces, LengthUnit::Centimetres)?;
    let recipe = args
        .recipe
        .as_deref()
        .map(|text| Celsius::parse(text, unit.unwrap_or_default()).or_trouble("--recipe", text))
        .transpose()?;
    let request = PlanRequest {
        kind: baked.kind,
        trays: usize::from(args.trays),
        tray,
        max_openings: usize::from(args.openings),
        mode: Mode::StillAir,
        recipe,
        time: args.minutes.map(Minutes),
        seed: 1,
    };
    let found = choices(&kitchen, &request, session.environment.now.date());
    if found.ranked.is_empty() {
        let why = found.refused.first().map_or_else(
            || "there is no oven yet; add one with 'rackshade ovens add'".to_owned(),
            |why| format!("no oven on record bakes this: {why}"),
        );
        let (name, typed) = match (&args.bake, &args.recipe_name) {
            (Some(key), _) => ("--bake", key.as_str()),
            (None, recipe) => ("--recipe-name", recipe.as_deref().unwrap_or_default()),
        };
        return Err(Trouble::user(why).with(name, typed));
    }
    if session.json {
        session.out.json(&json(found))?;
    } else {
        text(&found, &kitchen, session)?;
    }
    Ok(Exit::Done)
}

/// Numbers the ways: those that tie with the first share its rank, those by custom have none of merit.
fn ranks(ways: &[Choice]) -> Vec<usize> {
    let tied = |c: &Choice| c.ties_with_first;
    (0..ways.len())
        .map(|i| if tied(&ways[i]) { 1 } else { i + 1 })
        .collect()
}

fn json(found: Choices) -> ChoicesJson {
    let ranks = ranks(&found.ranked);
    let way = |(choice, rank): (Choice, usize)| {
        let (basis, tests, newest, age, interpolated) = match &choice.basis {
            Basis::Tests {
                tests,
                newest,
                age_days,
                evidence: _,
            } => (
                "tests",
                *tests,
                Some(newest.to_string()),
                Some(*age_days),
                choice.basis.is_interpolated(),
            ),
            Basis::Custom => ("custom", 0, None, None, false),
        };
        ChoiceJson {
            rank,
            oven: choice.oven.to_string(),
            mode: choice.mode.key(),
            racks: choice.racks,
            basis,
            tests,
            newest_test: newest,
            age_days: age,
            interpolated,
            ties_with_first: choice.ties_with_first,
            plan: PlanJson::new(
                &choice.planned.plan,
                choice.planned.sentences(),
                texts(&choice.planned.warnings),
            ),
        }
    };
    ChoicesJson {
        ways: found.ranked.into_iter().zip(ranks).map(way).collect(),
        refused: found.refused,
    }
}

fn text(found: &Choices, kitchen: &Kitchen, session: &mut Session<'_>) -> Result<(), Trouble> {
    let ranks = ranks(&found.ranked);
    let rows: Vec<_> = found
        .ranked
        .iter()
        .zip(ranks)
        .map(|(choice, rank)| {
            let oven = kitchen.oven(&choice.oven);
            let name = oven.map_or_else(|| choice.oven.to_string(), |o| o.name.clone());
            let racks: Vec<String> = choice.racks.iter().map(u8::to_string).collect();
            vec![
                match &choice.basis {
                    Basis::Tests { .. } if choice.ties_with_first => "1 =".to_owned(),
                    Basis::Tests { .. } => rank.to_string(),
                    Basis::Custom => "-".to_owned(),
                },
                name,
                choice.mode.words().to_owned(),
                racks.join("+"),
                choice.evenness_words(),
                choice.planned.plan.bake.to_string(),
                choice.basis.words(),
            ]
        })
        .collect();
    let head = [
        "",
        "oven",
        "mode",
        "rack",
        "unevenness",
        "takes",
        "rests on",
    ];
    session.out.table(&head, &rows)?;
    if found.ranked.iter().any(|c| c.ties_with_first) {
        session
            .out
            .line("1 =: too close to call, so the quickest comes first.")?;
    }
    if found.ranked.iter().any(|c| c.basis == Basis::Custom) {
        session
            .out
            .line("-: not tested there; by custom, and not ranked.")?;
    }
    for remark in remarks(found, kitchen) {
        session.out.line(format!("! {remark}"))?;
    }
    for why in &found.refused {
        session.out.line(format!("left out: {why}"))?;
    }
    Ok(())
}

/// Returns what stands against trusting the ways, once for each oven and mode.
fn remarks(found: &Choices, kitchen: &Kitchen) -> Vec<String> {
    let mut said = Vec::new();
    for choice in &found.ranked {
        let name = kitchen.oven(&choice.oven).map_or("", |o| o.name.as_str());
        let mode = choice.mode.words();
        for warning in &choice.planned.warnings {
            let remark = format!("{name}, {mode}: {warning}");
            if !said.contains(&remark) {
                said.push(remark);
            }
        }
    }
    said
}
