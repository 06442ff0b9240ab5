//! `try`: the demo kitchen on a throwaway copy.

use super::{map::sheet, open::screens};
use crate::cli::prelude::*;
use crate::{
    model::{ToastTest, Tray},
    report::text::{Tour, tour},
    workflow::{
        catalogue::bake_kind,
        ground::ground_of_oven,
        plan::{PlanRequest, Told, plan_of},
    },
};

/// Open the demo kitchen on a throwaway copy.
#[derive(Debug, Args)]
#[command(
    after_help = "Nothing of yours is read or changed. Without a terminal for input and output it prints a tour in plain text.\n\nExamples:\n  rackshade try\n  rackshade try --text | less"
)]
pub(crate) struct TryArgs {
    /// Print the text tour even in a terminal.
    #[arg(long)]
    text: bool,
}

pub(crate) fn run(args: &TryArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    session.no_json()?;
    let (kitchen, warnings) = Kitchen::throwaway_copy()?;
    if session.environment.interactive && !args.text {
        return screens(kitchen, warnings);
    }
    print_tour(&kitchen, session)?;
    Ok(Exit::Done)
}

/// Prints oven, maps, zones and a plan for two trays of cookies in the demo's wall oven.
fn print_tour(kitchen: &Kitchen, session: &mut Session<'_>) -> Result<(), Trouble> {
    let oven = kitchen.find_oven("wall-oven").map_err(Trouble::bug)?;
    let ground = ground_of_oven(kitchen, oven, None, (24, 18)).map_err(Trouble::bug)?;
    let view = ground.tested().map_err(Trouble::bug)?;
    let kind = bake_kind("thin-cookie").map_err(Trouble::bug)?;
    let request = PlanRequest {
        trays: 2,
        max_openings: 2,
        ..PlanRequest::of(kind.clone(), ground.mode, Tray::HALF_SHEET)
    };
    let told = Told::look_up(kitchen, &ground, kind);
    let planned = plan_of(&ground, &told, &request).map_err(Trouble::bug)?;
    let tests: Vec<&ToastTest> = ground.pool.tests.iter().collect();
    session.out.text(&tour(&Tour {
        sheet: sheet(view, oven),
        tests: &tests,
        plan: Some((&kind.name, &planned.plan, &planned.sentences())),
    }))
}
