//! The state of the home screen, and what can be done on it.

use crate::tui::bell::{first, toast};
use crate::tui::prelude::*;
use crate::workflow::catalogue::bake_name;
use crate::{
    model::{BakeLog, Oven, TestId, ToastTest},
    tui::{
        shared::{MapKey, Timed},
        widgets::field::Field,
    },
    workflow::{
        class::{OvenLine, class},
        pool::{Pool, Which},
    },
};
use jiff::SignedDuration;

/// What can be done on the home screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Up,
    Down,
    Side,
    /// Put the cursor on a row of the ovens.
    ToOven(usize),
    /// Put the cursor on a row of the tests; on that row already, open it.
    ToTest(usize),
    /// Do what comes next for what the cursor is on.
    Open,
    Recipes,
    NewOven,
    EditOven,
    Toast,
    Score,
    Map,
    Photo,
    Plan,
    Record,
    Air,
    Check,
    Dough,
    Clock,
    SetAside,
    Undo,
    Search,
    Found,
    Sort,
}

/// From this many ovens on each takes one line.
const CLASS: usize = 7;
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
    doomed: Confirm<TestId>,
    /// The last one set aside.
    gone: Option<ToastTest>,
    /// A line for every oven of a class.
    pub(super) lines: Asked<Vec<OvenLine>>,
    /// The part of a name that ovens are found by.
    pub(super) name: Option<Field>,
    /// Whether it is being typed.
    pub(super) typing: bool,
    by_due: bool,
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
            doomed: Confirm::default(),
            gone: None,
            lines: Asked::default(),
            name: None,
            typing: false,
            by_due: false,
        }
    }

    /// Tells whether every oven is drawn in one line.
    pub(super) fn shows_class(&self, shared: &Shared) -> bool {
        self.side == Side::Ovens && shared.kitchen.ovens().len() >= CLASS
    }

    /// Asks for the line of every oven and for the map of the chosen one; what is known is taken over.
    pub(crate) fn ask(&mut self, shared: &mut Shared) {
        if shared.kitchen.ovens().is_empty() {
            return;
        }
        self.ask_map(shared);
        let known = self.lines.held().and_then(Result::ok).cloned();
        let (records, today) = (shared.kitchen.snapshot(), shared.now.date());
        let says = shared.kitchen.ovens().len() >= CLASS;
        self.lines.ask(shared, Lane::Slow, move || {
            let known = known.as_ref().map_or(&[][..], |lines| lines.as_slice());
            Ok(class(&records, today, known, says))
        });
    }

    /// Asks for the map of the chosen oven; its scores may have changed since the one in hand.
    fn ask_map(&self, shared: &mut Shared) {
        let (Some(oven), Some(key)) = (self.chosen(shared).cloned(), self.map_key(shared)) else {
            return;
        };
        let pool = Pool::choose(&shared.kitchen, &oven, &Which::These(key.tests));
        shared.ask_map(pool);
    }

    /// Asks for the map of the oven that was just chosen, unless it is in hand or on its way.
    pub(super) fn ask_for_map(&self, shared: &mut Shared) {
        let is_another = |key: &MapKey| !shared.map.is_about(key);
        if shared.steps.is_empty() && self.map_key(shared).as_ref().is_some_and(is_another) {
            self.ask_map(shared);
        }
    }

    /// Returns the line of an oven, once it is worked out.
    pub(super) fn line(&self, oven: &Oven) -> Option<&OvenLine> {
        let lines = self.lines.held()?.ok()?;
        lines.iter().find(|line| line.oven == oven.id)
    }

    /// Returns which ovens are in the list, in its order: those that fit the name typed, by name or by what is due.
    pub(super) fn order(&self, shared: &Shared) -> Vec<usize> {
        let ovens = shared.kitchen.ovens();
        if ovens.len() < CLASS {
            return (0..ovens.len()).collect();
        }
        let part = self.name.as_ref().map_or("", Field::text).to_lowercase();
        let mut order: Vec<usize> = (0..ovens.len())
            .filter(|&i| ovens[i].name.to_lowercase().contains(&part))
            .collect();
        order.sort_by_cached_key(|&i| {
            let due = self.line(&ovens[i]).map(|l| l.again.from);
            (due.filter(|_| self.by_due), ovens[i].name.to_lowercase())
        });
        order
    }

    /// Returns the row of the chosen oven in the list.
    pub(super) fn row_in(&self, order: &[usize]) -> usize {
        order.iter().position(|&i| i == self.oven).unwrap_or(0)
    }

    /// Puts the cursor on the first oven found, where it stands on none of them.
    pub(super) fn select_first_found(&mut self, shared: &Shared) {
        let order = self.order(shared);
        if let (false, Some(&first)) = (order.contains(&self.oven), order.first()) {
            self.oven = first;
            self.test = 0;
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

    /// Returns what a map or a plan stands on: with the cursor on a test those beside it, on an oven those of now.
    pub(super) fn pooled(&self, shared: &Shared) -> Option<Vec<TestId>> {
        let test = self.test_in_hand(shared)?;
        if self.side == Side::Tests {
            return Some(shared.beside(test));
        }
        Some(shared.now_in(self.chosen(shared)?, test.setup.mode))
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
        self.doomed.pressed();
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
            Act::Search | Act::Sort if shared.kitchen.ovens().len() < CLASS => {
                shared.say("every oven of this kitchen is in sight");
            }
            Act::Search => {
                self.side = Side::Ovens;
                self.name = Some(Field::default());
                self.typing = true;
            }
            Act::Found => self.typing = false,
            Act::Sort => {
                self.by_due = !self.by_due;
                let by = if self.by_due { "what is due" } else { "name" };
                shared.say(format!("sorted by {by}"));
            }
            Act::NewOven => shared.open(Place::NewOven),
            Act::Recipes => {
                let oven = self.chosen(shared).map(|o| o.id.clone());
                shared.open(Place::Recipes(oven));
            }
            Act::SetAside => self.set_aside(shared),
            Act::Undo => self.undo(shared),
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
            (Some(_), Side::Ovens) if first(shared).is_some() => Act::Clock,
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
                // Laid out and not yet toasted: its clock is there again, and takes scores too.
                if toast::runs(&test, shared) || is_untouched(&test) {
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
                let tests = self.pooled(shared).unwrap_or_default();
                if tests.is_empty() {
                    shared.say("a map needs a scored toast test; press t to lay one out");
                    return;
                }
                Place::Map(oven.id, tests)
            }
            Act::Plan => {
                let tests = self.pooled(shared).unwrap_or_default();
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
            Some(test) if test.is_check() && test.is_complete() => {
                Place::Checked(Box::new(oven), test.id.clone())
            }
            Some(_) | None => Place::Check(Box::new(oven)),
        }
    }

    pub(super) fn step(&mut self, shared: &Shared, by: isize) {
        match self.side {
            Side::Ovens => {
                let before = self.oven;
                let order = self.order(shared);
                let row = list::step(self.row_in(&order), by, order.len());
                self.oven = order.get(row).copied().unwrap_or(self.oven);
                if self.oven != before {
                    self.test = 0;
                }
            }
            Side::Tests => self.test = list::step(self.test, by, self.tests(shared).len()),
        }
    }

    fn set_aside(&mut self, shared: &mut Shared) {
        let under = match self.side {
            Side::Tests => self.test_in_hand(shared).cloned(),
            Side::Ovens => None,
        };
        let Some(test) = under else {
            shared.say("put the cursor on a toast test first (Tab)");
            return;
        };
        let words = "press x again to set this test aside, any other key to keep it";
        if self.doomed.is_sure(test.id.clone(), words, shared) {
            self.test = self.test.saturating_sub(1);
            if self.tests(shared).len() <= 1 {
                self.side = Side::Ovens;
            }
            shared.say("set aside; u takes that back");
            shared.set_aside(test.id.clone());
            self.gone = Some(test);
        }
    }

    fn undo(&mut self, shared: &mut Shared) {
        match self.gone.take() {
            Some(test) if shared.kitchen.test(&test.id).is_none() => {
                shared.say(format!("the test of {} is back", test.when.date()));
                shared.save(Save::Test(Box::new(test)));
            }
            Some(_) | None => shared.say("nothing to take back"),
        }
    }
}

/// Opens the clock of what is in an oven and due soonest.
pub(super) fn resume(shared: &mut Shared) {
    let kitchen = &shared.kitchen;
    let place = match first(shared) {
        Some(Timed::Day) => Some(Place::RunningDay),
        Some(Timed::Bake(id)) => {
            let bake = kitchen.bakes().iter().find(|b| b.id == id).cloned();
            bake.map(|bake| Place::RunningClock(Box::new(bake)))
        }
        Some(Timed::Toast(id)) => kitchen.test(&id).and_then(|test| {
            let oven = kitchen.oven(&test.setup.oven)?.clone();
            Some(Place::Toasting(Box::new(oven), Box::new(test.clone())))
        }),
        Some(Timed::Dough(_)) | None => None,
    };
    match place {
        Some(place) => shared.open(place),
        None => shared.say("no bake is running; press p to plan one"),
    }
}

/// Tells whether a test was laid out and nothing was done with it since.
pub(super) fn is_untouched(test: &ToastTest) -> bool {
    test.minutes.is_none() && test.scored() == 0
}

/// Says what bakes and when it is due out: `thin cookies, out at 09:42`.
pub(super) fn bake_words(bake: &BakeLog, shared: &Shared) -> String {
    let name = bake_name(&bake.plan);
    #[expect(clippy::cast_possible_truncation, reason = "a bake of hours at most")]
    let out = bake.due_out().seconds() as i64;
    // By what the wall clock shows now: it may have been set since.
    let now = shared.moment;
    let set = now.duration_since(shared.now_since(bake.started));
    let set = SignedDuration::from_secs_f64(set.as_secs_f64().round());
    let out = bake.started + SignedDuration::from_secs(out) + set;
    let out = out.by_clock_of(now).civil();
    let due = if out < now.civil() { "was due" } else { "out" };
    format!("{name}, {due} at {:02}:{:02}", out.hour(), out.minute())
}
