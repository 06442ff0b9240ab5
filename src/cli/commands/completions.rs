//! `completions`: completions for a shell, from the same definitions.

use crate::cli::prelude::*;
use clap::Command;
use clap_complete::Shell;

/// Print completions for a shell.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  rackshade completions bash > ~/.local/share/bash-completion/completions/rackshade"
)]
pub(crate) struct CompletionsArgs {
    /// The shell.
    shell: Shell,
}

pub(crate) fn run(
    args: &CompletionsArgs,
    mut definition: Command,
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    session.no_json()?;
    let mut text = Vec::new();
    clap_complete::generate(args.shell, &mut definition, "rackshade", &mut text);
    session.out.bytes(&text)?;
    Ok(Exit::Done)
}
