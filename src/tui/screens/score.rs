//! The score screen.

use super::ScreenState;
use crate::tui::{
    action::Action,
    app::Shared,
    effect::Effect,
    event::MouseAct,
    keys::{Binding, Scope},
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};

/// What can be done on this screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScoreAction {}

/// The keys of this screen.
pub const KEYS: &[Binding] = &[];

/// The state of this screen.
#[derive(Debug)]
pub struct Score {}

impl Score {
    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: ScoreAction, _shared: &mut Shared) -> Vec<Effect> {
        match action {}
    }
}

impl ScreenState for Score {
    fn scope(&self) -> Scope {
        Scope::Score
    }

    fn title(&self, _shared: &Shared) -> String {
        "score".to_owned()
    }

    fn guide(&self, _shared: &Shared) -> String {
        "Esc: back".to_owned()
    }

    fn view(&self, _shared: &Shared, _frame: &mut Frame<'_>, _body: Rect) {}

    fn hit(&self, _: &Shared, _: Rect, _: Position, _: MouseAct) -> Option<Action> {
        None
    }
}
