//! `readings add`: one reading in one line, or a file.

use super::given::temperature;
use crate::cli::prelude::*;
use crate::{
    model::{AirPlace, AirReading, Mode, Moment, Oven, Phase, Warning, air::moment, text::counted},
    report::json_readings::AddedJson,
    units::Celsius,
    workflow::{
        catalogue::{Occasion, cautions_at},
        ground::mode_of,
        readings::{
            Added, DateAndTime, Defaults, Sitting, add_reading, add_readings, moment_on,
            read_readings_file,
        },
    },
};
use std::path::PathBuf;

/// Add one reading in one line, or a whole sitting from a CSV file.
#[derive(Debug, Args)]
#[command(
    after_help = "A CSV file has the columns seconds or time, celsius or fahrenheit, and if you like dial_c or dial_f,\nphase and place; without column names it is time and temperature. Where a line cannot be used nothing is\ntaken, unless --skip-bad leaves such lines out.\n\nExamples:\n  rackshade readings add --oven wall-oven --dial 350F --reads 338F\n  rackshade readings add --oven wall-oven --dial 350F --reads 331F --phase signal --at 14:05\n  rackshade readings add --oven wall-oven --dial 350F --reads 345F --place 3:back-left --thermometer probe\n  rackshade readings add --oven wall-oven --csv probe.csv --dial 350F --at 2026-11-20T14:05"
)]
pub(super) struct AddArgs {
    /// The oven.
    #[arg(long)]
    oven: String,
    /// The mode; the oven's first one when not given.
    #[arg(long, value_parser = values::mode)]
    mode: Option<Mode>,
    /// What the dial is set to, like 350F.
    #[arg(long, value_name = "DEGREES")]
    dial: Option<String>,
    /// What the thermometer shows, like 338F.
    #[arg(
        long,
        value_name = "DEGREES",
        conflicts_with = "csv",
        required_unless_present = "csv"
    )]
    reads: Option<String>,
    /// What the oven is doing: heating, signal, holding, door-opened or door-closed.
    #[arg(long, default_value = "holding", value_parser = phase)]
    phase: Phase,
    /// Where the thermometer stands: centre, or like 3:back-left.
    #[arg(long, default_value = "centre", value_parser = place)]
    place: AirPlace,
    /// When, local time: 14:05 of today, or 2026-11-20T14:05; now when not given.
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Which thermometer; see 'rackshade thermometers'.
    #[arg(long)]
    thermometer: Option<String>,
    /// A CSV file with a whole sitting.
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Leave lines out that cannot be used, and say which.
    #[arg(long, requires = "csv")]
    skip_bad: bool,
}

/// Most bad lines that are told one by one.
const MOST_REMARKS: usize = 20;

/// A bare figure twice as far from the dial as this, C, and no further in the other unit, was read in that one.
const SLIP_C: f64 = 30.0;

fn phase(text: &str) -> Result<Phase, ValueError> {
    Phase::from_words(text).ok_or_else(|| not_one_of(Phase::ALL.map(Phase::key)))
}

fn place(text: &str) -> Result<AirPlace, ValueError> {
    const HOW: &str = "write centre, or a rack position and corner like 3:back-left";
    AirPlace::from_key(text).ok_or(ValueError::Choose(HOW))
}

pub(super) fn run(args: &AddArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (mut kitchen, warnings) = session.kitchen(Access::Write)?;
    let oven = kitchen
        .find_oven(&args.oven)
        .or_trouble("--oven", &args.oven)?
        .clone();
    let thermometer = args
        .thermometer
        .as_ref()
        .map(|typed| {
            kitchen
                .find_thermometer(typed)
                .map(|t| t.id.clone())
                .or_trouble("--thermometer", typed)
        })
        .transpose()?;
    let sitting = Sitting {
        oven: oven.id.clone(),
        mode: mode_of(&oven, args.mode).or_trouble("--oven", &args.oven)?,
        thermometer,
    };
    let added = match &args.csv {
        Some(path) => from_file(args, path, (&mut kitchen, &oven, &sitting), session)?,
        None => one(args, &mut kitchen, (&oven, &sitting), session)?,
    };
    told(&added, &oven, &warnings, session)
}

fn one(
    args: &AddArgs,
    kitchen: &mut Kitchen,
    (oven, sitting): (&Oven, &Sitting),
    session: &Session<'_>,
) -> Result<Added, Trouble> {
    let unit = oven.dial.unit;
    let Some(dial) = &args.dial else {
        return Err(Trouble::user(
            "the dial setting is missing; give it like --dial 350F",
        ));
    };
    let reads = args.reads.as_deref().unwrap_or_default();
    let now = session.environment.now;
    let reading = AirReading {
        at: when(args, session)?.unwrap_or(now),
        dial: temperature("--dial", dial, unit)?,
        air: temperature("--reads", reads, unit)?,
        phase: args.phase,
        place: args.place,
    };
    // A bare figure is in the dial's unit, and a thermometer may show the other.
    let bare = reads.trim().ends_with(|c: char| c.is_ascii_digit());
    let far = (reading.air - reading.dial).0.abs() > 2.0 * SLIP_C;
    let meant = unit.misread(reading.air, reading.dial, SLIP_C);
    if let Some(meant) = meant.filter(|_| bare && far && args.phase == Phase::Holding) {
        return Err(Trouble::user(format!(
            "{} is far from the dial's {}, and {meant} would be near it; write the unit, like {}, or say what the oven was doing with --phase",
            unit.show(reading.air),
            unit.show(reading.dial),
            meant.replace(' ', "")
        ))
        .with("--reads", reads));
    }
    let round = add_reading(kitchen, sitting, reading, now).map_err(|e| {
        let place = reading.place.key();
        Trouble::user(e).with(
            "reading",
            format!("{reads} at {}, {place}", moment(reading.at)),
        )
    })?;
    Ok(Added {
        rounds: vec![round],
        count: 1,
        left_out: Vec::new(),
    })
}

fn when(args: &AddArgs, session: &Session<'_>) -> Result<Option<Moment>, Trouble> {
    args.at
        .as_ref()
        .map(|text| {
            let zone = &session.environment.zone;
            match moment_on(text, session.environment.now.date()) {
                Some(DateAndTime::Local(civil)) => Ok(Moment::in_zone(civil, zone)),
                Some(DateAndTime::Offset(at)) => Ok(at.by_clock_in(zone)),
                None => Err(
                    Trouble::user("no such time; write it like 14:05 or 2026-11-20T14:05")
                        .with("--at", text),
                ),
            }
        })
        .transpose()
}

fn from_file(
    args: &AddArgs,
    path: &std::path::Path,
    (kitchen, oven, sitting): (&mut Kitchen, &Oven, &Sitting),
    session: &mut Session<'_>,
) -> Result<Added, Trouble> {
    let unit = oven.dial.unit;
    let read = read_readings_file(path, unit).or_trouble("--csv", path.display())?;
    let defaults = Defaults {
        dial: given("--dial", args.dial.as_ref(), |text| {
            Celsius::parse(text, unit)
        })?,
        phase: args.phase,
        place: args.place,
        zone: session.environment.zone.clone(),
        begins: when(args, session)?,
        skip_bad: args.skip_bad,
    };
    for issue in read.issues.iter().take(MOST_REMARKS) {
        session
            .out
            .remark(&format!("line {}: {}", issue.line, issue.what));
    }
    if let Some(more) = read
        .issues
        .len()
        .checked_sub(MOST_REMARKS)
        .filter(|n| *n > 0)
    {
        session
            .out
            .remark(&format!("and {more} more lines like these"));
    }
    let now = session.environment.now;
    add_readings(
        kitchen,
        sitting,
        (&read.readings, &read.issues),
        &defaults,
        now,
    )
    .or_trouble("--csv", path.display())
}

fn told(
    added: &Added,
    oven: &Oven,
    warnings: &[Warning],
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    let rounds: Vec<String> = added.rounds.iter().map(ToString::to_string).collect();
    if session.json {
        return session.answer(&AddedJson {
            rounds,
            added: added.count,
            left_out: added
                .left_out
                .iter()
                .map(|i| format!("line {}: {}", i.line, i.what))
                .collect(),
            warnings: texts(warnings),
        });
    }
    session.out.line(format!(
        "{} of {} taken into {}",
        counted(added.count, "reading"),
        oven.name,
        rounds.join(", ")
    ))?;
    if !added.left_out.is_empty() {
        session
            .out
            .line(format!("{} lines were left out", added.left_out.len()))?;
    }
    session
        .out
        .marked("!", cautions_at(Occasion::Thermometer, oven))?;
    Ok(Exit::Done)
}
