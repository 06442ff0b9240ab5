//! Which oven, which mode, which rack position: the ways on record to do the bake of a plan, ranked.

#[cfg(test)]
mod tests;
mod view;

use super::{Screen, ScreenState, plan::PlanScreen};
use crate::{
    model::TestId,
    tui::{
        action::Action,
        app::Shared,
        effect::Effect,
        event::MouseAct,
        keys::{Binding, Key, Scope},
        widgets::list,
        worker::{ChoiceJob, Job, Ticket},
    },
    workflow::{
        choice::{Basis, Choices},
        plan::PlanRequest,
        pool::tests_now,
    },
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};
use std::sync::Arc;

/// What can be done with the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChoiceAction {
    /// Row above (-1) or below (1).
    Go(i8),
    /// Jump to a row; on the row that has the cursor, take it.
    To(usize),
    /// Plan on the way under the cursor.
    Take,
}

/// The keys of the list.
pub const KEYS: &[Binding] = &[
    Binding {
        keys: &[Key::Enter],
        action: Action::Choice(ChoiceAction::Take),
        hint: "plan on it",
        help: "plan in the oven and mode under the cursor",
    },
    Binding {
        keys: &[Key::Up],
        action: Action::Choice(ChoiceAction::Go(-1)),
        hint: "",
        help: "row up",
    },
    Binding {
        keys: &[Key::Down],
        action: Action::Choice(ChoiceAction::Go(1)),
        hint: "",
        help: "row down",
    },
];

/// The state of the list.
#[derive(Debug)]
pub struct ChoiceScreen {
    request: PlanRequest,
    row: usize,
    asked: Option<Ticket>,
}

impl ChoiceScreen {
    /// Opens on a bake; its mode does not matter.
    pub(crate) fn new(request: PlanRequest) -> Self {
        Self {
            request,
            row: 0,
            asked: None,
        }
    }

    fn found<'s>(&self, shared: &'s Shared) -> Option<Result<&'s Arc<Choices>, &'s str>> {
        shared.choices.held_for(&self.asked?)
    }

    fn count(&self, shared: &Shared) -> usize {
        self.found(shared)
            .and_then(Result::ok)
            .map_or(0, |c| c.ranked.len())
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: ChoiceAction, shared: &mut Shared) -> Vec<Effect> {
        let count = self.count(shared);
        match action {
            ChoiceAction::Go(by) => self.row = list::step(self.row, isize::from(by), count),
            ChoiceAction::To(row) if row == self.row => self.take(shared),
            ChoiceAction::To(row) if row < count => self.row = row,
            ChoiceAction::To(_) => {}
            ChoiceAction::Take => self.take(shared),
        }
        Vec::new()
    }

    fn take(&self, shared: &mut Shared) {
        let found = self.found(shared).and_then(Result::ok);
        let way = found.and_then(|c| c.ranked.get(self.row)).cloned();
        let Some(way) = way else {
            shared.say("the list is still being made; a moment");
            return;
        };
        let oven = shared.kitchen.oven(&way.oven).cloned();
        let tests: Vec<TestId> = match (&way.basis, &oven) {
            (Basis::Tests { .. }, Some(oven)) => tests_now(&shared.kitchen, oven, way.mode)
                .iter()
                .map(|t| t.id.clone())
                .collect(),
            (Basis::Tests { .. }, None) | (Basis::Custom, _) => Vec::new(),
        };
        shared.replace(Screen::Plan(PlanScreen::new(way.oven, tests)));
    }
}

impl ScreenState for ChoiceScreen {
    fn scope(&self) -> Scope {
        Scope::Choice
    }

    fn title(&self, _shared: &Shared) -> String {
        let trays = self.request.trays;
        let plural = if trays == 1 { "" } else { "s" };
        format!(
            "where to bake {}, {trays} tray{plural}",
            self.request.kind.name
        )
    }

    fn guide(&self, shared: &Shared) -> String {
        match self.found(shared) {
            Some(_) => "up, down: row. Enter: plan in that oven and mode".to_owned(),
            None => "every oven, mode and rack on record is being weighed; a moment".to_owned(),
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        let action = match act {
            MouseAct::WheelUp => ChoiceAction::Go(-1),
            MouseAct::WheelDown => ChoiceAction::Go(1),
            MouseAct::Press => {
                let row = list::row_at(view::list_area(body), 1, self.row, at)?;
                (row < self.count(shared)).then_some(ChoiceAction::To(row))?
            }
        };
        Some(Action::Choice(action))
    }

    fn entered(&mut self, shared: &mut Shared) -> Vec<Effect> {
        let ticket = shared.ticket();
        self.asked = Some(ticket);
        shared.choices.ask(ticket, ticket);
        vec![Effect::Work(Job::Choose(Box::new(ChoiceJob {
            ticket,
            folder: shared.kitchen.folder().to_owned(),
            request: self.request.clone(),
            today: shared.now.date(),
        })))]
    }
}
