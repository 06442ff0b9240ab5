//! The map screen.

use super::ScreenState;
use crate::model::{OvenId, TestId};
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
pub enum MapAction {
    /// Done here.
    Done,
}

/// The keys of this screen.
pub const KEYS: &[Binding] = &[Binding {
    keys: &[Key::Enter],
    action: Action::Map(MapAction::Done),
    hint: "done",
    help: "done here",
}];

/// The state of this screen.
#[derive(Debug)]
pub struct MapScreen {
    /// What it is about.
    pub oven: OvenId,
    /// The tests pooled into the map.
    pub tests: Vec<TestId>,
}

impl MapScreen {
    /// Opens on an oven and the tests to pool.
    pub(crate) fn new(oven: OvenId, tests: Vec<TestId>) -> Self {
        Self { oven, tests }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: MapAction, shared: &mut Shared) -> Vec<Effect> {
        match action {
            MapAction::Done => shared.back(),
        }
        Vec::new()
    }
}

impl ScreenState for MapScreen {
    fn scope(&self) -> Scope {
        Scope::Map
    }

    fn title(&self, _shared: &Shared) -> String {
        "map".to_owned()
    }

    fn guide(&self, _shared: &Shared) -> String {
        "Esc: back".to_owned()
    }

    fn view(&self, _shared: &Shared, _frame: &mut Frame<'_>, _body: Rect) {}

    fn hit(&self, _: &Shared, _: Rect, _: Position, _: MouseAct) -> Option<Action> {
        None
    }
}
