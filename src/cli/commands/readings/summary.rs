//! `readings summary`: what the readings of an oven, or of one file, say.

use super::given::ProbeArgs;
use crate::cli::prelude::*;
use crate::{
    model::{Mode, Oven, Warning},
    report::json_readings::{
        AdviceJson, DriftJson, LEVEL, LineJson, PlaceJson, ReadingsSummaryJson, SettingParts,
        VisitJson,
    },
    report::text_readings::{summary_heading, summary_text},
    units::{Celsius, TemperatureUnit},
    workflow::{
        catalogue::{Occasion, cautions_at},
        ground::mode_of,
        readings::{
            Advice, OvenSummary, RoundFigures, Verdict, advice, air_map, figures,
            read_readings_file, rows, summary, sureness_words,
        },
    },
};
use std::path::{Path, PathBuf};

/// Work out offset, swing, cycle, preheat and door, with what they advise.
#[derive(Debug, Args)]
#[command(
    after_help = "A CSV file has the columns seconds,celsius,dial_c,phase; no record is needed for it.\n\nExamples:\n  rackshade readings summary --oven wall-oven --mode still-air\n  rackshade readings summary --csv probe.csv --accuracy 1C --lag 8 --json"
)]
pub(super) struct SummaryArgs {
    /// The oven.
    #[arg(long, conflicts_with = "csv", required_unless_present = "csv")]
    oven: Option<String>,
    /// The mode; the oven's first one when not given.
    #[arg(long, value_parser = values::mode, requires = "oven")]
    mode: Option<Mode>,
    /// A CSV file of one sitting.
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// The dial setting, where the file gives none.
    #[arg(long, value_name = "DEGREES", requires = "csv")]
    dial: Option<String>,
    #[command(flatten)]
    probe: ProbeArgs,
    /// Leave lines out that cannot be used, and say which.
    #[arg(long, requires = "csv")]
    skip_bad: bool,
}

pub(super) fn run(args: &SummaryArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    if let Some(path) = &args.csv {
        return of_file(args, path, session);
    }
    let typed = args.oven.as_deref().unwrap_or_default();
    let (kitchen, opened) = session.kitchen(Access::Read)?;
    let oven = kitchen.find_oven(typed).or_trouble("--oven", typed)?;
    let mode = mode_of(oven, args.mode).or_trouble("--oven", typed)?;
    of_oven(&kitchen, oven, mode, &opened, session)
}

fn of_file(args: &SummaryArgs, path: &Path, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    // A file without an oven is read as its columns say; bare figures are Celsius.
    let unit = TemperatureUnit::Celsius;
    let thermometer = args.probe.thermometer(unit)?;
    let read = |text: &str| Celsius::parse(text, unit);
    let dial = given("--dial", args.dial.as_ref(), read)?;
    let read = read_readings_file(path, unit).or_trouble("--csv", path.display())?;
    for issue in &read.issues {
        session
            .out
            .remark(&format!("line {}: {}", issue.line, issue.what));
    }
    let (good, left_out) = read
        .take(args.skip_bad)
        .or_trouble("--csv", path.display())?;
    let rows = rows(&good, dial).or_trouble("--csv", path.display())?;
    let all = figures(&rows, &thermometer);
    let mut warnings: Vec<Warning> = all.iter().flat_map(|f| f.warnings.clone()).collect();
    if args.probe.accuracy.is_none() {
        warnings.push(Warning::new(
            "the thermometer's own error is not counted in the brackets",
            "give it with --accuracy",
        ));
    }
    if !left_out.is_empty() {
        warnings.push(Warning::new(
            format!("{} lines were left out", left_out.len()),
            "",
        ));
    }
    let common = crate::workflow::readings::habits(&thermometer, Celsius(100.0)).common_sd();
    let parts: Vec<SettingParts<'_>> = all.iter().map(|f| parts_of_round(f, common)).collect();
    if session.json {
        session
            .out
            .json(&ReadingsSummaryJson::new(&parts, texts(&warnings)))?;
    } else {
        for part in &parts {
            session.out.text(&summary_text(part, unit))?;
        }
        session.out.marked("*", &warnings)?;
    }
    Ok(Exit::Done)
}

fn parts_of_round(f: &RoundFigures, common_sd: f64) -> SettingParts<'_> {
    SettingParts {
        dial: f.dial,
        offset: f.offset.map(|o| o.with_type_b(common_sd)),
        swing: f.hold.and_then(|h| h.swing),
        cycle: f.hold.and_then(|h| h.cycle),
        sureness: f.hold.map(|h| h.sureness),
        rests_on: f.hold.map_or_else(
            || "no reading of a hold".to_owned(),
            |h| sureness_words(h.sureness),
        ),
        readings: f.readings,
        preheat: f.preheat.as_ref(),
        doors: f.doors.iter().collect(),
    }
}

fn parts_of_oven(found: &OvenSummary) -> Vec<SettingParts<'_>> {
    found
        .settings
        .iter()
        .map(|s| {
            let own = |f: &&RoundFigures| (f.dial.0 - s.dial.0).abs() < 1.0;
            let sats: Vec<&RoundFigures> =
                found.now.iter().map(|s| &s.figures).filter(own).collect();
            SettingParts {
                dial: s.dial,
                offset: Some(s.offset),
                swing: s.swing,
                cycle: s.cycle,
                sureness: Some(s.sureness),
                rests_on: sureness_words(s.sureness),
                readings: s.readings,
                preheat: sats.iter().rev().find_map(|f| f.preheat.as_ref()),
                doors: sats.iter().flat_map(|f| &f.doors).collect(),
            }
        })
        .collect()
}

fn of_oven(
    kitchen: &Kitchen,
    oven: &Oven,
    mode: Mode,
    opened: &[Warning],
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    let found = summary(kitchen, oven, mode);
    let advised = advice(&found, oven, session.environment.now.date());
    let places = air_map(kitchen, oven, mode);
    let parts = parts_of_oven(&found);
    if session.json {
        let warnings: Vec<Warning> = opened.iter().chain(&found.warnings).cloned().collect();
        let mut json = ReadingsSummaryJson::new(&parts, texts(&warnings));
        json.line = found.line.as_ref().map(|l| LineJson::new(l, None));
        json.air_map = places
            .iter()
            .map(|p| PlaceJson::new(p.place.key(), &p.offset, p.mean_of))
            .collect();
        (json.drift, json.visits) = (drift(&found), visits(&found));
        json.advice = advised.iter().map(said).collect();
        return session.answer(&json);
    }
    let unit = oven.dial.unit;
    session.out.text(&summary_heading(oven, mode))?;
    for part in &parts {
        session.out.text(&summary_text(part, unit))?;
    }
    for place in &places {
        let (lo, hi) = place.offset.interval(LEVEL);
        let show = |c: f64| unit.show_delta(crate::units::CelsiusDelta(c));
        session.out.line(format!(
            "air at {}: {} against {} ({} to {})",
            place.place.key(),
            show(place.offset.value),
            place.against(),
            show(lo),
            show(hi)
        ))?;
    }
    for visit in &found.visits {
        if let Some(jump) = &visit.jump {
            let (lo, hi) = jump.change.interval(LEVEL);
            let show = |c: f64| unit.show_delta(crate::units::CelsiusDelta(c));
            let what = if jump.shows() {
                "the offset changed by"
            } else {
                "no change that shows:"
            };
            session.out.line(format!(
                "visit of {}, {}: {what} {} ({} to {})",
                visit.when.date(),
                visit.what,
                show(jump.change.value),
                show(lo),
                show(hi)
            ))?;
        }
    }
    for sentence in &advised {
        session
            .out
            .line(format!("> {} [{}]", sentence.sentence, sentence.evidence))?;
    }
    session.out.marked("*", &found.warnings)?;
    let occasion = if advised.iter().any(|a| a.verdict == Verdict::Technician) {
        Occasion::Technician
    } else {
        Occasion::Thermometer
    };
    session.out.marked("!", cautions_at(occasion, oven))?;
    Ok(Exit::Done)
}

fn said(advice: &Advice) -> AdviceJson {
    AdviceJson {
        verdict: match advice.verdict {
            Verdict::LeaveIt => "leave-it",
            Verdict::MoreReadings => "more-readings",
            Verdict::Thermometer => "thermometer",
            Verdict::AdjustOrDialAround => "adjust-or-dial-around",
            Verdict::Technician => "technician",
        },
        sentence: advice.sentence.clone(),
        evidence: advice.evidence.clone(),
    }
}

fn drift(found: &OvenSummary) -> Option<DriftJson> {
    found.drift.as_ref().map(|d| DriftJson {
        slope_c_per_day: d.slope.value,
        slope_lo_c_per_day: d.slope.lo,
        slope_hi_c_per_day: d.slope.hi,
        tau: d.trend.tau,
        p: d.trend.p,
        n: d.points.len(),
    })
}

fn visits(found: &OvenSummary) -> Vec<VisitJson> {
    found
        .visits
        .iter()
        .map(|v| VisitJson {
            when: v.when.to_string(),
            what: v.what.clone(),
            change_c: v.jump.map(|j| j.change.value),
            change_se_c: v.jump.map(|j| j.change.sd),
            p: v.jump.map(|j| j.p),
        })
        .collect()
}
