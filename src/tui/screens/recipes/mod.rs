//! The baker's own recipes: the list, and the form of one.

mod form;
mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::RecipesScreen;

use crate::tui::prelude::*;
use state::{Act, Stage};

keys! {
    /// The keys of the list of recipes.
    pub(crate) KEYS: Act, "Recipes";
    Enter => Enter, "change", "change the recipe under the cursor";
    'n' => New, "new recipe", "write down a recipe";
    'p' => Plan, "plan", "plan it in the kitchen's chosen oven";
    'w' => Where, "where", "rank the ovens, modes and rack positions on record for it";
    'x' => SetAside, "", "set the recipe aside (kept in the data folder, press twice)";
    'u' | Backspace => Undo, "", "take back the last recipe set aside";
    Up => Go(-1), "", "row up";
    Down => Go(1), "", "row down";
}

keys! {
    /// The keys of the form; characters go into the row that has the cursor.
    pub(crate) FORM_KEYS: Act, "Recipe form";
    Enter | Tab => Enter, "next", "next row; on the last one, save";
    F2 | PageDown => Save, "save", "save the recipe as it stands";
    Down => Go(1), "", "row down";
    Up | BackTab => Go(-1), "", "row up";
    Left => Choose(-1), "", "the choice before";
    Right => Choose(1), "", "the next choice (Space too)";
}

impl Room for RecipesScreen {
    type Act = Act;

    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        matches!(self.stage, Stage::List)
    }

    fn table(&self) -> &'static Table<Act> {
        match self.stage {
            Stage::List => &KEYS,
            Stage::Form(_) => &FORM_KEYS,
        }
    }

    fn act(&mut self, act: Act, shared: &mut Shared) {
        self.update(act, shared);
    }

    fn title(&self, shared: &Shared) -> String {
        match (&self.stage, shared.kitchen.recipes().len()) {
            (Stage::Form(form), _) if form.is_new() => "new recipe".to_owned(),
            (Stage::Form(_), _) => "change a recipe".to_owned(),
            (Stage::List, 0) => "recipes".to_owned(),
            (Stage::List, 1) => "1 recipe".to_owned(),
            (Stage::List, n) => format!("{n} recipes"),
        }
    }

    fn guide(&self, shared: &Shared) -> String {
        match &self.stage {
            Stage::Form(_) => "type what it says, Enter moves on; F2 saves it".to_owned(),
            Stage::List if shared.kitchen.recipes().is_empty() => {
                "n: write down your first recipe".to_owned()
            }
            Stage::List => match self.oven(shared) {
                Some(oven) => format!("p: plan it in {}; Enter: change it", oven.name),
                None => "Enter: change it; n: write down another".to_owned(),
            },
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        match &self.stage {
            Stage::List => view::list(self, shared, frame, body),
            Stage::Form(form) => view::form(form, &shared.theme, frame, body),
        }
    }

    fn wheel(&self) -> Option<[Act; 2]> {
        Some([Act::Go(-1), Act::Go(1)])
    }

    fn press(&self, shared: &Shared, body: Rect, at: Position) -> Option<Act> {
        match &self.stage {
            Stage::List => {
                let row = ListWithDetails::row_at(body, self.row, at)?;
                (row < shared.kitchen.recipes().len()).then_some(Act::To(row))
            }
            Stage::Form(_) => view::form_row_at(body, at).map(Act::To),
        }
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
            Stage::Form(form) => {
                if form.may_leave(shared) {
                    self.stage = Stage::List;
                }
            }
            Stage::List => shared.back(),
        }
    }
}
