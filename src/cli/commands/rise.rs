//! `rise`: how long a dough takes at another temperature.

use crate::{
    cli::{
        session::{Session, texts},
        trouble::{Exit, OrTrouble, Trouble},
    },
    model::dough::Dough,
    report::json_rise::RiseJson,
    units::{Celsius, Minutes, TemperatureUnit},
    workflow::{
        kitchen::Access,
        rise::{RiseAnswer, RiseQuestion, Start, rise_time},
    },
};
use clap::Args;

/// Weight of a piece of dough where none is given, grams.
const USUAL_GRAMS: f64 = 500.0;
/// From here on a time is told in hours, minutes.
const HOURS_FROM: f64 = 120.0;

/// Find how long a dough rises at another temperature.
#[derive(Debug, Args)]
#[command(
    after_help = "The known time is that of a dough as warm as the temperature behind it. Every temperature needs its unit.\n\nExamples:\n  rackshade rise --known 60min@75F --at 85F --dough yeast\n  rackshade rise --known 4h@24C --at 27C --dough sourdough --start 20C --mass-g 900 --json"
)]
pub(crate) struct RiseArgs {
    /// The time it takes and the dough's temperature then, like 60min@75F or 1.5h@24C.
    #[arg(long, value_name = "TIME@DEGREES", allow_hyphen_values = true, value_parser = known)]
    known: (Minutes, Celsius, TemperatureUnit),
    /// How warm the box is, like 85F; with --oven, what the oven is set to.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true, value_parser = degrees)]
    at: (Celsius, TemperatureUnit),
    /// What makes it rise: yeast or sourdough.
    #[arg(long, value_parser = dough)]
    dough: Dough,
    /// How warm the dough is when it goes in; as warm as the box when not given.
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true, value_parser = degrees)]
    start: Option<(Celsius, TemperatureUnit)>,
    /// Weight of one piece of dough, grams; 500 when not given.
    #[arg(
        long,
        value_name = "GRAMS",
        requires = "start",
        allow_hyphen_values = true
    )]
    mass_g: Option<f64>,
    /// An oven whose proofing mode is the box, by what was read of it.
    #[arg(long, value_name = "ID")]
    oven: Option<String>,
}

/// Reads a temperature that names its unit.
fn degrees(text: &str) -> Result<(Celsius, TemperatureUnit), String> {
    let unit = match text.trim().chars().last().map(|c| c.to_ascii_uppercase()) {
        Some('F') => TemperatureUnit::Fahrenheit,
        Some('C') => TemperatureUnit::Celsius,
        Some(_) | None => {
            return Err("it names no unit of temperature; write it like 75F or 24C".to_owned());
        }
    };
    let read = Celsius::parse(text, unit).map_err(|error| error.to_string())?;
    Ok((read, unit))
}

/// Reads a known time and its temperature.
fn known(text: &str) -> Result<(Minutes, Celsius, TemperatureUnit), String> {
    const EXAMPLE: &str = "write it like 60min@75F or 1.5h@24C";
    let (time, at) = text
        .split_once('@')
        .ok_or_else(|| format!("it has no @ between time and temperature; {EXAMPLE}"))?;
    let time = time.trim();
    let end = time
        .find(|c: char| c.is_alphabetic())
        .ok_or_else(|| format!("its time names no unit; {EXAMPLE}"))?;
    let (figure, unit) = time.split_at(end);
    let scale = match unit {
        "min" | "m" => 1.0,
        "h" => 60.0,
        _ => return Err(format!("its time has an unknown unit; {EXAMPLE}")),
    };
    let figure: f64 = figure
        .trim()
        .parse()
        .ok()
        .filter(|f: &f64| f.is_finite())
        .ok_or_else(|| format!("its time is not a number; {EXAMPLE}"))?;
    let (at, unit) = degrees(at)?;
    Ok((Minutes(figure * scale), at, unit))
}

/// Reads what makes a dough rise.
fn dough(text: &str) -> Result<Dough, String> {
    Dough::from_key(text).ok_or_else(|| "use one of yeast, sourdough".to_owned())
}

pub(crate) fn run(args: &RiseArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (known, known_at, known_unit) = args.known;
    let (at, unit) = args.at;
    let question = RiseQuestion {
        dough: args.dough,
        known,
        known_at,
        at,
        start: args.start.map(|(temperature, _)| Start {
            temperature,
            grams: args.mass_g.unwrap_or(USUAL_GRAMS),
        }),
        unit,
    };
    let start = args
        .start
        .map(|(start, unit)| format!(" --start {}", unit.show(start)));
    let mass = args.mass_g.map(|grams| format!(" --mass-g {grams}"));
    let typed = format!(
        "{} min@{} --at {}{}{}",
        known.0,
        known_unit.show(known_at),
        unit.show(at),
        start.unwrap_or_default(),
        mass.unwrap_or_default()
    );
    let answer = match &args.oven {
        Some(name) => {
            let (kitchen, _) = session.kitchen(Access::Read)?;
            let oven = kitchen.find_oven(name).or_trouble("--oven", name)?;
            rise_time(&question, Some((&kitchen, oven)))
        }
        None => rise_time(&question, None),
    }
    .or_trouble("--known", typed)?;
    if session.json {
        session.out.json(&json(&answer))?;
    } else {
        tell(&question, &answer, session)?;
    }
    Ok(Exit::Done)
}

fn json(answer: &RiseAnswer) -> RiseJson {
    RiseJson {
        minutes: answer.rise.time.0,
        minutes_lo: answer.rise.lo.0,
        minutes_hi: answer.rise.hi.map(|hi| hi.0),
        rate_ratio: answer.rise.ratio,
        souring_ratio: answer.souring,
        box_c: answer.at.0,
        dough_end_c: answer.rise.dough_end.0,
        warnings: texts(&answer.warnings),
    }
}

/// Says it in words: the time first, then why.
fn tell(
    question: &RiseQuestion,
    answer: &RiseAnswer,
    session: &mut Session<'_>,
) -> Result<(), Trouble> {
    let (unit, rise) = (question.unit, &answer.rise);
    let (at, known_at) = (unit.show(answer.at), unit.show(question.known_at));
    let range = rise.hi.map_or_else(
        || format!("{} or more", span(rise.lo)),
        |hi| format!("{} to {}", span(rise.lo), span(hi)),
    );
    let out = &mut *session.out;
    out.line(format!(
        "Risen in about {} at {at} ({range}).",
        span(rise.time)
    ))?;
    out.line(format!(
        "  At {at} it rises {:.2} times as fast as at {known_at}.",
        rise.ratio
    ))?;
    if let Some(souring) = answer.souring {
        out.line(format!("  It sours {souring:.2} times as fast."))?;
    }
    if let Some(start) = question.start {
        out.line(format!(
            "  {:.0} g of dough warm from {} to {} by then.",
            start.grams,
            unit.show(start.temperature),
            unit.show(rise.dough_end)
        ))?;
    }
    if answer.read {
        out.line(format!(
            "  Set to {}, this oven holds {at} by the thermometer.",
            unit.show(question.at)
        ))?;
    }
    for warning in &answer.warnings {
        out.line(format!("! {warning}"))?;
    }
    Ok(())
}

/// Writes a time as a baker says it: `45 min`, `3 h 20 min`.
fn span(time: Minutes) -> String {
    let minutes = time.0.round();
    if minutes < HOURS_FROM {
        format!("{minutes:.0} min")
    } else {
        let (hours, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
        format!("{hours:.0} h {rest:.0} min")
    }
}
