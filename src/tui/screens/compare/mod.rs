//! The compare screen: before, after and what changed, under one cursor; one key blinks between them.

mod state;
mod view;

pub(crate) use state::CompareScreen;

use crate::model::TestId;
use crate::tui::prelude::*;
use state::Act;

keys! {
    /// The keys of the compare screen.
    pub(crate) KEYS: Act, "Before and after";
    ' ' | 'b' => Blink, "before, after", "before and after in turn, in the same place";
    'c' => Change, "the change", "the change alone";
    Tab | 'n' => Rack(1), "next rack", "next rack position";
    'v' => All, "", "before, after and change side by side, where there is room";
    'p' => Pool, "", "the two tests alone, or each with all others on its side of the service visit";
    BackTab => Rack(-1), "", "previous rack position";
    Left => Move(-1, 0), "", "cursor left";
    Right => Move(1, 0), "", "cursor right";
    Up => Move(0, 1), "", "cursor towards the back wall";
    Down => Move(0, -1), "", "cursor towards the door";
}

impl Room for CompareScreen {
    as_usual!(KEYS, [Act::Rack(1), Act::Rack(-1)]);

    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        true
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self
            .oven(shared)
            .map_or_else(String::new, |o| o.name.clone());
        let days = |ids: &[TestId]| -> String {
            let tests = ids.iter().filter_map(|id| shared.kitchen.test(id));
            let days: Vec<String> = tests.map(|t| t.when.date().to_string()).collect();
            match days.as_slice() {
                [first, _, .., _] => format!("{first} and {} more", days.len() - 1),
                few => few.join(" and "),
            }
        };
        format!(
            "{name}, before {}, after {}",
            days(&self.before),
            days(&self.after)
        )
    }

    fn guide(&self, _shared: &Shared) -> String {
        match self.answer() {
            None => "the answer appears by itself in a moment".to_owned(),
            Some(Err(_)) => "Esc: back".to_owned(),
            Some(Ok(_)) => {
                "Space: before and after. c: the change. i: why, and how sure".to_owned()
            }
        }
    }

    fn verdict(&self, shared: &Shared) -> Option<String> {
        Some(self.ready()?.verdict(self.is_visited(shared)))
    }

    fn why(&self, _shared: &Shared) -> Vec<Sentence> {
        let Some(view) = self.ready() else {
            return Vec::new();
        };
        let warnings = view.warnings.iter().map(Sentence::warning);
        let findings = view.findings.iter().map(Sentence::finding);
        warnings.chain(findings).collect()
    }

    fn press(&self, shared: &Shared, body: Rect, at: Position) -> Option<Act> {
        view::hit(self, shared, body, at)
    }

    fn entered(&mut self, shared: &mut Shared) {
        // Scores may have changed since the last answer: ask again, show the old till then.
        self.ask(shared);
    }

    fn answered(&mut self, answer: &Answer, _shared: &mut Shared) {
        self.asked.settle(answer);
    }
}
