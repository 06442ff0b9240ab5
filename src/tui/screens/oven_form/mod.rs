//! The oven form: start from a common kind of oven, then change what is different.

mod draft;
mod rows;
#[cfg(test)]
mod tests;
mod view;

use super::{Screen, ScreenState, layout::LayoutScreen};
use crate::workflow::{catalogue::oven_templates, describe::check_beside};
use crate::{
    model::{HeatSource, Mode, Oven},
    tui::{
        action::{Action, Typed},
        app::Shared,
        effect::{Effect, Save},
        event::MouseAct,
        keys::{Binding, Key, Scope},
        widgets::list,
    },
};
use draft::Draft;
use ratatui::{
    Frame,
    layout::{Position, Rect},
};
use rows::{Kind, Row};

/// What can be done in the oven form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OvenAction {
    /// Row up.
    Up,
    /// Row down.
    Down,
    /// Jump to a row.
    To(usize),
    /// Take the template, move on to the next row, or save on the last one.
    Enter,
    /// Choose, or move among switches, to the left.
    Left,
    /// Choose, or move among switches, to the right.
    Right,
    /// Save the oven from any row.
    Save,
}

/// The keys of the template list.
pub const TEMPLATE_KEYS: &[Binding] = &[
    Binding {
        keys: &[Key::Down],
        action: Action::Oven(OvenAction::Down),
        hint: "next kind",
        help: "next kind of oven",
    },
    Binding {
        keys: &[Key::Up],
        action: Action::Oven(OvenAction::Up),
        hint: "",
        help: "kind of oven before",
    },
    Binding {
        keys: &[Key::Enter],
        action: Action::Oven(OvenAction::Enter),
        hint: "take it",
        help: "start from this kind; every figure can be changed",
    },
];

/// The keys of the form; characters go into the row that has the cursor.
pub const KEYS: &[Binding] = &[
    Binding {
        keys: &[Key::Enter, Key::Tab],
        action: Action::Oven(OvenAction::Enter),
        hint: "next",
        help: "next row; on the last one, save",
    },
    Binding {
        keys: &[Key::Function(2), Key::PageDown],
        action: Action::Oven(OvenAction::Save),
        hint: "save",
        help: "save the oven as it stands",
    },
    Binding {
        keys: &[Key::Down],
        action: Action::Oven(OvenAction::Down),
        hint: "",
        help: "row down",
    },
    Binding {
        keys: &[Key::Up, Key::BackTab],
        action: Action::Oven(OvenAction::Up),
        hint: "",
        help: "row up",
    },
    Binding {
        keys: &[Key::Left],
        action: Action::Oven(OvenAction::Left),
        hint: "",
        help: "choose the other, or the switch before (Space switches on and off)",
    },
    Binding {
        keys: &[Key::Right],
        action: Action::Oven(OvenAction::Right),
        hint: "",
        help: "choose the other, or the next switch (Space switches on and off)",
    },
];

#[derive(Debug)]
enum Stage {
    /// Choosing a kind of oven.
    Templates { row: usize },
    /// Filling in.
    Form(Box<Form>),
}

#[derive(Debug)]
struct Form {
    draft: Draft,
    before: Draft,
    /// The oven has no id yet.
    is_new: bool,
    /// Row of the kind it started from.
    kind: usize,
    row: Row,
    /// Which switch of the row has the cursor.
    switch: usize,
    /// Escape was pressed once over unsaved changes.
    leaving: bool,
}

/// The state of the oven form.
#[derive(Debug)]
pub struct OvenForm {
    stage: Stage,
}

impl OvenForm {
    /// Opens the list of common kinds for a new oven.
    pub(crate) fn templates(_shared: &Shared) -> Self {
        Self {
            stage: Stage::Templates { row: 0 },
        }
    }

    /// Opens the form over a known oven.
    pub(crate) fn edit(oven: &Oven) -> Self {
        Self {
            stage: Stage::Form(Box::new(Form::new(oven, false, 0))),
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: OvenAction, shared: &mut Shared) -> Vec<Effect> {
        match &mut self.stage {
            Stage::Templates { row } => {
                let count = oven_templates().len();
                match action {
                    OvenAction::Up | OvenAction::Left => *row = list::step(*row, -1, count),
                    OvenAction::Down | OvenAction::Right => *row = list::step(*row, 1, count),
                    OvenAction::To(to) if to != *row => *row = list::step(to, 0, count),
                    OvenAction::To(_) | OvenAction::Enter | OvenAction::Save => {
                        if let Some(template) = oven_templates().get(*row) {
                            let mut oven = template.oven.clone();
                            oven.name.clone_from(&template.name);
                            self.stage = Stage::Form(Box::new(Form::new(&oven, true, *row)));
                        }
                    }
                }
                Vec::new()
            }
            Stage::Form(form) => form.update(action, shared),
        }
    }
}

impl Form {
    fn new(oven: &Oven, is_new: bool, kind: usize) -> Self {
        let draft = Draft::of(oven);
        Self {
            before: draft.clone(),
            draft,
            is_new,
            kind,
            row: Row::Name,
            switch: 0,
            leaving: false,
        }
    }

    fn update(&mut self, action: OvenAction, shared: &mut Shared) -> Vec<Effect> {
        self.leaving = false;
        match action {
            OvenAction::Up => self.go(list::step(self.row.index(), -1, Row::ALL.len())),
            OvenAction::Down => self.go(list::step(self.row.index(), 1, Row::ALL.len())),
            OvenAction::To(row) if row == self.row.index() && self.row == Row::Save => {
                return self.save(shared);
            }
            OvenAction::To(row) => self.go(row),
            OvenAction::Left => self.sideways(-1),
            OvenAction::Right => self.sideways(1),
            OvenAction::Enter if self.row == Row::Save => return self.save(shared),
            OvenAction::Enter => self.go(self.row.index() + 1),
            OvenAction::Save => return self.save(shared),
        }
        Vec::new()
    }

    fn go(&mut self, to: usize) {
        if let Some(row) = Row::ALL.get(to) {
            self.row = *row;
            self.switch = 0;
            self.draft.arrive(*row);
        }
    }

    fn sideways(&mut self, by: isize) {
        match self.row.kind() {
            Kind::Choice => self.choose(),
            Kind::Switches => {
                let count = if self.row == Row::Heat {
                    HeatSource::ALL.len()
                } else {
                    Mode::ALL.len()
                };
                self.switch = list::step(self.switch, by, count);
            }
            Kind::Text | Kind::Button => {}
        }
    }

    fn choose(&mut self) {
        if self.row == Row::Lengths {
            self.draft.switch_lengths();
        } else {
            self.draft.switch_degrees();
        }
    }

    fn typed(&mut self, typed: &Typed) {
        self.leaving = false;
        match (self.row.kind(), typed) {
            (Kind::Text, _) => self.draft.typed(self.row, typed),
            (Kind::Choice, Typed::Char(' ')) => self.choose(),
            (Kind::Switches, Typed::Char(' ')) => self.draft.switch(self.row, self.switch),
            (Kind::Choice | Kind::Switches | Kind::Button, _) => {}
        }
    }

    fn save(&mut self, shared: &mut Shared) -> Vec<Effect> {
        match self.draft.build() {
            Err((row, words)) => {
                self.go(row.index());
                shared.say(format!("not saved yet: {words}"));
                Vec::new()
            }
            Ok(mut oven) => {
                if self.is_new {
                    oven.id = shared.kitchen.fresh_oven_id(&oven.name);
                }
                if let Err(wrong) = check_beside(&shared.kitchen, &oven) {
                    shared.say(format!("not saved yet: {wrong}"));
                    return Vec::new();
                }
                if self.is_new {
                    shared.replace(Screen::Layout(LayoutScreen::new(oven.clone(), shared)));
                    shared.say(format!("{} is saved; now its first toast test", oven.name));
                } else {
                    shared.back();
                    shared.say(format!("{} is saved", oven.name));
                }
                vec![Effect::Save(Save::Oven(Box::new(oven)))]
            }
        }
    }
}

impl ScreenState for OvenForm {
    fn scope(&self) -> Scope {
        match self.stage {
            Stage::Templates { .. } => Scope::Templates,
            Stage::Form(_) => Scope::OvenForm,
        }
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

    fn hit(&self, _shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        let action = match (act, &self.stage) {
            (MouseAct::WheelUp, _) => OvenAction::Up,
            (MouseAct::WheelDown, _) => OvenAction::Down,
            (MouseAct::Press, Stage::Templates { row }) => {
                OvenAction::To(list::row_at(view::template_list(body), 1, *row, at)?)
            }
            (MouseAct::Press, Stage::Form(_)) => OvenAction::To(view::row_at(body, at)?),
        };
        Some(Action::Oven(action))
    }

    fn takes_text(&self) -> bool {
        matches!(self.stage, Stage::Form(_))
    }

    fn typed(&mut self, typed: Typed, _shared: &mut Shared) -> Vec<Effect> {
        if let Stage::Form(form) = &mut self.stage {
            form.typed(&typed);
        }
        Vec::new()
    }

    fn leave(&mut self, shared: &mut Shared) -> Vec<Effect> {
        match &mut self.stage {
            Stage::Form(form) if form.draft != form.before && !form.leaving => {
                form.leaving = true;
                shared.say("not saved: F2 saves, Esc again leaves without saving");
            }
            // Nothing was changed: perhaps it was the wrong kind.
            Stage::Form(form) if form.is_new && form.draft == form.before => {
                self.stage = Stage::Templates { row: form.kind };
            }
            Stage::Form(_) | Stage::Templates { .. } => shared.back(),
        }
        Vec::new()
    }
}
