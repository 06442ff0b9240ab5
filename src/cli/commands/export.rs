//! `export`: an oven with its record, or the whole kitchen, as one file.

use crate::cli::prelude::*;
use crate::{report::json_moving::ExportJson, workflow::kitchen::Plates};
use std::path::PathBuf;

/// Write an oven with its tests, readings, visits and bakes, or everything, into one file.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  rackshade export --out kitchen.json\n  rackshade export wall-oven --out wall-oven.json"
)]
pub(crate) struct ExportArgs {
    /// The oven, by id or name; everything when not given.
    #[arg(value_name = "OVEN")]
    oven: Option<String>,
    /// The file to write; - is standard output.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Take make, model, serial number and contact of ovens along; they stay here otherwise.
    #[arg(long)]
    with_serial: bool,
    /// Replace the file if it is there already.
    #[arg(long)]
    force: bool,
}

pub(crate) fn run(args: &ExportArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let out = session.destination("--out", &args.out, args.force)?;
    let (kitchen, warnings) = session.kitchen(Access::Read)?;
    let oven = match &args.oven {
        Some(id) => Some(kitchen.find_oven(id).or_trouble("OVEN", id)?),
        None => None,
    };
    let plates = if args.with_serial {
        Plates::Taken
    } else {
        Plates::LeftOut
    };
    let bundle = kitchen
        .export(oven.map(|o| &o.id), plates)
        .or_trouble("--out", args.out.display())?;
    let bytes = bundle.len();
    if !session.deliver(&out, &bundle)? {
        return Ok(Exit::Done);
    }
    if session.json {
        let file = args.out.display().to_string();
        let warnings = texts(&warnings);
        session.out.json(&ExportJson {
            file,
            bytes,
            warnings,
        })?;
    } else {
        let all = if warnings.is_empty() {
            "the whole kitchen"
        } else {
            "the kitchen"
        };
        let what = oven.map_or(all, |o| &o.name);
        let size = bytes.div_ceil(1024);
        let whole = if warnings.is_empty() {
            what.to_owned()
        } else {
            format!("{what}, as far as it could be read,")
        };
        let said = format!("{whole} written to {} ({size} KiB)", args.out.display());
        session.out.line(said)?;
    }
    Ok(Exit::Done)
}
