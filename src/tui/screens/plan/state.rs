//! The state of the plan screen, and what can be done on it.

use super::form::Form;
use super::form::Row;
use crate::tui::chrome::Chrome;
use crate::tui::shared::Asked;
use crate::tui::trouble::Trouble;
use crate::tui::worker::Lane;
use crate::workflow::after::learn::with_own_curve;
use crate::workflow::kitchen::{Access, Kitchen};
use crate::workflow::plan::{plan_bake, unusual, warn};
use crate::workflow::{
    after::learn::teaches,
    catalogue::Occasion,
    map::MapView,
    plan::{Measured, PlanRequest, measured_from},
    readings::{OvenSummary, summary},
};
use crate::{
    model::{BakeLog, Mode, Oven, OvenId, Plan, TestId, ToastTest},
    tui::{
        place::Place,
        shared::{MapKey, Shared},
        widgets::list,
    },
};
use std::sync::Arc;

/// From this many rows on, both pages are shown at once.
pub(super) const TALL: u16 = 32;

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
    /// Made when the screen first comes into sight, since it needs the oven.
    pub(super) form: Option<Form>,
    pub(super) row: Row,
    pub(super) page: Page,
    pub(super) move_shown: usize,
    /// The first sentence of the advice in sight.
    pub(super) first_advice: usize,
    pub(super) asked: Asked<Plan>,
    /// Where the plan's dial and door figures come from, in a few words each.
    pub(super) sources: [&'static str; 2],
    /// What all readings in one mode say, from when the screen came into sight.
    pub(super) read: Option<(Mode, Box<OvenSummary>)>,
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
            form: None,
            row: Row::Bake,
            page: Page::Moves,
            move_shown: 0,
            first_advice: 0,
            asked: Asked::default(),
            sources: ["", ""],
            read: None,
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

    pub(super) fn map<'s>(
        &self,
        shared: &'s Shared,
    ) -> Option<Result<&'s Arc<MapView>, &'s Trouble>> {
        let key = MapKey {
            oven: self.oven.clone(),
            tests: self.tests.clone(),
        };
        shared.map.held_for(&key)
    }

    /// Returns the plan for the form as it stands, or why there is none.
    pub(super) fn plan(&self) -> Option<Result<&Arc<Plan>, &Trouble>> {
        self.asked.fresh()
    }

    pub(super) fn ready(&self) -> Option<&Plan> {
        self.plan().and_then(Result::ok).map(Arc::as_ref)
    }

    /// Asks the worker for the plan of the form; a map that was tested but is not fitted yet goes first.
    pub(super) fn ask(&mut self, shared: &mut Shared) {
        let Some(oven) = self.oven(shared).cloned() else {
            return;
        };
        let Some(request) = self.form.as_ref().and_then(Form::request) else {
            return;
        };
        let view = self.map(shared).and_then(Result::ok).cloned();
        if self.map(shared).is_none() && !self.tests.is_empty() {
            let tests = self.tests(shared);
            shared.ask_map(&oven, tests);
            return;
        }
        let measured = self.measured(&oven, &request, shared);
        self.sources = sources(&measured);
        let learns = teaches(&shared.kitchen, &request.kind);
        let learn_from = learns.then(|| shared.kitchen.folder().to_owned());
        self.asked.ask(shared, Lane::Quick, move || {
            let (kind, own) = match &learn_from {
                Some(folder) => {
                    let (kitchen, _) = Kitchen::open(folder, Access::Read)?;
                    with_own_curve(&kitchen, &request.kind)
                }
                None => (request.kind.clone(), None),
            };
            let request = PlanRequest { kind, ..request };
            let mut made = plan_bake(&oven, view.as_deref(), &request, &measured)?;
            warn(&mut made, &unusual(&request, oven.dial.unit));
            made.advice.extend(own.map(|own| own.advice()));
            Ok(made)
        });
    }

    /// Returns what the readings say for the plan; they are gone through once for each mode, not for every key.
    pub(super) fn measured(
        &mut self,
        oven: &Oven,
        request: &PlanRequest,
        shared: &Shared,
    ) -> Measured {
        let read = self.read.take().filter(|(mode, _)| *mode == request.mode);
        let (mode, found) = read.unwrap_or_else(|| {
            let found = summary(&shared.kitchen, oven, request.mode);
            (request.mode, Box::new(found))
        });
        let measured = measured_from(&found, oven, request);
        self.read = Some((mode, found));
        measured
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
                let moves = self.ready().map_or(1, |p| p.segments.len());
                self.move_shown = (self.move_shown + 1) % moves.max(1);
            }
            Act::Advice(by) => {
                let count = self.ready().map_or(0, |p| p.advice.len());
                // From the other page the first press only turns to the advice.
                if self.page == Page::Ways || shows_both(shared) {
                    self.first_advice = list::step(self.first_advice, isize::from(by), count);
                }
                self.page = Page::Ways;
            }
            Act::Cautions => shared.caution(Occasion::Bake),
            Act::Where => match self.form.as_ref().and_then(Form::request) {
                Some(request) => shared.open(Place::Choice(Box::new(request))),
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
        self.first_advice = 0;
        self.ask(shared)
    }

    pub(super) fn start(&self, shared: &mut Shared) {
        let (Some(plan), Some(form)) = (self.ready().cloned(), &self.form) else {
            shared.say("the plan is still being made; a moment");
            return;
        };
        let today = shared.now.date();
        let bake = BakeLog::begin(
            shared.kitchen.fresh_bake_id(&self.oven, today),
            self.oven.clone(),
            form.mode(),
            shared.now,
            plan,
        );
        shared.open(Place::Clock(Box::new(bake)));
    }
}

/// Tells whether the window is tall enough for both pages at once.
pub(super) fn shows_both(shared: &Shared) -> bool {
    Chrome::of(shared.size).is_some_and(|chrome| chrome.body.height >= TALL)
}
