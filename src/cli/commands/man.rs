//! `man`: the manual page, from the same definitions.

use crate::cli::{
    definition,
    session::Session,
    trouble::{Exit, Trouble},
};
use clap::Args;

/// Print the manual page, of the whole program or of one verb.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  rackshade man > rackshade.1\n  rackshade man map | man -l -")]
pub(in crate::cli) struct ManArgs {
    /// The verb.
    verb: Option<String>,
}

pub(in crate::cli) fn run(args: &ManArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let mut whole = definition();
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
    session.out.bytes(&text)?;
    Ok(Exit::Done)
}
