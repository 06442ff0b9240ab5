//! What `bakes` says after a bake: predicted against actual, what several bakes say of the map, what a kind teaches.

use crate::cli::prelude::*;
use crate::{
    model::BakeLog,
    report::json_after::{
        AfterJson, BakeAfterJson, FigureJson, LearnJson, MapVerdictJson, PlaceJson,
    },
    workflow::{
        after::{
            self, After, Compared, What,
            agree::{LEVEL, Verdict},
            learn::OwnCurve,
            verdict_beside,
        },
        catalogue::bake_kind,
        recipe::as_kind,
    },
};

fn figure((value, lo, hi): (f64, f64, f64)) -> FigureJson {
    FigureJson { value, lo, hi }
}

fn place(p: &Compared) -> PlaceJson {
    let (row, col) = match p.what {
        What::Piece(row, col) => (Some(row + 1), Some(col + 1)),
        What::WholeTray => (None, None),
    };
    PlaceJson {
        tray: p.tray,
        row,
        col,
        expected_shade: figure((p.expected.value, p.expected.lo, p.expected.hi)),
        actual_shade: p.actual.value(),
        standardised: p.standardised,
    }
}

fn after_json(after: &After) -> AfterJson {
    let level = after.level;
    AfterJson {
        level_shade: figure((level.shade.value, level.shade.lo, level.shade.hi)),
        wanted_shade: level.wanted.map(crate::model::shade::Shade::value),
        burnt: level.burnt.0,
        minutes_to_wanted: level.minutes.map(|m| m.0),
        pattern_error_shade: after.pattern,
        pattern_expected_shade: after.pattern_expected,
        places: after.places.iter().map(place).collect(),
    }
}

fn verdict_json(verdict: &Verdict) -> MapVerdictJson {
    let (word, bakes, p) = match verdict {
        Verdict::TooLittle { bakes, .. } => ("too-little", *bakes, None),
        Verdict::Fits { bakes, p } => ("fits", *bakes, Some(*p)),
        Verdict::Off { bakes, p, .. } => ("off", *bakes, Some(*p)),
    };
    MapVerdictJson {
        verdict: word,
        bakes,
        p,
        level: LEVEL,
    }
}

/// Prints a bake with what came out of it as JSON.
pub(super) fn json(
    bake: &BakeLog,
    kitchen: &Kitchen,
    session: &mut Session<'_>,
) -> Result<(), Trouble> {
    let (after, notes) = match after::compare(bake) {
        Ok(after) => (
            Some(after_json(&after)),
            after.otherwise.into_iter().collect(),
        ),
        Err(why) => (None, vec![why.to_string()]),
    };
    let verdict = verdict_beside(kitchen, bake);
    let verdict = verdict.as_ref().map(verdict_json);
    session
        .out
        .json(&BakeAfterJson::new(bake, after, verdict, notes))
}

/// Prints predicted against actual, level apart from pattern.
pub(super) fn text(
    bake: &BakeLog,
    kitchen: &Kitchen,
    session: &mut Session<'_>,
) -> Result<(), Trouble> {
    let out = &mut *session.out;
    let after = match after::compare(bake) {
        Ok(after) => after,
        Err(why) => {
            out.line(format!("  {why}"))?;
            return scores(bake, session);
        }
    };
    out.line(format!("  level    {}", after.level.words()))?;
    out.line(format!("  pattern  {}", after.pattern_words()))?;
    let rows: Vec<_> = after
        .places
        .iter()
        .map(|p| {
            vec![
                p.name(),
                format!(
                    "{:.1} ({:.1} to {:.1})",
                    p.expected.value, p.expected.lo, p.expected.hi
                ),
                p.actual.to_string(),
                format!("{:+.1}", p.off()),
                if p.surprises() {
                    "further off than map and eye explain"
                } else {
                    ""
                }
                .to_owned(),
            ]
        })
        .collect();
    if rows.is_empty() {
        // It was baked another way than planned: nothing was expected of what came out.
        scores(bake, session)?;
    } else {
        out.table(
            &["place", "expected shade", "came out", "off by", ""],
            &rows,
        )?;
    }
    let out = &mut *session.out;
    if let Some(verdict) = verdict_beside(kitchen, bake) {
        out.line(verdict.words())?;
    }
    Ok(())
}

/// Prints the scores of single pieces by themselves, where there are any.
fn scores(bake: &BakeLog, session: &mut Session<'_>) -> Result<(), Trouble> {
    let rows: Vec<_> = bake
        .pieces
        .iter()
        .map(|p| {
            vec![
                format!("tray {}, row {}, column {}", p.tray, p.row + 1, p.col + 1),
                p.shade.to_string(),
                p.pulled
                    .map_or_else(String::new, |m| format!("pulled at {m}")),
            ]
        })
        .collect();
    if rows.is_empty() {
        return Ok(());
    }
    session.out.table(&["place", "came out", ""], &rows)
}

/// Prints what the bakes of a kind teach; ends with "the answer is no" where it is not enough to be used.
pub(super) fn learn(
    kitchen: &Kitchen,
    key: &str,
    session: &mut Session<'_>,
) -> Result<Exit, Trouble> {
    let kind = match (bake_kind(key), kitchen.find_recipe(key)) {
        (Ok(kind), _) => kind.clone(),
        (Err(_), Ok(recipe)) => as_kind(recipe).or_trouble("recipe", key)?,
        (Err(why), Err(_)) => return Err(Trouble::user(why).with("kind", key)),
    };
    let own = after::learn::learn(kitchen, &kind).or_trouble("kind", key)?;
    let enough = own.refit.is_enough();
    if session.json {
        session.out.json(&learn_json(key, &own))?;
    } else {
        session.out.text(&own.words(&kind.name))?;
    }
    Ok(if enough { Exit::Done } else { Exit::No })
}

fn learn_json(key: &str, own: &OwnCurve) -> LearnJson {
    let r = &own.refit;
    LearnJson {
        kind: key.to_owned(),
        bakes: own.bakes,
        pieces: own.pieces,
        enough: r.is_enough(),
        learned: r.learned,
        half_share: figure((r.half.value, r.half.lo, r.half.hi)),
        half_share_default: figure((r.half_before.value, r.half_before.lo, r.half_before.hi)),
        usual_min: own.usual.0,
        warming_factor: figure((r.warming.value, r.warming.lo, r.warming.hi)),
        approach_factor: figure((r.approach.value, r.approach.lo, r.approach.hi)),
        scatter: r.scatter,
    }
}
