//! `where`: which oven, which mode, which rack position for a bake.

use super::baked::BakeArgs;
use crate::cli::prelude::*;
use crate::{
    model::{Mode, text::joined},
    report::{
        json_after::{ChoiceJson, ChoicesJson},
        json_plan::PlanJson,
        text::load_words,
    },
    workflow::choice::{Basis, Choice, Choices, choices},
};

/// Rank the ovens, modes and rack positions on record for one bake.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  rackshade where --kind thin-cookie --tray 33x24cm --pieces 3x2"
)]
pub(crate) struct WhereArgs {
    #[command(flatten)]
    bake: BakeArgs,
}

pub(crate) fn run(args: &WhereArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, _) = session.kitchen(Access::Read)?;
    args.bake.few_trays("")?;
    let baked = args.bake.baked(session)?;
    let units = kitchen.units();
    let request = args.bake.request(&baked, Mode::StillAir, units)?;
    let found = choices(&kitchen, &request, session.environment.now.date());
    if found.ranked.is_empty() {
        let why = found.refused.first().map_or_else(
            || "there is no oven yet; add one with 'rackshade ovens add'".to_owned(),
            |why| format!("no oven on record bakes this: {why}"),
        );
        return Err(args.bake.blamed(why));
    }
    if session.json {
        session.out.json(&json(found))?;
    } else {
        let asked = load_words(&baked.words(), (request.trays, &request.tray), units.1);
        session.out.line(asked)?;
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
            vec![
                match &choice.basis {
                    Basis::Tests { .. } if choice.ties_with_first => "1 =".to_owned(),
                    Basis::Tests { .. } => rank.to_string(),
                    Basis::Custom => "-".to_owned(),
                },
                name,
                choice.mode.words().to_owned(),
                joined(&choice.racks, "+"),
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
    session.out.marked("!", remarks(found, kitchen))?;
    for why in &found.refused {
        session.out.line(format!("left out: {why}"))?;
    }
    Ok(())
}

/// Returns what stands against trusting the ways, once for each oven and mode.
fn remarks(found: &Choices, kitchen: &Kitchen) -> Vec<String> {
    let mut said = Vec::new();
    for choice in &found.ranked {
        let name = kitchen.name_of(&choice.oven);
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
