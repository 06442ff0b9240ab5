//! `rise`: how long a dough takes at another temperature.

use crate::cli::prelude::*;
use crate::{
    model::{Moment, dough::Dough},
    report::json_rise::RiseJson,
    units::{Celsius, Minutes, TemperatureUnit},
    workflow::{
        rise::{RiseAnswer, RiseQuestion, Start, USUAL_GRAMS, rise_time, span},
        rising::{ReadyPlan, USUAL_HEATING, ready_for},
    },
};
use jiff::{
    ToSpan,
    civil::{Date, Time},
};

/// Find how long a dough rises at another temperature.
#[derive(Debug, Args)]
#[command(
    after_help = "The known time is that of a dough as warm as the temperature behind it. Every temperature needs its unit.\n\nExamples:\n  rackshade rise --known 60min@75F --at 85F --dough yeast\n  rackshade rise --known 4h@24C --at 27C --dough sourdough --start 20C --mass-g 900 --json"
)]
pub(crate) struct RiseArgs {
    /// The time it takes and the dough's temperature then, like 60min@75F or 1.5h@24C.
    #[arg(long, value_name = "TIME@DEGREES", value_parser = known)]
    known: (Minutes, Celsius, TemperatureUnit),
    /// How warm the box is, like 85F; with --oven, what the oven is set to.
    #[arg(long, value_name = "DEGREES", value_parser = degrees)]
    at: (Celsius, TemperatureUnit),
    /// What makes it rise: yeast or sourdough.
    #[arg(long, value_parser = dough)]
    dough: Dough,
    /// How warm the dough is when it goes in; as warm as the box when not given.
    #[arg(long, value_name = "DEGREES", value_parser = degrees)]
    start: Option<(Celsius, TemperatureUnit)>,
    /// Weight of one piece of dough, grams; 500 when not given.
    #[arg(long, value_name = "GRAMS", requires = "start", value_parser = values::figure)]
    mass_g: Option<f64>,
    /// An oven whose proofing mode is the box, by what was read of it.
    #[arg(long, value_name = "ID")]
    oven: Option<String>,
    /// When the oven is to bake, like 17:30: then it says when to put the dough in and when to take it out.
    #[arg(long, value_name = "TIME", value_parser = time_of_day)]
    ready_at: Option<Time>,
    /// How long the oven heats before; 20 minutes when not given.
    #[arg(long, value_name = "MINUTES", requires = "ready_at", value_parser = values::figure)]
    heat_min: Option<f64>,
}

/// Reads a time of day.
fn time_of_day(text: &str) -> Result<Time, ValueError> {
    let padded = if text.trim().len() == 4 {
        format!("0{}", text.trim())
    } else {
        text.trim().to_owned()
    };
    let read = padded.parse();
    read.map_err(|_unread: jiff::Error| ValueError::TimeOfDay)
}

/// Reads a temperature that names its unit.
pub(super) fn degrees(text: &str) -> Result<(Celsius, TemperatureUnit), ValueError> {
    let unit = match text.trim().chars().last().map(|c| c.to_ascii_uppercase()) {
        Some('F') => TemperatureUnit::Fahrenheit,
        Some('C') => TemperatureUnit::Celsius,
        Some(_) | None => return Err(ValueError::NoUnit),
    };
    Ok((Celsius::parse(text, unit)?, unit))
}

/// Reads a known time and its temperature.
pub(super) fn known(text: &str) -> Result<(Minutes, Celsius, TemperatureUnit), ValueError> {
    let wrong = ValueError::KnownTime;
    let (time, at) = text
        .split_once('@')
        .ok_or(wrong("it has no @ between time and temperature"))?;
    let time = time.trim();
    let end = time
        .find(|c: char| c.is_alphabetic())
        .ok_or(wrong("its time names no unit"))?;
    let (figure, unit) = time.split_at(end);
    let scale = match unit {
        "min" | "m" => 1.0,
        "h" => 60.0,
        _ => return Err(wrong("its time has an unknown unit")),
    };
    let figure: f64 = figure
        .trim()
        .parse()
        .ok()
        .filter(|f: &f64| f.is_finite())
        .ok_or(wrong("its time is not a number"))?;
    let (at, unit) = degrees(at)?;
    Ok((Minutes(figure * scale), at, unit))
}

/// Reads what makes a dough rise.
pub(super) fn dough(text: &str) -> Result<Dough, ValueError> {
    Dough::from_key(text).ok_or_else(|| not_one_of(Dough::ALL.map(Dough::key)))
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
        pace: None,
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
    let ready = plan(args, (&question, &answer), session)?;
    if session.json {
        session
            .out
            .json(&json(&answer, ready.as_ref(), session.environment.now))?;
    } else {
        tell(&question, &answer, session)?;
        if let Some(plan) = ready {
            for line in plan.says(session.environment.now) {
                session.out.line(format!("  {line}"))?;
            }
        }
    }
    Ok(Exit::Done)
}

/// Finds when to put the dough in and take it out, where it is to be ready by a time.
fn plan(
    args: &RiseArgs,
    (question, answer): (&RiseQuestion, &RiseAnswer),
    session: &Session<'_>,
) -> Result<Option<ReadyPlan>, Trouble> {
    let Some(time) = args.ready_at else {
        return Ok(None);
    };
    let heating = args.heat_min.unwrap_or(USUAL_HEATING.0);
    if !(0.0..=240.0).contains(&heating) {
        let why = "no oven heats so long; give 0 to 240 minutes";
        return Err(Trouble::user(why).with("--heat-min", heating));
    }
    let now = session.environment.now;
    let zone = &session.environment.zone;
    let on = |day: Date| Moment::in_zone(day.to_datetime(time), zone);
    let today = now.civil().date();
    // A time that is past is tomorrow's.
    let ready = Some(on(today)).filter(|at| *at >= now);
    let ready = ready.unwrap_or_else(|| on(today.saturating_add(1.day())));
    let wait = ready.duration_since(now).as_secs_f64() / 60.0;
    let found = ready_for(question, answer, (now, Minutes(wait)), Minutes(heating));
    let why = "the dough cannot be ready so; give a later time, or less heating";
    let found = found.ok_or_else(|| Trouble::user(why).with("--ready-at", time))?;
    // Each as the clock on the wall shows it then: it may change in between.
    Ok(Some(ReadyPlan {
        put_in: found.put_in.by_clock_in(zone),
        take_out: found.take_out.by_clock_in(zone),
        between: (
            found.between.0.by_clock_in(zone),
            found.between.1.map(|end| end.by_clock_in(zone)),
        ),
        ..found
    }))
}

fn json(answer: &RiseAnswer, ready: Option<&ReadyPlan>, now: Moment) -> RiseJson {
    let late = ready.filter(|p| p.too_late_for.is_some());
    let too_late = late.map(|p| p.says(now)[0].clone());
    RiseJson {
        minutes: answer.rise.time.0,
        minutes_lo: answer.rise.lo.0,
        minutes_hi: answer.rise.hi.map(|hi| hi.0),
        rate_ratio: answer.rise.ratio,
        souring_ratio: answer.souring,
        box_c: answer.at.0,
        dough_end_c: answer.rise.dough_end.0,
        swing_c: answer.held.and_then(|h| h.swing).map(|s| s.0),
        places_c: answer
            .held
            .and_then(|h| h.places)
            .map(|(lo, hi)| [lo.0, hi.0]),
        put_in: ready.map(|p| p.put_in.to_string()),
        take_out: ready.map(|p| p.take_out.to_string()),
        ready_from: ready.map(|p| p.between.0.to_string()),
        ready_until: ready.and_then(|p| p.between.1).map(|end| end.to_string()),
        ready: ready.map(|p| p.ready.to_string()),
        warnings: too_late
            .into_iter()
            .chain(texts(&answer.warnings))
            .collect(),
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
    let if_warm = if question.start.is_none() {
        ", if the dough is that warm already"
    } else {
        ""
    };
    out.line(format!(
        "Risen in about {} at {at} ({range}){if_warm}.",
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
    if let Some(held) = answer.held {
        out.line(format!("  {}", held.words(question.at, unit)))?;
    }
    out.marked("!", &answer.warnings)?;
    Ok(())
}
