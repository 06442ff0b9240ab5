//! `compare`: before and after, from stored tests or from two files of samples.

use crate::cli::prelude::*;
use crate::{
    cli::values::cavity_cm,
    model::{Oven, TestId},
    report::{
        Quantity,
        json_compare::CompareJson,
        text::{CompareSheet, compare_text},
    },
    workflow::{
        compare::{CompareView, Pooling, TestGroup, compare_samples, compare_tests, sides},
        samples::read_samples_file,
    },
};
use std::path::PathBuf;

/// Compare an oven before and after a visit, a move, or a change of habit.
#[derive(Debug, Args)]
#[command(
    after_help = "Where a service visit lies between two tests, each stands for all tests in its mode on its side of the visit; --alone sets\njust the two against each other. Ids with commas between them count together. Files of samples are as for `map`.\n\nExamples:\n  rackshade compare 2026-03-07-wall-oven 2026-04-10-wall-oven\n  rackshade compare 2026-03-07-wall-oven 2026-04-10-wall-oven,2026-04-11-wall-oven --json\n  rackshade compare --samples before.csv after.csv --width-cm 63.5 --depth-cm 48.3 --json"
)]
pub(crate) struct CompareArgs {
    /// The toast test before, or several with commas between.
    #[arg(conflicts_with = "samples")]
    before: Option<String>,
    /// The toast test after, or several with commas between.
    #[arg(conflicts_with = "samples")]
    after: Option<String>,
    /// Compare just the tests named, without those beside them on the same side of the visit.
    #[arg(long, conflicts_with = "samples")]
    alone: bool,
    /// Two CSV files of samples, before and after.
    #[arg(
        long,
        num_args = 2,
        value_names = ["BEFORE", "AFTER"],
        requires = "width_cm",
        requires = "depth_cm"
    )]
    samples: Option<Vec<PathBuf>>,
    /// Cavity width for the samples, left wall to right wall, cm.
    #[arg(long, value_name = "CM", requires = "samples", value_parser = cavity_cm)]
    width_cm: Option<f64>,
    /// Cavity depth for the samples, door to back wall, cm.
    #[arg(long, value_name = "CM", requires = "samples", value_parser = cavity_cm)]
    depth_cm: Option<f64>,
    /// Cells along the door x front to back.
    #[arg(long, value_name = "CxR", default_value = "48x36", value_parser = values::grid)]
    grid: (usize, usize),
}

pub(crate) fn run(args: &CompareArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let view = match (&args.samples, args.width_cm, args.depth_cm) {
        (Some(files), Some(width), Some(depth)) => of_samples(args, files, (width, depth))?,
        _ => of_tests(args, session)?,
    };
    if session.json {
        let warnings = texts(&view.warnings);
        session.out.json(&CompareJson::new(
            &view.comparison,
            &view.tests,
            (&view.findings, warnings),
        ))?;
    } else {
        let sheet = CompareSheet {
            comparison: &view.comparison,
            tests: &view.tests,
            findings: &view.findings,
            warnings: &view.warnings,
            quantity: Quantity::degrees(view.unit, &view.sensitivity),
        };
        session.out.text(&compare_text(&sheet))?;
    }
    Ok(Exit::Done)
}

fn of_samples(
    args: &CompareArgs,
    files: &[PathBuf],
    size: (f64, f64),
) -> Result<CompareView, Trouble> {
    let read = |path: &PathBuf| {
        read_samples_file(path, size.0, size.1).or_trouble("--samples", path.display())
    };
    let [before, after] = files else {
        return Err(Trouble::user(
            "a comparison needs two files of samples; give --samples BEFORE AFTER",
        ));
    };
    let both = format!("{} {}", before.display(), after.display());
    compare_samples(&read(before)?, &read(after)?, size, args.grid).or_trouble("--samples", both)
}

fn of_tests(args: &CompareArgs, session: &mut Session<'_>) -> Result<CompareView, Trouble> {
    let (kitchen, _) = session.kitchen(Access::Read)?;
    let (Some(before), Some(after)) = (&args.before, &args.after) else {
        return Err(Trouble::user(format!(
            "a comparison needs two tests, BEFORE and AFTER; {}",
            kitchen.known_tests()
        )));
    };
    let (one, before_ids) = group(&kitchen, before)?;
    let (other, after_ids) = group(&kitchen, after)?;
    let pooling = if args.alone {
        Pooling::Alone
    } else {
        Pooling::Beside
    };
    let (first, second) = sides(&kitchen, (&before_ids, &after_ids), pooling);
    let side = |oven, tests| TestGroup { oven, tests };
    compare_tests(side(one, &first), side(other, &second), args.grid)
        .or_trouble("compare", format!("{before} {after}"))
}

/// Finds the tests of one side and the oven of the first.
fn group<'k>(kitchen: &'k Kitchen, ids: &str) -> Result<(&'k Oven, Vec<TestId>), Trouble> {
    let tests = ids
        .split(',')
        .map(|id| kitchen.find_test(id.trim()).or_trouble("test", id))
        .collect::<Result<Vec<_>, _>>()?;
    let twice = (1..tests.len()).find(|i| tests[..*i].iter().any(|t| t.id == tests[*i].id));
    if let Some(i) = twice {
        let why = format!("test '{}' is named twice; name each test once", tests[i].id);
        return Err(Trouble::user(why).with("test", ids));
    }
    let first = tests
        .first()
        .ok_or_else(|| Trouble::user("no test was named; give the id of one"))?;
    let oven = kitchen
        .find_oven(first.setup.oven.as_str())
        .or_trouble("test", ids)?;
    Ok((oven, tests.iter().map(|t| t.id.clone()).collect()))
}
