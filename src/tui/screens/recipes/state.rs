//! The state of the recipes screen, and what can be done on it.

use super::form::{Form, Row};
use crate::tui::prelude::*;
use crate::tui::widgets::form::Rows as _;
use crate::{
    model::{Mode, Oven, OvenId, Recipe, RecipeId, ToastTest},
    units::{LengthUnit, TemperatureUnit},
    workflow::{
        plan::PlanRequest,
        recipe::{Refusal, as_kind},
    },
};

/// What can be done on the recipes screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    /// Change the recipe under the cursor; in the form, next row or save.
    Enter,
    New,
    Plan,
    Where,
    SetAside,
    Undo,
    Go(i8),
    /// Put the cursor on a row; in the list, on the row that has it, change the recipe.
    To(usize),
    Choose(i8),
    Save,
}

/// The list, or the form over it.
#[derive(Debug)]
pub(super) enum Stage {
    List,
    Form(Box<Form>),
}

/// The state of the recipes screen.
#[derive(Debug)]
pub(crate) struct RecipesScreen {
    /// The oven that recipes are planned in.
    oven: Option<OvenId>,
    pub(super) stage: Stage,
    pub(super) row: usize,
    /// The recipe that the next `x` sets aside.
    doomed: Confirm<RecipeId>,
    /// The last one set aside.
    gone: Option<Recipe>,
}

impl RecipesScreen {
    /// Opens on the list, beside the kitchen's chosen oven.
    pub(crate) fn new(oven: Option<OvenId>) -> Self {
        Self {
            oven,
            stage: Stage::List,
            row: 0,
            doomed: Confirm::default(),
            gone: None,
        }
    }

    pub(super) fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(self.oven.as_ref()?)
    }

    pub(super) fn chosen<'s>(&self, shared: &'s Shared) -> Option<&'s Recipe> {
        shared.kitchen.recipes().get(self.row)
    }

    fn units(&self, shared: &Shared) -> (TemperatureUnit, LengthUnit) {
        self.oven(shared)
            .map_or_else(Default::default, |oven| (oven.dial.unit, oven.lengths))
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, act: Act, shared: &mut Shared) {
        self.doomed.pressed();
        if matches!(self.stage, Stage::Form(_)) {
            self.update_form(act, shared);
            return;
        }
        let count = shared.kitchen.recipes().len();
        self.row = list::step(self.row, 0, count);
        match act {
            Act::Go(by) => self.row = list::step(self.row, isize::from(by), count),
            Act::To(row) if row != self.row => self.row = list::step(row, 0, count),
            Act::To(_) | Act::Enter => match self.chosen(shared) {
                Some(recipe) => {
                    let form = Form::new(Some(recipe), self.units(shared));
                    self.stage = Stage::Form(Box::new(form));
                }
                None => shared.say("there is no recipe yet; press n to write one down"),
            },
            Act::New => {
                let form = Form::new(None, self.units(shared));
                self.stage = Stage::Form(Box::new(form));
            }
            Act::Plan => self.plan(shared),
            Act::Where => self.where_to(shared),
            Act::SetAside => self.set_aside(shared),
            Act::Undo => self.undo(shared),
            Act::Choose(_) | Act::Save => {}
        }
    }

    fn update_form(&mut self, act: Act, shared: &mut Shared) {
        let units = self.units(shared);
        let Stage::Form(form) = &mut self.stage else {
            return;
        };
        match act {
            Act::Enter if form.row != Row::Save => form.step(1),
            Act::To(row) if row != form.row.index() => {
                if let Some(row) = Row::ALL.get(row) {
                    form.go_to(*row);
                }
            }
            Act::To(_) if form.row != Row::Save => form.choose(1),
            Act::Go(by) => form.step(isize::from(by)),
            Act::Choose(by) => form.choose(by),
            Act::Enter | Act::To(_) | Act::Save => match form.build(&shared.kitchen, units) {
                Ok(recipe) => {
                    let at = shared.kitchen.recipes();
                    self.row = at.partition_point(|r| r.id < recipe.id);
                    self.stage = Stage::List;
                    shared.say(format!("{} is saved", recipe.name));
                    shared.save(Save::Recipe(Box::new(recipe)));
                }
                Err(Refusal { why, .. }) => shared.say(format!("not saved yet: {why}")),
            },
            Act::New | Act::Plan | Act::Where | Act::SetAside | Act::Undo => {}
        }
    }

    fn plan(&self, shared: &mut Shared) {
        let (Some(recipe), Some(oven)) = (self.chosen(shared), self.oven(shared)) else {
            shared.say("there is no recipe or no oven yet; press n, or describe an oven first");
            return;
        };
        let newest = |t: &&&ToastTest| t.scored() > 0;
        let tests = shared.kitchen.tests_of(&oven.id);
        let test = tests.iter().rev().find(newest).copied();
        let tests = test.map_or_else(Vec::new, |t| shared.now_in(oven, t.setup.mode));
        let place = Place::PlanRecipe(oven.id.clone(), tests, recipe.id.clone());
        shared.open(place);
    }

    fn where_to(&self, shared: &mut Shared) {
        let Some(recipe) = self.chosen(shared) else {
            shared.say("there is no recipe yet; press n to write one down");
            return;
        };
        match as_kind(recipe) {
            Ok(kind) => {
                let request = PlanRequest::of(kind, Mode::StillAir, recipe.tray);
                shared.open(Place::Choice(Box::new(request)));
            }
            Err(why) => shared.say(why.to_string()),
        }
    }

    fn set_aside(&mut self, shared: &mut Shared) {
        let Some(recipe) = self.chosen(shared).cloned() else {
            shared.say("there is no recipe to set aside");
            return;
        };
        let words = "press x again to set this recipe aside, any other key to keep it";
        if self.doomed.is_sure(recipe.id.clone(), words, shared) {
            shared.say(format!("{} is set aside; u takes that back", recipe.name));
            shared.save(Save::RecipeGone(Box::new(recipe.clone())));
            self.row = self.row.saturating_sub(1);
            self.gone = Some(recipe);
        }
    }

    fn undo(&mut self, shared: &mut Shared) {
        match self.gone.take() {
            Some(recipe) if shared.kitchen.recipe(&recipe.id).is_none() => {
                shared.say(format!("{} is back", recipe.name));
                shared.save(Save::Recipe(Box::new(recipe)));
            }
            Some(_) | None => shared.say("nothing to take back"),
        }
    }
}
