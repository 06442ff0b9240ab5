//! The history screen: the time line of an oven, charts of what was measured on it, when to test again.

mod charts;
mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::HistoryScreen;

use crate::tui::prelude::*;
use crate::workflow::history::{Desk, Mapped, history};
use state::Act;

keys! {
    /// The keys of the history screen.
    pub(crate) KEYS: Act, "History";
    'v' | Tab => Chart, "next chart", "next chart: evenness, hottest place, offset over time";
    'm' => Mode, "next mode", "the next way of heating";
    'w' => Paper, "write papers", "write the card for the oven door and the technician's sheet as PDF";
    Up => Step(-1), "", "later on the time line";
    Down => Step(1), "", "earlier on the time line; the chart marks that day";
}

impl Room for HistoryScreen {
    as_usual!(KEYS, [Act::Step(-1), Act::Step(1)]);

    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        true
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self.oven(shared).map_or("", |o| &o.name);
        format!("history of {name}")
    }

    fn guide(&self, _shared: &Shared) -> String {
        match self.answer() {
            None => "the charts appear by themselves in a moment".to_owned(),
            Some(Err(_)) => "Esc: back".to_owned(),
            Some(Ok(_)) => {
                "v: next chart. m: mode. up, down: along the time line. w: on paper".to_owned()
            }
        }
    }

    fn verdict(&self, _shared: &Shared) -> Option<String> {
        Some(self.ready()?.again.verdict())
    }

    fn why(&self, shared: &Shared) -> Vec<Sentence> {
        let (Some(life), Some(oven)) = (self.ready(), self.oven(shared)) else {
            return Vec::new();
        };
        let mut said = vec![Sentence::finding(life.again.sentence())];
        let rests_on = self
            .mode(oven, life)
            .and_then(|mode| life.mapped.basis(mode));
        if let Some(basis) = rests_on {
            said.push(Sentence::finding(format!("Degrees rest on {basis}.")));
        }
        said
    }

    fn press(&self, shared: &Shared, body: Rect, at: Position) -> Option<Act> {
        view::hit(self, shared, body, at)
    }

    fn entered(&mut self, shared: &mut Shared) {
        let known = shared.history.clone();
        let records = shared.kitchen.snapshot();
        let folder = shared.kitchen.folder().to_owned();
        let (oven, today) = (self.oven.clone(), shared.now.date());
        self.asked.ask(shared, Lane::Slow, move || {
            let oven = records.oven(&oven).ok_or(Trouble::Gone)?;
            let nothing = Mapped::default();
            let known = known.as_ref().map_or(&nothing, |life| &life.mapped);
            let desk = Desk {
                folder: Some(&folder),
                known,
                progress: &|_, _| {},
            };
            Ok(history(&records, oven, today, &desk))
        });
    }

    fn answered(&mut self, answer: &Answer, shared: &mut Shared) {
        if self.asked.settle(answer) {
            shared.history = self.asked.held().and_then(Result::ok).cloned();
        }
    }
}
