//! A plan with what is to be said beside it.

use super::measured::Measured;
use crate::{
    model::{Oven, Plan, Segment, TrayPlacement, Warning},
    units::Minutes,
};

/// The shade expected of every piece, as dark on the whole as the toast test was: tray by tray, row by row from the back.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Expected {
    /// At the end of each segment of the plan.
    pub after: Vec<Vec<f64>>,
    /// At the end, were no tray ever moved.
    pub unturned: Vec<f64>,
    /// At the end, were every tray turned, and the racks swapped, at half the time.
    pub halfway: Vec<f64>,
}

/// Pieces this far apart, lightest to darkest, are not said to need no turning, shades: a step of the card.
pub(super) const UNEVEN: f64 = 1.0;

/// A plan just made. Only the plan itself is kept with a bake: the rest is worked out again when it is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// Placements, moves, dial and minutes.
    pub plan: Plan,
    /// What stands against trusting it, weightiest first.
    pub warnings: Vec<Warning>,
    /// Sentences: what it rests on, what is not worth doing, what to leave empty.
    pub advice: Vec<String>,
    /// What a thermometer has told of the oven, as far as the plan rests on it.
    pub measured: Measured,
    /// What is expected of every piece; `None` where no map stood behind the plan.
    pub expected: Option<Expected>,
    /// Whether opening the door was weighed against leaving it shut: there were openings to spend, time, and a map.
    pub is_weighed: bool,
    /// Those of the sentences that hold for every load alike: the dial, and until when the door stays shut.
    pub of_every_load: Vec<String>,
    /// What the same load takes where another one was in before it.
    pub next: NextLoad,
}

/// A load that follows another: by the door figures that the plan itself counts with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextLoad {
    /// How long the door stands open to put it in, or to take it out.
    pub handling: Minutes,
    /// How long the air takes to come back when it is out.
    pub wait: Minutes,
    /// What it takes in the oven then.
    pub bake: Minutes,
}

impl Planned {
    /// Says what to do, in a dozen words: which rack, when to open the door for what, and what to set.
    pub fn verdict(&self, oven: &Oven) -> String {
        let plan = &self.plan;
        let set = format!("Set {}.", oven.dial.unit.show(plan.dial));
        let Some(first) = plan.segments.first() else {
            return set;
        };
        let mut racks: Vec<u8> = first.trays.iter().map(|t| t.rack).collect();
        racks.sort_unstable();
        let names: Vec<String> = racks.iter().map(u8::to_string).collect();
        // Where several trays move, their racks are drawn: the line has room for a dozen words.
        let place = match (names.as_slice(), plan.segments.len()) {
            ([one], 1) => format!("Use rack {one}. "),
            ([one], _) => format!("Rack {one}. "),
            (several, 1) => format!("Use racks {}. ", several.join(" and ")),
            (_, _) => String::new(),
        };
        let bake = plan.bake;
        let moves = match plan.segments.as_slice() {
            [_] if !self.is_weighed => "The door stays shut.".to_owned(),
            [_] if plan.evenness.is_known() && plan.evenness.spread >= UNEVEN => {
                "No turn evens it out.".to_owned()
            }
            [_] if racks.len() == 1 => "Nothing needs turning.".to_owned(),
            [_] => "Nothing needs moving.".to_owned(),
            [before, after] => {
                let verb = short_move(before, after);
                format!("{verb} at {} of {bake}.", figure(after.from))
            }
            [_, rest @ ..] => {
                let times: Vec<String> = rest.iter().map(|s| figure(s.from)).collect();
                format!("Open at {} of {bake}.", times.join(" and "))
            }
            [] => String::new(),
        };
        format!("{place}{moves} {set}")
    }

    /// Returns every sentence, the warnings first and marked as such.
    pub fn sentences(&self) -> Vec<String> {
        let careful = self.warnings.iter().map(|w| {
            let said = w.to_string();
            let stop = if said.ends_with('?') { "" } else { "." };
            format!("Careful: {said}{stop}")
        });
        careful.chain(self.advice.iter().cloned()).collect()
    }
}

/// Says what is done at an opening in a word or two: `Swap and turn`, `Turn`, `Shift`.
fn short_move(before: &Segment, after: &Segment) -> String {
    let pairs: Vec<_> = after
        .trays
        .iter()
        .filter_map(|t| Some((before.trays.iter().find(|b| b.tray == t.tray)?, t)))
        .collect();
    let any = |changed: fn(&TrayPlacement, &TrayPlacement) -> bool| {
        pairs.iter().any(|(b, a)| changed(b, a))
    };
    let mut verbs = Vec::new();
    if any(|b, a| b.rack != a.rack) {
        verbs.push("swap");
    }
    if any(|b, a| b.turned != a.turned) {
        verbs.push("turn");
    }
    if verbs.is_empty() {
        verbs.push("shift");
    }
    let words = verbs.join(" and ");
    let (first, rest) = words.split_at(1);
    first.to_uppercase() + rest
}

/// Writes minutes without their unit: `9`, `9:30`.
fn figure(at: Minutes) -> String {
    at.to_string().trim_end_matches(" min").to_owned()
}
