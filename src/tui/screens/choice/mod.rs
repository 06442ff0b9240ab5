//! Which oven, which mode, which rack position: the ways on record to do the bake of a plan, ranked.

mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::ChoiceScreen;

use crate::model::text::counted;
use crate::tui::prelude::*;
use crate::workflow::choice::choices;
use state::Act;

keys! {
    /// The keys of the list.
    pub(crate) KEYS: Act, "Where to bake";
    Enter => Take, "plan on it", "plan on the way under the cursor";
    Up => Go(-1), "", "row up";
    Down => Go(1), "", "row down";
}

impl Room for ChoiceScreen {
    as_usual!(KEYS, [Act::Go(-1), Act::Go(1)]);

    fn title(&self, _shared: &Shared) -> String {
        let trays = counted(self.request.trays, "tray");
        format!("where to bake {}, {trays}", self.request.kind.name)
    }

    fn guide(&self, _shared: &Shared) -> String {
        match self.found() {
            Some(_) => "up, down: row. Enter: plan on that rack".to_owned(),
            None => "every oven, mode and rack on record is being weighed; a moment".to_owned(),
        }
    }

    fn press(&self, _: &Shared, body: Rect, at: Position) -> Option<Act> {
        let row = ListWithDetails::row_at(body, self.row, at)?;
        (row < self.count()).then_some(Act::To(row))
    }

    fn entered(&mut self, shared: &mut Shared) {
        let records = shared.kitchen.snapshot();
        let (request, today) = (self.request.clone(), shared.now.date());
        self.asked.ask(shared, Lane::Quick, move || {
            Ok(choices(&records, &request, today))
        });
    }

    fn answered(&mut self, answer: &Answer, _shared: &mut Shared) {
        self.asked.settle(answer);
    }
}
