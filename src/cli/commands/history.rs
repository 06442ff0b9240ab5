//! `history`: what happened to an oven, how even it was, when to test again.

use crate::cli::prelude::*;
use crate::{
    cli::output::progress,
    model::Oven,
    report::{
        json_history::{EvennessPointJson, HistoryJson, MomentJson, OffsetPointJson, ends},
        quantity::signed,
    },
    units::{Celsius, CelsiusDelta},
    workflow::history::{Desk, History, Mapped, history},
};

/// Show an oven's life: tests, readings, visits, bakes, evenness and offset over time, when to test again.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  rackshade history wall-oven\n  rackshade history wall-oven --json"
)]
pub(crate) struct HistoryArgs {
    /// The oven, by id or name.
    #[arg(value_name = "OVEN")]
    oven: String,
}

pub(crate) fn run(args: &HistoryArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, _) = session.kitchen(Access::Read)?;
    let oven = kitchen
        .find_oven(&args.oven)
        .or_trouble("OVEN", &args.oven)?;
    let life = history(
        &kitchen,
        oven,
        session.environment.now.date(),
        &Desk {
            folder: Some(kitchen.folder()),
            known: &Mapped::default(),
            progress: &|done, of| progress("tests mapped", done, of),
        },
    );
    if session.json {
        return session.answer(&form(oven, life));
    }
    let rows: Vec<Vec<String>> = life
        .moments
        .iter()
        .map(|m| {
            vec![
                m.when.strftime("%Y-%m-%d %H:%M").to_string(),
                m.what.words().to_owned(),
                m.words.clone(),
            ]
        })
        .collect();
    session.out.table(&["when", "what", ""], &rows)?;
    told(&life, oven, session)
}

fn told(life: &History, oven: &Oven, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let unit = oven.dial.unit;
    let degrees = |range| {
        let [value, lo, hi] = ends(range).map(|c| signed(unit.delta_figure(CelsiusDelta(c))));
        format!("{value} {} ({lo} to {hi})", unit.letter())
    };
    if life.mapped.points().next().is_some() {
        let rows: Vec<Vec<String>> = life
            .mapped
            .points()
            .map(|p| {
                let s = p.spread;
                vec![
                    p.when.date().to_string(),
                    p.mode.words().to_owned(),
                    unit.show(p.dial),
                    p.rack.to_string(),
                    format!("{:.1} ({:.1} to {:.1}) shades", s.value, s.lo, s.hi),
                    if p.hottest_c.lo > 0.0 {
                        format!("{} {}", p.hottest, degrees(p.hottest_c))
                    } else {
                        "none that shows".to_owned()
                    },
                ]
            })
            .collect();
        session.out.line("")?;
        let head = [
            "test",
            "mode",
            "dial",
            "rack",
            "lightest to darkest",
            "hottest",
        ];
        session.out.table(&head, &rows)?;
        for &mode in &oven.modes {
            if let Some(basis) = life.mapped.basis(mode) {
                session.out.line(format!(
                    "Degrees {} are what would brown alike, not air temperatures; they rest on {basis}.",
                    mode.phrase()
                ))?;
            }
        }
    }
    if !life.offsets.is_empty() {
        let rows: Vec<Vec<String>> = life
            .offsets
            .iter()
            .map(|p| {
                vec![
                    p.when.date().to_string(),
                    p.mode.words().to_owned(),
                    unit.show(Celsius(p.dial_c)),
                    degrees(p.offset_c),
                ]
            })
            .collect();
        session.out.line("")?;
        let head = ["readings", "mode", "dial", "thermometer minus dial"];
        session.out.table(&head, &rows)?;
    }
    session.out.line("")?;
    session.out.line(life.again.sentence())?;
    Ok(Exit::Done)
}

fn form(oven: &Oven, life: History) -> HistoryJson {
    HistoryJson {
        oven: oven.id.to_string(),
        moments: life
            .moments
            .into_iter()
            .map(|m| MomentJson {
                when: m.when.to_string(),
                what: m.what.words(),
                words: m.words,
            })
            .collect(),
        evenness: life
            .mapped
            .points()
            .map(|p| EvennessPointJson {
                when: p.when.to_string(),
                test: p.test.clone(),
                mode: p.mode.key(),
                rack: p.rack,
                spread_shade: ends(p.spread),
                sd_shade: ends(p.sd),
                sd_c: ends(p.sd_c),
                hottest: p.hottest,
                hottest_c: ends(p.hottest_c),
            })
            .collect(),
        offsets: life
            .offsets
            .into_iter()
            .map(|p| OffsetPointJson {
                when: p.when.to_string(),
                mode: p.mode.key(),
                dial_c: p.dial_c,
                offset_c: ends(p.offset_c),
            })
            .collect(),
        test_again_from: life.again.from.to_string(),
        test_again_due: life.again.due,
        test_again_why: life.again.why,
    }
}
