//! `readings`: what the thermometer said.

mod add;
pub(crate) mod given;
mod summary;

use crate::cli::prelude::*;
use crate::{model::AirRound, report::json_readings::RoundJson, units::TemperatureUnit};

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

/// Writes every setting of a sitting once, in the order they were read at: `150, 180 C`.
fn settings(round: &AirRound, unit: TemperatureUnit) -> String {
    let mut figures: Vec<String> = Vec::new();
    for reading in &round.readings {
        let figure = format!("{:.0}", unit.figure(reading.dial));
        if !figures.contains(&figure) {
            figures.push(figure);
        }
    }
    if figures.is_empty() {
        return String::new();
    }
    format!("{} {}", figures.join(", "), unit.letter())
}

fn list(args: &ListArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, warnings) = session.kitchen(Access::Read)?;
    let of_it = of_one(&kitchen, args.oven.as_deref())?;
    let rounds: Vec<&AirRound> = kitchen.rounds().iter().filter(|r| of_it(&r.oven)).collect();
    let rows: Vec<_> = rounds
        .iter()
        .map(|r| {
            let (unit, _) = kitchen.units_of(&r.oven);
            let first = r.readings.first();
            let began = first.map_or_else(String::new, |first| {
                first.at.civil().strftime("%Y-%m-%d %H:%M").to_string()
            });
            vec![
                r.id.to_string(),
                r.oven.to_string(),
                r.mode.words().to_owned(),
                settings(r, unit),
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
