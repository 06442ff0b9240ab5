//! `bakes`: what was baked, and how it came out.

use super::{after, photo::Back};
use crate::cli::prelude::*;
use crate::{
    model::{BakeLog, Shade, shade::UNTOASTED_LIGHTNESS},
    report::json_kitchen::BakeJson,
    workflow::{
        after::{fold::counts, photo as from_photo, score},
        catalogue::bake_name,
        photo::{open_photo, read_photo},
    },
};
use std::path::{Path, PathBuf};

/// List and show what was baked.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  rackshade bakes --oven wall-oven")]
pub(crate) struct BakesArgs {
    /// Only those of one oven.
    #[arg(long)]
    oven: Option<String>,
    #[command(subcommand)]
    what: Option<What>,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Show one bake.
    #[command(after_help = "Example:\n  rackshade bakes show 2026-03-21-wall-oven")]
    Show {
        /// Its id.
        bake: String,
    },
    /// Score what came out: whole trays or single places.
    #[command(
        after_help = "Examples:\n  rackshade bakes score 2026-03-21-wall-oven 1=4.5 2=5\n  rackshade bakes score 2026-03-21-wall-oven 1:1,1=5 1:3,4=3.5 1:2,2=2.5@8 --wanted 4\n  rackshade bakes score 2026-03-21-wall-oven --photo cookies.jpg --tray 2\nPlaces are tray:row,column as the tray first went in, row 1 at the back, column 1 at the left; @8: pulled at 8 minutes."
    )]
    Score {
        /// Its id.
        bake: String,
        /// Scores like 1=4.5, 1:2,3=4.5 or 1:2,3=3@8.
        #[arg(required_unless_present = "photo")]
        scores: Vec<String>,
        /// A photo of a tray, whose pieces are scored; what is typed beside it counts over it.
        #[arg(long, value_name = "FILE")]
        photo: Option<PathBuf>,
        /// The tray that the photo shows.
        #[arg(long, value_name = "N", default_value_t = 1, requires = "photo")]
        tray: usize,
        /// The side of the picture where the tray had its back when it first went in.
        #[arg(long, value_name = "SIDE", default_value = "top", requires = "photo")]
        back: Back,
        /// L* of the unbaked dough.
        #[arg(long, value_name = "L", default_value_t = UNTOASTED_LIGHTNESS, requires = "photo", value_parser = values::figure)]
        dough: f64,
        /// The shade it was meant to have.
        #[arg(long, value_name = "SHADE", value_parser = values::figure)]
        wanted: Option<f64>,
    },
    /// Tell from the scored bakes of a kind, or of a recipe of your own, when it browns.
    #[command(after_help = "Example:\n  rackshade bakes learn thin-cookie")]
    Learn {
        /// Kind of bake, like thin-cookie, or a recipe of your own.
        kind: String,
    },
    /// Let what came out count for the oven's map, or no longer.
    #[command(after_help = "Example:\n  rackshade bakes fold 2026-03-21-wall-oven")]
    Fold {
        /// Its id.
        bake: String,
        /// No longer.
        #[arg(long)]
        out: bool,
    },
}

pub(crate) fn run(args: BakesArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    match args.what {
        Some(What::Show { bake }) => {
            let (kitchen, _) = session.kitchen(Access::Read)?;
            let found = find(&kitchen, &bake)?;
            show(found, &kitchen, session)?;
        }
        Some(What::Score {
            bake,
            scores,
            photo,
            tray,
            back,
            dough,
            wanted,
        }) => {
            let (mut kitchen, _) = session.kitchen(Access::Write)?;
            let mut log = find(&kitchen, &bake)?.clone();
            if log.baked.is_none() {
                let why = "it is not out of the oven yet; finish it on the bake clock first";
                return Err(Trouble::user(why).with("bake", &bake));
            }
            if let Some(file) = &photo {
                let said = score_photo(&mut log, file, (tray, back, dough))?;
                if session.json {
                    session.out.remarks(&said);
                } else {
                    session.out.text(&said)?;
                }
            }
            for text in &scores {
                score::set(&mut log, text).or_trouble("score", text)?;
            }
            if let Some(shade) = wanted {
                log.wanted = Some(Shade::from_value(shade).or_trouble("--wanted", shade)?);
            }
            kitchen.save_bake(log.clone())?;
            show(&log, &kitchen, session)?;
        }
        Some(What::Learn { kind }) => {
            let (kitchen, _) = session.kitchen(Access::Read)?;
            return after::learn(&kitchen, &kind, session);
        }
        Some(What::Fold { bake, out }) => {
            let (mut kitchen, _) = session.kitchen(Access::Write)?;
            let mut log = find(&kitchen, &bake)?.clone();
            log.in_map = !out;
            kitchen.save_bake(log.clone())?;
            show(&log, &kitchen, session)?;
        }
        None => {
            let (kitchen, warnings) = session.kitchen(Access::Read)?;
            let of_it = of_one(&kitchen, args.oven.as_deref())?;
            let bakes: Vec<_> = kitchen.bakes().iter().filter(|b| of_it(&b.oven)).collect();
            return list(&bakes, texts(&warnings), session);
        }
    }
    Ok(Exit::Done)
}

/// Scores the pieces of a tray from a photo; returns what to say of it.
fn score_photo(
    log: &mut BakeLog,
    file: &Path,
    (tray, back, dough): (usize, Back, f64),
) -> Result<String, Trouble> {
    let request = from_photo::request_of(log, back.into(), dough).or_trouble("bake", &log.id)?;
    let shown = file.display();
    let open = open_photo(file).or_trouble("--photo", &shown)?;
    let scores = read_photo(&open, &request, None).or_trouble("--photo", &shown)?;
    let taken = from_photo::take(log, tray, &scores).or_trouble("--tray", tray)?;
    let places = request.rows * request.cols;
    let head = format!(
        "{taken} of {places} pieces of tray {tray} scored from the photo, to the nearest half shade\n"
    );
    let warnings = scores.warnings.iter().map(|w| format!("  {w}\n"));
    Ok(std::iter::once(head).chain(warnings).collect())
}

fn find<'k>(kitchen: &'k Kitchen, bake: &str) -> Result<&'k BakeLog, Trouble> {
    let found = kitchen.bakes().iter().find(|b| b.id.as_str() == bake);
    found.ok_or_else(|| {
        Trouble::user(format!("there is no bake '{bake}'; see 'rackshade bakes'"))
            .with("bake", bake)
    })
}

fn list(
    bakes: &[&BakeLog],
    notes: Vec<String>,
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    let rows: Vec<_> = bakes
        .iter()
        .map(|b| {
            vec![
                b.id.to_string(),
                b.oven.to_string(),
                b.mode.words().to_owned(),
                bake_name(&b.plan).to_owned(),
                b.started.civil().strftime("%Y-%m-%d %H:%M").to_string(),
                b.baked
                    .map_or_else(|| "not finished".to_owned(), |m| m.to_string()),
            ]
        })
        .collect();
    session.list(
        &Listed::<BakeJson>::new("bakes", bakes.iter().copied(), notes),
        "no bake yet: plan one and run its clock in the screens",
        &["id", "oven", "mode", "kind", "started", "took"],
        &rows,
    )
}

fn show(bake: &BakeLog, kitchen: &Kitchen, session: &mut Session<'_>) -> Result<(), Trouble> {
    if session.json {
        return after::json(bake, kitchen, session);
    }
    let out = &mut *session.out;
    let (unit, _) = kitchen.units_of(&bake.oven);
    out.line(format!(
        "{}: {} in {}, {}",
        bake.id,
        bake_name(&bake.plan),
        bake.oven,
        bake.mode.words()
    ))?;
    out.line(format!(
        "  planned  {} at {}",
        bake.plan.bake,
        unit.show(bake.plan.dial)
    ))?;
    match bake.baked {
        Some(minutes) => out.line(format!("  took     {minutes}"))?,
        None => out.line("  took     not finished")?,
    }
    for opening in &bake.openings {
        let how_long = opening
            .open_for
            .map(|m| format!(" (open for {m})"))
            .unwrap_or_default();
        out.line(format!(
            "  opened   at {}: {}{how_long}",
            opening.at,
            opening.what.words()
        ))?;
    }
    for (tray, shade) in &bake.outcome {
        out.line(format!("  tray {tray}   came out at shade {shade}"))?;
    }
    if bake.added.0 != 0.0 {
        out.line(format!("  added    {} by hand on the clock", bake.added))?;
    }
    if bake.in_map {
        out.line(format!("  map      {}", counts(bake)))?;
    }
    if !bake.note.is_empty() {
        out.line(format!("  note     {}", bake.note))?;
    }
    after::text(bake, kitchen, session)
}
