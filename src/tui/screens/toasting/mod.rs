//! The toasting clock: how long the slices have been in, when to look, when they come out.

mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::Toasting;

use crate::tui::prelude::*;
use crate::tui::shared::Timed;
use state::{Act, TICK};
use std::time::Duration;

keys! {
    /// The keys of the toasting clock.
    pub(crate) KEYS: Act, "Toasting clock";
    ' ' | Enter => Step, "start/out", "the slices are in, door shut: start; afterwards: everything is out";
    '+' | Right => Lengthen(1), "longer", "expect it to take one minute longer";
    '-' | Left => Lengthen(-1), "", "expect it to take one minute less";
    's' => Score, "score", "score the slices without the clock";
    Digits => Digit, "", "score the first slice at once, without the clock";
    'u' | Backspace => NotIn, "", "the slices are not in yet: stop the clock";
    'c' => Cautions, "cautions", "read the cautions";
}

impl Room for Toasting {
    as_usual!(KEYS);

    fn title(&self, _shared: &Shared) -> String {
        let dial = self.oven.dial.unit.show(self.test.setup.dial);
        let mode = self.test.setup.mode.words();
        format!("toasting clock, {}, {mode} {dial}", self.oven.name)
    }

    fn guide(&self, shared: &Shared) -> String {
        match self.elapsed(shared) {
            None => "slices in, door shut, then Space: start (s: score at once)".to_owned(),
            Some(now) if now.0 >= self.times.out.0 => {
                "take everything out, then press Space".to_owned()
            }
            Some(_) => "Space when everything is out: golden on the lightest slice".to_owned(),
        }
    }

    fn press(&self, _: &Shared, body: Rect, at: Position) -> Option<Act> {
        // The figures and what they say; a press on the slices below may mean a slice.
        (at.y < body.y + view::FIGURES).then_some(Act::Step)
    }

    fn tick(&self) -> Option<Duration> {
        self.test.toasting.map(|_| TICK)
    }

    fn ticked(&mut self, shared: &mut Shared) {
        self.ring(shared);
    }

    fn shows(&self) -> Option<Timed> {
        Some(Timed::Toast(self.test.id.clone()))
    }

    fn leave(&mut self, shared: &mut Shared) {
        if self.may_go(shared) {
            shared.back();
        }
    }
}
