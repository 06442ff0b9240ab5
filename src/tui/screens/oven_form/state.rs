//! The state of the oven form, and what can be done in it.

use super::draft::Draft;
use super::rows::{Kind, Row};
use crate::model::{HeatSource, Mode, Oven};
use crate::tui::prelude::*;
use crate::tui::widgets::form::Rows as _;
use crate::workflow::{catalogue::oven_templates, describe::check_beside, racks::moved_rack};

/// What can be done in the oven form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Up,
    Down,
    /// Jump to a row.
    To(usize),
    /// Take the template, move on to the next row, or save on the last one.
    Enter,
    Left,
    Right,
    Save,
}

#[derive(Debug)]
pub(super) enum Stage {
    /// Choosing a kind of oven.
    Templates { row: usize },
    /// Filling in.
    Form(Box<Form>),
}

#[derive(Debug)]
pub(super) struct Form {
    pub(super) draft: Draft,
    pub(super) before: Draft,
    /// The oven has no id yet.
    pub(super) is_new: bool,
    /// Row of the kind it started from.
    pub(super) kind: usize,
    pub(super) row: Row,
    /// Which switch of the row has the cursor.
    pub(super) switch: usize,
    /// Whether leaving without saving was asked about, or saving what moves a rack position (true).
    pub(super) asked: Confirm<bool>,
}

/// The state of the oven form.
#[derive(Debug)]
pub(crate) struct OvenForm {
    pub(super) stage: Stage,
}

impl OvenForm {
    /// Opens the list of common kinds for a new oven.
    pub(crate) fn templates() -> Self {
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
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        match &mut self.stage {
            Stage::Templates { row } => {
                let count = oven_templates().len();
                match action {
                    Act::Up | Act::Left => *row = list::step(*row, -1, count),
                    Act::Down | Act::Right => *row = list::step(*row, 1, count),
                    Act::To(to) if to != *row => *row = list::step(to, 0, count),
                    Act::To(_) | Act::Enter | Act::Save => {
                        if let Some(template) = oven_templates().get(*row) {
                            let mut oven = template.oven.clone();
                            oven.name.clone_from(&template.name);
                            self.stage = Stage::Form(Box::new(Form::new(&oven, true, *row)));
                        }
                    }
                }
            }
            Stage::Form(form) => form.update(action, shared),
        }
    }
}

impl Form {
    pub(super) fn new(oven: &Oven, is_new: bool, kind: usize) -> Self {
        let draft = Draft::of(oven);
        Self {
            before: draft.clone(),
            draft,
            is_new,
            kind,
            row: Row::Name,
            switch: 0,
            asked: Confirm::default(),
        }
    }

    pub(super) fn update(&mut self, action: Act, shared: &mut Shared) {
        self.asked.pressed();
        match action {
            Act::Up => self.go(self.row.stepped(-1).index()),
            Act::Down => self.go(self.row.stepped(1).index()),
            Act::To(row) if row == self.row.index() && self.row == Row::Save => {
                self.save(shared);
            }
            Act::To(row) => self.go(row),
            Act::Left => self.sideways(-1),
            Act::Right => self.sideways(1),
            Act::Enter if self.row == Row::Save => self.save(shared),
            Act::Enter => self.go(self.row.index() + 1),
            Act::Save => self.save(shared),
        }
    }

    pub(super) fn go(&mut self, to: usize) {
        if let Some(row) = Row::ALL.get(to) {
            self.row = *row;
            self.switch = 0;
            self.draft.arrive(*row);
        }
    }

    pub(super) fn sideways(&mut self, by: isize) {
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

    pub(super) fn choose(&mut self) {
        if self.row == Row::Lengths {
            self.draft.switch_lengths();
        } else {
            self.draft.switch_degrees();
        }
    }

    pub(super) fn typed(&mut self, typed: &Typed) {
        self.asked.pressed();
        match (self.row.kind(), typed) {
            (Kind::Text, _) => self.draft.typed(self.row, typed),
            (Kind::Choice, Typed::Char(' ')) => self.choose(),
            (Kind::Switches, Typed::Char(' ')) => self.draft.switch(self.row, self.switch),
            (Kind::Choice | Kind::Switches | Kind::Button, _) => {}
        }
    }

    pub(super) fn save(&mut self, shared: &mut Shared) {
        match self.draft.build() {
            Err((row, words)) => {
                self.go(row.index());
                shared.say(format!("not saved yet: {words}"));
            }
            Ok(mut oven) => {
                if self.is_new {
                    oven.id = shared.kitchen.fresh_oven_id(&oven.name);
                }
                if let Err(wrong) = check_beside(&shared.kitchen, &oven) {
                    shared.say(format!("not saved yet: {wrong}"));
                    return;
                }
                if let Some(moved) = moved_rack(&shared.kitchen, &oven) {
                    let words = format!("not saved yet: {moved}; save again if that is right");
                    if !self.asked.is_sure(true, words, shared) {
                        return;
                    }
                }
                if self.is_new {
                    shared.replace(Place::Layout(Box::new(oven.clone())));
                    shared.say(format!("{} is saved; now its first toast test", oven.name));
                } else {
                    shared.back();
                    shared.say(format!("{} is saved", oven.name));
                }
                shared.save(Save::Oven(Box::new(oven)));
            }
        }
    }
}
