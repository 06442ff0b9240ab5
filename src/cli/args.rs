//! The command line's definition: what is common to all verbs, and the list of verbs.

use super::commands::{
    bakes::BakesArgs, card::CardArgs, check::CheckArgs, compare::CompareArgs,
    completions::CompletionsArgs, dial::DialArgs, doughs::DoughsArgs, export::ExportArgs,
    history::HistoryArgs, import::ImportArgs, keys::KeysArgs, layout::LayoutArgs, line::LineArgs,
    man::ManArgs, map::MapArgs, ovens::OvensArgs, photo::PhotoArgs, plan::PlanArgs,
    readings::ReadingsArgs, recipes::RecipesArgs, report::ReportArgs, rise::RiseArgs,
    score::ScoreArgs, tests::TestsArgs, thermometers::ThermometersArgs, try_demo::TryArgs,
    where_to::WhereArgs,
};
use clap::{Command as Definition, CommandFactory, FromArgMatches, Parser, Subcommand};
use std::{ffi::OsString, path::PathBuf};

/// Placeholders of the options that take figures.
const FIGURES: [&str; 21] = [
    "CM",
    "CORNERS",
    "CxR",
    "DEGREES",
    "GRAMS",
    "L",
    "LENGTH",
    "LENGTH,LENGTH..",
    "MARK",
    "MINUTES",
    "N",
    "N,N..",
    "OPENINGS",
    "SECONDS",
    "SEED",
    "SHADE",
    "SHADES",
    "TIME@DEGREES",
    "TRAYS",
    "WxD",
    "X",
];

/// Learns an oven from toasted bread: maps its hot and cool zones, plans racks, turns and dial.
///
/// Without a verb it opens the terminal screens on your own kitchen.
#[derive(Debug, Parser)]
#[command(
    name = "rackshade",
    version,
    max_term_width = 100,
    after_help = "Examples:\n  rackshade try\n  rackshade ovens add --from wall-oven-30-inch --name 'wall oven'\n  rackshade map --oven wall-oven --mode still-air"
)]
pub(super) struct Cli {
    /// Folder to keep data in, instead of the platform's own (or `RACKSHADE_DATA`).
    #[arg(long, global = true, value_name = "DIR")]
    pub(super) data: Option<PathBuf>,
    /// Print the result as one JSON object, SI units in its key names.
    #[arg(long, global = true)]
    pub(super) json: bool,
    #[command(subcommand)]
    pub(super) command: Option<Command>,
}

impl Cli {
    /// Reads a command line; figures below nothing come through to whoever reads the figure and can say what is wrong.
    pub(super) fn read<T: Into<OsString> + Clone>(
        typed: impl IntoIterator<Item = T>,
    ) -> Result<Self, clap::Error> {
        let mut definition = with_minus(Self::command());
        let mut matches = definition.try_get_matches_from_mut(typed)?;
        Self::from_arg_matches_mut(&mut matches).map_err(|error| error.format(&mut definition))
    }
}

/// Lets figures begin with a minus, in every verb.
fn with_minus(definition: Definition) -> Definition {
    let takes_figures = |arg: &clap::Arg| {
        let names = arg.get_value_names().unwrap_or_default();
        !arg.is_positional() && names.iter().any(|name| FIGURES.contains(&name.as_str()))
    };
    definition
        .mut_args(|arg| {
            if takes_figures(&arg) {
                arg.allow_hyphen_values(true)
            } else {
                arg
            }
        })
        .mut_subcommands(with_minus)
}

/// The verbs.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Open the demo kitchen on a throwaway copy; without a terminal, print a text tour of it.
    Try(TryArgs),
    /// List, show, add and change ovens.
    Ovens(OvensArgs),
    /// List, show, lay out, remove and restore toast tests.
    Tests(TestsArgs),
    /// Show how many slices fit on a rack and where each goes.
    Layout(LayoutArgs),
    /// Score a toast test: a rack in one line, from a CSV file, or key by key.
    Score(ScoreArgs),
    /// Score a phone photo of the toasted slices.
    Photo(PhotoArgs),
    /// Map the browning of every rack position.
    Map(MapArgs),
    /// Compare before and after: what changed, how sure, and where.
    Compare(CompareArgs),
    /// Check with a few slices whether an oven is still the one on record.
    Check(CheckArgs),
    /// Plan a bake: racks, turns, times and dial.
    Plan(PlanArgs),
    /// Rank the ovens, modes and rack positions on record for one bake.
    Where(WhereArgs),
    /// List, show, add, change and remove recipes of your own.
    Recipes(RecipesArgs),
    /// Find how long a dough rises at another temperature.
    Rise(RiseArgs),
    /// List and add your own doughs, put one to rise, note a look at it, take it out.
    Doughs(DoughsArgs),
    /// Add thermometer readings, list them, and work out offset, swing, preheat and door.
    Readings(ReadingsArgs),
    /// Find the dial setting for a wanted temperature from the readings.
    Dial(DialArgs),
    /// Fit a straight line to points, with standard errors and prediction.
    Line(LineArgs),
    /// List, add and remove thermometers.
    Thermometers(ThermometersArgs),
    /// List and show what was baked, score what came out, learn from it.
    Bakes(BakesArgs),
    /// Show an oven's life and when to test again.
    History(HistoryArgs),
    /// Write an oven with its record, or everything, into one file.
    Export(ExportArgs),
    /// Take in a file that export wrote, or take the last import back.
    Import(ImportArgs),
    /// Put findings on paper: a card for the oven door, a sheet for the technician.
    Report(ReportArgs),
    /// Show the shade card.
    Card(CardArgs),
    /// List every key, screen by screen.
    Keys(KeysArgs),
    /// Print completions for a shell.
    Completions(CompletionsArgs),
    /// Print the manual page.
    Man(ManArgs),
}
