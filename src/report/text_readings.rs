//! The thermometer's figures in plain words and characters.

use super::{
    json_readings::{LEVEL, SettingParts},
    quantity::signed,
};
use crate::{
    calibration::{Estimate, Preheat, Recovery},
    model::{Mode, Oven, text::counted},
    units::{CelsiusDelta, Minutes, TemperatureUnit},
};
use std::fmt::Write;

/// Writes the line above a summary.
pub fn summary_heading(oven: &Oven, mode: Mode) -> String {
    format!("{}, {}: thermometer readings\n", oven.name, mode.words())
}

/// Writes the figures of one setting, one to a line, with their intervals.
pub fn summary_text(p: &SettingParts<'_>, unit: TemperatureUnit) -> String {
    let mut out = format!(
        "dial at {} ({}, {})\n",
        unit.show(p.dial),
        counted(p.readings, "reading"),
        p.rests_on
    );
    let mut line = |name: &str, text: String| {
        writeln!(out, "  {name:<9} {text}").unwrap_or_default();
    };
    if let Some(offset) = &p.offset {
        line(
            "offset",
            format!("{} thermometer minus dial", delta_range(offset, unit)),
        );
    }
    if let Some(swing) = &p.swing {
        line("swing", swing_words(swing, p.cycle.as_ref(), unit));
    }
    if let Some(preheat) = p.preheat {
        line("preheat", preheat_words(preheat, unit));
    }
    for door in &p.doors {
        line("door", door_words(door, unit));
    }
    out
}

/// Writes how far and how often the air swings: `20 F or more from peak to peak, a cycle every 8 min`.
///
/// A thermometer flattens a swing, and readings apart from each other miss its peaks: the lower end is what is sure.
pub fn swing_words(swing: &Estimate, cycle: Option<&Estimate>, unit: TemperatureUnit) -> String {
    let every = cycle
        .map(|c| format!(", a cycle every {}", Minutes(c.value / 60.0)))
        .unwrap_or_default();
    format!("{} from peak to peak{every}", at_least(swing, unit))
}

/// Writes the lower end of a swing's 90 % interval: `20 F or more`.
pub fn at_least(swing: &Estimate, unit: TemperatureUnit) -> String {
    let least = CelsiusDelta(swing.interval(LEVEL).0.max(0.0));
    format!("{:.0} {} or more", unit.delta_figure(least), unit.letter())
}

/// Writes a difference with its 90 % interval: `-12 F (-15 to -9 F)`.
pub fn delta_range(e: &Estimate, unit: TemperatureUnit) -> String {
    let (lo, hi) = e.interval(LEVEL);
    let figure = |c: f64| signed(unit.delta_figure(CelsiusDelta(c)));
    format!(
        "{} ({} to {} {})",
        unit.show_delta(CelsiusDelta(e.value)),
        figure(lo),
        figure(hi),
        unit.letter()
    )
}

/// Writes what a preheat showed.
pub fn preheat_words(p: &Preheat, unit: TemperatureUnit) -> String {
    let over = if p.overshoot > 0.0 {
        format!(
            "shoots {:.0} {} over its swing",
            unit.delta_figure(CelsiusDelta(p.overshoot)),
            unit.letter()
        )
    } else {
        "no overshoot that shows".to_owned()
    };
    format!(
        "{} at the signal, holds {} after it, {over}",
        unit.show_delta(CelsiusDelta(p.at_signal)),
        Minutes(p.ready_after / 60.0),
    )
}

/// Writes what an opening showed.
pub fn door_words(d: &Recovery, unit: TemperatureUnit) -> String {
    let figure = |c: f64| unit.delta_figure(CelsiusDelta(c));
    let (drop_lo, drop_hi) = d.drop_interval(LEVEL);
    let (tau_lo, tau_hi) = d.tau_interval(LEVEL);
    format!(
        "falls {:.0} {} ({:.0} to {:.0}), two thirds of it back after {:.0} s ({:.0} to {:.0})",
        figure(d.drop.value),
        unit.letter(),
        figure(drop_lo),
        figure(drop_hi),
        d.tau.value,
        tau_lo,
        tau_hi
    )
}
