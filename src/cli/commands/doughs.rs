//! `doughs`: the baker's own doughs, put to rise, looked at and taken out.

use super::rise::{degrees, dough, known};
use crate::cli::prelude::*;
use crate::{
    model::{
        dough::Dough,
        rising::{Grown, OwnDough},
    },
    report::json_rise::{DoughJson, RisingJson},
    units::{Celsius, Minutes, TemperatureUnit},
    workflow::{
        rise::{USUAL_GRAMS, span},
        rising::{begin, elapsed, look, pace_of, rising_now, take_out},
    },
};

/// List and add your own doughs, put one to rise, note a look at it, take it out.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  rackshade doughs add --name rolls --dough yeast --known 60min@75F\n  rackshade doughs start rolls --oven counter-oven --at 85F --start 68F\n  rackshade doughs look rolls half"
)]
pub(crate) struct DoughsArgs {
    #[command(subcommand)]
    what: Option<What>,
}

#[derive(Debug, Subcommand)]
enum What {
    /// List the doughs, and how far those are that rise (the same as without a word).
    #[command(after_help = "Example:\n  rackshade doughs list --json")]
    List,
    /// Add a dough, or change the one of that name.
    #[command(
        after_help = "Example:\n  rackshade doughs add --name 'country loaf' --dough sourdough --known 4h@24C --mass-g 900"
    )]
    Add {
        /// Its name.
        #[arg(long, value_parser = crate::cli::values::name)]
        name: String,
        /// What makes it rise: yeast or sourdough.
        #[arg(long, value_parser = dough)]
        dough: Dough,
        /// How long it takes to double and the dough's temperature then, like 60min@75F.
        #[arg(long, value_name = "TIME@DEGREES", value_parser = known)]
        known: (Minutes, Celsius, TemperatureUnit),
        /// Weight of one piece, grams; as it was, or 500, when not given.
        #[arg(long, value_name = "GRAMS", value_parser = values::figure)]
        mass_g: Option<f64>,
    },
    /// Put a dough to rise.
    #[command(
        after_help = "Example:\n  rackshade doughs start rolls --oven counter-oven --at 85F --start 68F"
    )]
    Start {
        /// Its id or name.
        dough: String,
        /// How warm the place is, like 85F; with --oven, what the oven is set to.
        #[arg(long, value_name = "DEGREES", value_parser = degrees)]
        at: (Celsius, TemperatureUnit),
        /// The oven whose proofing mode it rises in.
        #[arg(long, value_name = "ID")]
        oven: Option<String>,
        /// How warm the dough is; as warm as the place when not given.
        #[arg(long, value_name = "DEGREES", value_parser = degrees)]
        start: Option<(Celsius, TemperatureUnit)>,
    },
    /// Note how far a dough has grown: it corrects the rest and teaches this dough's own pace.
    #[command(after_help = "Example:\n  rackshade doughs look rolls half")]
    Look {
        /// Its id or name.
        dough: String,
        /// How far: quarter, half, three-quarters or doubled.
        #[arg(value_parser = grown)]
        grown: Grown,
    },
    /// Note that a dough was taken out.
    #[command(after_help = "Example:\n  rackshade doughs out rolls")]
    Out {
        /// Its id or name.
        dough: String,
    },
    /// Remove a dough; its file is set aside, not destroyed.
    #[command(after_help = "Example:\n  rackshade doughs remove rolls")]
    Remove {
        /// Its id or name.
        dough: String,
    },
}

fn grown(text: &str) -> Result<Grown, ValueError> {
    Grown::from_key(text).ok_or_else(|| not_one_of(Grown::ALL.map(Grown::key)))
}

pub(crate) fn run(args: DoughsArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let what = args.what.unwrap_or(What::List);
    if matches!(what, What::List) {
        let (kitchen, _) = session.kitchen(Access::Read)?;
        return list(&kitchen, session);
    }
    let (mut kitchen, _) = session.kitchen(Access::Write)?;
    let now = session.environment.now;
    match what {
        What::List => {}
        What::Add {
            name,
            dough,
            known,
            mass_g,
        } => {
            let (time, at, unit) = known;
            if name.trim().is_empty() {
                let why = "a dough needs a name, like rolls";
                return Err(Trouble::user(why).with("--name", "(nothing)"));
            }
            let mut own = kitchen
                .find_dough(&name)
                .cloned()
                .unwrap_or_else(|_new| OwnDough {
                    id: kitchen.fresh_dough_id(&name),
                    name,
                    leaven: dough,
                    known: time,
                    known_at: at,
                    grams: USUAL_GRAMS,
                    rises: Vec::new(),
                    note: String::new(),
                });
            (own.leaven, own.known, own.known_at) = (dough, time, at);
            own.grams = mass_g.unwrap_or(own.grams);
            check((time, at, unit), own.grams, dough)?;
            kitchen.save_dough(own)?;
        }
        What::Start {
            dough,
            at,
            oven,
            start,
        } => put_in(
            &mut kitchen,
            (&dough, oven.as_deref()),
            (at, start),
            session,
        )?,
        What::Look { dough: name, grown } => {
            let mut dough = found(&kitchen, &name)?;
            look(&mut dough, grown, now).or_trouble("dough", &name)?;
            kitchen.save_dough(dough)?;
        }
        What::Out { dough: name } => {
            let mut dough = found(&kitchen, &name)?;
            take_out(&mut dough, now).or_trouble("dough", &name)?;
            kitchen.save_dough(dough)?;
        }
        What::Remove { dough: name } => {
            let id = found(&kitchen, &name)?.id;
            kitchen.remove_dough(&id)?;
        }
    }
    list(&kitchen, session)
}

fn found(kitchen: &Kitchen, name: &str) -> Result<OwnDough, Trouble> {
    kitchen.find_dough(name).or_trouble("dough", name).cloned()
}

/// Checks a dough's figures: its known time, where that holds and in which unit that was typed, and its weight.
fn check(
    (time, at, unit): (Minutes, Celsius, TemperatureUnit),
    grams: f64,
    dough: Dough,
) -> Result<(), Trouble> {
    if !(1.0..=7.0 * 24.0 * 60.0).contains(&time.0) {
        let why = "no dough is known to rise so; give 1 min to a week";
        return Err(Trouble::user(why).with("--known", time));
    }
    if dough.rise().rate(at) <= 0.0 || at.0 < dough.known_from().0 {
        let why =
            "a dough's time there tells nothing of other places; give one known at room warmth";
        return Err(Trouble::user(why).with("--known", unit.show(at)));
    }
    if !(10.0..=20_000.0).contains(&grams) {
        let why = "that is no dough's weight; give 10 to 20000 g";
        return Err(Trouble::user(why).with("--mass-g", grams));
    }
    Ok(())
}

/// What a temperature was typed as.
type Typed = (Celsius, TemperatureUnit);

fn put_in(
    kitchen: &mut Kitchen,
    (name, oven): (&str, Option<&str>),
    (at, start): (Typed, Option<Typed>),
    session: &Session<'_>,
) -> Result<(), Trouble> {
    let mut dough = found(kitchen, name)?;
    if dough.rising().is_some() {
        let why = "it is rising already; note that it is out first: rackshade doughs out";
        return Err(Trouble::user(why).with("dough", name));
    }
    let oven = oven
        .map(|typed| kitchen.find_oven(typed).or_trouble("--oven", typed))
        .transpose()?
        .cloned();
    let place = (oven.as_ref(), at.0);
    let warm = start.map_or(at.0, |s| s.0);
    let shown = at.1.show(at.0);
    let (log, _) =
        begin(kitchen, &dough, place, warm, session.environment.now).or_trouble("--at", &shown)?;
    let rises = |t: Celsius| dough.leaven.rise().rate(t) > 0.0;
    if !rises(log.air) {
        let why = "the dough does not rise there; choose a milder temperature";
        return Err(Trouble::user(why).with("--at", shown));
    }
    if !(0.0..45.0).contains(&warm.0) {
        let why = "no dough goes in so; give its own temperature, like 68F";
        return Err(Trouble::user(why).with("--start", at.1.show(warm)));
    }
    dough.rises.push(log);
    kitchen.save_dough(dough)?;
    Ok(())
}

/// Says how far a dough is that rises.
fn tell_rising(dough: &DoughJson, session: &mut Session<'_>) -> Result<(), Trouble> {
    let Some(minutes) = dough.rising_min else {
        return Ok(());
    };
    let ready = dough.rising.as_ref().map_or_else(
        || "can't tell when it is ready; look at it".to_owned(),
        |r| {
            format!(
                "ready in about {} (after {} to {} in all)",
                span(Minutes(r.left_min)),
                span(Minutes(r.total_min_lo)),
                span(Minutes(r.total_min_hi))
            )
        },
    );
    let since = span(Minutes(minutes));
    let out = &mut *session.out;
    out.line(format!("  rising for {since}: {ready}"))?;
    if dough.rising.as_ref().is_some_and(|r| r.look_tells_nothing) {
        out.line("  the last look came so early or so late that it tells no pace")?;
    }
    out.line("  ! Mark the dial; take the dough out before you heat the oven.")
}

fn list(kitchen: &Kitchen, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let now = session.environment.now;
    let of = |dough: &OwnDough| {
        let (pace, looked) = pace_of(dough);
        let rising = dough.rising().and_then(|log| rising_now(dough, log, now));
        DoughJson {
            id: dough.id.to_string(),
            name: dough.name.clone(),
            dough: dough.leaven.key(),
            known_min: dough.known.0,
            known_at_c: dough.known_at.0,
            mass_g: dough.grams,
            rises: dough.rises.len(),
            pace: pace.factor,
            looked,
            rising_min: dough.rising().map(|log| elapsed(log, now).0),
            rising: rising.map(|r| RisingJson {
                elapsed_min: r.elapsed.0,
                share: r.share,
                left_min: r.left.0,
                total_min: r.total.0.0,
                total_min_lo: r.total.1.0,
                total_min_hi: r.total.2.0,
                pace: r.pace.factor,
                look_tells_nothing: r.untold,
            }),
        }
    };
    let (unit, _) = kitchen.units();
    let listed = Listed {
        word: "doughs",
        things: kitchen.doughs().iter().map(of).collect(),
        warnings: None,
    };
    if session.json {
        return session.answer(&listed);
    }
    if listed.things.is_empty() {
        session.out.line(
            "no dough yet: rackshade doughs add --name rolls --dough yeast --known 60min@75F",
        )?;
    }
    for dough in listed.things {
        let known = Minutes(dough.known_min);
        let pace = match dough.looked {
            0 => String::new(),
            1 => format!("; {:.2} times as fast in 1 rise", dough.pace),
            n => format!("; {:.2} times as fast by {n} rises", dough.pace),
        };
        session.out.line(format!(
            "{}: {}, doubles in {} at {}{pace}",
            dough.name,
            dough.dough,
            span(known),
            unit.show(Celsius(dough.known_at_c)),
        ))?;
        tell_rising(&dough, session)?;
    }
    Ok(Exit::Done)
}
