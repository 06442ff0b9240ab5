//! The clock screen.

use super::ScreenState;
use crate::model::BakeLog;
use crate::tui::{
    action::Action,
    app::Shared,
    effect::Effect,
    event::MouseAct,
    keys::{Binding, Key, Scope},
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};

/// What can be done on this screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClockAction {
    /// Done here.
    Done,
}

/// The keys of this screen.
pub const KEYS: &[Binding] = &[Binding {
    keys: &[Key::Enter],
    action: Action::Clock(ClockAction::Done),
    hint: "done",
    help: "done here",
}];

/// The state of this screen.
#[derive(Debug)]
pub struct Clock {
    /// What it is about.
    pub bake: Box<BakeLog>,
}

impl Clock {
    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: ClockAction, shared: &mut Shared) -> Vec<Effect> {
        match action {
            ClockAction::Done => shared.back(),
        }
        Vec::new()
    }
}

impl ScreenState for Clock {
    fn scope(&self) -> Scope {
        Scope::Clock
    }

    fn title(&self, _shared: &Shared) -> String {
        "clock".to_owned()
    }

    fn guide(&self, _shared: &Shared) -> String {
        "Esc: back".to_owned()
    }

    fn view(&self, _shared: &Shared, _frame: &mut Frame<'_>, _body: Rect) {}

    fn hit(&self, _: &Shared, _: Rect, _: Position, _: MouseAct) -> Option<Action> {
        None
    }
}
