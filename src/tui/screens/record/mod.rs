//! The record of one oven: toast tests, bakes and service visits by date, newest first.

mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::Record;

use crate::tui::prelude::*;
use state::Act;

keys! {
    /// The keys of the record.
    pub(crate) KEYS: Act, "Record";
    'v' | 'n' => Visit, "note a visit", "write down a service visit";
    Enter => Open, "open", "open the map of a test, its scores where some are open, what came out of a bake, the clock of a running one, or change the visit";
    ' ' => Mark, "mark", "mark the toast test under the cursor for comparing, or take the mark off";
    'c' => Compare, "compare", "compare the two marked tests, the older as before";
    'a' => Air, "thermometer", "what the thermometer read in this oven";
    'h' => History, "history", "time line and charts: how even, how hot, how far from the dial over time";
    Up => Up, "", "row up";
    Down => Down, "", "row down";
    'w' => Paper, "", "write the card for the oven door and the technician's sheet as PDF";
}

keys! {
    /// The keys while a service visit is written; characters go into the line that has the cursor.
    pub(crate) VISIT_KEYS: Act, "Service visit";
    Enter => Keep, "keep", "keep the visit";
    Tab | Up | Down => OtherLine, "other line", "from the words to the date and back";
}

impl Room for Record {
    as_usual!();

    fn table(&self) -> &'static Table<Act> {
        match self.draft {
            Some(_) => &VISIT_KEYS,
            None => &KEYS,
        }
    }

    fn title(&self, shared: &Shared) -> String {
        let name = shared.kitchen.name_of(&self.oven);
        format!("record of {name}")
    }

    fn guide(&self, _shared: &Shared) -> String {
        match &self.draft {
            None => match self.marked.len() {
                0 => "Space: mark a test to compare. v: note a visit. h: history. w: on paper"
                    .to_owned(),
                1 => "Space: mark the other test to compare".to_owned(),
                _ => "c: compare the two marked tests".to_owned(),
            },
            Some(draft) if draft.on_day => "the day of the visit, then Enter".to_owned(),
            Some(_) => "what was done and by whom, then Enter; Tab for another day".to_owned(),
        }
    }

    fn hit(&self, shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Act> {
        if self.draft.is_some() {
            return None;
        }
        let action = match act {
            MouseAct::WheelUp => Act::Up,
            MouseAct::WheelDown => Act::Down,
            MouseAct::Drag | MouseAct::Release => return None,
            MouseAct::Press => {
                let row = ListWithDetails::row_at(body, self.row, at)?;
                if row == self.row && row < self.entries(shared).len() {
                    Act::Open
                } else {
                    Act::To(row)
                }
            }
        };
        Some(action)
    }

    fn takes_text(&self) -> bool {
        self.draft.is_some()
    }

    fn typed(&mut self, typed: Typed, _shared: &mut Shared) {
        if let Some(draft) = &mut self.draft {
            if draft.on_day {
                draft.day.typed(&typed);
            } else {
                draft.words.typed(&typed);
            }
        }
    }

    fn leave(&mut self, shared: &mut Shared) {
        if self.draft.take().is_none() {
            shared.back();
        }
    }
}
