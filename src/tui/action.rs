//! What the user means: a closed list that [`super::update`] turns into new state and effects.

use super::{
    event::{Drag, Mouse},
    screens::{
        air::AirAction, choice::ChoiceAction, clock::ClockAction, compare::CompareAction,
        history::HistoryAction, home::HomeAction, layout::LayoutAction, map::MapAction,
        outcome::OutcomeAction, oven_form::OvenAction, photo::PhotoAction, plan::PlanAction,
        record::RecordAction, score::ScoreAction,
    },
    worker::Finished,
};

/// What is to be done about an event.
#[derive(Debug, Clone)]
pub enum Action {
    /// Leave the program; asked again first when something would be lost or is running.
    Quit,
    /// Leave the program at once: the system asks, and does not wait for an answer.
    Terminate,
    /// Close the popup, or go back one screen.
    Back,
    /// Show or hide the keys of this screen.
    Help,
    /// Show or hide the cautions that belong to this screen.
    Cautions,
    /// Scroll the popup up (negative) or down, in lines.
    Scroll(i16),
    /// Enter a character, take the last one away, or enter a pasted text.
    Typed(Typed),
    /// The mouse did something; the screen under it decides what that means.
    Mouse(Mouse),
    /// The mouse was dragged or let go; the screen under it decides what that means.
    Drag(Drag),
    /// The terminal has a new size, columns and rows.
    Resize(u16, u16),
    /// The clock of this screen moved on.
    Tick,
    /// The worker has an answer.
    Finished(Box<Finished>),
    /// Of the home screen.
    Home(HomeAction),
    /// Of the oven form.
    Oven(OvenAction),
    /// Of the layout screen.
    Layout(LayoutAction),
    /// Of the scoring screen.
    Score(ScoreAction),
    /// Of the map screen.
    Map(MapAction),
    /// Of the plan screen.
    Plan(PlanAction),
    /// Of the ranked list of ways to bake.
    Choice(ChoiceAction),
    /// Of the bake clock.
    Clock(ClockAction),
    /// Of the screen of what came out.
    Outcome(OutcomeAction),
    /// Of the record screen.
    Record(RecordAction),
    /// Of the photo screen.
    Photo(PhotoAction),
    /// Of the compare screen.
    Compare(CompareAction),
    /// Of the thermometer screen.
    Air(AirAction),
    /// Of the history screen.
    History(HistoryAction),
    /// Break on purpose, so that a test can see the terminal restored; no release build has it.
    #[cfg(debug_assertions)]
    Break,
}

/// What was entered into the field that has the cursor.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Typed {
    /// One character.
    Char(char),
    /// The last character is taken away.
    Erase,
    /// A pasted text.
    Text(String),
}
