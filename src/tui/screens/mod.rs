//! The screens, one module each: state, keys, `update`, `view`.

pub mod air;
pub mod choice;
pub mod clock;
pub mod compare;
pub mod history;
pub mod home;
pub mod layout;
pub mod map;
pub mod outcome;
pub mod oven_form;
pub mod photo;
pub mod plan;
pub mod record;
pub mod score;

use super::{
    action::{Action, Typed},
    app::Shared,
    effect::Effect,
    event::MouseAct,
    keys::Scope,
};
use crate::workflow::catalogue::{Occasion, bake_kind};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};
use std::time::Duration;

/// Names a kind of bake in plain words; a kind that is no longer known keeps its key.
fn kind_name(key: &str) -> &str {
    bake_kind(key).map_or(key, |kind| kind.name.as_str())
}

/// What every screen answers; the parts that most screens share have a default.
pub trait ScreenState: std::fmt::Debug {
    /// Returns whose keys hold now.
    fn scope(&self) -> Scope;

    /// Returns the words behind the program's name: where we are, and with what.
    fn title(&self, shared: &Shared) -> String;

    /// Returns the one line that tells a newcomer what to do next, with its key.
    fn guide(&self, shared: &Shared) -> String;

    /// Draws the screen into `body`.
    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect);

    /// Finds what a mouse act at `at` inside the same `body` stands for.
    fn hit(&self, shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action>;

    /// Finds what the mouse stands for when it is dragged to `at` from where it was pressed, or let go.
    fn dragged(
        &self,
        _shared: &Shared,
        _body: Rect,
        _at: Position,
        _ended: bool,
    ) -> Option<Action> {
        None
    }

    /// Tells whether characters are text now, rather than keys.
    fn takes_text(&self) -> bool {
        false
    }

    /// Takes text, where [`Self::takes_text`] says so.
    fn typed(&mut self, _typed: Typed, _shared: &mut Shared) -> Vec<Effect> {
        Vec::new()
    }

    /// Is told that the screen has come into sight.
    fn entered(&mut self, _shared: &mut Shared) -> Vec<Effect> {
        Vec::new()
    }

    /// Is told that the records were changed by something else and read anew. A screen that may hold a copy
    /// of an older state says no, and is left: what it would save must not undo the change.
    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        false
    }

    /// Is told that an answer of the worker that was wanted has come.
    fn answered(&mut self, _shared: &mut Shared) -> Vec<Effect> {
        Vec::new()
    }

    /// Is told to go back; a screen with something open inside closes that first.
    fn leave(&mut self, shared: &mut Shared) -> Vec<Effect> {
        shared.back();
        Vec::new()
    }

    /// Is told that the program is to be left; a screen that says no has asked back.
    fn may_quit(&mut self, _shared: &mut Shared) -> bool {
        true
    }

    /// Returns how often the screen must be drawn anew; only what runs by the clock needs it.
    fn tick(&self) -> Option<Duration> {
        None
    }

    /// Is told that [`Self::tick`] has passed.
    fn ticked(&mut self, _shared: &mut Shared) -> Vec<Effect> {
        Vec::new()
    }

    /// Returns which cautions belong to this screen.
    fn cautions(&self) -> Option<Occasion> {
        None
    }
}

/// A screen with its state.
#[derive(Debug)]
pub enum Screen {
    /// Ovens and their toast tests.
    Home(home::Home),
    /// A new or changed oven.
    Oven(oven_form::OvenForm),
    /// The lay-out of a toast test.
    Layout(layout::LayoutScreen),
    /// Scoring a toast test.
    Score(score::Score),
    /// The map of an oven.
    Map(map::MapScreen),
    /// The plan of a bake.
    Plan(plan::PlanScreen),
    /// Where to bake it.
    Choice(choice::ChoiceScreen),
    /// A bake by the clock.
    Clock(clock::Clock),
    /// What came out of the oven.
    Outcome(outcome::Outcome),
    /// An oven's record.
    Record(record::Record),
    /// Scores from a photo.
    Photo(Box<photo::PhotoScreen>),
    /// Before and after.
    Compare(compare::CompareScreen),
    /// The thermometer's record.
    Air(Box<air::AirScreen>),
    /// An oven's history.
    History(history::HistoryScreen),
}

impl Screen {
    /// Returns the home screen.
    pub(crate) fn home(shared: &Shared) -> Self {
        Self::Home(home::Home::new(shared))
    }

    /// Returns the state, whatever the screen.
    pub fn state(&self) -> &dyn ScreenState {
        match self {
            Self::Home(s) => s,
            Self::Oven(s) => s,
            Self::Layout(s) => s,
            Self::Score(s) => s,
            Self::Map(s) => s,
            Self::Plan(s) => s,
            Self::Choice(s) => s,
            Self::Clock(s) => s,
            Self::Outcome(s) => s,
            Self::Record(s) => s,
            Self::Photo(s) => s.as_ref(),
            Self::Compare(s) => s,
            Self::Air(s) => &**s,
            Self::History(s) => s,
        }
    }

    /// Returns the state to change, whatever the screen.
    pub(crate) fn state_mut(&mut self) -> &mut dyn ScreenState {
        match self {
            Self::Home(s) => s,
            Self::Oven(s) => s,
            Self::Layout(s) => s,
            Self::Score(s) => s,
            Self::Map(s) => s,
            Self::Plan(s) => s,
            Self::Choice(s) => s,
            Self::Clock(s) => s,
            Self::Outcome(s) => s,
            Self::Record(s) => s,
            Self::Photo(s) => s.as_mut(),
            Self::Compare(s) => s,
            Self::Air(s) => &mut **s,
            Self::History(s) => s,
        }
    }

    /// Deals with an action; one that belongs to another screen changes nothing.
    pub(crate) fn update(&mut self, action: Action, shared: &mut Shared) -> Vec<Effect> {
        match (self, action) {
            (Self::Home(s), Action::Home(a)) => s.update(a, shared),
            (Self::Oven(s), Action::Oven(a)) => s.update(a, shared),
            (Self::Layout(s), Action::Layout(a)) => s.update(a, shared),
            (Self::Score(s), Action::Score(a)) => s.update(a, shared),
            (Self::Map(s), Action::Map(a)) => s.update(a, shared),
            (Self::Plan(s), Action::Plan(a)) => s.update(a, shared),
            (Self::Choice(s), Action::Choice(a)) => s.update(a, shared),
            (Self::Clock(s), Action::Clock(a)) => s.update(a, shared),
            (Self::Outcome(s), Action::Outcome(a)) => s.update(a, shared),
            (Self::Record(s), Action::Record(a)) => s.update(a, shared),
            (Self::Photo(s), Action::Photo(a)) => s.update(a, shared),
            (Self::Compare(s), Action::Compare(a)) => s.update(a, shared),
            (Self::Air(s), Action::Air(a)) => s.update(a, shared),
            (Self::History(s), Action::History(a)) => s.update(a, shared),
            (screen, Action::Typed(typed)) if screen.state().takes_text() => {
                screen.state_mut().typed(typed, shared)
            }
            (screen, Action::Tick) => screen.state_mut().ticked(shared),
            (_, _) => Vec::new(),
        }
    }
}
