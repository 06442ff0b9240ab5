//! The state of the plan screen, and what can be done on it.

use super::{
    form::{Form, Row},
    look::Look,
};
use crate::model::{BakeLog, Oven, OvenId, RecipeId, TestId, ToastTest};
use crate::tui::prelude::*;
use crate::tui::shared::PLAN_GRID;
use crate::tui::widgets::form::Rows as _;
use crate::workflow::{
    catalogue::Occasion,
    plan::{Measured, PlanRequest},
};
use crate::workflow::{
    ground::ground_of,
    plan::{Planned, Told, plan_of},
    view::MapView,
};
use std::sync::Arc;

/// What can be done on the plan screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Act {
    Cautions,
    Go(i8),
    Change(i8),
    /// Put the cursor on a line; on the line that has it, change it.
    Choose(Row),
    NextStage,
    NextRack,
    /// Look at a place.
    LookAt(Look),
    /// Look right of it and further back, in steps.
    Move(i8, i8),
    Where,
    Loads,
    Start,
}

/// A plan, with the map it stands on.
type Made = (Planned, Option<MapView>);

/// The state of the plan screen.
#[derive(Debug)]
pub(crate) struct PlanScreen {
    pub(super) oven: OvenId,
    pub(super) tests: Vec<TestId>,
    /// The recipe to begin with.
    pub(super) recipe: Option<RecipeId>,
    /// The bake to begin with.
    pub(super) request: Option<PlanRequest>,
    /// Made when the screen first comes into sight, since it needs the oven.
    pub(super) form: Option<Form>,
    pub(super) row: Row,
    /// Which stretch of the bake is drawn, from 0.
    pub(super) stage: usize,
    /// The place looked at.
    pub(super) look: Option<Look>,
    pub(super) asked: Asked<Made>,
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
            request: None,
            form: None,
            row: Row::Bake,
            stage: 0,
            look: None,
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

    /// Begins with a bake that was asked for elsewhere.
    pub(crate) fn of_request(self, request: PlanRequest) -> Self {
        Self {
            request: Some(request),
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
    pub(super) fn plan(&self) -> Option<Result<&Arc<Made>, &Trouble>> {
        self.asked.fresh()
    }

    pub(super) fn ready(&self) -> Option<&Planned> {
        Some(&self.plan()?.ok()?.0)
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
        let which = shared.which(&self.tests, request.mode);
        self.asked.ask(shared, Lane::Quick, move || {
            let ground = ground_of(&records, &oven, &which, PLAN_GRID)?;
            let told = Told::look_up(&records, &ground, &request.kind);
            let planned = plan_of(&ground, &told, &request)?;
            Ok((planned, ground.map.ok()))
        });
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        match action {
            Act::Go(by) => {
                let at = self.row.stepped(isize::from(by)).index();
                self.row = Row::ALL[at];
            }
            Act::Change(by) => self.change(by, shared),
            Act::Choose(row) if row == self.row && self.look.is_none() => self.change(1, shared),
            Act::Choose(row) => (self.row, self.look) = (row, None),
            Act::NextRack => self.next_rack(),
            Act::LookAt(look) => self.look = Some(look),
            Act::Move(right, back) => {
                if let Some(look) = &mut self.look {
                    look.at.go(right, back);
                }
            }
            Act::NextStage => {
                let stages = self.ready().map_or(1, |p| p.plan.segments.len());
                self.stage = (self.stage + 1) % stages.max(1);
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

    /// Goes on to the next rack position that carries a tray; after the last one, back to the lines.
    fn next_rack(&mut self) {
        let racks = self.ready().map(|p| p.plan.racks()).unwrap_or_default();
        self.look = match self.look {
            None => racks.first().map(|&rack| Look::of(rack)),
            Some(look) => {
                let after = racks.iter().skip_while(|r| **r != look.rack).nth(1);
                after.map(|&rack| Look { rack, ..look })
            }
        };
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
        self.stage = 0;
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
