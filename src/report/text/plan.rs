//! A plan in plain characters: dial, stretches with their moves, and what other ways would give.

use super::lines::wrapped;
use crate::{
    model::{
        Mode, Oven, Plan, Tray, Yardstick,
        text::{counted, joined},
    },
    report::words::{move_words, placement_words},
    units::{LengthUnit, Minutes},
};
use std::fmt::Write as _;

/// Writes the line a plan begins with: oven, mode, kind of bake, and the trays with their size and pieces.
pub fn plan_heading(oven: &Oven, mode: Mode, kind: &str, trays: (usize, &Tray)) -> String {
    let load = load_words(kind, trays, oven.lengths);
    wrapped(
        &format!("{}, {}: {load}", oven.name, mode.words()),
        "",
        "  ",
    )
}

/// Says what is baked: `thin cookies, 1 tray of 46 cm x 33 cm, 4 x 3 pieces on each`.
pub fn load_words(kind: &str, (trays, tray): (usize, &Tray), lengths: LengthUnit) -> String {
    format!(
        "{kind}, {} of {} x {}, {} x {} pieces on each",
        counted(trays, "tray"),
        lengths.show(tray.width),
        lengths.show(tray.depth),
        tray.across,
        tray.deep
    )
}

/// Writes a time: whole minutes plainly, others as minutes and seconds, named so: `11 min`, `7:30 (min:s)`.
fn time(t: Minutes) -> String {
    let seconds = t.seconds().round();
    if seconds % 60.0 == 0.0 {
        format!("{:.0} min", seconds / 60.0)
    } else if seconds < 60.0 {
        format!("{seconds:.0} s")
    } else {
        format!(
            "{:.0}:{:02.0} (min:s)",
            (seconds / 60.0).floor(),
            seconds % 60.0
        )
    }
}

/// Writes a plan: what to set, where everything goes, what to do when, how even it comes out, and the sentences beside it.
pub fn plan_text(plan: &Plan, sentences: &[String], oven: &Oven) -> String {
    let mut out = String::new();
    out.push_str(&wrapped(
        &format!(
            "Dial at {}, bake {}",
            oven.dial.unit.show(plan.dial),
            time(plan.bake)
        ),
        "  ",
        "    ",
    ));
    for step in &plan.steps_to_dial {
        let line = format!("{}: {}", step.what, oven.dial.unit.show(step.to));
        out.push_str(&wrapped(&line, "    ", "      "));
    }
    let mut before = None;
    for segment in &plan.segments {
        let what = match before {
            None => {
                let trays = segment.trays.iter();
                joined(trays.map(|t| placement_words(t, oven.lengths)), "; ")
            }
            Some(before) => format!("open, {}", move_words(before, segment, oven.lengths)),
        };
        let line = format!(
            "{} to {}, {:.0} % of the browning: {what}",
            time(segment.from),
            time(segment.to),
            segment.share * 100.0
        );
        out.push_str(&wrapped(&line, "  ", "    "));
        before = Some(segment);
    }
    out.push_str(&yardsticks(plan));
    for sentence in sentences {
        out.push_str(&wrapped(sentence, "  * ", "    "));
    }
    out
}

/// The table of ways; nothing where no map stood behind the plan, for then nothing is known of them.
fn yardsticks(plan: &Plan) -> String {
    if !plan.evenness.is_known() {
        return String::new();
    }
    let mut out = format!(
        "  {:<26}{:>8}  {:<24}{:>13}\n",
        "way", "spread", "between", "bake"
    );
    let mut row = |name: &str, y: &Yardstick| {
        let _ = writeln!(
            out,
            "  {name:<26}{:>8.1}  {:<24}{:>13}",
            y.spread,
            format!("{:.1} to {:.1} shades", y.spread_range.0, y.spread_range.1),
            time(y.minutes),
        );
    };
    row("this plan", &plan.evenness);
    row("never moved", &plan.unturned);
    row("moved once at half-time", &plan.halfway);
    for other in &plan.alternatives {
        let openings = counted(other.openings, "opening");
        row(&format!("best with {openings}"), &other.evenness);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_name_what_stands_before_and_after_the_colon() {
        assert_eq!(time(Minutes(11.0)), "11 min");
        assert_eq!(time(Minutes(17.5)), "17:30 (min:s)");
        assert_eq!(time(Minutes(0.75)), "45 s");
        assert_eq!(time(Minutes(0.0)), "0 min");
    }
}
