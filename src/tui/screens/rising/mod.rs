//! A dough that rises: described once, put in by the clock, looked at, ready when the oven is.

mod form;
mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::Rising;

use crate::tui::prelude::*;
use crate::tui::shared::Timed;
use form::Row;
use state::{Act, TICK};
use std::time::Duration;

keys! {
    /// The keys before a dough is put in.
    pub(crate) KEYS: Act, "Dough";
    Enter => Start, "put in", "the dough is in: keep it and start the clock";
    Tab => Other, "other dough", "the next dough on record, or a new one";
    Left => Less, "less", "less, or the other";
    Right => More, "more", "more, or the other";
    Up => Up, "", "row up";
    Down => Down, "row", "row down; the name is typed";
}

keys! {
    /// The keys while a dough rises.
    pub(crate) CLOCK_KEYS: Act, "Dough clock";
    DigitsFrom1 => Look, "grown", "a look: 1 grown by a quarter, 2 by half, 3 by three quarters, 4 doubled";
    Enter | ' ' => Out, "out", "the dough is out (asks first when it is early)";
    Tab => Other, "other dough", "the next dough on record, rising or not, or a new one";
    'u' | Backspace => Undo, "undo", "take the last look back";
}

impl Room for Rising {
    as_usual!();

    fn table(&self) -> &'static Table<Act> {
        if self.is_rising() { &CLOCK_KEYS } else { &KEYS }
    }

    fn title(&self, _shared: &Shared) -> String {
        let place = self
            .oven()
            .map_or_else(|| "a warm place".to_owned(), |o| o.name.clone());
        if self.is_rising() {
            format!("dough clock, {}, {place}", self.dough().name)
        } else {
            format!("dough, {place}")
        }
    }

    fn guide(&self, shared: &Shared) -> String {
        if !self.is_rising() {
            return "\u{2191}\u{2193} row, \u{2190}\u{2192} change; Enter when the dough is in"
                .to_owned();
        }
        match self.now(shared) {
            Some(now) if now.left.0 <= 0.0 => "it should be ready: look, then Enter when it is out",
            Some(_) | None => "look now and then: 2 grown by half, 4 doubled",
        }
        .to_owned()
    }

    fn takes_text(&self) -> bool {
        !self.is_rising() && self.row() == Row::Name
    }

    fn typed(&mut self, typed: Typed, _shared: &mut Shared) {
        self.type_name(&typed);
    }

    fn entered(&mut self, shared: &mut Shared) {
        self.ask(shared);
    }

    fn answered(&mut self, answer: &Answer, _shared: &mut Shared) {
        self.settle(answer);
    }

    fn tick(&self) -> Option<Duration> {
        self.is_rising().then_some(TICK)
    }

    fn ticked(&mut self, shared: &mut Shared) {
        self.ring(shared);
    }

    fn shows(&self) -> Option<Timed> {
        let rises = self.is_rising();
        rises.then(|| Timed::Dough(self.dough().id.clone()))
    }
}
