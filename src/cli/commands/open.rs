//! Without a verb: the terminal screens on the user's own kitchen.

use crate::cli::prelude::*;
use crate::{
    model::Warning,
    tui::{self, TuiOptions},
};

pub(crate) fn run(session: &mut Session<'_>) -> Result<Exit, Trouble> {
    if !session.environment.interactive {
        return Err(Trouble::user(
            "the screens need a terminal for input and output; run it in a terminal, or see 'rackshade --help' for the verbs",
        ));
    }
    let (kitchen, warnings) = session.kitchen_for_screens()?;
    screens(kitchen, warnings)
}

/// Opens the screens on a kitchen.
pub(crate) fn screens(kitchen: Kitchen, warnings: Vec<Warning>) -> Result<Exit, Trouble> {
    let options = TuiOptions {
        warnings,
        ..TuiOptions::default()
    };
    tui::run(kitchen, options).map_err(Trouble::user)?;
    Ok(Exit::Done)
}
