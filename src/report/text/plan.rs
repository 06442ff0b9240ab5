//! A plan in plain characters: dial, stretches with their moves, and what other ways would give.

use super::wrapped;
use crate::{
    model::{Oven, Plan, Yardstick},
    report::words::{move_words, placement_words},
};

/// Writes a plan: what to set, where everything goes, what to do when, and how even it comes out.
pub fn plan_text(plan: &Plan, oven: &Oven) -> String {
    let mut out = String::new();
    out.push_str(&wrapped(
        &format!(
            "Dial at {}, bake {}",
            oven.dial.unit.show(plan.dial),
            plan.bake
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
                let places: Vec<String> = segment
                    .trays
                    .iter()
                    .map(|t| placement_words(t, oven.lengths))
                    .collect();
                places.join("; ")
            }
            Some(before) => format!("open, {}", move_words(before, segment, oven.lengths)),
        };
        let line = format!(
            "{} to {}, {:.0} % of the browning: {what}",
            segment.from,
            segment.to,
            segment.share * 100.0
        );
        out.push_str(&wrapped(&line, "  ", "    "));
        before = Some(segment);
    }
    out.push_str(&yardsticks(plan));
    for sentence in &plan.advice {
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
        "  {:<26}{:>8}  {:<24}{:>9}\n",
        "way", "spread", "90 % interval", "bake"
    );
    let mut row = |name: &str, y: &Yardstick| {
        out.push_str(&format!(
            "  {name:<26}{:>8.1}  {:<24}{:>9}\n",
            y.spread,
            format!("{:.1} to {:.1} shades", y.spread_range.0, y.spread_range.1),
            y.minutes.to_string(),
        ));
    };
    row("this plan", &plan.evenness);
    row("never moved", &plan.unturned);
    row("moved once at half-time", &plan.halfway);
    for other in &plan.alternatives {
        let plural = if other.openings == 1 { "" } else { "s" };
        row(
            &format!("best with {} opening{plural}", other.openings),
            &other.evenness,
        );
    }
    out
}
