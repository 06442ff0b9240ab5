//! The oven_form screen.

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
pub enum OvenAction {}

/// The keys of this screen.
pub const KEYS: &[Binding] = &[];
/// More keys.
pub const TEMPLATE_KEYS: &[Binding] = &[];

/// The state of this screen.
#[derive(Debug)]
pub struct OvenForm {}

impl OvenForm {
    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: OvenAction, _shared: &mut Shared) -> Vec<Effect> {
        match action {}
    }
}

impl ScreenState for OvenForm {
    fn scope(&self) -> Scope {
        Scope::OvenForm
    }

    fn title(&self, _shared: &Shared) -> String {
        "oven_form".to_owned()
    }

    fn guide(&self, _shared: &Shared) -> String {
        "Esc: back".to_owned()
    }

    fn view(&self, _shared: &Shared, _frame: &mut Frame<'_>, _body: Rect) {}

    fn hit(&self, _: &Shared, _: Rect, _: Position, _: MouseAct) -> Option<Action> {
        None
    }
}
