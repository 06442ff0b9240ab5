//! `photo`: scores read from a phone photo of the toasted slices.

use crate::cli::prelude::*;
use crate::{
    cli::destination::Destination,
    model::shade::UNTOASTED_LIGHTNESS,
    report::{
        json_photo::{PhotoJson, PiecesJson},
        png::tray_png,
        text::photo::{photo_text, pieces_text},
    },
    sampling::{Request, Scores, Side},
    workflow::{
        photo::{
            OpenPhoto, PhotoReading, PhotoTrouble, accept, open_photo, parse_corners,
            parse_reference, read_photo, read_pieces,
        },
        scoring::replaced_words,
    },
};
use clap::ValueEnum;
use std::path::PathBuf;

/// Score a photo of the toasted slices.
#[derive(Debug, Args)]
#[command(
    after_help = "Corners and patches are in pixels of the upright picture. The first corner is back-left, and so is\ncell 0,0. Without --corners they are looked for; without --reference an untoasted slice or a white\nor grey card is.\n\nHow slices differ holds whatever the light; shades and percentages are as good as the reference.\nslice:ROW,COL counts from 0: what is called row 1, column 3 is slice:0,2.\n\nExamples:\n  rackshade photo tray.jpg --rows 3 --cols 4\n  rackshade photo tray.jpg --rows 3 --cols 4 --reference slice:0,2 --json\n  rackshade photo tray.jpg --rows 3 --cols 4 --into 2026-03-07-wall-oven --rack 4\n  rackshade photo cookies.jpg --pieces"
)]
pub(crate) struct PhotoArgs {
    /// The photo: JPEG, PNG, WebP or HEIC.
    file: PathBuf,
    /// Rows of slices, back to door.
    #[arg(long, value_name = "N", required_unless_present = "pieces")]
    rows: Option<usize>,
    /// Columns of slices, left to right.
    #[arg(long, value_name = "N", required_unless_present = "pieces")]
    cols: Option<usize>,
    /// Corners of the grid of slices: "x,y x,y x,y x,y", back-left, back-right, front-right, front-left.
    #[arg(long, value_name = "CORNERS")]
    corners: Option<String>,
    /// Where the back wall of the oven is in the picture, when the corners are looked for.
    #[arg(
        long,
        value_name = "SIDE",
        default_value = "top",
        conflicts_with = "corners"
    )]
    back: Back,
    /// Something of known lightness: slice:ROW,COL, white:x,y,w,h or grey:x,y,w,h[:L]; may be given several times.
    #[arg(long, value_name = "REFERENCE")]
    reference: Vec<String>,
    /// A second photo of the same tray turned end for end in the same light.
    #[arg(long, value_name = "FILE")]
    turned: Option<PathBuf>,
    /// Corners in the second photo, as that photo shows them: upper left, upper right, lower right, lower left.
    #[arg(long, value_name = "CORNERS", requires = "turned")]
    turned_corners: Option<String>,
    /// L* of an untoasted slice of this loaf; else what the test says of its loaf, else 84.
    #[arg(long, value_name = "L", value_parser = values::figure)]
    untoasted: Option<f64>,
    /// Put the scores into this toast test.
    #[arg(
        long,
        value_name = "TEST",
        requires = "rack",
        conflicts_with = "pieces"
    )]
    into: Option<String>,
    /// The rack position the photo shows.
    #[arg(long, value_name = "N", requires = "into")]
    rack: Option<u8>,
    /// The grid that was doubted is right: put the scores into the test all the same.
    #[arg(long, requires = "into")]
    accept: bool,
    /// Save the tray, straight from above in an even light with its scores, as PNG.
    #[arg(long, value_name = "FILE", conflicts_with = "pieces")]
    png: Option<PathBuf>,
    /// Replace the file if it is there already.
    #[arg(long, requires = "png")]
    force: bool,
    /// Read a tray of what was baked: pieces anywhere, relative browning of each.
    #[arg(long, conflicts_with_all = ["rows", "cols", "corners", "back", "reference", "turned"])]
    pieces: bool,
}

/// A side of the picture.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum Back {
    Top,
    Right,
    Bottom,
    Left,
}

impl From<Back> for Side {
    fn from(back: Back) -> Self {
        match back {
            Back::Top => Self::Top,
            Back::Right => Self::Right,
            Back::Bottom => Self::Bottom,
            Back::Left => Self::Left,
        }
    }
}

pub(crate) fn run(args: &PhotoArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let png = session.png(args.png.as_deref(), args.force)?;
    let open = open_photo(&args.file).or_trouble("photo", args.file.display())?;
    let untoasted = untoasted(args, session)?;
    if args.pieces {
        let pieces = read_pieces(&open, untoasted).or_trouble("photo", args.file.display())?;
        if session.json {
            session.out.json(&PiecesJson::from(&pieces))?;
        } else {
            session.out.text(&pieces_text(&pieces))?;
        }
        return Ok(Exit::Done);
    }
    let request = request(args, untoasted)?;
    let second = args
        .turned
        .as_ref()
        .map(|file| open_photo(file).or_trouble("--turned", file.display()))
        .transpose()?;
    let second_corners = given(
        "--turned-corners",
        args.turned_corners.as_ref(),
        parse_corners,
    )?;
    let turned = second.as_ref().map(|open| (open, second_corners));
    let scores = read_photo(&open, &request, turned).map_err(|e| trouble_of(&e, args))?;
    if let Some(png) = &png {
        let drawn = tray_png(&open.photo.picture, &scores, (request.rows, request.cols))
            .map_err(Trouble::user)?;
        session.deliver(png, &drawn)?;
    }
    let taken = take(
        args,
        session,
        &Read {
            open: &open,
            second: second.as_ref(),
            request: &request,
            scores: &scores,
        },
    )?;
    let carries_picture = png.as_ref().is_some_and(Destination::is_standard);
    let said = taken.unwrap_or_default();
    if !carries_picture && !session.json {
        let read = photo_text(&scores, (request.rows, request.cols));
        session.out.text(&read)?;
        session.out.text(&said)?;
        return Ok(Exit::Done);
    }
    if !carries_picture {
        session.out.json(&PhotoJson::from(&scores))?;
    }
    session.out.remarks(&said);
    Ok(Exit::Done)
}

/// What was read, and from what.
struct Read<'a> {
    open: &'a OpenPhoto,
    second: Option<&'a OpenPhoto>,
    request: &'a Request,
    scores: &'a Scores,
}

/// Puts the scores into a test where one is named; returns the line that says so.
fn take(
    args: &PhotoArgs,
    session: &mut Session<'_>,
    read: &Read<'_>,
) -> Result<Option<String>, Trouble> {
    let (Some(id), Some(rack)) = (&args.into, args.rack) else {
        return Ok(None);
    };
    let grid = &read.scores.grid;
    if grid.is_doubtful() && !args.accept {
        return Err(Trouble::user(format!(
            "the grid may not fit: {}; check the corners and the counts, and say --accept if they are right",
            grid.against()
        ))
        .with("--into", id));
    }
    let (mut kitchen, _) = session.kitchen(Access::Write)?;
    let mut test = kitchen.find_test(id).or_trouble("test", id)?.clone();
    let reading = PhotoReading {
        rack,
        open: read.open,
        turned: read.second,
        request: read.request,
        scores: read.scores,
        corrections: &[],
    };
    let before = test.clone();
    let scored = accept(&mut test, &reading).or_trouble("--rack", rack)?;
    let replaced = replaced_words(&before, &test);
    let said = format!(
        "{}: {scored} slices of rack {rack} scored from the photo{}\n",
        test.id,
        replaced.map_or_else(String::new, |words| format!("; {words}"))
    );
    kitchen.save_test(test)?;
    Ok(Some(said))
}

/// Returns the lightness of an untoasted slice: as given, as the test has it, or that of white bread.
fn untoasted(args: &PhotoArgs, session: &mut Session<'_>) -> Result<f64, Trouble> {
    match (args.untoasted, &args.into) {
        (Some(l), _) if !(20.0..=100.0).contains(&l) => Err(Trouble::user(
            "the lightness of an untoasted slice cannot be that; give an L* between 20 and 100, about 84 for white bread",
        )
        .with("--untoasted", l)),
        (Some(l), _) => Ok(l),
        (None, Some(id)) => {
            let (kitchen, _) = session.kitchen(Access::Read)?;
            Ok(kitchen.find_test(id).or_trouble("test", id)?.untoasted())
        }
        (None, None) => Ok(UNTOASTED_LIGHTNESS),
    }
}

fn request(args: &PhotoArgs, untoasted: f64) -> Result<Request, Trouble> {
    Ok(Request {
        rows: args.rows.unwrap_or_default(),
        cols: args.cols.unwrap_or_default(),
        corners: given("--corners", args.corners.as_ref(), parse_corners)?,
        back: args.back.into(),
        references: args
            .reference
            .iter()
            .map(|text| parse_reference(text).or_trouble("--reference", text))
            .collect::<Result<_, _>>()?,
        untoasted,
    })
}

/// Names the photo beside what was wrong with it.
fn trouble_of(trouble: &PhotoTrouble, args: &PhotoArgs) -> Trouble {
    let files = match &args.turned {
        None => args.file.display().to_string(),
        Some(second) => format!("{} and {}", args.file.display(), second.display()),
    };
    Trouble::user(trouble).with("photo", files)
}
