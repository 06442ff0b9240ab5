//! The plan screen: what is to be baked, and from the map which rack, which turn and which dial setting.

mod form;
#[cfg(test)]
mod tests;
mod view;

pub use form::Row;

use super::{Screen, ScreenState, choice::ChoiceScreen, clock::Clock};
use crate::workflow::{
    catalogue::Occasion,
    plan::{Measured, PlanRequest, Planned},
    pool::Which,
};
use crate::{
    model::{BakeLog, Oven, OvenId, TestId, ToastTest},
    tui::{
        action::Action,
        app::Shared,
        effect::Effect,
        event::MouseAct,
        keys::{Binding, Key, Scope},
        widgets::list,
        worker::{Job, PlanJob, Ticket},
    },
};
use form::Form;
use ratatui::{
    Frame,
    layout::{Position, Rect},
};
use std::sync::Arc;

/// What can be done on the plan screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlanAction {
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

const fn does(action: PlanAction) -> Action {
    Action::Plan(action)
}

/// The keys of the plan screen.
pub const KEYS: &[Binding] = &[
    Binding {
        keys: &[Key::Enter],
        action: does(PlanAction::Start),
        hint: "bake",
        help: "bake this plan by the clock",
    },
    Binding {
        keys: &[Key::Up],
        action: does(PlanAction::Go(-1)),
        hint: "",
        help: "line above",
    },
    Binding {
        keys: &[Key::Down],
        action: does(PlanAction::Go(1)),
        hint: "",
        help: "line below",
    },
    Binding {
        keys: &[Key::Right, Key::Char('+')],
        action: does(PlanAction::Change(1)),
        hint: "change",
        help: "more, or the next choice",
    },
    Binding {
        keys: &[Key::Left, Key::Char('-')],
        action: does(PlanAction::Change(-1)),
        hint: "",
        help: "less, or the choice before",
    },
    Binding {
        keys: &[Key::Tab],
        action: does(PlanAction::Page),
        hint: "page",
        help: "moves, or evenness against minutes with advice",
    },
    Binding {
        keys: &[Key::Char('m'), Key::Char(' ')],
        action: does(PlanAction::NextMove),
        hint: "move",
        help: "draw the next move",
    },
    Binding {
        keys: &[Key::PageDown],
        action: does(PlanAction::Advice(1)),
        hint: "",
        help: "next advice",
    },
    Binding {
        keys: &[Key::PageUp],
        action: does(PlanAction::Advice(-1)),
        hint: "",
        help: "advice before",
    },
    Binding {
        keys: &[Key::Char('w')],
        action: does(PlanAction::Where),
        hint: "where",
        help: "rank the ovens, modes and rack positions on record for this bake",
    },
    Binding {
        keys: &[Key::Char('c')],
        action: Action::Cautions,
        hint: "",
        help: "read the cautions",
    },
];

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
pub struct PlanScreen {
    oven: OvenId,
    tests: Vec<TestId>,
    /// Made when the screen first comes into sight, since it needs the oven.
    form: Option<Form>,
    row: Row,
    page: Page,
    move_shown: usize,
    /// The first sentence of the advice in sight.
    first_advice: usize,
    asked: Option<Ticket>,
}

/// Says where dial and door figures come from: this oven's readings, or what is typical.
fn sources(measured: &Measured) -> [&'static str; 2] {
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
            asked: None,
        }
    }

    fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.oven)
    }

    /// Returns the tests as the kitchen holds them now.
    fn tests(&self, shared: &Shared) -> Vec<ToastTest> {
        self.tests
            .iter()
            .filter_map(|id| shared.kitchen.test(id))
            .cloned()
            .collect()
    }

    /// Returns the plan for the form as it stands, or why there is none.
    fn plan<'s>(&self, shared: &'s Shared) -> Option<Result<&'s Arc<Planned>, &'s str>> {
        shared.plan.held_for(&self.asked?)
    }

    fn ready<'s>(&self, shared: &'s Shared) -> Option<&'s Planned> {
        self.plan(shared).and_then(Result::ok).map(Arc::as_ref)
    }

    /// Asks the worker for the plan of the form.
    fn ask(&mut self, shared: &mut Shared) -> Vec<Effect> {
        let Some(oven) = self.oven(shared).cloned() else {
            return Vec::new();
        };
        let Some(request) = self.form.as_ref().and_then(Form::request) else {
            return Vec::new();
        };
        let ticket = shared.ticket();
        self.asked = Some(ticket);
        shared.plan.ask(ticket, ticket);
        vec![Effect::Work(Job::Plan(Box::new(PlanJob {
            ticket,
            records: shared.kitchen.snapshot(),
            which: self.which(&request, shared),
            oven,
            request,
        })))]
    }

    /// The tests it was opened on serve in their own mode; in another one those of now.
    fn which(&self, request: &PlanRequest, shared: &Shared) -> Which {
        let first = self.tests.first().and_then(|id| shared.kitchen.test(id));
        if first.is_some_and(|t| t.setup.mode == request.mode) {
            Which::These(self.tests.clone())
        } else {
            Which::Now(request.mode)
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: PlanAction, shared: &mut Shared) -> Vec<Effect> {
        match action {
            PlanAction::Go(by) => {
                let at = list::step(self.row.index(), isize::from(by), Row::ALL.len());
                self.row = Row::ALL[at];
                Vec::new()
            }
            PlanAction::Change(by) => self.change(by, shared),
            PlanAction::Choose(row) if row == self.row => self.change(1, shared),
            PlanAction::Choose(row) => {
                self.row = row;
                Vec::new()
            }
            PlanAction::Page => {
                self.page = match self.page {
                    Page::Moves => Page::Ways,
                    Page::Ways => Page::Moves,
                };
                Vec::new()
            }
            PlanAction::NextMove => {
                let moves = self.ready(shared).map_or(1, |p| p.plan.segments.len());
                self.move_shown = (self.move_shown + 1) % moves.max(1);
                Vec::new()
            }
            PlanAction::Advice(by) => {
                let count = self.ready(shared).map_or(0, |p| p.sentences().len());
                // From the other page the first press only turns to the advice.
                if self.page == Page::Ways || view::shows_both(shared) {
                    self.first_advice = list::step(self.first_advice, isize::from(by), count);
                }
                self.page = Page::Ways;
                Vec::new()
            }
            PlanAction::Where => {
                match self.form.as_ref().and_then(Form::request) {
                    Some(request) => shared.open(Screen::Choice(ChoiceScreen::new(request))),
                    None => shared.say("set the bake first"),
                }
                Vec::new()
            }
            PlanAction::Start => self.start(shared),
        }
    }

    fn change(&mut self, by: i8, shared: &mut Shared) -> Vec<Effect> {
        let Some(oven) = self.oven(shared).cloned() else {
            return Vec::new();
        };
        let Some(form) = &mut self.form else {
            return Vec::new();
        };
        let before = form.clone();
        form.change(self.row, by, &oven);
        if *form == before {
            return Vec::new();
        }
        self.move_shown = 0;
        self.first_advice = 0;
        self.ask(shared)
    }

    fn start(&self, shared: &mut Shared) -> Vec<Effect> {
        let (Some(planned), Some(form)) = (self.ready(shared).cloned(), &self.form) else {
            shared.say("the plan is still being made; a moment");
            return Vec::new();
        };
        let today = shared.now.date();
        let bake = BakeLog::begin(
            shared.kitchen.fresh_bake_id(&self.oven, today),
            self.oven.clone(),
            form.mode(),
            shared.moment,
            planned.plan,
        );
        shared.open(Screen::Clock(Clock::new(bake)));
        Vec::new()
    }
}

impl ScreenState for PlanScreen {
    fn scope(&self) -> Scope {
        Scope::Plan
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self
            .oven(shared)
            .map_or_else(String::new, |o| o.name.clone());
        let rests_on = match self.tests(shared).last() {
            Some(test) => format!("map of {}", test.when.date()),
            None => "nothing tested yet, the trade's defaults".to_owned(),
        };
        format!("plan a bake, {name}, {rests_on}")
    }

    fn guide(&self, shared: &Shared) -> String {
        match self.plan(shared) {
            Some(Ok(_)) => {
                "up, down: line. left, right: change it. Enter: bake by the clock".to_owned()
            }
            Some(Err(_)) => "change a line with left and right until it can be planned".to_owned(),
            None => "the plan is being made; it appears by itself".to_owned(),
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, _: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        match act {
            MouseAct::WheelUp => Some(does(PlanAction::Change(1))),
            MouseAct::WheelDown => Some(does(PlanAction::Change(-1))),
            MouseAct::Press => view::row_at(body, at).map(|row| does(PlanAction::Choose(row))),
        }
    }

    fn entered(&mut self, shared: &mut Shared) -> Vec<Effect> {
        if self.form.is_none() {
            let mode = self.tests(shared).first().map(|t| t.setup.mode);
            self.form = self.oven(shared).map(|oven| Form::new(oven, mode));
        }
        self.ask(shared)
    }

    fn cautions(&self) -> Option<Occasion> {
        Some(Occasion::Bake)
    }
}
