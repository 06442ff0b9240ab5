//! The state of scoring, and what can be done while scoring.

use crate::tui::prelude::*;
use crate::tui::widgets::minutes::more_minutes;
use crate::workflow::pool::Pool;
use crate::workflow::{
    catalogue::Occasion,
    scoring::{ScoreKey, Scoring},
};
use crate::{
    model::{Oven, Reading, ToastTest},
    units::Minutes,
};

/// A map of fewer scores would only repeat them.
pub(super) const LEAST_SCORES: usize = 3;
/// Where noting the minutes begins: a slice takes about this long at a middling setting.
pub(super) const USUAL_MINUTES: Minutes = Minutes(10.0);

/// What can be done while scoring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Cautions,
    Key(ScoreKey),
    Minutes(i8),
    NextRack,
    Photo,
    Map,
}

/// The state of the scoring screen.
#[derive(Debug)]
pub(crate) struct Score {
    pub(super) oven: Oven,
    pub(super) scoring: Scoring,
    /// What would be written over, once it was asked: the slice and the key.
    asked: Confirm<(usize, ScoreKey)>,
    /// The cursor went on to another rack position by itself, and shades were typed ever since.
    went_on: bool,
    /// The toasting clock was ended by a key that skips here, and nothing else was pressed since.
    just_out: bool,
}

impl Score {
    /// Opens where the test was left.
    pub(crate) fn new(oven: Oven, test: ToastTest) -> Self {
        Self {
            oven,
            scoring: Scoring::new(test),
            asked: Confirm::default(),
            went_on: false,
            just_out: false,
        }
    }

    /// Opens from the toasting clock.
    pub(crate) fn just_out(self) -> Self {
        Self {
            just_out: true,
            ..self
        }
    }

    pub(super) fn test(&self) -> &ToastTest {
        self.scoring.test()
    }

    /// Takes up what another screen made of the same test meanwhile: a key here must not bring older scores back.
    pub(super) fn take_up(&mut self, shared: &Shared) {
        let kept = shared.kitchen.test(&self.test().id);
        if let Some(changed) = kept.filter(|test| *test != self.test()) {
            self.scoring = Scoring::new(changed.clone());
        }
    }

    /// Returns the rack position in sight: that of the slice under the cursor, else the last one.
    pub(super) fn rack_in_sight(&self) -> Option<u8> {
        let slices = &self.test().slices;
        slices
            .get(self.scoring.cursor())
            .or(slices.last())
            .map(|s| s.rack)
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        self.just_out &= action == Act::Key(ScoreKey::Skip);
        match action {
            Act::Key(key) => self.score(key, shared),
            Act::Minutes(by) => {
                let mut test = self.test().clone();
                test.minutes = more_minutes(test.minutes, f64::from(by), Some(USUAL_MINUTES));
                self.scoring.set_minutes(test.minutes);
                match test.minutes {
                    Some(minutes) => shared.say(format!("toasted for {minutes}")),
                    None => shared.say("minutes in the oven not noted"),
                }
                self.save(shared);
            }
            Act::Cautions => shared.caution(Occasion::ToastTest),
            Act::NextRack => self.next_rack(shared),
            Act::Photo => {
                self.open_photo(shared);
            }
            Act::Map => self.read_map(shared),
        }
    }

    pub(super) fn score(&mut self, key: ScoreKey, shared: &mut Shared) {
        if !self.may_write(key, shared) {
            self.scoring.refuse();
            return;
        }
        let (before, rack) = (self.test().slices.clone(), self.rack_in_sight());
        match self.scoring.apply(key) {
            Err(error) => {
                shared.say(error.to_string());
            }
            Ok(false) => match key {
                ScoreKey::Undo => shared.say(
                    "nothing to take back since this screen opened; go to a slice and score it again",
                ),
                ScoreKey::Redo => shared.say("nothing to make again"),
                _ => {}
            },
            Ok(true) => {
                // The cursor is kept too, so that reopening resumes at the same slice.
                self.save(shared);
                let typed = matches!(key, ScoreKey::Digit(_) | ScoreKey::Half);
                // Who types on without looking finds it said for as long as that goes on.
                self.went_on &= typed;
                self.went_on |= self.rack_in_sight() != rack;
                if let (true, Some(now)) = (self.went_on, self.rack_in_sight()) {
                    shared.say(format!("rack {now} now"));
                }
                if self.test().slices != before {
                    self.refit(shared);
                }
            }
        }
    }

    /// Asks once before a score is written over; the same key again does it.
    fn may_write(&mut self, key: ScoreKey, shared: &mut Shared) -> bool {
        self.asked.pressed();
        if !matches!(key, ScoreKey::Digit(_) | ScoreKey::Skip | ScoreKey::Missing) {
            return true;
        }
        let index = self.scoring.cursor();
        if self.just_out {
            let words = format!("slice {} not skipped; press s to skip it", index + 1);
            let sure = self.asked.is_quite_sure((index, key), words, shared);
            self.just_out = !sure;
            return sure;
        }
        let was = self.test().slices.get(index).map(|s| s.reading);
        let Some(was) = was.filter(|r| r.is_settled()) else {
            return true;
        };
        let had = match was {
            Reading::ByEye(shade) => format!("has shade {shade}"),
            Reading::Measured { .. } => "was read from a photo".to_owned(),
            Reading::Skipped => "was skipped".to_owned(),
            Reading::Missing | Reading::Unscored => "was not there".to_owned(),
        };
        let words = format!("slice {} {had}; the same key again changes it", index + 1);
        self.asked.is_sure((index, key), words, shared)
    }

    pub(super) fn save(&self, shared: &mut Shared) {
        shared.save(Save::Test(Box::new(self.test().clone())));
    }

    /// Asks for the map of this test alone; older scores would hide what the last key did.
    pub(super) fn refit(&self, shared: &mut Shared) {
        if self.test().scored() >= LEAST_SCORES {
            shared.ask_map(Pool::of(&self.oven, &[self.test()]));
        }
    }

    pub(super) fn next_rack(&mut self, shared: &mut Shared) {
        let slices = &self.test().slices;
        let here = self.rack_in_sight();
        let firsts: Vec<usize> = (0..slices.len())
            .filter(|&i| i == 0 || slices[i - 1].rack != slices[i].rack)
            .collect();
        let at = firsts.iter().position(|&i| Some(slices[i].rack) == here);
        if let Some(first) = at.map(|i| firsts[(i + 1) % firsts.len()]) {
            self.score(ScoreKey::To(first), shared);
        }
    }

    pub(super) fn open_photo(&self, shared: &mut Shared) {
        let (oven, test) = (self.oven.clone(), self.test().clone());
        shared.open(Place::Photo {
            oven: Box::new(oven),
            test: Box::new(test),
            rack: self.rack_in_sight(),
            from_score: true,
        });
    }

    pub(super) fn read_map(&self, shared: &mut Shared) {
        if self.test().scored() == 0 {
            shared.say("a map needs scores; press a digit for each slice first");
            return;
        }
        if self.test().is_check() {
            let oven = Box::new(self.oven.clone());
            shared.open(Place::Checked(oven, self.test().id.clone()));
            return;
        }
        // The kitchen holds this test as last saved, which is as it stands: every key saves.
        let tests = shared.beside(self.test());
        shared.open(Place::Map(self.oven.id.clone(), tests));
    }
}
