//! What `plan --at-once` says: a baking day in loads.

use crate::cli::prelude::*;
use crate::{
    model::{
        Segment,
        text::{counted, joined},
    },
    report::{
        json_batches::{BatchJson, DayJson, MoveJson, PlaceJson},
        words::{move_words, placement_words},
    },
    units::{LengthUnit, TemperatureUnit},
    workflow::{
        batches::{Batch, Day},
        catalogue::{Occasion, cautions_at},
        kitchen::Records,
    },
};

/// Prints a day.
pub(super) fn print(
    (day, name): (&Day, &str),
    kitchen: Option<&Records>,
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    let units = |batch: &Batch| {
        let of_samples = (TemperatureUnit::default(), LengthUnit::Centimetres);
        kitchen.map_or(of_samples, |k| k.units_of(&batch.oven))
    };
    let lengths = |batch: &Batch| units(batch).1;
    if session.json {
        return session.answer(&json(day, lengths));
    }
    let trays: usize = day.batches.iter().map(|b| b.trays.len()).sum();
    let out = &mut *session.out;
    out.line(format!(
        "{name}, {}: all done after {:.0} min.",
        counted(trays, "tray"),
        day.total.0
    ))?;
    if let Some(apart) = day.least_even() {
        out.line(format!("  Least even load, lightest to darkest: {apart}."))?;
    }
    for batch in &day.batches {
        let oven = kitchen.and_then(|k| k.oven(&batch.oven));
        let name = oven.map_or(batch.oven.as_str(), |o| &o.name);
        let (unit, lengths) = units(batch);
        out.line(format!(
            "Load {}: {name}, {}, dial at {}",
            batch.number,
            batch.mode.words(),
            unit.show(batch.plan.dial)
        ))?;
        for step in steps(batch, lengths) {
            out.line(format!("  {:>4.0} min  {}", step.at_min, step.what))?;
        }
    }
    out.marked("!", &day.warnings)?;
    out.marked("*", &day.advice)?;
    for why in &day.left_out {
        out.line(format!("* Left out: {why}"))?;
    }
    let ovens = day.batches.iter().filter_map(|b| kitchen?.oven(&b.oven));
    let mut cautions: Vec<String> = Vec::new();
    for caution in ovens.flat_map(|oven| cautions_at(Occasion::Bake, oven)) {
        if !cautions.contains(&caution) {
            cautions.push(caution);
        }
    }
    out.marked("!", &cautions)?;
    Ok(Exit::Done)
}

fn json(day: &Day, lengths: impl Fn(&Batch) -> LengthUnit) -> DayJson {
    let plan = day.batches.first().map(|b| &b.plan);
    let batches = day.batches.iter().map(|batch| {
        let before = day.batches[..batch.number - 1].iter().rev();
        let before = before.into_iter().find(|b| b.oven == batch.oven);
        BatchJson {
            number: batch.number,
            oven: batch.oven.to_string(),
            mode: batch.mode.key(),
            trays: batch.trays.clone(),
            start_min: batch.start.0,
            end_min: batch.end.0,
            bake_min: batch.plan.bake.0,
            dial_c: batch.plan.dial.0,
            wait_before_min: before.map_or(0.0, |b| batch.start.0 - b.end.0),
            moves: steps(batch, lengths(batch)),
        }
    });
    DayJson {
        kind: plan.map_or_else(String::new, |p| p.kind.clone()),
        recipe: plan.and_then(|p| Some(p.recipe.as_ref()?.name.clone())),
        batches: batches.collect(),
        total_min: day.total.0,
        least_even_spread_shade: day.worst,
        advice: day.advice.clone(),
        warnings: texts(&day.warnings),
        left_out: day.left_out.clone(),
    }
}

/// Every opening of the door for a load, in order.
fn steps(batch: &Batch, lengths: LengthUnit) -> Vec<MoveJson> {
    let places = |segment: &Segment| {
        let trays = segment.trays.iter();
        trays
            .map(|t| PlaceJson {
                tray: t.tray,
                rack: t.rack,
                turned: t.turned,
            })
            .collect()
    };
    let mut steps = Vec::new();
    let mut before: Option<&Segment> = None;
    for segment in &batch.plan.segments {
        let (kind, what) = match before {
            None => {
                let words = segment.trays.iter().map(|t| placement_words(t, lengths));
                ("in", format!("in: {}", joined(words, "; ")))
            }
            Some(before) => ("move", move_words(before, segment, lengths)),
        };
        steps.push(MoveJson {
            at_min: batch.start.0 + segment.from.0,
            kind,
            what,
            trays: places(segment),
        });
        before = Some(segment);
    }
    let plural = if batch.trays.len() == 1 { "" } else { "s" };
    steps.push(MoveJson {
        at_min: batch.end.0,
        kind: "out",
        what: format!("out: tray{plural} {}", joined(&batch.trays, " and ")),
        trays: Vec::new(),
    });
    steps
}
