//! The command line: one file for each verb, the work itself in `workflow`.

mod args;
mod commands;
mod destination;
mod environment;
mod output;
mod prelude;
mod session;
mod trouble;
mod values;

use args::Cli;
use environment::Environment;
use output::Output;
use session::Session;
use std::process::ExitCode;
use trouble::{Exit, Trouble};

/// Reads the command line, does what it says, and returns how it ended.
///
/// 0 done, 1 the answer is no, 2 the user must change something, 3 a fault of the program.
pub fn main() -> ExitCode {
    let environment = Environment::read();
    let mut out = Output::new();
    let parsed = Cli::read(&environment.arguments);
    let ended = match parsed {
        Ok(cli) => guarded(cli, &environment, &mut out),
        Err(error) => refused(&error, &mut out),
    };
    let exit = match ended.and_then(|exit| out.flush().map(|()| exit)) {
        Ok(exit) => exit,
        Err(trouble) => {
            out.trouble(&trouble, &environment.typed());
            trouble.exit
        }
    };
    exit.into()
}

/// Runs a verb; a panic in it is our bug, and ends like any other trouble.
fn guarded(cli: Cli, environment: &Environment, out: &mut Output) -> Result<Exit, Trouble> {
    let run = std::panic::AssertUnwindSafe(|| {
        let mut session = Session::new((cli.data.clone(), cli.json), environment, out);
        commands::run(cli.command, &mut session)
    });
    std::panic::catch_unwind(run).unwrap_or_else(|_already_printed| {
        Err(Trouble::bug("the program stopped where it must not"))
    })
}

/// Help and version are answers; anything else clap refuses is told in our three lines.
fn refused(error: &clap::Error, out: &mut Output) -> Result<Exit, Trouble> {
    if error.use_stderr() {
        Err(Trouble::of_usage(error))
    } else {
        out.text(&error.render().to_string())?;
        Ok(Exit::Done)
    }
}
