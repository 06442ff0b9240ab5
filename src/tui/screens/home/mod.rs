//! Home: the ovens of this kitchen, and the toast tests of the one that is chosen.

mod view;

use super::{
    Screen, ScreenState,
    air::AirScreen,
    clock::{Clock, running},
    kind_name,
    layout::LayoutScreen,
    map::MapScreen,
    oven_form::OvenForm,
    photo::PhotoScreen,
    plan::PlanScreen,
    record::Record,
    score::Score,
};
use crate::{
    model::{BakeLog, Oven, TestId, ToastTest},
    tui::{
        action::Action,
        app::Shared,
        effect::Effect,
        event::MouseAct,
        keys::{Binding, Key, Scope},
        widgets::list,
    },
};
use jiff::SignedDuration;
use ratatui::{
    Frame,
    layout::{Position, Rect},
};
use view::{inner, parts, welcome};

/// What can be done on the home screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HomeAction {
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
    /// Go back to the clock of the bake that runs.
    Clock,
    /// Set the test under the cursor aside; the second press does it.
    SetAside,
}

/// The keys of the home screen.
pub const KEYS: &[Binding] = &[
    Binding {
        keys: &[Key::Enter],
        action: Action::Home(HomeAction::Open),
        hint: "open",
        help: "do what comes next for the oven or test under the cursor",
    },
    Binding {
        keys: &[Key::Char('n')],
        action: Action::Home(HomeAction::NewOven),
        hint: "new",
        help: "describe a new oven",
    },
    Binding {
        keys: &[Key::Char('t')],
        action: Action::Home(HomeAction::Toast),
        hint: "test",
        help: "lay out a toast test for the oven",
    },
    Binding {
        keys: &[Key::Char('s')],
        action: Action::Home(HomeAction::Score),
        // The guide line offers it wherever something is to be scored.
        hint: "",
        help: "go on scoring the test under the cursor, or the newest unfinished one",
    },
    Binding {
        keys: &[Key::Char('m')],
        action: Action::Home(HomeAction::Map),
        hint: "map",
        help: "see where the oven runs hot and cool",
    },
    Binding {
        keys: &[Key::Char('p')],
        action: Action::Home(HomeAction::Plan),
        hint: "plan",
        help: "plan a bake in the oven",
    },
    Binding {
        keys: &[Key::Char('r')],
        action: Action::Home(HomeAction::Record),
        hint: "record",
        help: "see bakes and service visits of the oven",
    },
    Binding {
        keys: &[Key::Char('f')],
        action: Action::Home(HomeAction::Photo),
        hint: "photo",
        help: "read the scores of the test under the cursor, or the newest unfinished one, from a photo",
    },
    Binding {
        keys: &[Key::Char('a')],
        action: Action::Home(HomeAction::Air),
        hint: "air",
        help: "read the oven's air with a thermometer, and see what its readings say",
    },
    Binding {
        keys: &[Key::Char('e')],
        action: Action::Home(HomeAction::EditOven),
        hint: "edit",
        help: "edit the oven's description",
    },
    Binding {
        keys: &[Key::Char('b')],
        action: Action::Home(HomeAction::Clock),
        hint: "",
        help: "back to the clock of the bake that runs",
    },
    Binding {
        keys: &[Key::Char('x')],
        action: Action::Home(HomeAction::SetAside),
        hint: "",
        help: "set the test under the cursor aside (kept in the data folder, press twice)",
    },
    Binding {
        keys: &[Key::Up],
        action: Action::Home(HomeAction::Up),
        hint: "",
        help: "row up",
    },
    Binding {
        keys: &[Key::Down],
        action: Action::Home(HomeAction::Down),
        hint: "",
        help: "row down",
    },
    Binding {
        keys: &[Key::Tab, Key::Left, Key::Right],
        action: Action::Home(HomeAction::Side),
        hint: "",
        help: "from the ovens to the tests and back",
    },
];

/// Rows one oven takes in the list.
const OVEN_ROWS: usize = 4;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Ovens,
    Tests,
}

/// The state of the home screen.
#[derive(Debug)]
pub struct Home {
    side: Side,
    oven: usize,
    /// Row in the list of tests, newest first.
    test: usize,
    /// The test that the next press sets aside.
    doomed: Option<TestId>,
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

    fn chosen<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.ovens().get(self.oven)
    }

    /// Returns the tests of the chosen oven, newest first.
    fn tests<'s>(&self, shared: &'s Shared) -> Vec<&'s ToastTest> {
        self.chosen(shared).map_or_else(Vec::new, |oven| {
            let mut tests = shared.kitchen.tests_of(&oven.id);
            tests.reverse();
            tests
        })
    }

    /// Returns the test under the cursor, else the newest one.
    fn test_in_hand<'s>(&self, shared: &'s Shared) -> Option<&'s ToastTest> {
        self.tests(shared).get(self.test).copied()
    }

    /// Returns what to go on scoring: the test under the cursor, else the newest unfinished one.
    fn to_score<'s>(&self, shared: &'s Shared) -> Option<&'s ToastTest> {
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
    pub(crate) fn update(&mut self, action: HomeAction, shared: &mut Shared) -> Vec<Effect> {
        let doomed = self.doomed.take();
        match action {
            HomeAction::Up => self.step(shared, -1),
            HomeAction::Down => self.step(shared, 1),
            HomeAction::Side => {
                self.side = match self.side {
                    Side::Ovens if !self.tests(shared).is_empty() => Side::Tests,
                    Side::Ovens | Side::Tests => Side::Ovens,
                };
            }
            HomeAction::ToOven(row) => {
                self.side = Side::Ovens;
                if row < shared.kitchen.ovens().len() && row != self.oven {
                    self.oven = row;
                    self.test = 0;
                }
            }
            HomeAction::ToTest(row) => {
                if self.side == Side::Tests && self.test == row {
                    return self.update(HomeAction::Open, shared);
                }
                if row < self.tests(shared).len() {
                    self.side = Side::Tests;
                    self.test = row;
                }
            }
            HomeAction::NewOven => shared.open(Screen::Oven(OvenForm::templates(shared))),
            HomeAction::SetAside => return self.set_aside(shared, doomed),
            HomeAction::Clock => resume(shared),
            HomeAction::Open => {
                let next = self.next(shared);
                return self.update(next, shared);
            }
            HomeAction::EditOven
            | HomeAction::Toast
            | HomeAction::Score
            | HomeAction::Map
            | HomeAction::Photo
            | HomeAction::Plan
            | HomeAction::Record
            | HomeAction::Air => self.go(action, shared),
        }
        Vec::new()
    }

    /// Returns the next thing to do for what the cursor is on.
    fn next(&self, shared: &Shared) -> HomeAction {
        match (self.chosen(shared), self.side) {
            (None, _) => HomeAction::NewOven,
            // Bread and cookies burn; scores can wait.
            (Some(_), Side::Ovens) if running(shared).is_some() => HomeAction::Clock,
            (Some(_), Side::Tests) => match self.test_in_hand(shared) {
                Some(test) if test.is_complete() => HomeAction::Map,
                Some(_) => HomeAction::Score,
                None => HomeAction::Toast,
            },
            (Some(_), Side::Ovens) => {
                let tests = self.tests(shared);
                if tests.is_empty() {
                    HomeAction::Toast
                } else if tests.iter().any(|t| !t.is_complete()) {
                    HomeAction::Score
                } else {
                    HomeAction::Map
                }
            }
        }
    }

    /// Opens a screen about the chosen oven.
    fn go(&self, action: HomeAction, shared: &mut Shared) {
        let Some(oven) = self.chosen(shared).cloned() else {
            shared.say("there is no oven yet; press n to describe one");
            return;
        };
        let pooled = |shared: &Shared, test: Option<&ToastTest>| {
            test.map_or_else(Vec::new, |t| shared.beside(t))
        };
        let screen = match action {
            HomeAction::EditOven => Screen::Oven(OvenForm::edit(&oven)),
            HomeAction::Toast => Screen::Layout(LayoutScreen::new(oven, shared)),
            HomeAction::Record => Screen::Record(Record::new(oven.id)),
            HomeAction::Air => Screen::Air(Box::new(AirScreen::new(&oven, shared))),
            HomeAction::Score => {
                let Some(test) = self.to_score(shared).cloned() else {
                    shared.say("there is no toast test to score; press t to lay one out");
                    return;
                };
                Screen::Score(Score::new(oven, test))
            }
            HomeAction::Photo => {
                let Some(test) = self.to_score(shared).cloned() else {
                    shared.say("there is no toast test to score; press t to lay one out");
                    return;
                };
                let photo = PhotoScreen::new(oven, test, None, false, shared);
                Screen::Photo(Box::new(photo))
            }
            HomeAction::Map => {
                let tests = pooled(shared, self.test_in_hand(shared));
                if tests.is_empty() {
                    shared.say("a map needs a scored toast test; press t to lay one out");
                    return;
                }
                Screen::Map(MapScreen::new(oven.id, tests))
            }
            HomeAction::Plan => {
                let tests = pooled(shared, self.test_in_hand(shared));
                Screen::Plan(PlanScreen::new(oven.id, tests))
            }
            HomeAction::Up
            | HomeAction::Down
            | HomeAction::Side
            | HomeAction::ToOven(_)
            | HomeAction::ToTest(_)
            | HomeAction::Open
            | HomeAction::NewOven
            | HomeAction::Clock
            | HomeAction::SetAside => return,
        };
        shared.open(screen);
    }

    fn step(&mut self, shared: &Shared, by: isize) {
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

    fn set_aside(&mut self, shared: &mut Shared, doomed: Option<TestId>) -> Vec<Effect> {
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
                return vec![Effect::SetAside(test)];
            }
            (Some(test), _) => {
                shared.say("press x again to set this test aside, any other key to keep it");
                self.doomed = Some(test);
            }
        }
        Vec::new()
    }
}

/// Opens the clock of the bake that runs.
fn resume(shared: &mut Shared) {
    match running(shared).cloned() {
        Some(bake) => shared.open(Screen::Clock(Clock::resume(bake, shared))),
        None => shared.say("no bake is running; press p to plan one"),
    }
}

/// Says what bakes and when it is due out: `thin cookies, out at 09:42`.
fn bake_words(bake: &BakeLog) -> String {
    let name = kind_name(&bake.kind);
    #[expect(clippy::cast_possible_truncation, reason = "a bake of hours at most")]
    let out = bake
        .started
        .checked_add(SignedDuration::from_secs((bake.plan.bake.0 * 60.0) as i64));
    out.map_or_else(
        |_overflow| name.to_owned(),
        |out| format!("{name}, out at {:02}:{:02}", out.hour(), out.minute()),
    )
}

impl ScreenState for Home {
    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        true
    }

    fn scope(&self) -> Scope {
        Scope::Home
    }

    fn title(&self, shared: &Shared) -> String {
        match shared.kitchen.ovens().len() {
            0 => "kitchen".to_owned(),
            1 => "kitchen, 1 oven".to_owned(),
            n => format!("kitchen, {n} ovens"),
        }
    }

    fn guide(&self, shared: &Shared) -> String {
        let Some(oven) = self.chosen(shared) else {
            return "n: describe your oven".to_owned();
        };
        let name = &oven.name;
        match self.next(shared) {
            HomeAction::Toast => {
                format!("t: lay out a toast test for {name}; a: read a thermometer")
            }
            HomeAction::Score => self.to_score(shared).map_or_else(String::new, |test| {
                let settled = test
                    .slices
                    .iter()
                    .filter(|s| s.reading.is_settled())
                    .count();
                format!(
                    "s: go on scoring, {settled} of {} slices done",
                    test.slices.len()
                )
            }),
            HomeAction::Map => format!("m: read the map of {name}, p: plan a bake, a: thermometer"),
            HomeAction::NewOven => "n: describe your oven".to_owned(),
            HomeAction::Clock => running(shared).map_or_else(String::new, |bake| {
                format!("a bake is running: {}. Enter: its clock", bake_words(bake))
            }),
            HomeAction::Up
            | HomeAction::Down
            | HomeAction::Side
            | HomeAction::ToOven(_)
            | HomeAction::ToTest(_)
            | HomeAction::Open
            | HomeAction::EditOven
            | HomeAction::Photo
            | HomeAction::Plan
            | HomeAction::Record
            | HomeAction::Air
            | HomeAction::SetAside => String::new(),
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        if shared.kitchen.ovens().is_empty() {
            welcome(&shared.theme, frame, body);
            return;
        }
        let [left, right] = parts(body);
        self.view_ovens(shared, frame, left);
        self.view_tests(shared, frame, right);
    }

    fn hit(&self, shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        match act {
            MouseAct::WheelUp => return Some(Action::Home(HomeAction::Up)),
            MouseAct::WheelDown => return Some(Action::Home(HomeAction::Down)),
            MouseAct::Press => {}
        }
        if shared.kitchen.ovens().is_empty() {
            return Some(Action::Home(HomeAction::NewOven));
        }
        let [left, right] = parts(body);
        let oven = list::row_at(inner(left), OVEN_ROWS, self.oven, at)
            .filter(|row| *row < shared.kitchen.ovens().len())
            .map(HomeAction::ToOven);
        let test = || {
            list::row_at(inner(right), 1, self.test, at)
                .filter(|row| *row < self.tests(shared).len())
                .map(HomeAction::ToTest)
        };
        oven.or_else(test).map(Action::Home)
    }
}
