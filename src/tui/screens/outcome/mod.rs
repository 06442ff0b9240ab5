//! What came out of the oven, piece by piece: scored by keys, and held against what the plan expected.

mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::Outcome;

use crate::tui::prelude::*;
use crate::workflow::{after::compare, catalogue::bake_name};
use state::Act;

keys! {
    /// The keys of the screen.
    pub(crate) KEYS: Act, "What came out";
    Digits => Shade, "shade", "the shade of the piece under the cursor";
    '+' | '.' => Half, "half", "put half a step on the piece scored last, or take it off again";
    's' | ' ' => Skip, "skip", "leave the piece unscored";
    'u' | Backspace => Undo, "undo", "take the last score back";
    Left => Move(-1, 0), "", "piece to the left";
    Right => Move(1, 0), "", "piece to the right";
    Up => Move(0, -1), "", "piece behind";
    Down => Move(0, 1), "", "piece in front";
    Tab | 't' => OtherTray, "next tray", "the next tray";
    '>' => Wanted(1), "meant darker", "the shade it was meant to have: half a step darker";
    '<' => Wanted(-1), "", "the shade it was meant to have: half a step lighter";
    'm' => AskMap, "check the map", "ask all bakes like this one whether the map is off";
    'f' => Fold, "count for the map", "let what came out count for the oven's map, or no longer";
}

impl Room for Outcome {
    as_usual!(KEYS);

    fn title(&self, shared: &Shared) -> String {
        let name = shared.kitchen.name_of(&self.bake.oven);
        format!(
            "what came out, {}, {name}, {}",
            bake_name(&self.bake.plan),
            self.bake.started.date()
        )
    }

    fn guide(&self, _shared: &Shared) -> String {
        let (tray, row, col) = self.at();
        if self.is_full() {
            return "every piece is scored. m: check the map. Esc: back".to_owned();
        }
        format!(
            "shade of tray {tray}, row {} from the back, column {}: 0 to 9. Esc: back",
            row + 1,
            col + 1
        )
    }

    fn verdict(&self, _shared: &Shared) -> Option<String> {
        compare(&self.bake).ok().map(|after| after.verdict())
    }

    fn why(&self, _shared: &Shared) -> Vec<Sentence> {
        compare(&self.bake).map_or_else(
            |_too_little| Vec::new(),
            |after| after.why().into_iter().map(Sentence::finding).collect(),
        )
    }

    fn press(&self, _: &Shared, body: Rect, at: Position) -> Option<Act> {
        view::piece_at(self, body, at).map(|(row, col)| Act::To(row, col))
    }

    fn answered(&mut self, answer: &Answer, _shared: &mut Shared) {
        self.asked.settle(answer);
    }
}
