//! The state of the toasting clock, and what can be done on it.

use crate::tui::prelude::*;
use crate::{
    model::{Oven, Shade, ToastTest},
    tui::{
        bell::toast::{due, is_forgotten, toasted_for},
        shared::{Rang, Timed},
    },
    units::Minutes,
    workflow::{
        catalogue::Occasion,
        scoring::{ScoreKey, Scoring},
        toasting::{BROKEN_OFF, Toasting as Times},
    },
};
use std::time::Duration;

/// How often the clock is drawn while it runs.
pub(super) const TICK: Duration = Duration::from_millis(500);

/// What can be done on the toasting clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Cautions,
    Step,
    Lengthen(i8),
    Score,
    Digit(u8),
    NotIn,
}

/// What was asked; the same key again is the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ask {
    /// Take everything out well before the first look?
    Out,
    /// Stop the clock: the slices are not in?
    NotIn,
    /// Go back while it toasts?
    Leave,
}

/// The state of the toasting clock.
#[derive(Debug)]
pub(crate) struct Toasting {
    pub(super) oven: Oven,
    pub(super) test: Box<ToastTest>,
    pub(super) times: Times,
    asked: Confirm<Ask>,
    /// The minutes the test came with, before any was only expected.
    noted: Option<Minutes>,
    /// Whether a key has moved when it is expected out.
    lengthened: bool,
}

impl Toasting {
    /// Opens on a test that is about to go in, or is in the oven already.
    pub(crate) fn new(oven: Oven, test: ToastTest, shared: &mut Shared) -> Self {
        let times = Times::of(&shared.kitchen, &test);
        let clock = Self {
            oven,
            times,
            asked: Confirm::default(),
            noted: test.minutes.filter(|_| test.toasting.is_none()),
            lengthened: false,
            test: Box::new(test),
        };
        // What was due before this screen opened is seen on it; it does not ring late.
        let looks = clock
            .elapsed(shared)
            .map_or(0, |now| clock.times.looks_due(now));
        let of = Timed::Toast(clock.test.id.clone());
        shared.rang.insert(of, Rang { looks, due: None });
        clock
    }

    /// Returns how long the slices have been in.
    pub(super) fn elapsed(&self, shared: &Shared) -> Option<Minutes> {
        toasted_for(&self.test, shared)
    }

    /// Rings when a look is due, or everything is to come out.
    pub(super) fn ring(&mut self, shared: &mut Shared) {
        let now = self.elapsed(shared);
        let (call, what) = now.and_then(|now| due(&self.times, now)).unzip();
        if shared.rings(&Timed::Toast(self.test.id.clone()), call) {
            shared.ring(format!("TOAST: {}", what.unwrap_or_default()));
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, act: Act, shared: &mut Shared) {
        self.asked.pressed();
        match act {
            Act::Cautions => shared.caution(Occasion::ToastTest),
            Act::Step => self.step(shared),
            Act::Lengthen(by) => {
                self.times.lengthen(f64::from(by));
                self.lengthened = true;
                shared.say(format!(
                    "expected out by {}, looks from {}",
                    self.times.out, self.times.first_look
                ));
                if self.test.toasting.is_some() {
                    self.expect();
                    self.save(shared);
                }
            }
            Act::Score => self.score(None, shared),
            Act::Digit(digit) => self.score(Some(digit), shared),
            Act::NotIn => {
                if self.test.toasting.is_none() {
                    shared.say("the clock is not running; Space starts it");
                    return;
                }
                let words = "stop the clock, the slices are not in? u again to stop it";
                if self.asked.is_quite_sure(Ask::NotIn, words, shared) {
                    self.test.toasting = None;
                    self.test.minutes = self.noted;
                    shared.say("the clock is stopped; Space starts it again");
                    self.save(shared);
                }
            }
        }
    }

    /// Keeps in the test when it is expected out while it toasts: the bell on other screens goes by that.
    fn expect(&mut self) {
        if self.lengthened {
            self.test.minutes = Some(self.times.out);
        }
    }

    fn save(&self, shared: &mut Shared) {
        shared.save(Save::Test(self.test.clone()));
    }

    fn step(&mut self, shared: &mut Shared) {
        let Some(now) = self.elapsed(shared) else {
            self.test.toasting = Some(shared.begin());
            self.expect();
            shared.rang.remove(&Timed::Toast(self.test.id.clone()));
            shared.say("the clock runs; stay with the oven");
            self.save(shared);
            return;
        };
        let early = now < self.times.first_look || now < BROKEN_OFF;
        let words = "that is early: Space again if everything is out of the oven";
        if early && !self.asked.is_quite_sure(Ask::Out, words, shared) {
            return;
        }
        self.finish(now, shared);
    }

    /// Notes the minutes, where they say how long bread toasted, and goes on to the scores.
    fn finish(&mut self, now: Minutes, shared: &mut Shared) {
        let tenth = Minutes((now.0 * 10.0).round() / 10.0);
        let (noted, words) = if now < BROKEN_OFF {
            (
                None,
                "no bread toasts in under 2 min, so no time is noted".into(),
            )
        } else if is_forgotten(&self.test, now) {
            let hours = now.0 / 60.0;
            let words = format!("the clock ran on for {hours:.0} hours, so no time is noted");
            (None, words)
        } else {
            (Some(tenth), format!("toasted for {tenth}"))
        };
        self.test.minutes = noted;
        self.test.toasting = None;
        self.save(shared);
        shared.say(words);
        let oven = Box::new(self.oven.clone());
        shared.replace(Place::ScoreToasted(oven, self.test.clone()));
    }

    /// Goes on to the scores without the clock, the first slice scored at once where a digit was pressed.
    fn score(&mut self, digit: Option<u8>, shared: &mut Shared) {
        if self.test.toasting.is_some() {
            shared.say("the toast is still in: Space when it is out, then the scores");
            return;
        }
        let mut test = self.test.clone();
        if let Some(digit) = digit.filter(|d| Shade::whole(*d).is_ok()) {
            let mut scoring = Scoring::new(*test);
            if scoring.apply(ScoreKey::Digit(digit)).is_ok() {
                shared.save(Save::Test(Box::new(scoring.test().clone())));
            }
            test = Box::new(scoring.test().clone());
        }
        shared.replace(Place::Score(Box::new(self.oven.clone()), test));
    }

    /// Asks before the clock goes out of sight while bread toasts.
    pub(super) fn may_go(&mut self, shared: &mut Shared) -> bool {
        self.asked.pressed();
        if self.test.toasting.is_none() {
            return true;
        }
        let words = "bread is still in the oven: stay with it. Esc again: go; the bell rings on";
        // Going away loses nothing, so a quick second key may answer.
        self.asked.is_sure(Ask::Leave, words, shared)
    }
}
