//! `readings`: what the thermometer said.

mod add;
pub(crate) mod given;
mod summary;

use crate::cli::prelude::*;
use crate::{model::AirRound, report::json_readings::RoundJson};

/// Add thermometer readings, list them, and work out offset, swing, preheat and door.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  rackshade readings add --oven wall-oven --dial 350F --reads 338F\n  rackshade readings add --oven wall-oven --csv probe.csv --dial 350F --at 2026-11-20T14:05\n  rackshade readings summary --oven wall-oven --mode still-air\n  rackshade readings summary --csv probe.csv --json"
)]
pub(crate) struct ReadingsArgs {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Add one reading in one line, or a whole sitting from a CSV file.
    Add(add::AddArgs),
    /// List the sittings on record.
    List(ListArgs),
    /// Work out offset, swing, cycle, preheat and door, with what they advise.
    Summary(summary::SummaryArgs),
}

#[derive(Debug, Args)]
#[command(after_help = "Example:\n  rackshade readings list --oven wall-oven")]
struct ListArgs {
    /// Only those of one oven.
    #[arg(long)]
    oven: Option<String>,
}

pub(crate) fn run(args: ReadingsArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    match args.what {
        What::Add(args) => add::run(&args, session),
        What::List(args) => list(&args, session),
        What::Summary(args) => summary::run(&args, session),
    }
}

fn list(args: &ListArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, warnings) = session.kitchen(Access::Read)?;
    let of_it = of_one(&kitchen, args.oven.as_deref())?;
    let rounds: Vec<&AirRound> = kitchen.rounds().iter().filter(|r| of_it(&r.oven)).collect();
    let rows: Vec<_> = rounds
        .iter()
        .map(|r| {
            let unit = kitchen
                .oven(&r.oven)
                .map(|o| o.dial.unit)
                .unwrap_or_default();
            let (began, dial) = r.readings.first().map_or_else(
                || (String::new(), String::new()),
                |first| {
                    (
                        first.at.civil().strftime("%Y-%m-%d %H:%M").to_string(),
                        unit.show(first.dial),
                    )
                },
            );
            vec![
                r.id.to_string(),
                r.oven.to_string(),
                r.mode.words().to_owned(),
                dial,
                began,
                r.readings.len().to_string(),
                r.thermometer
                    .as_ref()
                    .map_or_else(|| "not named".to_owned(), ToString::to_string),
            ]
        })
        .collect();
    let head = [
        "id",
        "oven",
        "mode",
        "dial",
        "began",
        "readings",
        "thermometer",
    ];
    session.list(
        &Listed::<RoundJson>::new("rounds", rounds, texts(&warnings)),
        "no reading yet: rackshade readings add --oven OVEN --dial 350F --reads 338F",
        &head,
        &rows,
    )
}
