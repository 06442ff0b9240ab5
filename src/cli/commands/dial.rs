//! `dial`: what to set for a wanted temperature.

use crate::cli::prelude::*;
use crate::{
    model::Mode,
    report::json_readings::DialJson,
    units::Celsius,
    workflow::{ground::mode_of, readings::dial_for},
};

/// Find the dial setting for a wanted temperature from the readings.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  rackshade dial --oven wall-oven --want 350F\n  rackshade dial --oven wall-oven --want 325F --mode fan --json"
)]
pub(crate) struct DialArgs {
    /// The oven.
    #[arg(long)]
    oven: String,
    /// The temperature wanted in the oven, like 350F.
    #[arg(long, value_name = "DEGREES")]
    want: String,
    /// The mode; the oven's first one when not given.
    #[arg(long, value_parser = values::mode)]
    mode: Option<Mode>,
}

pub(crate) fn run(args: &DialArgs, session: &mut Session<'_>) -> Result<Exit, Trouble> {
    let (kitchen, warnings) = session.kitchen(Access::Read)?;
    let oven = kitchen
        .find_oven(&args.oven)
        .or_trouble("--oven", &args.oven)?;
    let unit = oven.dial.unit;
    let want = Celsius::parse(&args.want, unit).or_trouble("--want", &args.want)?;
    let mode = mode_of(oven, args.mode).or_trouble("--oven", &args.oven)?;
    let answer = dial_for(&kitchen, oven, mode, want).or_trouble("--want", &args.want)?;
    let offset = answer.offset;
    if session.json {
        return session.answer(&DialJson {
            want_c: want.0,
            set_c: answer.set.0,
            lo_c: answer.range.0.0,
            hi_c: answer.range.1.0,
            offset_c: offset.value.0,
            offset_lo_c: offset.lo.0,
            offset_hi_c: offset.hi.0,
            unit: unit.letter(),
            sure: answer.sure,
            evidence: answer.evidence,
            warnings: texts(&warnings),
        });
    }
    let out = &mut *session.out;
    out.line(format!(
        "for {} {} set {}",
        unit.show(want),
        mode.phrase(),
        answer.setting_words(unit)
    ))?;
    out.line(format!(
        "  offset   {} ({} to {})",
        unit.show_delta(offset.value),
        unit.show_delta(offset.lo),
        unit.show_delta(offset.hi)
    ))?;
    out.line(format!("  rests on {}", answer.evidence))?;
    if let Some(doubt) = answer.doubt() {
        out.line(format!("* {doubt}"))?;
    }
    Ok(Exit::Done)
}
