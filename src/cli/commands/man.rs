//! `man`: the manual page, from the same definitions.

use super::keys::section_of_manual;
use crate::cli::prelude::*;
use crate::tui::key_tables;
use clap::Command;

/// Print the manual page, of the whole program or of one verb.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  rackshade man > rackshade.1\n  rackshade man map | man -l -")]
pub(crate) struct ManArgs {
    /// The verb.
    verb: Option<String>,
}

pub(crate) fn run(
    args: &ManArgs,
    mut whole: Command,
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    session.no_json()?;
    whole.build();
    let command = match &args.verb {
        None => whole,
        Some(verb) => whole.find_subcommand(verb).cloned().ok_or_else(|| {
            Trouble::user(format!(
                "'{verb}' is no verb; see 'rackshade --help' for the list"
            ))
            .with("verb", verb)
        })?,
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(command)
        .render(&mut text)
        .map_err(Trouble::bug)?;
    if args.verb.is_none() {
        text.extend(section_of_manual(&key_tables()).into_bytes());
    }
    session.out.bytes(&text)?;
    Ok(Exit::Done)
}
