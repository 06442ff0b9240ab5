//! The record of one oven: toast tests, bakes and service visits by date, newest first.

#[cfg(test)]
mod tests;
mod view;

use super::{
    Screen, ScreenState,
    air::AirScreen,
    clock::{Clock, runs},
    compare::CompareScreen,
    history::HistoryScreen,
    outcome,
    score::Score,
};
use crate::{
    model::{BakeLog, Mode, OvenId, ServiceVisit, TestId, ToastTest},
    tui::{
        action::{Action, Typed},
        app::Shared,
        effect::{Effect, Save},
        event::MouseAct,
        keys::{Binding, Key, Scope},
        widgets::{field::Field, list},
    },
};
use jiff::civil::{Date, DateTime};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};

/// What can be done with the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RecordAction {
    /// Put the oven's card and technician's sheet on paper.
    Paper,
    /// Row up.
    Up,
    /// Row down.
    Down,
    /// Jump to a row.
    To(usize),
    /// Open what is under the cursor.
    Open,
    /// Write down a service visit.
    Visit,
    /// Mark the test under the cursor for comparing, or take the mark off.
    Mark,
    /// Compare the two marked tests.
    Compare,
    /// Show the thermometer's record.
    Air,
    /// Show how the oven changed over time.
    History,
    /// While writing: the other line.
    OtherLine,
    /// While writing: keep the visit.
    Keep,
}

/// The keys of the record.
pub const KEYS: &[Binding] = &[
    Binding {
        keys: &[Key::Char('v'), Key::Char('n')],
        action: Action::Record(RecordAction::Visit),
        hint: "service visit",
        help: "write down a service visit",
    },
    Binding {
        keys: &[Key::Enter],
        action: Action::Record(RecordAction::Open),
        hint: "open",
        help: "open the test, what came out of a bake, the clock of a running one, or change the visit under the cursor",
    },
    Binding {
        keys: &[Key::Char(' ')],
        action: Action::Record(RecordAction::Mark),
        hint: "mark",
        help: "mark the toast test under the cursor for comparing, or take the mark off",
    },
    Binding {
        keys: &[Key::Char('c')],
        action: Action::Record(RecordAction::Compare),
        hint: "compare",
        help: "compare the two marked tests, the older as before",
    },
    Binding {
        keys: &[Key::Char('a')],
        action: Action::Record(RecordAction::Air),
        hint: "air",
        help: "what the thermometer read in this oven",
    },
    Binding {
        keys: &[Key::Char('h')],
        action: Action::Record(RecordAction::History),
        hint: "history",
        help: "time line and charts: how even, how hot, how far from the dial over time",
    },
    Binding {
        keys: &[Key::Up],
        action: Action::Record(RecordAction::Up),
        hint: "",
        help: "row up",
    },
    Binding {
        keys: &[Key::Down],
        action: Action::Record(RecordAction::Down),
        hint: "",
        help: "row down",
    },
    Binding {
        keys: &[Key::Char('w')],
        action: Action::Record(RecordAction::Paper),
        hint: "",
        help: "write the card for the oven door and the technician's sheet as PDF",
    },
];

/// The keys while a service visit is written; characters go into the line that has the cursor.
pub const VISIT_KEYS: &[Binding] = &[
    Binding {
        keys: &[Key::Enter],
        action: Action::Record(RecordAction::Keep),
        hint: "keep",
        help: "keep the visit",
    },
    Binding {
        keys: &[Key::Tab, Key::Up, Key::Down],
        action: Action::Record(RecordAction::OtherLine),
        hint: "other line",
        help: "from the words to the date and back",
    },
];

/// One thing that happened to the oven.
#[derive(Debug, Clone, Copy)]
enum Entry<'s> {
    Test(&'s ToastTest),
    Bake(&'s BakeLog),
    /// With its place in the oven's list.
    Visit(usize, &'s ServiceVisit),
}

impl Entry<'_> {
    fn day(&self) -> Date {
        match self {
            Self::Test(test) => test.when.date(),
            Self::Bake(bake) => bake.started.date(),
            Self::Visit(_, visit) => visit.when.date(),
        }
    }
}

/// A service visit as it is written.
#[derive(Debug)]
struct Draft {
    /// Place of the visit that is changed; `None` for a new one.
    place: Option<usize>,
    words: Field,
    day: Field,
    on_day: bool,
}

/// The state of the record screen.
#[derive(Debug)]
pub struct Record {
    oven: OvenId,
    row: usize,
    /// Tests marked for comparing, at most two, the latest mark last.
    marked: Vec<TestId>,
    draft: Option<Draft>,
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
    fn entries<'s>(&self, shared: &'s Shared) -> Vec<Entry<'s>> {
        let kitchen = &shared.kitchen;
        let visits = kitchen.oven(&self.oven).map_or(&[][..], |o| &o.visits);
        let mut entries: Vec<Entry<'s>> = kitchen
            .tests_of(&self.oven)
            .into_iter()
            .map(Entry::Test)
            .chain(kitchen.bakes_of(&self.oven).into_iter().map(Entry::Bake))
            .chain(visits.iter().enumerate().map(|(i, v)| Entry::Visit(i, v)))
            .collect();
        entries.sort_by_key(|e| std::cmp::Reverse(e.day()));
        entries
    }

    /// Returns the mode of the toast test under the cursor.
    fn mode_at_cursor(&self, shared: &Shared) -> Option<Mode> {
        match self.entries(shared).get(self.row)? {
            Entry::Test(test) => Some(test.setup.mode),
            Entry::Bake(_) | Entry::Visit(..) => None,
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: RecordAction, shared: &mut Shared) -> Vec<Effect> {
        let count = self.entries(shared).len();
        match action {
            RecordAction::Paper => {
                let mode = self.mode_at_cursor(shared);
                return vec![Effect::Work(shared.ask_papers(self.oven.clone(), mode))];
            }
            RecordAction::Up => self.row = list::step(self.row, -1, count),
            RecordAction::Down => self.row = list::step(self.row, 1, count),
            RecordAction::To(row) if row < count => self.row = row,
            RecordAction::To(_) => {}
            RecordAction::Open => self.open(shared),
            RecordAction::Mark => self.mark(shared),
            RecordAction::Compare => self.compare(shared),
            RecordAction::Air => {
                if let Some(oven) = shared.kitchen.oven(&self.oven) {
                    let screen = AirScreen::new(oven, shared);
                    shared.open(Screen::Air(Box::new(screen)));
                }
            }
            RecordAction::History => {
                let screen = HistoryScreen::new(self.oven.clone());
                shared.open(Screen::History(screen));
            }
            RecordAction::Visit => {
                self.draft = Some(Draft {
                    place: None,
                    words: Field::default(),
                    day: Field::new(shared.now.strftime("%Y-%m-%d %H:%M").to_string()),
                    on_day: false,
                });
            }
            RecordAction::OtherLine => {
                if let Some(draft) = &mut self.draft {
                    draft.on_day = !draft.on_day;
                }
            }
            RecordAction::Keep => return self.keep(shared),
        }
        Vec::new()
    }

    /// Marks the test under the cursor or takes its mark off; of three marks the oldest goes.
    fn mark(&mut self, shared: &mut Shared) {
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

    fn compare(&mut self, shared: &mut Shared) {
        let mut tests: Vec<&ToastTest> = self
            .marked
            .iter()
            .filter_map(|id| shared.kitchen.test(id))
            .collect();
        tests.sort_by_key(|t| t.when);
        if let [before, after] = tests[..] {
            let (before, after) = (vec![before.id.clone()], vec![after.id.clone()]);
            let screen = CompareScreen::new(self.oven.clone(), before, after);
            shared.open(Screen::Compare(screen));
        } else {
            shared
                .say("mark two toast tests with Space first: the older is before, the newer after");
        }
    }

    fn open(&mut self, shared: &mut Shared) {
        enum Found {
            Test(TestId),
            Visit(usize, ServiceVisit),
            Bake(Box<BakeLog>),
            Out(Box<BakeLog>),
            Nothing,
        }
        let found = match self.entries(shared).get(self.row) {
            None => return,
            Some(Entry::Test(test)) => Found::Test(test.id.clone()),
            Some(Entry::Visit(i, visit)) => Found::Visit(*i, (*visit).clone()),
            Some(Entry::Bake(bake)) if runs(bake, shared) => Found::Bake(Box::new((*bake).clone())),
            Some(Entry::Bake(bake)) if bake.baked.is_some() => {
                Found::Out(Box::new((*bake).clone()))
            }
            Some(Entry::Bake(_)) => Found::Nothing,
        };
        match found {
            Found::Test(id) => {
                let test = shared.kitchen.test(&id).cloned();
                let oven = shared.kitchen.oven(&self.oven).cloned();
                if let (Some(test), Some(oven)) = (test, oven) {
                    shared.open(Screen::Score(Score::new(oven, test)));
                }
            }
            Found::Visit(place, visit) => {
                self.draft = Some(Draft {
                    place: Some(place),
                    day: Field::new(visit.moment()),
                    words: Field::new(visit.what),
                    on_day: false,
                });
            }
            Found::Bake(bake) => shared.open(Screen::Clock(Clock::resume(*bake, shared))),
            Found::Out(bake) => {
                outcome::open(*bake, shared);
            }
            // Everything kept of a bake that was given up stands in the lines under the list.
            Found::Nothing => {}
        }
    }

    fn keep(&mut self, shared: &mut Shared) -> Vec<Effect> {
        let (Some(draft), Some(oven)) = (&self.draft, shared.kitchen.oven(&self.oven)) else {
            return Vec::new();
        };
        let mut oven = oven.clone();
        match draft.visit(shared.now) {
            Err(words) => {
                shared.say(words);
                Vec::new()
            }
            Ok(visit) => {
                match draft.place.and_then(|i| oven.visits.get_mut(i)) {
                    Some(old) => *old = visit,
                    None => oven.visits.push(visit),
                }
                oven.visits.sort_by_key(|v| v.when);
                self.draft = None;
                shared.say("the visit is kept; tests before and after it are not pooled");
                vec![Effect::Save(Save::Oven(Box::new(oven)))]
            }
        }
    }
}

impl Draft {
    /// Makes the visit, or says what is wrong with which line.
    fn visit(&self, now: DateTime) -> Result<ServiceVisit, String> {
        let day = self.day.text();
        let when = day.parse::<DateTime>().map_err(|_unread| {
            format!("'{day}' is no date; write it like 2026-11-25 or 2026-11-25 14:30")
        })?;
        if when > now {
            return Err(format!(
                "{day} is still to come (it is {}); note a visit once it has been",
                now.strftime("%Y-%m-%d %H:%M")
            ));
        }
        if self.words.text().is_empty() {
            return Err("write what was done, and by whom".to_owned());
        }
        Ok(ServiceVisit {
            when,
            what: self.words.text().to_owned(),
        })
    }
}

impl ScreenState for Record {
    fn scope(&self) -> Scope {
        match self.draft {
            Some(_) => Scope::Visit,
            None => Scope::Record,
        }
    }

    fn title(&self, shared: &Shared) -> String {
        let name = shared.kitchen.oven(&self.oven).map_or("", |o| &o.name);
        format!("record of {name}")
    }

    fn guide(&self, _shared: &Shared) -> String {
        match &self.draft {
            None => match self.marked.len() {
                0 => "Space: mark a test to compare. v: note a visit. h: history. w: on paper"
                    .to_owned(),
                1 => "Space: mark the other test to compare".to_owned(),
                _ => "c: compare the two marked tests".to_owned(),
            },
            Some(draft) if draft.on_day => "the day of the visit, then Enter".to_owned(),
            Some(_) => "what was done and by whom, then Enter; Tab for another day".to_owned(),
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        if self.draft.is_some() {
            return None;
        }
        let action = match act {
            MouseAct::WheelUp => RecordAction::Up,
            MouseAct::WheelDown => RecordAction::Down,
            MouseAct::Press => {
                let row = list::row_at(view::list_area(body), 1, self.row, at)?;
                if row == self.row && row < self.entries(shared).len() {
                    RecordAction::Open
                } else {
                    RecordAction::To(row)
                }
            }
        };
        Some(Action::Record(action))
    }

    fn takes_text(&self) -> bool {
        self.draft.is_some()
    }

    fn typed(&mut self, typed: Typed, _shared: &mut Shared) -> Vec<Effect> {
        if let Some(draft) = &mut self.draft {
            if draft.on_day {
                draft.day.typed(&typed);
            } else {
                draft.words.typed(&typed);
            }
        }
        Vec::new()
    }

    fn leave(&mut self, shared: &mut Shared) -> Vec<Effect> {
        if self.draft.take().is_none() {
            shared.back();
        }
        Vec::new()
    }
}
