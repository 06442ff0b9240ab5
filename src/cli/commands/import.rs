//! `import`: take in what `export` wrote, look first, or take the last import back.

use crate::cli::prelude::*;
use crate::{
    model::text::joined,
    workflow::kitchen::{Imported, OnDifference},
};
use std::path::{Path, PathBuf};

/// Take in a file that export wrote; what is here already is not doubled.
#[derive(Debug, Args)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a switch of the command line; clap tells which exclude each other"
)]
#[command(
    after_help = "Examples:\n  rackshade import kitchen.json --dry-run\n  rackshade import kitchen.json\n  rackshade import kitchen.json --keep\n  rackshade import --undo"
)]
pub(crate) struct ImportArgs {
    /// The file.
    #[arg(value_name = "FILE", required_unless_present = "undo")]
    file: Option<PathBuf>,
    /// Only check it and say what would be taken in.
    #[arg(long, conflicts_with = "undo")]
    dry_run: bool,
    /// Where something of the same name differs, leave what is here; what belongs to another oven or
    /// thermometer of that name is then not taken in.
    #[arg(long, conflicts_with_all = ["replace", "undo"])]
    keep: bool,
    /// Where something of the same name differs, put the file's in its place.
    #[arg(long, conflicts_with = "undo")]
    replace: bool,
    /// Take the last import back; what was changed since stays, and what it had replaced goes under `removed`.
    #[arg(long, conflicts_with = "file")]
    undo: bool,
}

pub(crate) fn run(args: &ImportArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    match &args.file {
        Some(file) => take_in(file, args, session),
        None => undo(session),
    }
}

fn take_in(file: &Path, args: &ImportArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let on = match (args.keep, args.replace) {
        (true, _) => OnDifference::Keep,
        (false, true) => OnDifference::Replace,
        (false, false) => OnDifference::Refuse,
    };
    let access = if args.dry_run {
        Access::Read
    } else {
        Access::Write
    };
    let (kitchen, _) = session.kitchen(access)?;
    let done = kitchen
        .import(file, on, args.dry_run)
        .or_trouble("FILE", file.display())?;
    if session.json {
        session.out.json(&done)?;
    } else {
        tell(&done, session)?;
    }
    Ok(Exit::Done)
}

fn tell(done: &Imported, session: &mut Session<'_>) -> Result<(), Trouble> {
    let would = if done.dry_run { "would be " } else { "" };
    let lists = [
        (format!("{would}added"), &done.added),
        (format!("{would}replaced"), &done.replaced),
        ("differ, left as they are here".to_owned(), &done.kept),
        (
            "held back, what they belong to is another one here".to_owned(),
            &done.held_back,
        ),
        ("here already".to_owned(), &done.same),
    ];
    for (words, names) in lists {
        if !names.is_empty() {
            session
                .out
                .line(format!("{} {words}: {}", names.len(), names.join(", ")))?;
        }
    }
    if done.dry_run {
        session.out.line("nothing was changed")?;
    } else if !done.added.is_empty() || !done.replaced.is_empty() {
        session
            .out
            .line("to take this back: rackshade import --undo")?;
    }
    Ok(())
}

fn undo(session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, _) = session.kitchen(Access::Write)?;
    let done = kitchen.undo_import().or_trouble("--undo", "")?;
    if session.json {
        return session.answer(&done);
    }
    session
        .out
        .line(format!("{} taken back", done.undone.len()))?;
    if !done.left.is_empty() {
        let names = done.left.join(", ");
        session
            .out
            .line(format!("changed since, left as they are: {names}"))?;
    }
    if !done.set_aside.is_empty() {
        let files = joined(done.set_aside.iter().map(|file| file.display()), ", ");
        session
            .out
            .line(format!("what they had replaced lies now in: {files}"))?;
    }
    if !done.needed.is_empty() {
        let names = done.needed.join(", ");
        session
            .out
            .line(format!("still needed, left as they are: {names}"))?;
    }
    Ok(Exit::Done)
}
