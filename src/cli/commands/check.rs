//! `check`: a few slices tell whether an oven is still the one on record.

use super::layout::{listed, place_table};
use crate::cli::prelude::*;
use crate::{
    model::{Mode, Oven, OvenError, PlaceName, SliceSize, ToastTest, text},
    report::{
        json_check::{CheckedJson, PartJson, PlacesJson},
        json_layout::slices_json,
    },
    units::{Celsius, Minutes},
    workflow::{
        catalogue::{Occasion, cautions_at},
        check::{
            CheckError, CheckRequest, Checked, Places, USUAL_SLICES, check, places, scored_test,
        },
        layout::LayoutError,
        scoring::parse_scores,
        toast::parse_size,
    },
};

/// Check with a few slices whether an oven is still the one on record.
#[derive(Debug, Args)]
#[command(
    after_help = "Without --scores it shows where the slices go. With them, in that order, it keeps the test and answers.\n\nExamples:\n  rackshade check --oven wall-oven --racks 2 --slices 6\n  rackshade check --oven wall-oven --racks 2 --slices 6 --minutes 12 --scores 4544.545\n  rackshade check --oven wall-oven --test 2026-04-11-wall-oven --json"
)]
pub(crate) struct CheckArgs {
    /// The oven, by id or name.
    #[arg(long)]
    oven: String,
    /// How it heats; the oven's first mode when not given.
    #[arg(long, value_parser = values::mode, conflicts_with = "test")]
    mode: Option<Mode>,
    /// Rack positions, counted from the bottom; the middle one of the newest test's when not given. Needed with --scores.
    #[arg(
        long,
        value_name = "N,N..",
        value_delimiter = ',',
        conflicts_with = "test"
    )]
    racks: Vec<u8>,
    /// How many slices, 3 to 8.
    #[arg(long, value_name = "N", default_value_t = USUAL_SLICES, conflicts_with = "test")]
    slices: usize,
    /// Slice, along the door x front to back; as in the newest test when not given.
    #[arg(long, value_name = "WxD", conflicts_with = "test")]
    slice: Option<String>,
    /// What the dial is set to; as in the newest test when not given.
    #[arg(long, value_name = "DEGREES", conflicts_with = "test")]
    dial: Option<String>,
    /// The slices' shades in the order shown: digits, 3.5 or 3+ for a half step, - for no slice.
    #[arg(long, value_name = "SHADES", conflicts_with = "test")]
    scores: Option<String>,
    /// How long they were in.
    #[arg(long, value_name = "MINUTES", requires = "scores", value_parser = values::figure)]
    minutes: Option<f64>,
    /// A scored toast test that is on record, checked against those before it.
    #[arg(long, value_name = "TEST")]
    test: Option<String>,
}

pub(crate) fn run(args: &CheckArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let access = if args.scores.is_some() {
        Access::Write
    } else {
        Access::Read
    };
    let (mut kitchen, _) = session.kitchen(access)?;
    let oven = kitchen
        .find_oven(&args.oven)
        .or_trouble("--oven", &args.oven)?
        .clone();
    if let Some(name) = &args.test {
        let test = kitchen.find_test(name).or_trouble("--test", name)?;
        if test.setup.oven != oven.id {
            let why = format!(
                "it is a test of '{}', not of {}; name a test of this oven",
                test.setup.oven, oven.name
            );
            return Err(Trouble::user(why).with("--test", name));
        }
        let checked = check(&kitchen, &oven, test).or_trouble("--test", name)?;
        renew_note(test, &checked, session);
        return answer(&checked, (test, &oven), session);
    }
    let asked = request(args, &oven)?;
    let laid = places(&kitchen, &oven, &asked).map_err(|error| {
        let (name, value) = blamed(args, &error);
        Trouble::user(error).with(name, value)
    })?;
    match &args.scores {
        None => show(args, &laid, &oven, session),
        Some(scores) => keep(args, scores, (&laid, &oven), (&mut kitchen, session)),
    }
}

/// Names the option that a quick check fails by, and what was typed for it.
fn blamed(args: &CheckArgs, error: &CheckError) -> (&'static str, String) {
    let mode = || ("--mode", args.mode.map_or("", Mode::key).to_owned());
    match error {
        CheckError::Layout(
            LayoutError::Oven(OvenError::NoSuchRack { .. })
            | LayoutError::NoRack
            | LayoutError::Twice(_),
        ) => ("--racks", listed(&args.racks)),
        CheckError::Layout(LayoutError::Dial(_)) => {
            ("--dial", args.dial.clone().unwrap_or_default())
        }
        CheckError::Layout(LayoutError::Oven(_) | LayoutError::Proofing)
        | CheckError::Ground(_) => mode(),
        CheckError::Layout(LayoutError::Size { .. } | LayoutError::TooMany { .. }) => {
            ("--slice", args.slice.clone().unwrap_or_default())
        }
        CheckError::Count(_)
        | CheckError::Map(_)
        | CheckError::Field(_)
        | CheckError::NoRoom(_)
        | CheckError::Unscored(_)
        | CheckError::Scores { .. }
        | CheckError::Untold { .. }
        | CheckError::Pale => ("--slices", args.slices.to_string()),
    }
}

fn request(args: &CheckArgs, oven: &Oven) -> Result<CheckRequest, Trouble> {
    let slice = |text: &String| -> Result<SliceSize, Trouble> {
        let (width, depth) = parse_size(text, oven.lengths).or_trouble("--slice", text)?;
        Ok(SliceSize { width, depth })
    };
    let dial = |text: &String| Celsius::parse(text, oven.dial.unit).or_trouble("--dial", text);
    Ok(CheckRequest {
        mode: args.mode,
        racks: args.racks.clone(),
        count: args.slices,
        slice: args.slice.as_ref().map(slice).transpose()?,
        dial: args.dial.as_ref().map(dial).transpose()?,
    })
}

/// Keeps the scored slices as a toast test and answers.
fn keep(
    args: &CheckArgs,
    scores: &String,
    (laid, oven): (&Places, &Oven),
    (kitchen, session): (&mut Kitchen, &mut Session<'_>),
) -> Result<Exit, Trouble> {
    let readings = parse_scores(scores).or_trouble("--scores", scores)?;
    if let Some(wrong) = args.minutes.filter(|m| !(0.5..=60.0).contains(m)) {
        let why = "that is no time for a toast test; give 0.5 to 60 minutes";
        return Err(Trouble::user(why).with("--minutes", wrong));
    }
    if args.racks.is_empty() && oven.racks.len() > 1 {
        let why = format!(
            "the scores do not say which rack they are of; add --racks {}, which `check` names now, or the one the slices lay on",
            listed(&laid.racks)
        );
        return Err(Trouble::user(why).with("--scores", scores));
    }
    let now = session.environment.now.civil();
    let minutes = args.minutes.map(Minutes);
    let mut test = scored_test(kitchen, oven, (laid, &readings), (now, minutes))
        .or_trouble("--scores", scores)?;
    let checked = check(kitchen, oven, &test).or_trouble("--scores", scores)?;
    checked.note().clone_into(&mut test.note);
    kitchen.save_test(test.clone())?;
    answer(&checked, (&test, oven), session)
}

/// Renews what a quick check is noted to have found, which other faces go by. Where the folder does not let it, that is
/// said, and the answer stands all the same.
fn renew_note(test: &ToastTest, checked: &Checked, session: &mut Session<'_>) {
    if !test.is_check() || test.note == checked.note() {
        return;
    }
    let renewed = || -> Result<(), Trouble> {
        let folder = session.data_folder()?;
        let (mut kitchen, _already_said) = Kitchen::open_when_free(&folder, Access::Write)?;
        let id = test.id.as_str();
        let mut test = kitchen.find_test(id).or_trouble("--test", id)?.clone();
        checked.note().clone_into(&mut test.note);
        Ok(kitchen.save_test(test)?)
    };
    if let Err(why) = renewed() {
        let (id, why) = (&test.id, why.what);
        session.out.remark(&format!(
            "'{id}' is not noted as {:?}: {why}",
            checked.note()
        ));
    }
}

/// Returns the command that answers for these places, as long as nothing else is tested in the meantime.
fn answered_by(args: &CheckArgs, laid: &Places, oven: &Oven) -> String {
    let typed = |name: &str, value: &Option<String>| match value {
        Some(text) if text.contains(' ') => format!(" --{name} \"{text}\""),
        Some(text) => format!(" --{name} {text}"),
        None => String::new(),
    };
    format!(
        "rackshade check --oven {} --mode {} --racks {} --slices {}{}{} --minutes MINUTES --scores SHADES",
        oven.id,
        laid.mode.key(),
        listed(&laid.racks),
        laid.slices.len(),
        typed("slice", &args.slice),
        typed("dial", &args.dial)
    )
}

fn show(
    args: &CheckArgs,
    laid: &Places,
    oven: &Oven,
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    let cautions = cautions_at(Occasion::ToastTest, oven);
    let expected = laid.layout.expected(laid.took.as_ref());
    if session.json {
        return session.answer(&PlacesJson {
            mode: laid.mode.key(),
            racks: laid.racks.clone(),
            dial_c: laid.layout.dial.0,
            minutes_lo: expected.map(|m| m.0.0),
            minutes_hi: expected.map(|m| m.1.0),
            minutes_before: laid.took.as_ref().map(|t| t.minutes.0),
            known: laid.known.sentence(),
            shows_shade: laid.shows,
            full_slices: laid.full.0,
            full_shows_shade: laid.full.1,
            slices: slices_json(&laid.slices),
            cautions,
        });
    }
    let out = &mut *session.out;
    for sentence in laid.sentences(oven) {
        out.line(sentence)?;
    }
    place_table(&laid.slices, oven.lengths, out)?;
    out.line(&laid.layout.pull_when)?;
    out.line("Then, with the shades in this order:")?;
    out.line(format!("  {}", answered_by(args, laid, oven)))?;
    out.marked("!", cautions)?;
    Ok(Exit::Done)
}

fn answer(
    checked: &Checked,
    (test, oven): (&ToastTest, &Oven),
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    if session.json {
        return session.answer(&CheckedJson {
            test: test.id.to_string(),
            slices: slices_json(&test.slices),
            answer: checked.answer.key(),
            says: checked.headline.clone(),
            reasons: checked.reasons.clone(),
            known: checked.known.sentence(),
            chance: checked.chance,
            part: checked.part.map(|p| PartJson {
                rack: p.rack,
                place: p.place.words(),
                shades: p.shades.0,
                shades_lo: p.shades.1,
                shades_hi: p.shades.2,
                degrees_c: p.degrees.map(|d| d.0),
                told: p.told.key(),
            }),
            at_most_shade: checked.at_most,
            scored: checked.scored,
        });
    }
    let out = &mut *session.out;
    out.line(format!("{}: {}", oven.name, checked.headline))?;
    for reason in &checked.reasons {
        out.line(format!("  {reason}"))?;
    }
    let mut racks = test.setup.racks.clone();
    racks.sort_unstable();
    for rack in racks {
        let on = test.slices.iter().filter(|s| s.rack == rack);
        let (width, depth) = (oven.cavity.width.0, oven.cavity.depth.0);
        let places = on.map(|s| PlaceName::of(s.place.x.0, s.place.y.0, width, depth).words());
        out.line(format!(
            "  Rack {rack}, slices at {}.",
            text::listed(places)
        ))?;
    }
    out.line(format!(
        "  {} ({} slices, kept as {})",
        checked.known.sentence(),
        checked.scored,
        test.id
    ))?;
    Ok(Exit::Done)
}
