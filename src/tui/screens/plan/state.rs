//! The state of the plan screen, and what can be done on it.

use super::form::Form;
use super::form::Row;
use crate::tui::chrome::Chrome;
use crate::tui::shared::Asked;
use crate::tui::trouble::Trouble;
use crate::tui::widgets::Scroll;
use crate::tui::worker::Lane;
use crate::workflow::{
    catalogue::Occasion,
    plan::{Measured, PlanRequest},
};
use crate::workflow::{
    ground::ground_of,
    plan::{Planned, Told, plan_of},
    pool::Which,
};
use crate::{
    model::{BakeLog, Oven, OvenId, RecipeId, TestId, ToastTest},
    tui::{place::Place, shared::Shared, widgets::list},
};
use std::sync::Arc;

/// From this many rows on, both pages are shown at once.
pub(super) const TALL: u16 = 32;

/// Cells of the map behind a plan; a plan goes by its fit.
const PLAN_GRID: (usize, usize) = (12, 9);

/// What can be done on the plan screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    /// Read the cautions.
    Cautions,
    /// Line above (-1) or below (1).
    Go(i8),
    /// Change the line under the cursor: more (1) or less (-1).
    Change(i8),
    /// Put the cursor on a line; on the line that has it, change it.
    Choose(Row),
    /// Turn the page beside the form.
    Page,
    /// Draw the next move.
    NextMove,
    /// Scroll the advice, in sentences.
    Advice(i8),
    /// Rank the ovens, modes and rack positions on record for this bake.
    Where,
    /// Bake in loads.
    Loads,
    /// Bake by the clock.
    Start,
}

/// What stands beside the form where there is no room for everything.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Page {
    /// The moves, in words and drawn.
    Moves,
    /// Evenness against minutes, and advice.
    Ways,
}

/// The state of the plan screen.
#[derive(Debug)]
pub(crate) struct PlanScreen {
    pub(super) oven: OvenId,
    pub(super) tests: Vec<TestId>,
    /// The recipe to begin with.
    pub(super) recipe: Option<RecipeId>,
    /// Made when the screen first comes into sight, since it needs the oven.
    pub(super) form: Option<Form>,
    pub(super) row: Row,
    pub(super) page: Page,
    pub(super) move_shown: usize,
    /// The first sentence of the advice in sight.
    pub(super) advice: Scroll,
    pub(super) asked: Asked<Planned>,
}

/// Says where dial and door figures come from: this oven's readings, or what is typical.
pub(super) fn sources(measured: &Measured) -> [&'static str; 2] {
    let dial = match (&measured.offset, measured.notes.is_empty()) {
        (Some(_), _) => "dial: by its readings",
        (None, false) => "dial: as marked, see advice",
        (None, true) => "dial: as marked, not read",
    };
    let door = match measured.door {
        Some(_) => "door: by its readings",
        None => "door: typical figures",
    };
    [dial, door]
}

impl PlanScreen {
    /// Opens on an oven and the tests its map rests on; none where nothing was tested.
    pub(crate) fn new(oven: OvenId, tests: Vec<TestId>) -> Self {
        Self {
            oven,
            tests,
            recipe: None,
            form: None,
            row: Row::Bake,
            page: Page::Moves,
            move_shown: 0,
            advice: Scroll::default(),
            asked: Asked::default(),
        }
    }

    /// Begins with a recipe.
    pub(crate) fn of_recipe(self, recipe: RecipeId) -> Self {
        Self {
            recipe: Some(recipe),
            ..self
        }
    }

    pub(super) fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.oven)
    }

    /// Returns the tests as the kitchen holds them now.
    pub(super) fn tests(&self, shared: &Shared) -> Vec<ToastTest> {
        self.tests
            .iter()
            .filter_map(|id| shared.kitchen.test(id))
            .cloned()
            .collect()
    }

    /// Returns the plan for the form as it stands, or why there is none.
    pub(super) fn plan(&self) -> Option<Result<&Arc<Planned>, &Trouble>> {
        self.asked.fresh()
    }

    pub(super) fn ready(&self) -> Option<&Planned> {
        self.plan().and_then(Result::ok).map(Arc::as_ref)
    }

    /// Asks the worker for the plan of the form.
    pub(super) fn ask(&mut self, shared: &mut Shared) {
        let Some(oven) = self.oven(shared).cloned() else {
            return;
        };
        let Some(request) = self.form.as_ref().and_then(Form::request) else {
            return;
        };
        let records = shared.kitchen.snapshot();
        let which = self.which(&request, shared);
        self.asked.ask(shared, Lane::Quick, move || {
            let ground = ground_of(&records, &oven, &which, PLAN_GRID)?;
            let told = Told::look_up(&records, &ground, &request.kind);
            Ok(plan_of(&ground, &told, &request)?)
        });
    }

    /// The tests it was opened on serve in their own mode; in another one those of now.
    pub(super) fn which(&self, request: &PlanRequest, shared: &Shared) -> Which {
        let first = self.tests.first().and_then(|id| shared.kitchen.test(id));
        if first.is_some_and(|t| t.setup.mode == request.mode) {
            Which::These(self.tests.clone())
        } else {
            Which::Now(request.mode)
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        match action {
            Act::Go(by) => {
                let at = list::step(self.row.index(), isize::from(by), Row::ALL.len());
                self.row = Row::ALL[at];
            }
            Act::Change(by) => self.change(by, shared),
            Act::Choose(row) if row == self.row => self.change(1, shared),
            Act::Choose(row) => {
                self.row = row;
            }
            Act::Page => {
                self.page = match self.page {
                    Page::Moves => Page::Ways,
                    Page::Ways => Page::Moves,
                };
            }
            Act::NextMove => {
                let moves = self.ready().map_or(1, |p| p.plan.segments.len());
                self.move_shown = (self.move_shown + 1) % moves.max(1);
            }
            Act::Advice(by) => {
                let count = self.ready().map_or(0, |p| p.sentences().len());
                // From the other page the first press only turns to the advice.
                if self.page == Page::Ways || shows_both(shared) {
                    self.advice.step(by, count);
                }
                self.page = Page::Ways;
            }
            Act::Cautions => shared.caution(Occasion::Bake),
            Act::Where => match self.form.as_ref().and_then(Form::request) {
                Some(request) => shared.open(Place::Choice(Box::new(request))),
                None => shared.say("set the bake first"),
            },
            Act::Loads => match self.form.as_ref().and_then(Form::request) {
                Some(load) => {
                    let (oven, tests) = (self.oven.clone(), self.tests.clone());
                    shared.open(Place::Batches(oven, tests, Box::new(load)));
                }
                None => shared.say("set the bake first"),
            },
            Act::Start => self.start(shared),
        }
    }

    pub(super) fn change(&mut self, by: i8, shared: &mut Shared) {
        let Some(oven) = self.oven(shared).cloned() else {
            return;
        };
        let Some(form) = &mut self.form else {
            return;
        };
        let before = form.clone();
        form.change(self.row, by, &oven);
        if *form == before {
            return;
        }
        self.move_shown = 0;
        self.advice = Scroll::default();
        self.ask(shared);
    }

    pub(super) fn start(&self, shared: &mut Shared) {
        let (Some(planned), Some(form)) = (self.ready().cloned(), &self.form) else {
            shared.say("the plan is still being made; a moment");
            return;
        };
        let today = shared.now.date();
        let mut bake = BakeLog::begin(
            shared.kitchen.fresh_bake_id(&self.oven, today),
            self.oven.clone(),
            form.mode(),
            shared.moment,
            planned.plan,
        );
        let own = bake.plan.recipe.as_ref();
        let recipe = own.and_then(|named| shared.kitchen.recipe(&named.id));
        bake.wanted = recipe.and_then(|recipe| recipe.wanted);
        shared.open(Place::Clock(Box::new(bake)));
    }
}

/// Tells whether the window is tall enough for both pages at once.
pub(super) fn shows_both(shared: &Shared) -> bool {
    Chrome::of(shared.size).is_some_and(|chrome| chrome.body.height >= TALL)
}
