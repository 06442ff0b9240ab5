//! Everything the command line takes from outside, read once.

use crate::model::Moment;
use jiff::tz::TimeZone;
use std::{
    ffi::OsString,
    io::{self, IsTerminal},
    path::PathBuf,
};

/// What surrounds the program.
#[derive(Debug, Clone)]
pub(super) struct Environment {
    /// The command line as typed.
    pub(super) arguments: Vec<OsString>,
    /// Data folder from `RACKSHADE_DATA`.
    pub(super) data: Option<PathBuf>,
    /// No colours are wanted (`NO_COLOR` set to anything).
    pub(super) no_colour: bool,
    /// Both ends are a terminal.
    pub(super) interactive: bool,
    /// Output goes to a terminal.
    pub(super) output_is_terminal: bool,
    /// The time, by the local clock.
    pub(super) now: Moment,
    /// The local zone.
    pub(super) zone: TimeZone,
}

impl Environment {
    /// Reads it.
    pub(super) fn read() -> Self {
        let set = |name| std::env::var_os(name).filter(|value| !value.is_empty());
        let output_is_terminal = io::stdout().is_terminal();
        Self {
            arguments: std::env::args_os().collect(),
            data: set("RACKSHADE_DATA").map(PathBuf::from),
            no_colour: set("NO_COLOR").is_some(),
            interactive: output_is_terminal && io::stdin().is_terminal(),
            output_is_terminal,
            now: Moment::from(&jiff::ZonedDateTime::now()),
            zone: TimeZone::system(),
        }
    }

    /// Returns the command as the user typed it.
    pub(super) fn typed(&self) -> String {
        let rest = self.arguments.iter().skip(1);
        let words: Vec<_> = rest
            .map(|word| word.to_string_lossy().into_owned())
            .collect();
        format!("rackshade {}", words.join(" ")).trim().to_owned()
    }
}
