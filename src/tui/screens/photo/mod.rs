//! From a photo of the toasted slices to their scores: the file, the corners of the lattice, what in
//! the photo is of known lightness, the scores over the picture, and into the toast test.

mod file;
mod fit;
mod keys;
mod patch;
mod place;
mod reading;
mod state;
mod steps;
#[cfg(test)]
mod tests;
mod view;
mod way;
mod words;

pub(crate) use keys::{CORNER_KEYS, FILE_KEYS, RACK_KEYS, REFERENCE_KEYS, SCORE_KEYS};

pub(crate) use state::PhotoScreen;

use crate::tui::prelude::*;
use crate::{tui::widgets::photo_view::Painting, workflow::catalogue::Occasion};
use state::{PhotoAction, Step};
use std::time::Duration;

/// How often the time that work takes is drawn again.
const TICK: Duration = Duration::from_millis(500);

impl Room for PhotoScreen {
    type Act = PhotoAction;

    fn table(&self) -> &'static Table<PhotoAction> {
        match self.step {
            Step::File { .. } => &FILE_KEYS,
            Step::Corners => &CORNER_KEYS,
            Step::References => &REFERENCE_KEYS,
            Step::Scores => &SCORE_KEYS,
            Step::Rack => &RACK_KEYS,
        }
    }

    fn act(&mut self, act: PhotoAction, shared: &mut Shared) {
        if act == PhotoAction::Cautions {
            shared.caution(Occasion::ToastTest);
        } else {
            self.update(act, shared);
        }
    }

    fn title(&self, _shared: &Shared) -> String {
        format!(
            "scores from a photo, {}, test of {}",
            self.oven.name,
            self.test.when.date()
        )
    }

    fn guide(&self, shared: &Shared) -> String {
        words::guide(self, shared)
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn painting(&self, body: Rect) -> Option<Painting> {
        view::painting(self, body)
    }

    fn hit(
        &self,
        _shared: &Shared,
        body: Rect,
        at: Position,
        act: MouseAct,
    ) -> Option<PhotoAction> {
        view::hit(self, body, at, act)
    }

    fn takes_text(&self) -> bool {
        matches!(self.step, Step::File { .. })
    }

    fn typed(&mut self, typed: Typed, _shared: &mut Shared) {
        self.trouble = None;
        self.file.typed(&typed);
    }

    fn answered(&mut self, answer: &Answer, shared: &mut Shared) {
        if self.asked.settle(answer) {
            self.take_answer(shared);
        }
    }

    fn leave(&mut self, shared: &mut Shared) {
        self.step_back(shared);
    }

    fn tick(&self) -> Option<Duration> {
        self.wait.map(|_| TICK)
    }
}
