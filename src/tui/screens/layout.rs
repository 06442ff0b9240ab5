//! The layout screen.

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
pub enum LayoutAction {}

/// The keys of this screen.
pub const KEYS: &[Binding] = &[];

/// The state of this screen.
#[derive(Debug)]
pub struct LayoutScreen {}

impl LayoutScreen {
    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: LayoutAction, _shared: &mut Shared) -> Vec<Effect> {
        match action {}
    }
}

impl ScreenState for LayoutScreen {
    fn scope(&self) -> Scope {
        Scope::Layout
    }

    fn title(&self, _shared: &Shared) -> String {
        "layout".to_owned()
    }

    fn guide(&self, _shared: &Shared) -> String {
        "Esc: back".to_owned()
    }

    fn view(&self, _shared: &Shared, _frame: &mut Frame<'_>, _body: Rect) {}

    fn hit(&self, _: &Shared, _: Rect, _: Position, _: MouseAct) -> Option<Action> {
        None
    }
}
