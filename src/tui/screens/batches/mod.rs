//! A baking day in loads: how many trays, in one oven or in all that suit, and its clock.

mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::BatchesScreen;

use crate::tui::bell::{AGAIN, DAY_DUE};
use crate::tui::prelude::*;
use crate::tui::shared::{Call, Timed};
use crate::workflow::batches::What;
use state::{Act, TICK};
use std::time::Duration;

keys! {
    /// The keys while the day is planned.
    pub(crate) KEYS: Act, "Baking day";
    Enter => Step, "bake", "bake this day by the clock";
    Right | '+' => Trays(1), "more trays", "one tray more";
    Left | '-' => Trays(-1), "fewer", "one tray less";
    'a' => Everywhere, "all ovens", "share the trays among all ovens that suit, or bake in this one alone";
    Down => Go(1), "", "next load";
    Up => Go(-1), "", "load before";
    'c' => Cautions, "", "read the cautions";
}

keys! {
    /// The keys while it bakes.
    pub(crate) CLOCK_KEYS: Act, "Baking day's clock";
    Enter | ' ' => Step, "done", "what is due was done: a load in, a move, a load out";
    '+' | Right => Trays(1), "longer", "bake the load that comes next one minute longer";
    '-' | Left => Trays(-1), "", "bake it one minute less";
    Down => Go(1), "", "next load";
    Up => Go(-1), "", "load before";
    'x' => GiveUp, "", "give up what is left of this day; loads that went in stay on record";
    'c' => Cautions, "cautions", "read the cautions";
}

impl Room for BatchesScreen {
    as_usual!([Act::Go(-1), Act::Go(1)]);

    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        true
    }

    fn table(&self) -> &'static Table<Act> {
        if self.is_clock() { &CLOCK_KEYS } else { &KEYS }
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self.oven(shared).map_or("", |o| o.name.as_str());
        match self.request() {
            Some(request) if !self.is_clock() => {
                let plural = if request.trays == 1 { "" } else { "s" };
                let place = if self.everywhere() { "all ovens" } else { name };
                format!(
                    "{}, {} tray{plural}, {} at once, {place}",
                    request.load.kind.name, request.trays, request.load.trays
                )
            }
            Some(_) | None => "baking day".to_owned(),
        }
    }

    fn guide(&self, shared: &Shared) -> String {
        if !self.is_clock() {
            return match self.day(shared) {
                Some(Ok(_)) => {
                    "left, right: trays. a: all ovens. Enter: bake by the clock".to_owned()
                }
                Some(Err(_)) => {
                    "left and right change the trays until it can be planned".to_owned()
                }
                None => "the day is being planned; a moment".to_owned(),
            };
        }
        let Some(running) = &shared.day else {
            return "every tray is out. Esc: back".to_owned();
        };
        match running.next(shared.elapsed) {
            Some((due, left)) => match (due.what, left.0 <= 0.0) {
                (What::In, true) => "put it in, shut the door, then Space".to_owned(),
                (_, true) => "do it now, then Space".to_owned(),
                (_, false) => "wait for the bell. Space: it is done already".to_owned(),
            },
            None => "every tray is out. Esc: back".to_owned(),
        }
    }

    fn verdict(&self, shared: &Shared) -> Option<String> {
        let day = self.day(shared)?.ok()?;
        (!self.is_clock()).then(|| view::verdict_of(day))
    }

    fn why(&self, shared: &Shared) -> Vec<Sentence> {
        let Some(Ok(day)) = self.day(shared) else {
            return Vec::new();
        };
        let said = view::said(self, day, shared).into_iter();
        said.map(|(words, _)| match words.strip_prefix("! ") {
            Some(warning) => Sentence::warning(warning),
            None => Sentence::finding(words),
        })
        .collect()
    }

    fn entered(&mut self, shared: &mut Shared) {
        self.ask(shared);
    }

    fn answered(&mut self, answer: &Answer, _shared: &mut Shared) {
        self.settle(answer);
    }

    fn tick(&self) -> Option<Duration> {
        self.is_clock().then_some(TICK)
    }

    fn ticked(&mut self, shared: &mut Shared) {
        let day = shared.day.as_ref().filter(|day| day.is_begun());
        let next = day.and_then(|day| day.next(shared.elapsed));
        let is_due = self.is_clock() && next.is_some_and(|(_, left)| left.0 <= 0.0);
        if shared.rings(&Timed::Day, is_due.then_some(Call::Due(AGAIN))) {
            shared.ring(DAY_DUE);
        }
    }

    fn shows(&self) -> Option<Timed> {
        self.is_clock().then_some(Timed::Day)
    }

    fn leave(&mut self, shared: &mut Shared) {
        if self.may_go(shared) {
            shared.back();
        }
    }
}
