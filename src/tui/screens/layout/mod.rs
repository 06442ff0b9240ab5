//! Lay-out of a toast test: where the slices go, what to set, how long to expect, when to pull.

mod bench;
#[cfg(test)]
mod tests;
mod view;

use super::{Screen, ScreenState, score::Score};
use crate::workflow::catalogue::Occasion;
use crate::{
    model::Oven,
    tui::{
        action::Action,
        app::Shared,
        effect::{Effect, Save},
        event::MouseAct,
        keys::{Binding, Key, Scope},
        popups::Popup,
        widgets::list,
    },
};
pub(super) use bench::more_minutes;
use bench::{Bench, Setting};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};

/// What can be done on the layout screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LayoutAction {
    /// Setting above, or nudge the slice towards the back.
    Up,
    /// Setting below, or nudge the slice towards the door.
    Down,
    /// Less, or nudge the slice to the left.
    Left,
    /// More, or nudge the slice to the right.
    Right,
    /// From the settings to the slices and back.
    Side,
    /// Load or empty a rack position.
    Rack(u8),
    /// Put the cursor on a setting.
    ToSetting(usize),
    /// Put the cursor on a slice.
    ToSlice(usize),
    /// Next slice.
    Next,
    /// Slice before.
    Before,
    /// Take the slice out, or lay it back.
    Missing,
    /// Lay one more slice.
    Extra,
    /// Lay everything out anew, without what was changed by hand.
    Anew,
    /// Keep the test and go on to scoring.
    Start,
}

/// The keys of the layout screen.
pub const KEYS: &[Binding] = &[
    Binding {
        keys: &[Key::Enter],
        action: Action::Layout(LayoutAction::Start),
        hint: "start",
        help: "keep this lay-out and start the toast test",
    },
    Binding {
        keys: &[
            Key::Char('1'),
            Key::Char('2'),
            Key::Char('3'),
            Key::Char('4'),
            Key::Char('5'),
            Key::Char('6'),
            Key::Char('7'),
            Key::Char('8'),
            Key::Char('9'),
        ],
        action: Action::Layout(LayoutAction::Rack(0)),
        hint: "rack",
        help: "load or empty that rack position",
    },
    Binding {
        keys: &[Key::Tab],
        action: Action::Layout(LayoutAction::Side),
        hint: "slices",
        help: "from the settings to the slices and back",
    },
    Binding {
        keys: &[Key::Char(' '), Key::PageDown],
        action: Action::Layout(LayoutAction::Next),
        hint: "next",
        help: "next slice, then arrows nudge it by 1 cm",
    },
    Binding {
        keys: &[Key::Backspace, Key::PageUp],
        action: Action::Layout(LayoutAction::Before),
        hint: "",
        help: "slice before",
    },
    Binding {
        keys: &[Key::Char('x')],
        action: Action::Layout(LayoutAction::Missing),
        hint: "missing",
        help: "the slice is missing, or back again",
    },
    Binding {
        keys: &[Key::Char('a')],
        action: Action::Layout(LayoutAction::Extra),
        hint: "add",
        help: "add a slice to this rack position",
    },
    Binding {
        keys: &[Key::Char('u')],
        action: Action::Layout(LayoutAction::Anew),
        hint: "",
        help: "undo what was changed by hand: lay out anew",
    },
    Binding {
        keys: &[Key::Char('c')],
        action: Action::Cautions,
        hint: "cautions",
        help: "read the cautions",
    },
    Binding {
        keys: &[Key::Up],
        action: Action::Layout(LayoutAction::Up),
        hint: "",
        help: "setting above; among the slices: nudge to the back",
    },
    Binding {
        keys: &[Key::Down],
        action: Action::Layout(LayoutAction::Down),
        hint: "",
        help: "setting below; among the slices: nudge to the door",
    },
    Binding {
        keys: &[Key::Left],
        action: Action::Layout(LayoutAction::Left),
        hint: "",
        help: "less; among the slices: nudge left",
    },
    Binding {
        keys: &[Key::Right],
        action: Action::Layout(LayoutAction::Right),
        hint: "",
        help: "more; among the slices: nudge right",
    },
];

/// Returns what a key's own figure makes of its action: the rack position keys share one row.
pub(crate) fn with_figure(action: LayoutAction, key: Key) -> LayoutAction {
    match (action, key) {
        (LayoutAction::Rack(_), Key::Char(c)) => c
            .to_digit(10)
            .and_then(|d| u8::try_from(d).ok())
            .map_or(action, LayoutAction::Rack),
        (_, _) => action,
    }
}

/// The state of the layout screen.
#[derive(Debug)]
pub struct LayoutScreen {
    bench: Bench,
    setting: Setting,
    /// The cursor is among the slices, not the settings.
    on_slices: bool,
}

impl LayoutScreen {
    /// Opens with the lay-out that suits the oven's middle rack position.
    pub(crate) fn new(oven: Oven, shared: &Shared) -> Self {
        Self {
            bench: Bench::new(oven, shared),
            setting: Setting::Racks,
            on_slices: false,
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: LayoutAction, shared: &mut Shared) -> Vec<Effect> {
        match action {
            LayoutAction::Up if self.on_slices => self.bench.nudge(0.0, 1.0),
            LayoutAction::Down if self.on_slices => self.bench.nudge(0.0, -1.0),
            LayoutAction::Left if self.on_slices => self.bench.nudge(-1.0, 0.0),
            LayoutAction::Right if self.on_slices => self.bench.nudge(1.0, 0.0),
            LayoutAction::Up => self.go(-1),
            LayoutAction::Down => self.go(1),
            LayoutAction::Left => self.bench.change(self.setting, -1),
            LayoutAction::Right => self.bench.change(self.setting, 1),
            LayoutAction::Side => self.on_slices = !self.on_slices && self.bench.has_slices(),
            LayoutAction::Rack(rack) => {
                if let Err(words) = self.bench.switch_rack(rack) {
                    shared.say(words);
                }
            }
            LayoutAction::ToSetting(at) => {
                self.on_slices = false;
                if let Some(setting) = Setting::ALL.get(at) {
                    self.setting = *setting;
                }
            }
            LayoutAction::ToSlice(at) => {
                self.on_slices = true;
                self.bench.go_to(at);
            }
            LayoutAction::Next => self.walk(1),
            LayoutAction::Before => self.walk(-1),
            LayoutAction::Missing => {
                self.on_slices = self.bench.has_slices();
                self.bench.switch_missing();
            }
            LayoutAction::Extra => {
                self.on_slices = true;
                self.bench.add();
            }
            LayoutAction::Anew => {
                self.bench.lay_out();
                self.on_slices = self.on_slices && self.bench.has_slices();
            }
            LayoutAction::Start => return self.start(shared),
        }
        Vec::new()
    }

    fn go(&mut self, by: isize) {
        let row = list::step(self.setting.index(), by, Setting::ALL.len());
        if let Some(setting) = Setting::ALL.get(row) {
            self.setting = *setting;
        }
    }

    fn walk(&mut self, by: isize) {
        if self.on_slices {
            self.bench.step(by);
        }
        self.on_slices = self.bench.has_slices();
    }

    /// Keeps the test before a slice is toasted: from here on nothing is lost.
    fn start(&self, shared: &mut Shared) -> Vec<Effect> {
        match self.bench.test(shared) {
            Err(words) => {
                shared.say(words);
                Vec::new()
            }
            Ok(test) => {
                let oven = self.bench.oven().clone();
                shared.replace(Screen::Score(Score::new(oven, test.clone())));
                shared.popup = Some(Popup::cautions(Occasion::ToastTest));
                vec![Effect::Save(Save::Test(Box::new(test)))]
            }
        }
    }
}

impl ScreenState for LayoutScreen {
    fn scope(&self) -> Scope {
        Scope::Layout
    }

    fn title(&self, _shared: &Shared) -> String {
        format!("lay-out of a toast test, {}", self.bench.oven().name)
    }

    fn guide(&self, _shared: &Shared) -> String {
        if !self.bench.has_slices() {
            return "press the number of a rack position to load it with slices".to_owned();
        }
        if self.on_slices {
            return "arrows nudge the slice, x: missing, a: add; Enter starts the toast test"
                .to_owned();
        }
        "number keys load rack positions; Enter when the slices lie like this".to_owned()
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, _shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        let action = match act {
            MouseAct::WheelUp => LayoutAction::Left,
            MouseAct::WheelDown => LayoutAction::Right,
            MouseAct::Press => view::hit(self, body, at)?,
        };
        Some(Action::Layout(action))
    }

    fn cautions(&self) -> Option<Occasion> {
        Some(Occasion::ToastTest)
    }
}
