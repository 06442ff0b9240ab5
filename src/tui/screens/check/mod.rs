//! A quick check: a few slices where they tell most, and whether the oven is still the one on record.

mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::CheckScreen;

use crate::tui::prelude::*;
use state::Act;

keys! {
    /// The keys where the slices of a quick check are laid.
    pub(crate) KEYS: Act, "Quick check";
    Enter => Start, "start", "keep these places and go to the toasting clock";
    '+' | Right => Count(1), "more", "one slice more, 8 at most";
    '-' | Left => Count(-1), "fewer", "one slice fewer, 3 at least";
    DigitsFrom1 => Rack, "rack", "load or empty that rack position";
    Down => Mode(1), "mode", "another way of heating";
    Up => Mode(-1), "", "the way of heating before";
    'c' => Cautions, "cautions", "read the cautions";
}

keys! {
    /// The keys where a quick check says what it found.
    pub(crate) ANSWER_KEYS: Act, "What a quick check says";
    Enter | 'm' => Map, "map", "see the map of these slices";
    't' => Test, "full test", "lay out a whole toast test";
    'r' => Record, "record", "note the change in the oven's record (v there)";
    's' => Score, "score", "look at the scores again";
}

impl Room for CheckScreen {
    as_usual!();

    fn table(&self) -> &'static Table<Act> {
        if self.test.is_some() {
            &ANSWER_KEYS
        } else {
            &KEYS
        }
    }

    fn title(&self, _shared: &Shared) -> String {
        format!("quick check, {}", self.oven.name)
    }

    fn guide(&self, shared: &Shared) -> String {
        if self.test.is_some() {
            return match self.answer.held() {
                _ if self.answer.is_waiting() => "comparing with the earlier tests".to_owned(),
                Some(Ok(_)) => "Enter: map, t: full test, r: record".to_owned(),
                Some(Err(_)) | None => "s: back to the scores".to_owned(),
            };
        }
        let _ = shared;
        if self.racks.as_ref().is_some_and(Vec::is_empty) {
            return "press the number of a rack position to load it".to_owned();
        }
        "Enter when the slices lie so; + and -: how many, numbers: racks".to_owned()
    }

    fn entered(&mut self, shared: &mut Shared) {
        self.ask(shared);
    }

    fn answered(&mut self, answer: &Answer, shared: &mut Shared) {
        self.settle(answer, shared);
    }
}
