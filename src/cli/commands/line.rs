//! `line`: a straight line through points, with everything that says how sure it is.

use crate::cli::prelude::*;
use crate::{
    model::text::counted,
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
    #[arg(long, value_name = "X", value_parser = values::figure)]
    at: Option<f64>,
    /// Take the intercept at this x instead of at 0.
    #[arg(long, value_name = "X", default_value_t = 0.0, value_parser = values::figure)]
    origin: f64,
}

/// Writes a figure to six digits, without needless zeros.
fn shown(figure: f64) -> String {
    let rounded = format!("{figure:.5e}").parse().unwrap_or(figure);
    rounded.to_string()
}

pub(crate) fn run(args: &LineArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let path = args.csv.display();
    let points = read_points_file(&args.csv).or_trouble("--csv", &path)?;
    let line = line_through(&points, args.origin).or_trouble("--csv", &path)?;
    if session.json {
        return session.answer(&LineJson::new(&line, args.at));
    }
    let (a, b) = line.sds();
    let out = &mut *session.out;
    out.line(format!(
        "y = {} + {} (x - {})",
        shown(line.intercept),
        shown(line.slope),
        line.origin
    ))?;
    let correlation = line.correlation();
    let correlation = correlation.map_or_else(String::new, |r| format!(", correlation {r:.4}"));
    out.line(format!(
        "  standard errors {} and {}{correlation}",
        shown(a),
        shown(b)
    ))?;
    out.line(format!(
        "  {}, scatter about the line {}",
        counted(line.points, "point"),
        shown(line.residual_sd)
    ))?;
    if let Some(x) = args.at {
        let there = line.at(x);
        let (lo, hi) = there.interval(0.95);
        out.line(format!(
            "  at {x}: {}, standard error {}, 95 % interval {} to {}",
            shown(there.value),
            shown(there.sd),
            shown(lo),
            shown(hi)
        ))?;
    }
    Ok(Exit::Done)
}
