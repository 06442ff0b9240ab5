//! `keys`: every key of every screen.

use crate::cli::prelude::*;
use crate::{
    report::json_keys::KeysJson,
    tui::{KeyTable, key_tables},
};
use std::fmt::Write as _;

/// List every key, screen by screen.
#[derive(Debug, Args)]
#[command(after_help = "On a screen, ? shows its keys.\n\nExample:\n  rackshade keys")]
pub(crate) struct KeysArgs {}

pub(crate) fn run(_args: &KeysArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let tables = key_tables();
    if session.json {
        let parts = tables.iter().map(|t| (t.title, t.keys.as_slice()));
        return session.answer(&KeysJson::new(parts));
    }
    let mut between = "";
    for table in &tables {
        session.out.line(format!("{between}{}", table.title))?;
        for (keys, help) in &table.keys {
            session.out.line(format!("  {keys:<24} {help}"))?;
        }
        between = "\n";
    }
    Ok(Exit::Done)
}

/// Writes the tables as a section of the manual page.
pub(super) fn section_of_manual(tables: &[KeyTable]) -> String {
    // A backslash begins a command of roff, and so does a point at the start of a line.
    let plain = |text: &str| text.replace('\\', "\\e").replace('-', "\\-");
    let mut out = String::from(".SH KEYS\n");
    for table in tables {
        // Writing to a string cannot fail.
        let _infallible = writeln!(out, ".SS \"{}\"", plain(table.title));
        for (keys, help) in &table.keys {
            let _infallible = write!(out, ".TP\n\\fB{}\\fR\n\\&{}\n", plain(keys), plain(help));
        }
    }
    out
}
