//! `thermometers`: what the readings are taken with.

use super::readings::given::difference;
use crate::cli::prelude::*;
use crate::{model::Thermometer, report::json_readings::ThermometerJson};
use jiff::civil::Date;

/// List, add and remove thermometers.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  rackshade thermometers\n  rackshade thermometers add --name 'wire probe' --resolution 0.1C --accuracy 1C --lag 8 --bought 2026-01-15"
)]
pub(crate) struct ThermometersArgs {
    #[command(subcommand)]
    what: Option<What>,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Add a thermometer, or change the one of that name.
    #[command(
        after_help = "Example:\n  rackshade thermometers add --name 'dial type' --resolution 5F --accuracy 10F --bought 2025-03-01"
    )]
    Add {
        /// Its name.
        #[arg(long, value_parser = crate::cli::values::name)]
        name: String,
        /// The smallest step it shows, like 1F; bare figures in the first oven's unit, or F.
        #[arg(long, value_name = "DEGREES")]
        resolution: String,
        /// It is right within this, like 2F; bare figures in the first oven's unit, or F.
        #[arg(long, value_name = "DEGREES")]
        accuracy: String,
        /// Seconds it takes to follow 63 % of a change.
        #[arg(long, value_name = "SECONDS", value_parser = values::figure)]
        lag: Option<f64>,
        /// The day it was bought.
        #[arg(long, value_name = "DAY", value_parser = values::day)]
        bought: Option<Date>,
    },
    /// Remove a thermometer; the readings taken with it stay.
    #[command(after_help = "Example:\n  rackshade thermometers remove dial-type")]
    Remove {
        /// Its id or name.
        thermometer: String,
    },
}

pub(crate) fn run(args: ThermometersArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    match args.what {
        None => {
            let (kitchen, warnings) = session.kitchen(Access::Read)?;
            list(&kitchen, texts(&warnings), session)
        }
        Some(What::Add {
            name,
            resolution,
            accuracy,
            lag,
            bought,
        }) => {
            let (mut kitchen, warnings) = session.kitchen(Access::Write)?;
            let (unit, _) = kitchen.units();
            // What is not given again stays as it was.
            let known = kitchen.find_thermometer(&name).ok().cloned();
            let known = known.unwrap_or_else(|| Thermometer {
                id: kitchen.fresh_thermometer_id(&name),
                name,
                ..Thermometer::unnamed()
            });
            let thermometer = Thermometer {
                resolution: difference("--resolution", &resolution, unit)?,
                accuracy: difference("--accuracy", &accuracy, unit)?,
                lag_s: lag.or(known.lag_s),
                bought: bought.or(known.bought),
                ..known
            };
            kitchen.save_thermometer(thermometer)?;
            list(&kitchen, texts(&warnings), session)
        }
        Some(What::Remove { thermometer }) => {
            let (mut kitchen, warnings) = session.kitchen(Access::Write)?;
            let id = kitchen
                .find_thermometer(&thermometer)
                .or_trouble("thermometer", &thermometer)?
                .id
                .clone();
            kitchen.remove_thermometer(&id)?;
            list(&kitchen, texts(&warnings), session)
        }
    }
}

fn list(kitchen: &Kitchen, notes: Vec<String>, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let today = session.environment.now.date();
    let all = kitchen.thermometers();
    let (unit, _) = kitchen.units();
    let degrees = |d| format!("{:.1} {}", unit.delta_figure(d), unit.letter());
    let rows: Vec<_> = all
        .iter()
        .map(|t| {
            vec![
                t.id.to_string(),
                t.name.clone(),
                degrees(t.resolution),
                format!("+-{}", degrees(t.accuracy)),
                t.lag_s
                    .map_or_else(|| "not known".to_owned(), |s| format!("{s:.0} s")),
                t.bought
                    .map_or_else(|| "not known".to_owned(), |d| d.to_string()),
                if t.is_due(today) {
                    "due for replacing"
                } else {
                    ""
                }
                .to_owned(),
            ]
        })
        .collect();
    let with_due = all.iter().map(|t| (t, t.is_due(today)));
    session.list(
        &Listed::<ThermometerJson>::new("thermometers", with_due, notes),
        "no thermometer yet: rackshade thermometers add --name 'dial type' --resolution 5F --accuracy 10F",
        &["id", "name", "step", "right within", "lag", "bought", ""],
        &rows,
    )
}
