//! Lay-out of a toast test: where the slices go, what to set, how long to expect, when to pull.

mod bench;
mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::LayoutScreen;

use crate::tui::prelude::*;
use bench::From;
use state::Act;

keys! {
    /// The keys of the layout screen.
    pub(crate) KEYS: Act, "Lay-out";
    Enter => Start, "start", "keep this lay-out and go to the toasting clock";
    DigitsFrom1 => Digit, "rack", "load or empty that rack position";
    Tab => Side, "slices", "from the settings to the slices and back";
    ' ' | PageDown => Next, "next", "next slice, then arrows nudge it by 1 cm";
    Backspace | PageUp => Before, "", "slice before";
    'x' => Missing, "missing", "the slice is missing, or back again";
    'a' => Extra, "add", "add a slice to this rack position";
    'o' => Other, "other", "start from the last lay-out, or from rows of as many slices as fit";
    'b' => Advised, "best", "lay the slices where the map asks for them";
    'u' => Anew, "", "undo changes by hand: start the lay-out over";
    'c' => Cautions, "cautions", "read the cautions";
    Up => Up, "", "setting above; among the slices: nudge to the back";
    Down => Down, "", "setting below; among the slices: nudge to the door";
    Left => Left, "", "less; among the slices: nudge left";
    Right => Right, "", "more; among the slices: nudge right";
}

impl Room for LayoutScreen {
    as_usual!(KEYS, [Act::Left, Act::Right]);

    fn title(&self, _shared: &Shared) -> String {
        format!("lay-out of a toast test, {}", self.bench.oven().name)
    }

    fn guide(&self, _shared: &Shared) -> String {
        if !self.bench.has_slices() {
            return "press the number of a rack position to load it with slices".to_owned();
        }
        if self.on_slices {
            return "arrows nudge the slice, x: missing, a: add; Enter: toasting clock".to_owned();
        }
        match self.bench.from() {
            From::Rows => "number keys load rack positions; Enter when the slices lie like this",
            From::Last(_) => "laid as in the last test. Enter: toast, o: other, b: best places",
            From::Advised(_) => "laid where the map asks for it. Enter: toast, o: other",
        }
        .to_owned()
    }

    fn why(&self, _shared: &Shared) -> Vec<Sentence> {
        self.bench.layout().map_or_else(
            |_no_layout| Vec::new(),
            |layout| {
                let warnings = layout.warnings.iter().map(Sentence::warning);
                let pull = Sentence::finding(&layout.pull_when);
                warnings.chain([pull]).collect()
            },
        )
    }

    fn answered(&mut self, answer: &Answer, shared: &mut Shared) {
        self.settle(answer, shared);
    }

    fn press(&self, _: &Shared, body: Rect, at: Position) -> Option<Act> {
        view::hit(self, body, at)
    }
}
