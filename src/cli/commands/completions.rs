//! `completions`: completions for a shell, from the same definitions.

use crate::cli::{
    definition,
    session::Session,
    trouble::{Exit, Trouble},
};
use clap::Args;
use clap_complete::Shell;

/// Print completions for a shell.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  rackshade completions bash > ~/.local/share/bash-completion/completions/rackshade"
)]
pub(in crate::cli) struct CompletionsArgs {
    /// The shell.
    shell: Shell,
}

pub(in crate::cli) fn run(
    args: &CompletionsArgs,
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    let mut text = Vec::new();
    clap_complete::generate(args.shell, &mut definition(), "rackshade", &mut text);
    session.out.bytes(&text)?;
    Ok(Exit::Done)
}
