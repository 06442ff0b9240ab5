//! The state of the home screen, and what can be done on it.

use crate::tui::bell::{running, toast};
use crate::workflow::{catalogue::kind_name, check::is_check};
use crate::{
    model::{BakeLog, Moment, Oven, TestId, ToastTest},
    tui::{place::Place, shared::Shared, widgets::list},
};
use jiff::SignedDuration;

/// What can be done on the home screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    /// Move the cursor one row up.
    Up,
    /// Move the cursor one row down.
    Down,
    /// Go to the other list.
    Side,
    /// Put the cursor on a row of the ovens.
    ToOven(usize),
    /// Put the cursor on a row of the tests; on that row already, open it.
    ToTest(usize),
    /// Do what comes next for what the cursor is on.
    Open,
    /// Describe a new oven.
    NewOven,
    /// Change the oven's description.
    EditOven,
    /// Lay out a new toast test.
    Toast,
    /// Go on scoring.
    Score,
    /// Show the oven's map.
    Map,
    /// Read the scores of a test from a photo.
    Photo,
    /// Plan a bake.
    Plan,
    /// Show the oven's record.
    Record,
    /// Read the oven's air with a thermometer.
    Air,
    /// Check the oven with a few slices.
    Check,
    /// Time a dough that rises.
    Dough,
    /// Go back to the clock of the bake that runs.
    Clock,
    /// Set the test under the cursor aside; the second press does it.
    SetAside,
}

/// Rows one oven takes in the list.
pub(super) const OVEN_ROWS: usize = 4;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Ovens,
    Tests,
}

/// The state of the home screen.
#[derive(Debug)]
pub(crate) struct Home {
    pub(super) side: Side,
    pub(super) oven: usize,
    /// Row in the list of tests, newest first.
    pub(super) test: usize,
    /// The test that the next press sets aside.
    pub(super) doomed: Option<TestId>,
}

impl Home {
    /// Opens on the oven that was tested last.
    pub(crate) fn new(shared: &Shared) -> Self {
        let newest = shared.kitchen.tests().last().map(|t| &t.setup.oven);
        let ovens = shared.kitchen.ovens();
        let oven = newest
            .and_then(|id| ovens.iter().position(|o| o.id == *id))
            .unwrap_or(0);
        Self {
            side: Side::Ovens,
            oven,
            test: 0,
            doomed: None,
        }
    }

    pub(super) fn chosen<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.ovens().get(self.oven)
    }

    /// Returns the tests of the chosen oven, newest first.
    pub(super) fn tests<'s>(&self, shared: &'s Shared) -> Vec<&'s ToastTest> {
        self.chosen(shared).map_or_else(Vec::new, |oven| {
            let mut tests = shared.kitchen.tests_of(&oven.id);
            tests.reverse();
            tests
        })
    }

    /// Returns the test under the cursor, else the newest one.
    pub(super) fn test_in_hand<'s>(&self, shared: &'s Shared) -> Option<&'s ToastTest> {
        self.tests(shared).get(self.test).copied()
    }

    /// Returns what to go on scoring: the test under the cursor, else the newest unfinished one.
    pub(super) fn to_score<'s>(&self, shared: &'s Shared) -> Option<&'s ToastTest> {
        let under = match self.side {
            Side::Tests => self.test_in_hand(shared),
            Side::Ovens => None,
        };
        under.or_else(|| {
            let tests = self.tests(shared);
            let unfinished = tests.iter().find(|t| !t.is_complete()).copied();
            unfinished.or_else(|| tests.first().copied())
        })
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        let doomed = self.doomed.take();
        match action {
            Act::Up => self.step(shared, -1),
            Act::Down => self.step(shared, 1),
            Act::Side => {
                self.side = match self.side {
                    Side::Ovens if !self.tests(shared).is_empty() => Side::Tests,
                    Side::Ovens | Side::Tests => Side::Ovens,
                };
            }
            Act::ToOven(row) => {
                self.side = Side::Ovens;
                if row < shared.kitchen.ovens().len() && row != self.oven {
                    self.oven = row;
                    self.test = 0;
                }
            }
            Act::ToTest(row) => {
                if self.side == Side::Tests && self.test == row {
                    return self.update(Act::Open, shared);
                }
                if row < self.tests(shared).len() {
                    self.side = Side::Tests;
                    self.test = row;
                }
            }
            Act::NewOven => shared.open(Place::NewOven),
            Act::SetAside => self.set_aside(shared, doomed),
            Act::Clock => resume(shared),
            Act::Open => {
                let next = self.next(shared);
                self.update(next, shared);
            }
            _ => self.go(action, shared),
        }
    }

    /// Returns the next thing to do for what the cursor is on.
    pub(super) fn next(&self, shared: &Shared) -> Act {
        match (self.chosen(shared), self.side) {
            (None, _) => Act::NewOven,
            // Bread and cookies burn; scores can wait.
            (Some(_), Side::Ovens) if running(shared).is_some() => Act::Clock,
            (Some(_), Side::Tests) => match self.test_in_hand(shared) {
                Some(test) if test.is_complete() => Act::Map,
                Some(_) => Act::Score,
                None => Act::Toast,
            },
            (Some(_), Side::Ovens) => {
                let tests = self.tests(shared);
                if tests.is_empty() {
                    Act::Toast
                } else if tests.iter().any(|t| !t.is_complete()) {
                    Act::Score
                } else {
                    Act::Map
                }
            }
        }
    }

    /// Opens a screen about the chosen oven.
    pub(super) fn go(&self, action: Act, shared: &mut Shared) {
        let Some(oven) = self.chosen(shared).cloned() else {
            shared.say("there is no oven yet; press n to describe one");
            return;
        };
        let pooled = |shared: &Shared, test: Option<&ToastTest>| {
            test.map_or_else(Vec::new, |t| shared.beside(t))
        };
        let place = match action {
            Act::EditOven => Place::EditOven(Box::new(oven)),
            Act::Toast => Place::Layout(Box::new(oven)),
            Act::Dough => Place::Rising(Box::new(oven)),
            Act::Check => self.check_of(oven, shared),
            Act::Record => Place::Record(oven.id),
            Act::Air => Place::Air(oven.id),
            Act::Score => {
                let Some(test) = self.to_score(shared).cloned() else {
                    shared.say("there is no toast test to score; press t to lay one out");
                    return;
                };
                if toast::runs(&test, shared) {
                    Place::Toasting(Box::new(oven), Box::new(test))
                } else {
                    Place::Score(Box::new(oven), Box::new(test))
                }
            }
            Act::Photo => {
                let Some(test) = self.to_score(shared).cloned() else {
                    shared.say("there is no toast test to score; press t to lay one out");
                    return;
                };
                Place::Photo {
                    oven: Box::new(oven),
                    test: Box::new(test),
                    rack: None,
                    from_score: false,
                }
            }
            Act::Map => {
                let tests = pooled(shared, self.test_in_hand(shared));
                if tests.is_empty() {
                    shared.say("a map needs a scored toast test; press t to lay one out");
                    return;
                }
                Place::Map(oven.id, tests)
            }
            Act::Plan => {
                let tests = pooled(shared, self.test_in_hand(shared));
                Place::Plan(oven.id, tests)
            }
            _ => return,
        };
        shared.open(place);
    }

    /// Returns where a quick check begins, or what the one under the cursor says.
    fn check_of(&self, oven: Oven, shared: &Shared) -> Place {
        let under = match self.side {
            Side::Tests => self.test_in_hand(shared),
            Side::Ovens => None,
        };
        match under {
            Some(test) if is_check(test) && test.is_complete() => {
                Place::Checked(Box::new(oven), test.id.clone())
            }
            Some(_) | None => Place::Check(Box::new(oven)),
        }
    }

    pub(super) fn step(&mut self, shared: &Shared, by: isize) {
        match self.side {
            Side::Ovens => {
                let before = self.oven;
                self.oven = list::step(self.oven, by, shared.kitchen.ovens().len());
                if self.oven != before {
                    self.test = 0;
                }
            }
            Side::Tests => self.test = list::step(self.test, by, self.tests(shared).len()),
        }
    }

    pub(super) fn set_aside(&mut self, shared: &mut Shared, doomed: Option<TestId>) {
        let under = match self.side {
            Side::Tests => self.test_in_hand(shared).map(|t| t.id.clone()),
            Side::Ovens => None,
        };
        match (under, doomed) {
            (None, _) => shared.say("put the cursor on a toast test first (Tab)"),
            (Some(test), Some(doomed)) if test == doomed => {
                self.test = self.test.saturating_sub(1);
                if self.tests(shared).len() <= 1 {
                    self.side = Side::Ovens;
                }
                shared.say("set aside; it is kept in the data folder under 'removed'");
                shared.set_aside(test);
            }
            (Some(test), _) => {
                shared.say("press x again to set this test aside, any other key to keep it");
                self.doomed = Some(test);
            }
        }
    }
}

/// Opens the clock of the bake that runs.
pub(super) fn resume(shared: &mut Shared) {
    match running(shared).cloned() {
        Some(bake) => shared.open(Place::RunningClock(Box::new(bake))),
        None => shared.say("no bake is running; press p to plan one"),
    }
}

/// Says what bakes and when it is due out: `thin cookies, out at 09:42`.
pub(super) fn bake_words(bake: &BakeLog, now: Moment) -> String {
    let name = kind_name(&bake.kind);
    #[expect(clippy::cast_possible_truncation, reason = "a bake of hours at most")]
    let out = bake.started + SignedDuration::from_secs((bake.plan.bake.0 * 60.0) as i64);
    let out = out.by_clock_of(now).civil();
    format!("{name}, out at {:02}:{:02}", out.hour(), out.minute())
}
