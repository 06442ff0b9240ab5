//! The thermometer screen: rounds as they are read, charts of what they say, the dial for a wanted temperature.

mod charts;
mod describe;
mod figures;
mod keys;
mod round;
mod said;
mod setup;
mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use charts::Chart;
pub(crate) use keys::{ENTRY_KEYS, KEYS, ROUND_KEYS, SETUP_KEYS, THERMOMETER_KEYS};
pub(crate) use state::AirScreen;

use crate::tui::prelude::*;
use crate::workflow::readings::dial_verdict;
use setup::Line;
use state::{Act, TICK};
use std::time::Duration;

impl Room for AirScreen {
    as_usual!();

    fn table(&self) -> &'static Table<Act> {
        if self.takes_line() {
            &ENTRY_KEYS
        } else if self.session.is_some() {
            &ROUND_KEYS
        } else if self.description.is_some() {
            &THERMOMETER_KEYS
        } else if self.setup.is_some() {
            &SETUP_KEYS
        } else {
            &KEYS
        }
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self.oven(shared).map_or("", |o| o.name.as_str());
        let what = if self.session.is_some() {
            "round with the thermometer"
        } else {
            "thermometer"
        };
        format!("{what}, {name}, {}", self.mode.words())
    }

    fn guide(&self, shared: &Shared) -> String {
        let Some(oven) = self.oven(shared) else {
            return "Esc: back".to_owned();
        };
        if self.wanted.is_some() {
            return "type the temperature that is wanted in the oven. Enter: done".to_owned();
        }
        if let Some(session) = &self.session {
            return match session.time {
                Some(_) => "type when it was read, like 14:05:30, then Enter".to_owned(),
                None => session.guide(session.now(shared), oven.dial.unit),
            };
        }
        if self.description.is_some() {
            return "describe your thermometer; Enter: next line, F2: save, Esc: leave it"
                .to_owned();
        }
        if self.setup.is_some() {
            return "up, down: line. left, right: change. Enter: begin the round".to_owned();
        }
        if self.settings() == 0 {
            "n: prepare a round with the thermometer".to_owned()
        } else {
            "w: what to set for a wanted temperature. p: plan a bake with it".to_owned()
        }
    }

    fn verdict(&self, shared: &Shared) -> Option<String> {
        if self.session.is_some() || self.setup.is_some() || self.description.is_some() {
            return None;
        }
        let said = self.said.held()?.ok()?;
        dial_verdict(&said.summary, self.oven(shared)?)
    }

    fn why(&self, shared: &Shared) -> Vec<Sentence> {
        if self.session.is_some() || self.setup.is_some() {
            return Vec::new();
        }
        self.behind(shared)
    }

    fn hit(&self, _: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Act> {
        view::hit(self, body, at, act)
    }

    fn takes_text(&self) -> bool {
        let on_dial = self.setup.as_ref().is_some_and(|s| s.line == Line::Dial);
        let in_form = self.description.is_some() || on_dial;
        self.takes_line() || (self.session.is_none() && in_form)
    }

    fn typed(&mut self, typed: Typed, _shared: &mut Shared) {
        if let Some(description) = &mut self.description {
            description.typed(&typed);
            return;
        }
        let time = self.session.as_mut().and_then(|s| s.time.as_mut());
        let dial = self.setup.as_mut().map(|s| &mut s.dial);
        if let Some(field) = self.wanted.as_mut().or(time).or(dial) {
            field.typed(&typed);
        }
    }

    fn entered(&mut self, shared: &mut Shared) {
        self.refresh(shared);
    }

    fn answered(&mut self, answer: &Answer, _shared: &mut Shared) {
        self.said.settle(answer);
    }

    fn leave(&mut self, shared: &mut Shared) {
        if self.wanted.take().is_some() {
            return;
        }
        if let Some(session) = &mut self.session {
            if session.time.take().is_none() && self.may_go("Esc", shared) {
                self.session = None;
                self.back = 0;
                self.refresh(shared);
            }
            return;
        }
        if self.description.take().is_some() {
            return;
        }
        if self.setup.take().is_none() {
            shared.back();
        }
    }

    fn may_quit(&mut self, shared: &mut Shared) -> bool {
        self.may_go("q", shared)
    }

    fn tick(&self) -> Option<Duration> {
        self.session.as_ref().map(|_| TICK)
    }

    fn ticked(&mut self, shared: &mut Shared) {
        if self.session.as_mut().is_some_and(|s| s.rings(shared)) {
            // A reading is due every minute or so: no desktop wants to hear that.
            shared.ring("");
        }
    }
}
