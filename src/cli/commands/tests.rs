//! `tests`: list, show, lay out, remove and restore toast tests.

use super::layout::LayoutChoice;
use crate::cli::prelude::*;
use crate::{
    cli::values::{moment, name, note},
    model::{Reading, Surface, ToastTest},
    report::json_kitchen::{TestJson, TestSummaryJson},
    units::{Celsius, Minutes},
    workflow::{
        catalogue::{Occasion, cautions_at},
        toast::{TestDraft, ToastError, new_test},
    },
};
use jiff::civil::DateTime;

/// List, show, lay out, remove and restore toast tests.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  rackshade tests new --oven wall-oven --mode still-air --racks 2,4"
)]
pub(crate) struct TestsArgs {
    /// Only those of one oven.
    #[arg(long)]
    oven: Option<String>,
    #[command(subcommand)]
    what: Option<What>,
}

#[derive(Debug, Subcommand)]
enum What {
    /// List the toast tests, oldest first (the same as without a word).
    #[command(after_help = "Example:\n  rackshade tests list --json")]
    List,
    /// Show one test with its scores.
    #[command(after_help = "Example:\n  rackshade tests show 2026-03-07-wall-oven")]
    Show {
        /// Its id.
        test: String,
    },
    /// Lay out a new test, ready to be scored.
    #[command(
        after_help = "Example:\n  rackshade tests new --oven wall-oven --mode fan --racks 2,4 --slice 10x10cm --minutes 9.5"
    )]
    New(Box<NewArgs>),
    /// Remove a test; its file is set aside, not destroyed, and 'tests restore' takes it back.
    #[command(after_help = "Example:\n  rackshade tests remove 2026-03-07-wall-oven")]
    Remove {
        /// Its id.
        test: String,
    },
    /// Take a removed test back.
    #[command(
        after_help = "Example:\n  rackshade tests remove 2026-03-07-wall-oven\n  rackshade tests restore 2026-03-07-wall-oven"
    )]
    Restore {
        /// Its id.
        test: String,
    },
}

#[derive(Debug, Args)]
struct NewArgs {
    #[command(flatten)]
    layout: LayoutChoice,
    /// What the dial is set to; as the lay-out suggests when not given.
    #[arg(long, value_name = "DEGREES")]
    dial: Option<String>,
    /// Minutes the slices are in the oven.
    #[arg(long, value_name = "MINUTES", value_parser = values::figure)]
    minutes: Option<f64>,
    /// When it is toasted, local time; now when not given.
    #[arg(long, value_name = "YYYY-MM-DD[THH:MM]", value_parser = moment)]
    when: Option<DateTime>,
    /// The loaf, in your words.
    #[arg(long, value_parser = name)]
    loaf: Option<String>,
    /// The slices lie on a sheet instead of the bare rack.
    #[arg(long)]
    sheet: bool,
    /// Free words.
    #[arg(long, default_value = "", value_parser = note)]
    note: String,
}

pub(crate) fn run(args: TestsArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    match args.what.unwrap_or(What::List) {
        What::List => return list(args.oven.as_deref(), session),
        What::Show { test } => {
            let (kitchen, _) = session.kitchen(Access::Read)?;
            let test = kitchen.find_test(&test).or_trouble("test", &test)?;
            show(test, &kitchen, session)?;
        }
        What::New(new) => {
            let (mut kitchen, _) = session.kitchen(Access::Write)?;
            let test = lay_out(&new, &kitchen, session)?;
            kitchen.save_test(test.clone())?;
            let oven = new.layout.oven(&kitchen)?;
            let cautions = cautions_at(Occasion::ToastTest, oven);
            if session.json {
                let laid = TestJson::from(&test).with_cautions(cautions);
                session.out.json(&laid)?;
            } else {
                show(&test, &kitchen, session)?;
                session.out.marked("!", cautions)?;
            }
        }
        What::Remove { test } => {
            let (mut kitchen, _) = session.kitchen(Access::Write)?;
            let test = kitchen.find_test(&test).or_trouble("test", &test)?.clone();
            kitchen.remove_test(&test.id)?;
            show(&test, &kitchen, session)?;
            let folder = kitchen.folder().join("removed");
            session.out.remark(&format!(
                "{id} was set aside under {}; 'rackshade tests restore {id}' takes it back",
                folder.display(),
                id = test.id
            ));
        }
        What::Restore { test } => {
            let (mut kitchen, _) = session.kitchen(Access::Write)?;
            let test = kitchen
                .restore_test(test.trim())
                .or_trouble("test", &test)?;
            show(&test, &kitchen, session)?;
            let oven = &test.setup.oven;
            if kitchen.oven(oven).is_none() {
                session.out.remark(&format!(
                    "its oven '{oven}' is not here, so it counts for none; if it was removed, move {oven}.json from 'removed' to 'ovens' in your data"
                ));
            }
        }
    }
    Ok(Exit::Done)
}

fn lay_out(
    args: &NewArgs,
    kitchen: &Kitchen,
    session: &mut Session<'_>,
) -> Result<ToastTest, Trouble> {
    let oven = args.layout.oven(kitchen)?;
    let read = |text: &str| Celsius::parse(text, oven.dial.unit);
    let dial = given("--dial", args.dial.as_ref(), read)?;
    let now = session.environment.now.civil();
    if let Some(when) = args.when.filter(|when| when.date() > now.date()) {
        let why = "that day is still to come, and tests until then would count as older; give when it is toasted";
        return Err(Trouble::user(why).with("--when", when));
    }
    let draft = TestDraft {
        mode: args.layout.mode_of(oven)?,
        request: args.layout.request(oven)?,
        dial,
        minutes: args.minutes.map(Minutes),
        when: args.when.unwrap_or(now),
        loaf: args.loaf.clone(),
        surface: if args.sheet {
            Surface::Sheet
        } else {
            Surface::BareRack
        },
        note: args.note.clone(),
    };
    let (mut test, warnings) = new_test(kitchen, oven, &draft).map_err(|error| {
        let (option, typed) = match &error {
            ToastError::Layout(error) => args.layout.blamed(error, args.dial.as_ref()),
            ToastError::Dial { .. } => ("--dial", args.dial.clone().unwrap_or_default()),
            ToastError::Minutes(minutes) => ("--minutes", minutes.to_string()),
            ToastError::Note(note) => ("--note", note.clone()),
        };
        Trouble::user(error).with(option, typed)
    })?;
    if let Some(best) = args
        .layout
        .next(kitchen, oven)?
        .and_then(|o| o.ways.into_iter().next())
    {
        test.slices = best.slices;
    }
    for warning in warnings {
        session.out.remark(&warning.to_string());
    }
    Ok(test)
}

fn list(oven: Option<&str>, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, warnings) = session.kitchen(Access::Read)?;
    let of_it = of_one(&kitchen, oven)?;
    let tests = || kitchen.tests().iter().filter(|t| of_it(&t.setup.oven));
    let rows: Vec<_> = tests().map(|test| cells(test, &kitchen)).collect();
    let head = [
        "id", "oven", "mode", "dial", "racks", "minutes", "scored", "note",
    ];
    session.list(
        &Listed::<TestSummaryJson>::new("tests", tests(), texts(&warnings)),
        "no toast test yet: lay one out with 'rackshade tests new --oven OVEN --racks 2,4'",
        &head,
        &rows,
    )
}

fn cells(test: &ToastTest, kitchen: &Kitchen) -> Vec<String> {
    let racks: Vec<_> = test.setup.racks.iter().map(ToString::to_string).collect();
    vec![
        test.id.to_string(),
        test.setup.oven.to_string(),
        test.setup.mode.words().to_owned(),
        kitchen.units_of(&test.setup.oven).0.show(test.setup.dial),
        racks.join(", "),
        test.minutes.map_or_else(String::new, |m| m.to_string()),
        format!("{} of {}", test.scored(), test.slices.len()),
        test.note.clone(),
    ]
}

fn show(test: &ToastTest, kitchen: &Kitchen, session: &mut Session<'_>) -> Result<(), Trouble> {
    if session.json {
        return session.out.json(&TestJson::from(test));
    }
    let [id, oven, mode, dial, racks, minutes, scored, note] = &cells(test, kitchen)[..] else {
        return Ok(());
    };
    let (_, lengths) = kitchen.units_of(&test.setup.oven);
    session.out.line(format!(
        "{id}: {oven}, {mode}, dial at {dial}, rack positions {racks}"
    ))?;
    session.out.line(format!(
        "  {} {}; {scored} slices scored; {}",
        test.bread.loaf,
        test.bread.surface.words(),
        if minutes.is_empty() {
            "minutes not noted"
        } else {
            minutes
        }
    ))?;
    if !note.is_empty() {
        session.out.line(format!("  {note}"))?;
    }
    let rows: Vec<_> = test
        .slices
        .iter()
        .zip(1..)
        .map(|(slice, number)| {
            let here = if number == test.cursor + 1 {
                " <- next"
            } else {
                ""
            };
            vec![
                number.to_string(),
                slice.rack.to_string(),
                lengths.show(slice.place.x),
                lengths.show(slice.place.y),
                format!("{}{here}", words(slice.reading)),
            ]
        })
        .collect();
    session
        .out
        .table(&["slice", "rack", "from left", "from door", "score"], &rows)
}

fn words(reading: Reading) -> String {
    match reading {
        Reading::Unscored => "not yet".to_owned(),
        Reading::Skipped => "skipped".to_owned(),
        Reading::Missing => "no slice".to_owned(),
        Reading::ByEye(shade) => format!("shade {shade}"),
        Reading::Measured { lightness, sd } => {
            format!("L* {lightness:.1} (sd {sd:.1} against the others of its photo)")
        }
    }
}
