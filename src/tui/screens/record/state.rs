//! The state of the record, and what can be done with it.

use crate::tui::bell::runs;
use crate::tui::prelude::*;
use crate::{
    model::{BakeLog, Mode, OvenId, ServiceVisit, TestId, ToastTest, moment::names_zone},
    tui::widgets::field::Field,
};
use jiff::civil::DateTime;

/// What can be done with the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Paper,
    Up,
    Down,
    /// Jump to a row.
    To(usize),
    Open,
    Visit,
    Mark,
    Compare,
    Air,
    History,
    OtherLine,
    Keep,
}

/// One thing that happened to the oven.
#[derive(Debug, Clone, Copy)]
pub(super) enum Entry<'s> {
    Test(&'s ToastTest),
    Bake(&'s BakeLog),
    /// With its place in the oven's list.
    Visit(usize, &'s ServiceVisit),
}

impl Entry<'_> {
    fn when(&self) -> DateTime {
        match self {
            Self::Test(test) => test.when,
            Self::Bake(bake) => bake.started.civil(),
            Self::Visit(_, visit) => visit.when,
        }
    }

    /// Writes when it was; a visit without a time stands for its day.
    pub(super) fn moment(&self) -> String {
        match self {
            Self::Visit(_, visit) => visit.moment(),
            Self::Test(_) | Self::Bake(_) => self.when().strftime("%Y-%m-%d %H:%M").to_string(),
        }
    }
}

/// A service visit as it is written.
#[derive(Debug)]
pub(super) struct Draft {
    /// Place of the visit that is changed; `None` for a new one.
    pub(super) place: Option<usize>,
    pub(super) words: Field,
    pub(super) day: Field,
    pub(super) on_day: bool,
}

/// The state of the record screen.
#[derive(Debug)]
pub(crate) struct Record {
    pub(super) oven: OvenId,
    pub(super) row: usize,
    /// Tests marked for comparing, at most two, the latest mark last.
    pub(super) marked: Vec<TestId>,
    pub(super) draft: Option<Draft>,
}

impl Record {
    /// Opens the record of an oven.
    pub(crate) fn new(oven: OvenId) -> Self {
        Self {
            oven,
            row: 0,
            marked: Vec::new(),
            draft: None,
        }
    }

    /// Returns everything that happened to the oven, newest first.
    pub(super) fn entries<'s>(&self, shared: &'s Shared) -> Vec<Entry<'s>> {
        let kitchen = &shared.kitchen;
        let visits = kitchen.oven(&self.oven).map_or(&[][..], |o| &o.visits);
        let mut entries: Vec<Entry<'s>> = kitchen
            .tests_of(&self.oven)
            .into_iter()
            .map(Entry::Test)
            .chain(kitchen.bakes_of(&self.oven).into_iter().map(Entry::Bake))
            .chain(visits.iter().enumerate().map(|(i, v)| Entry::Visit(i, v)))
            .collect();
        entries.sort_by_key(|e| std::cmp::Reverse(e.when()));
        entries
    }

    /// Returns the mode of the toast test under the cursor.
    pub(super) fn mode_at_cursor(&self, shared: &Shared) -> Option<Mode> {
        match self.entries(shared).get(self.row)? {
            Entry::Test(test) => Some(test.setup.mode),
            Entry::Bake(_) | Entry::Visit(..) => None,
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        let count = self.entries(shared).len();
        match action {
            Act::Paper => {
                let mode = self.mode_at_cursor(shared);
                shared.ask_papers(self.oven.clone(), mode);
            }
            Act::Up => self.row = list::step(self.row, -1, count),
            Act::Down => self.row = list::step(self.row, 1, count),
            Act::To(row) if row < count => self.row = row,
            Act::To(_) => {}
            Act::Open => self.open(shared),
            Act::Mark => self.mark(shared),
            Act::Compare => self.compare(shared),
            Act::Air => {
                if let Some(oven) = shared.kitchen.oven(&self.oven) {
                    shared.open(Place::Air(oven.id.clone()));
                }
            }
            Act::History => {
                shared.open(Place::History(self.oven.clone()));
            }
            Act::Visit => {
                self.draft = Some(Draft {
                    place: None,
                    words: Field::default(),
                    day: Field::new(shared.now.strftime("%Y-%m-%d %H:%M").to_string()),
                    on_day: false,
                });
            }
            Act::OtherLine => {
                if let Some(draft) = &mut self.draft {
                    draft.on_day = !draft.on_day;
                }
            }
            Act::Keep => self.keep(shared),
        }
    }

    /// Marks the test under the cursor or takes its mark off; of three marks the oldest goes.
    pub(super) fn mark(&mut self, shared: &mut Shared) {
        let id = match self.entries(shared).get(self.row) {
            Some(Entry::Test(test)) => test.id.clone(),
            Some(Entry::Bake(_) | Entry::Visit(..)) | None => {
                shared.say("only toast tests can be compared; go to one and mark it");
                return;
            }
        };
        if let Some(at) = self.marked.iter().position(|m| *m == id) {
            self.marked.remove(at);
            return;
        }
        self.marked.push(id);
        if self.marked.len() > 2 {
            self.marked.remove(0);
        }
    }

    pub(super) fn compare(&mut self, shared: &mut Shared) {
        let mut tests: Vec<&ToastTest> = self
            .marked
            .iter()
            .filter_map(|id| shared.kitchen.test(id))
            .collect();
        tests.sort_by_key(|t| t.when);
        if let [before, after] = tests[..] {
            let (before, after) = (vec![before.id.clone()], vec![after.id.clone()]);
            shared.open(Place::Compare {
                oven: self.oven.clone(),
                before,
                after,
            });
        } else {
            shared
                .say("mark two toast tests with Space first: the older is before, the newer after");
        }
    }

    pub(super) fn open(&mut self, shared: &mut Shared) {
        let entries = self.entries(shared);
        let place = match entries.get(self.row) {
            // Fingers on digits must not change what is done: the map has the key that corrects scores.
            Some(Entry::Test(test)) if test.is_complete() => {
                Place::Map(self.oven.clone(), shared.beside(test))
            }
            Some(Entry::Test(test)) => {
                let Some(oven) = shared.kitchen.oven(&self.oven).cloned() else {
                    return;
                };
                Place::Score(Box::new(oven), Box::new((*test).clone()))
            }
            Some(Entry::Visit(i, visit)) => {
                self.draft = Some(Draft {
                    place: Some(*i),
                    day: Field::new(visit.moment()),
                    words: Field::new(visit.what.clone()),
                    on_day: false,
                });
                return;
            }
            Some(Entry::Bake(bake)) if runs(bake, shared) => {
                // A load of the baking day has no clock but the day's: of two each would undo what the other notes.
                if shared.day.as_ref().is_some_and(|day| day.holds(&bake.id)) {
                    Place::RunningDay
                } else {
                    Place::RunningClock(Box::new((*bake).clone()))
                }
            }
            Some(Entry::Bake(bake)) if bake.baked.is_some() => {
                Place::Outcome(Box::new((*bake).clone()))
            }
            // Everything kept of a bake that was given up stands in the lines under the list.
            Some(Entry::Bake(_)) | None => return,
        };
        shared.open(place);
    }

    pub(super) fn keep(&mut self, shared: &mut Shared) {
        let (Some(draft), Some(oven)) = (&self.draft, shared.kitchen.oven(&self.oven)) else {
            return;
        };
        let mut oven = oven.clone();
        match draft.visit(shared.now) {
            Err(why) => {
                shared.say(why.to_string());
            }
            Ok(visit) => {
                match draft.place.and_then(|i| oven.visits.get_mut(i)) {
                    Some(old) => *old = visit,
                    None => oven.visits.push(visit),
                }
                oven.visits.sort_by_key(|v| v.when);
                self.draft = None;
                shared.say("the visit is kept; tests before and after it no longer count together");
                shared.save(Save::Oven(Box::new(oven)));
            }
        }
    }
}

/// What is wrong with a visit as it is typed.
#[derive(Debug, thiserror::Error)]
pub(super) enum NoVisit {
    #[error("'{0}' is no date; write it like 2026-11-25 or 2026-11-25 14:30")]
    NoDate(String),
    #[error("'{0}' names an offset or a zone; write it by the clock here, like 2026-11-25 14:30")]
    Elsewhere(String),
    #[error("{day} is still to come (it is {}); note a visit once it has been", .now.strftime("%Y-%m-%d %H:%M"))]
    ToCome { day: String, now: DateTime },
    #[error("write what was done, and by whom")]
    NoWords,
}

impl Draft {
    /// Makes the visit, or says what is wrong with which line.
    pub(super) fn visit(&self, now: DateTime) -> Result<ServiceVisit, NoVisit> {
        let day = self.day.text();
        if names_zone(day) {
            return Err(NoVisit::Elsewhere(day.to_owned()));
        }
        let when = day
            .parse()
            .map_err(|_unread: jiff::Error| NoVisit::NoDate(day.to_owned()))?;
        if when > now {
            let day = day.to_owned();
            return Err(NoVisit::ToCome { day, now });
        }
        if self.words.text().is_empty() {
            return Err(NoVisit::NoWords);
        }
        Ok(ServiceVisit {
            when,
            what: self.words.text().to_owned(),
        })
    }
}
