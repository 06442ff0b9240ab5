//! Scoring: one digit a slice, on disk before the next frame, with the map growing beside it.

mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::Score;

use crate::model::PlaceName;
use crate::tui::prelude::*;
use crate::workflow::scoring::ScoreKey;
use state::{Act, LEAST_SCORES};

keys! {
    /// The keys of the scoring screen.
    pub(crate) KEYS: Act, "Scoring";
    Digits => |d| Key(ScoreKey::Digit(d)), "shade", "score the slice: 0 untoasted to 9 burnt black; the cursor moves on";
    '+' | '.' => Key(ScoreKey::Half), "half", "put half a step on the slice just scored or gone to, or take it off again";
    's' | ' ' => Key(ScoreKey::Skip), "skip", "skip the slice: it is left out of the map";
    'x' => Key(ScoreKey::Missing), "none", "no slice lay there";
    'u' | Backspace => Key(ScoreKey::Undo), "undo", "take the last score back";
    'r' => Key(ScoreKey::Redo), "", "redo what was taken back";
    't' | PageUp => Minutes(1), "a minute more", "toasted one minute longer; from the first press, about 10 min";
    Enter | 'm' => Map, "read the map", "read the map";
    'f' => Photo, "photo", "read the scores from a photo of the slices";
    'T' | PageDown => Minutes(-1), "", "toasted one minute less";
    Tab => NextRack, "", "next rack position";
    'c' => Cautions, "", "read the cautions";
    Left => Key(ScoreKey::Left), "", "slice before";
    Right => Key(ScoreKey::Right), "", "next slice";
    Up => Key(ScoreKey::Up), "", "slice behind, towards the back wall";
    Down => Key(ScoreKey::Down), "", "slice in front, towards the door";
}

impl Room for Score {
    as_usual!(KEYS, [Act::Key(ScoreKey::Left), Act::Key(ScoreKey::Right)]);

    fn refreshed(&mut self, shared: &mut Shared) -> bool {
        let id = &self.test().id;
        let Some(test) = shared.kitchen.test(id).cloned() else {
            return false;
        };
        *self = Self::new(self.oven.clone(), test);
        true
    }

    fn title(&self, _shared: &Shared) -> String {
        let test = self.test();
        let dial = self.oven.dial.unit.show(test.setup.dial);
        let minutes = test.minutes.map_or_else(String::new, |m| format!(", {m}"));
        let what = if self.scoring.was_complete() {
            "correct scores"
        } else {
            "score the toast test"
        };
        format!(
            "{what}, {}, {} {dial}{minutes}",
            self.oven.name,
            test.setup.mode.words()
        )
    }

    fn guide(&self, _shared: &Shared) -> String {
        let test = self.test();
        let count = test.slices.len();
        let Some(slice) = test.slices.get(self.scoring.cursor()) else {
            if test.is_check() {
                return "all slices are done. Enter: what the check says".to_owned();
            }
            return match test.minutes {
                None => "all are done. How long were they in? t: minutes. Enter: read the map",
                Some(_) => "all slices are done. Enter: read the map",
            }
            .to_owned();
        };
        let c = self.oven.cavity;
        let place = PlaceName::of(slice.place.x.0, slice.place.y.0, c.width.0, c.depth.0);
        let number = self.scoring.cursor() + 1;
        if test.scored() == 0 {
            return format!(
                "toast; when out, press 0-9 for slice {number} of {count} ({}, rack {})",
                place.words(),
                slice.rack
            );
        }
        format!(
            "press 0-9 for slice {number} of {count} ({}, rack {})",
            place.words(),
            slice.rack
        )
    }

    fn press(&self, _: &Shared, body: Rect, at: Position) -> Option<Act> {
        view::hit(self, body, at).map(Act::Key)
    }

    fn entered(&mut self, shared: &mut Shared) {
        self.take_up(shared);
        self.refit(shared);
    }
}
