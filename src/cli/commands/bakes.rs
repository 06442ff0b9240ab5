//! `bakes`: what was baked, and how it came out.

use crate::{
    cli::{
        session::{Session, texts},
        trouble::{Exit, OrTrouble, Trouble},
    },
    model::BakeLog,
    report::json_kitchen::{BakeJson, BakesJson},
    workflow::kitchen::{Access, Kitchen},
};
use clap::{Args, Subcommand};

/// List and show what was baked.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  rackshade bakes --oven wall-oven")]
pub(in crate::cli) struct BakesArgs {
    /// Only those of one oven.
    #[arg(long)]
    oven: Option<String>,
    #[command(subcommand)]
    what: Option<What>,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Show one bake.
    #[command(after_help = "Example:\n  rackshade bakes show 2026-03-21-wall-oven")]
    Show {
        /// Its id.
        bake: String,
    },
}

pub(in crate::cli) fn run(args: BakesArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, warnings) = session.kitchen(Access::Read)?;
    match args.what {
        Some(What::Show { bake }) => {
            let found = kitchen
                .bakes()
                .iter()
                .find(|b| b.id.as_str() == bake)
                .ok_or_else(|| {
                    Trouble::user(format!("there is no bake '{bake}'; see 'rackshade bakes'"))
                        .with("bake", &bake)
                })?;
            show(found, &kitchen, session)?;
        }
        None => {
            let bakes = match &args.oven {
                Some(oven) => {
                    let id = &kitchen.find_oven(oven).or_trouble("--oven", oven)?.id;
                    kitchen.bakes_of(id)
                }
                None => kitchen.bakes().iter().collect(),
            };
            list(&bakes, texts(&warnings), session)?;
        }
    }
    Ok(Exit::Done)
}

fn list(bakes: &[&BakeLog], notes: Vec<String>, session: &mut Session<'_>) -> Result<(), Trouble> {
    if session.json {
        return session
            .out
            .json(&BakesJson::new(bakes.iter().copied(), notes));
    }
    if bakes.is_empty() {
        return session
            .out
            .line("no bake yet: plan one and run its clock in the screens");
    }
    let rows: Vec<_> = bakes
        .iter()
        .map(|b| {
            vec![
                b.id.to_string(),
                b.oven.to_string(),
                b.mode.words().to_owned(),
                b.kind.clone(),
                b.started.strftime("%Y-%m-%d %H:%M").to_string(),
                b.baked
                    .map_or_else(|| "not finished".to_owned(), |m| m.to_string()),
            ]
        })
        .collect();
    session
        .out
        .table(&["id", "oven", "mode", "kind", "started", "took"], &rows)
}

fn show(bake: &BakeLog, kitchen: &Kitchen, session: &mut Session<'_>) -> Result<(), Trouble> {
    if session.json {
        return session.out.json(&BakeJson::from(bake));
    }
    let out = &mut session.out;
    let unit = kitchen
        .oven(&bake.oven)
        .map(|o| o.dial.unit)
        .unwrap_or_default();
    out.line(format!(
        "{}: {} in {}, {}",
        bake.id,
        bake.kind,
        bake.oven,
        bake.mode.words()
    ))?;
    out.line(format!(
        "  planned  {} at {}",
        bake.plan.bake,
        unit.show(bake.plan.dial)
    ))?;
    match bake.baked {
        Some(minutes) => out.line(format!("  took     {minutes}"))?,
        None => out.line("  took     not finished")?,
    }
    for opening in &bake.openings {
        let how_long = opening
            .open_for
            .map(|m| format!(" (open for {m})"))
            .unwrap_or_default();
        out.line(format!(
            "  opened   at {}: {}{how_long}",
            opening.at, opening.what
        ))?;
    }
    for (tray, shade) in &bake.outcome {
        out.line(format!("  tray {tray}   came out at shade {shade}"))?;
    }
    if !bake.note.is_empty() {
        out.line(format!("  note     {}", bake.note))?;
    }
    Ok(())
}
