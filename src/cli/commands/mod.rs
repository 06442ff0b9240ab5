//! One file for each verb.

mod after;
mod baked;
pub(super) mod bakes;
mod batches;
pub(super) mod card;
pub(super) mod check;
pub(super) mod compare;
pub(super) mod completions;
pub(super) mod dial;
pub(super) mod doughs;
pub(super) mod export;
pub(super) mod history;
pub(super) mod import;
pub(super) mod keys;
pub(super) mod layout;
pub(super) mod line;
pub(super) mod man;
pub(super) mod map;
mod open;
pub(super) mod ovens;
pub(super) mod photo;
pub(super) mod plan;
pub(super) mod readings;
pub(super) mod recipes;
pub(super) mod report;
pub(super) mod rise;
pub(super) mod score;
pub(super) mod tests;
pub(super) mod thermometers;
pub(super) mod try_demo;
pub(super) mod where_to;

use super::{
    args::{Cli, Command},
    session::Session,
    trouble::{Exit, Trouble},
};
use clap::CommandFactory;

/// Does what a verb says; without one, opens the screens.
pub(super) fn run(command: Option<Command>, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    match command {
        None => open::run(session),
        Some(Command::Try(args)) => try_demo::run(&args, session),
        Some(Command::Ovens(args)) => ovens::run(args, session),
        Some(Command::Tests(args)) => tests::run(args, session),
        Some(Command::Layout(args)) => layout::run(&args, session),
        Some(Command::Score(args)) => score::run(&args, session),
        Some(Command::Map(args)) => map::run(&args, session),
        Some(Command::Photo(args)) => photo::run(&args, session),
        Some(Command::Check(args)) => check::run(&args, session),
        Some(Command::Compare(args)) => compare::run(&args, session),
        Some(Command::Plan(args)) => plan::run(&args, session),
        Some(Command::Where(args)) => where_to::run(&args, session),
        Some(Command::Recipes(args)) => recipes::run(args, session),
        Some(Command::Rise(args)) => rise::run(&args, session),
        Some(Command::Doughs(args)) => doughs::run(args, session),
        Some(Command::Readings(args)) => readings::run(args, session),
        Some(Command::Dial(args)) => dial::run(&args, session),
        Some(Command::Line(args)) => line::run(&args, session),
        Some(Command::Thermometers(args)) => thermometers::run(args, session),
        Some(Command::Bakes(args)) => bakes::run(args, session),
        Some(Command::History(args)) => history::run(&args, session),
        Some(Command::Export(args)) => export::run(&args, session),
        Some(Command::Import(args)) => import::run(&args, session),
        Some(Command::Keys(args)) => keys::run(&args, session),
        Some(Command::Card(args)) => card::run(&args, session),
        Some(Command::Report(args)) => report::run(&args, session),
        Some(Command::Completions(args)) => completions::run(&args, Cli::command(), session),
        Some(Command::Man(args)) => man::run(&args, Cli::command(), session),
    }
}
