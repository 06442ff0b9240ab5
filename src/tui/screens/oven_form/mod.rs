//! The oven form: start from a common kind of oven, then change what is different.

mod draft;
mod rows;
mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::OvenForm;

use crate::tui::prelude::*;
use rows::Row;
use state::{Act, Form, Stage};

keys! {
    /// The keys of the template list.
    pub(crate) TEMPLATE_KEYS: Act, "New oven";
    Down => Down, "next kind", "next kind of oven";
    Up => Up, "", "kind of oven before";
    Enter => Enter, "take it", "start from this kind; every figure can be changed";
}

keys! {
    /// The keys of the form; characters go into the row that has the cursor.
    pub(crate) KEYS: Act, "Oven form";
    Enter | Tab => Enter, "next", "next row; on the last one, save";
    F2 | PageDown => Save, "save", "save the oven as it stands";
    Down => Down, "", "row down";
    Up | BackTab => Up, "", "row up";
    Left => Left, "", "choose the other, or the switch before (Space switches on and off)";
    Right => Right, "", "choose the other, or the next switch (Space switches on and off)";
}

impl Room for OvenForm {
    type Act = Act;

    fn table(&self) -> &'static Table<Act> {
        match self.stage {
            Stage::Templates { .. } => &TEMPLATE_KEYS,
            Stage::Form(_) => &KEYS,
        }
    }

    fn act(&mut self, act: Act, shared: &mut Shared) {
        self.update(act, shared);
    }

    fn title(&self, _shared: &Shared) -> String {
        match &self.stage {
            Stage::Templates { .. } => "new oven".to_owned(),
            Stage::Form(form) if form.is_new => "new oven".to_owned(),
            Stage::Form(_) => "change an oven".to_owned(),
        }
    }

    fn guide(&self, _shared: &Shared) -> String {
        match &self.stage {
            Stage::Templates { .. } => {
                "\u{2193} to the oven most like yours, then Enter".to_owned()
            }
            Stage::Form(form) if form.row == Row::Save => "Enter: save the oven".to_owned(),
            Stage::Form(_) => {
                "type what differs, Enter moves on; F2 saves when the rest is right".to_owned()
            }
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        match &self.stage {
            Stage::Templates { row } => view::templates(*row, &shared.theme, frame, body),
            Stage::Form(form) => view::form(form, &shared.theme, frame, body),
        }
    }

    fn wheel(&self) -> Option<[Act; 2]> {
        Some([Act::Up, Act::Down])
    }

    fn press(&self, _: &Shared, body: Rect, at: Position) -> Option<Act> {
        let row = match &self.stage {
            Stage::Templates { row } => list::row_at(view::template_list(body), 1, *row, at),
            Stage::Form(form) => view::row_at(form, body, at),
        };
        row.map(Act::To)
    }

    fn takes_text(&self) -> bool {
        matches!(self.stage, Stage::Form(_))
    }

    fn typed(&mut self, typed: Typed, _shared: &mut Shared) {
        if let Stage::Form(form) = &mut self.stage {
            form.typed(&typed);
        }
    }

    fn leave(&mut self, shared: &mut Shared) {
        match &mut self.stage {
            // Nothing was changed: perhaps it was the wrong kind.
            Stage::Form(form) if form.is_new && form.draft == form.before => {
                self.stage = Stage::Templates { row: form.kind };
            }
            Stage::Form(form) => {
                form.asked.pressed();
                let words = "not saved: F2 saves, Esc again leaves without saving";
                if form.draft == form.before || form.asked.is_sure(false, words, shared) {
                    shared.back();
                }
            }
            Stage::Templates { .. } => shared.back(),
        }
    }
}
