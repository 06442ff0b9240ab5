//! `line`: a straight line through points, with everything that says how sure it is.

use crate::cli::prelude::*;
use crate::{
    report::json_readings::LineJson,
    workflow::readings::{line_through, read_points_file},
};
use std::path::PathBuf;

/// Fit a straight line to points, with standard errors and prediction.
#[derive(Debug, Args)]
#[command(
    after_help = "The file has the columns x,y and, where each point has its own standard error, sd.\n\nExamples:\n  rackshade line --csv points.csv --at 350\n  rackshade line --csv correction.csv --origin 20 --at 30 --json"
)]
pub(crate) struct LineArgs {
    /// The file of points.
    #[arg(long, value_name = "FILE")]
    csv: PathBuf,
    /// Predict y here.
    #[arg(long, value_name = "X", allow_negative_numbers = true, value_parser = number)]
    at: Option<f64>,
    /// Take the intercept at this x instead of at 0.
    #[arg(long, value_name = "X", default_value_t = 0.0, allow_negative_numbers = true, value_parser = number)]
    origin: f64,
}

fn number(text: &str) -> Result<f64, ValueError> {
    text.trim()
        .parse()
        .ok()
        .filter(|v: &f64| v.abs() <= 1e12)
        .ok_or(ValueError::Number)
}

pub(crate) fn run(args: &LineArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let path = args.csv.display();
    let points = read_points_file(&args.csv).or_trouble("--csv", &path)?;
    let line = line_through(&points, args.origin).or_trouble("--csv", &path)?;
    if session.json {
        session.out.json(&LineJson::new(&line, args.at))?;
        return Ok(Exit::Done);
    }
    let (a, b) = line.sds();
    let out = &mut *session.out;
    out.line(format!(
        "y = {} + {} (x - {})",
        line.intercept, line.slope, line.origin
    ))?;
    let correlation = line.correlation();
    let correlation = correlation.map_or_else(String::new, |r| format!(", correlation {r:.4}"));
    out.line(format!("  standard errors {a} and {b}{correlation}"))?;
    out.line(format!(
        "  {} points, residual standard deviation {}",
        line.points, line.residual_sd
    ))?;
    if let Some(x) = args.at {
        let there = line.at(x);
        let (lo, hi) = there.interval(0.95);
        out.line(format!(
            "  at {x}: {}, standard error {}, 95 % interval {lo} to {hi}",
            there.value, there.sd
        ))?;
    }
    Ok(Exit::Done)
}
