//! `report`: findings on paper, as a card for the oven door or a sheet for the technician.

use crate::cli::prelude::*;
use crate::{
    model::{Mode, text::joined},
    report::json_moving::WrittenJson,
    workflow::{
        ground::GroundError,
        paper::{NoPaper, PageSize, PaperFormat, PaperRequest, card, pages, sheet, size_for},
    },
};
use jiff::civil::DateTime;
use std::path::PathBuf;

/// Put findings on paper: a card for the oven door, or a sheet for the technician.
#[derive(Debug, Args)]
#[command(
    after_help = "Pages of PDF stand in one file; further pages of SVG and PNG go beside it as FILE-2, FILE-3.\n\nExamples:\n  rackshade report card wall-oven --out card.pdf\n  rackshade report card wall-oven --paper letter --out card.png\n  rackshade report technician wall-oven --format html --out findings.html\n  rackshade report technician wall-oven --visit 2026-04-02 --out findings.pdf"
)]
pub(crate) struct ReportArgs {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// A card for the oven door: in front what to set, where it is hot, when to turn; behind it the figures.
    Card(PaperArgs),
    /// Evidence for the technician: maps, figures with intervals, readings, conditions, before and after.
    Technician {
        #[command(flatten)]
        paper: PaperArgs,
        /// Day, or day and time, of the service visit to set before and after; the latest when not given.
        #[arg(long, value_name = "YYYY-MM-DD[THH:MM]", value_parser = values::moment)]
        visit: Option<DateTime>,
    },
}

#[derive(Debug, Args)]
struct PaperArgs {
    /// The oven, by id or name.
    #[arg(value_name = "OVEN")]
    id: String,
    /// The mode; the first one that was tested when not given.
    #[arg(long, value_parser = values::mode)]
    mode: Option<Mode>,
    /// pdf, svg, png, html, md, csv or json; by the file's ending when not given.
    #[arg(long, value_name = "FORMAT", value_parser = format)]
    format: Option<PaperFormat>,
    /// Size of the paper, a4 or letter; letter where the oven's dial is in F, else a4.
    #[arg(long, value_name = "SIZE", value_parser = size)]
    paper: Option<PageSize>,
    /// The file to write; - is standard output.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Replace the file if it is there already.
    #[arg(long)]
    force: bool,
}

fn format(text: &str) -> Result<PaperFormat, ValueError> {
    PaperFormat::from_key(text).ok_or_else(|| not_one_of(PaperFormat::ALL.map(PaperFormat::key)))
}

fn formats() -> String {
    joined(PaperFormat::ALL.map(PaperFormat::key), ", ")
}

fn size(text: &str) -> Result<PageSize, ValueError> {
    PageSize::from_key(text).ok_or(ValueError::Choose("use a4 or letter"))
}

pub(crate) fn run(args: &ReportArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (paper, visit) = match &args.what {
        What::Card(paper) => (paper, None),
        What::Technician { paper, visit } => (paper, *visit),
    };
    let format = match paper.format {
        Some(format) => format,
        None => by_ending(paper)?,
    };
    let out = session.destination("--out", &paper.out, paper.force)?;
    let (kitchen, _) = session.kitchen(Access::Read)?;
    let oven = kitchen.find_oven(&paper.id).or_trouble("OVEN", &paper.id)?;
    let request = PaperRequest {
        mode: paper.mode,
        visit,
        today: session.environment.now.date(),
    };
    let document = match &args.what {
        What::Card(_) => card(&kitchen, oven, &request),
        What::Technician { .. } => sheet(&kitchen, oven, &request),
    }
    .map_err(|error| {
        let (name, typed) = match (&error, paper.mode) {
            (NoPaper::NoSuchVisit { when, .. }, _) => ("--visit", when.clone()),
            (NoPaper::Ground(GroundError::NoSuchMode { .. }), Some(mode)) => {
                ("--mode", mode.key().to_owned())
            }
            _ => ("OVEN", paper.id.clone()),
        };
        Trouble::user(error).with(name, typed)
    })?;
    let size = paper.paper.unwrap_or_else(|| size_for(oven));
    let files =
        pages(&document, format, size, &paper.out).or_trouble("--out", paper.out.display())?;
    let written = session.deliver_all(out, &files)?;
    if session.json {
        let files = written.iter().map(|p| p.display().to_string()).collect();
        return session.answer(&WrittenJson { files });
    }
    for path in written {
        session.out.line(format!("written to {}", path.display()))?;
    }
    Ok(Exit::Done)
}

fn by_ending(paper: &PaperArgs) -> Result<PaperFormat, Trouble> {
    let ending = paper.out.extension().unwrap_or_default().to_string_lossy();
    PaperFormat::from_key(&ending.to_lowercase()).ok_or_else(|| {
        Trouble::user(format!(
            "the ending of the file names no format; end it in one of {}, or give --format",
            formats()
        ))
        .with("--out", paper.out.display())
    })
}
