//! Scoring: one digit a slice, on disk before the next frame, with the map growing beside it.

#[cfg(test)]
mod tests;
mod view;

use super::{Screen, ScreenState, layout::more_minutes, map::MapScreen, photo::PhotoScreen};
use crate::workflow::{
    catalogue::Occasion,
    scoring::{ScoreKey, Scoring},
};
use crate::{
    model::{Oven, PlaceName, ToastTest},
    tui::{
        action::Action,
        app::Shared,
        effect::{Effect, Save},
        event::MouseAct,
        keys::{Binding, Key, Scope},
    },
    units::Minutes,
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};

/// A map of fewer scores would only repeat them.
const LEAST_SCORES: usize = 3;
/// Where noting the minutes begins: a slice takes about this long at a middling setting.
const USUAL_MINUTES: Minutes = Minutes(10.0);

/// What can be done while scoring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScoreAction {
    /// A key of the scorer.
    Key(ScoreKey),
    /// Note one minute more (or less) in the oven.
    Minutes(i8),
    /// Go to the first slice of the next loaded rack position.
    NextRack,
    /// Read the scores from a photo.
    Photo,
    /// Read the map.
    Map,
}

const fn key(key: ScoreKey) -> Action {
    Action::Score(ScoreAction::Key(key))
}

/// The keys of the scoring screen.
pub const KEYS: &[Binding] = &[
    Binding {
        keys: &[
            Key::Char('0'),
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
        action: key(ScoreKey::Digit(0)),
        hint: "shade",
        help: "score the slice: 0 untoasted to 9 burnt black; the cursor moves on",
    },
    Binding {
        keys: &[Key::Char('+'), Key::Char('.')],
        action: key(ScoreKey::Half),
        hint: "half",
        help: "half a step more on the slice just scored, or off again",
    },
    Binding {
        keys: &[Key::Char('s'), Key::Char(' ')],
        action: key(ScoreKey::Skip),
        hint: "skip",
        help: "skip the slice: it is left out of the map",
    },
    Binding {
        keys: &[Key::Char('x')],
        action: key(ScoreKey::Missing),
        hint: "none",
        help: "no slice lay there",
    },
    Binding {
        keys: &[Key::Char('u'), Key::Backspace],
        action: key(ScoreKey::Undo),
        hint: "undo",
        help: "take the last score back",
    },
    Binding {
        keys: &[Key::Char('r')],
        action: key(ScoreKey::Redo),
        hint: "",
        help: "redo what was taken back",
    },
    Binding {
        keys: &[Key::Char('t'), Key::PageUp],
        action: Action::Score(ScoreAction::Minutes(1)),
        hint: "min",
        help: "toasted one minute longer; from the first press, about 10 min",
    },
    Binding {
        keys: &[Key::Enter, Key::Char('m')],
        action: Action::Score(ScoreAction::Map),
        hint: "map",
        help: "read the map",
    },
    Binding {
        keys: &[Key::Char('p')],
        action: Action::Score(ScoreAction::Photo),
        hint: "photo",
        help: "read the scores from a photo of the slices",
    },
    Binding {
        keys: &[Key::Char('T'), Key::PageDown],
        action: Action::Score(ScoreAction::Minutes(-1)),
        hint: "",
        help: "toasted one minute less",
    },
    Binding {
        keys: &[Key::Tab],
        action: Action::Score(ScoreAction::NextRack),
        hint: "",
        help: "next rack position",
    },
    Binding {
        keys: &[Key::Char('c')],
        action: Action::Cautions,
        hint: "",
        help: "read the cautions",
    },
    Binding {
        keys: &[Key::Left],
        action: key(ScoreKey::Left),
        hint: "",
        help: "slice before",
    },
    Binding {
        keys: &[Key::Right],
        action: key(ScoreKey::Right),
        hint: "",
        help: "next slice",
    },
    Binding {
        keys: &[Key::Up],
        action: key(ScoreKey::Up),
        hint: "",
        help: "slice behind, towards the back wall",
    },
    Binding {
        keys: &[Key::Down],
        action: key(ScoreKey::Down),
        hint: "",
        help: "slice in front, towards the door",
    },
];

/// Returns what a key's own figure makes of its action: the ten digits share one row.
pub(crate) fn with_figure(action: ScoreAction, key: Key) -> ScoreAction {
    match (action, key) {
        (ScoreAction::Key(ScoreKey::Digit(_)), Key::Char(c)) => c
            .to_digit(10)
            .and_then(|d| u8::try_from(d).ok())
            .map_or(action, |d| ScoreAction::Key(ScoreKey::Digit(d))),
        (_, _) => action,
    }
}

/// The state of the scoring screen.
#[derive(Debug)]
pub struct Score {
    oven: Oven,
    scoring: Scoring,
}

impl Score {
    /// Opens where the test was left.
    pub(crate) fn new(oven: Oven, test: ToastTest) -> Self {
        Self {
            oven,
            scoring: Scoring::new(test),
        }
    }

    fn test(&self) -> &ToastTest {
        self.scoring.test()
    }

    /// Returns the rack position in sight: that of the slice under the cursor, else the last one.
    fn rack_in_sight(&self) -> Option<u8> {
        let slices = &self.test().slices;
        slices
            .get(self.scoring.cursor())
            .or(slices.last())
            .map(|s| s.rack)
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: ScoreAction, shared: &mut Shared) -> Vec<Effect> {
        match action {
            ScoreAction::Key(key) => self.score(key, shared),
            ScoreAction::Minutes(by) => {
                let mut test = self.test().clone();
                test.minutes = more_minutes(test.minutes, f64::from(by), Some(USUAL_MINUTES));
                self.scoring.set_minutes(test.minutes);
                match test.minutes {
                    Some(minutes) => shared.say(format!("toasted for {minutes}")),
                    None => shared.say("minutes in the oven not noted"),
                }
                vec![self.save()]
            }
            ScoreAction::NextRack => self.next_rack(shared),
            ScoreAction::Photo => {
                self.open_photo(shared);
                Vec::new()
            }
            ScoreAction::Map => self.read_map(shared),
        }
    }

    fn score(&mut self, key: ScoreKey, shared: &mut Shared) -> Vec<Effect> {
        let before = self.test().slices.clone();
        match self.scoring.apply(key) {
            Err(error) => {
                shared.say(error.to_string());
                Vec::new()
            }
            Ok(false) => {
                match key {
                    ScoreKey::Undo => shared.say("nothing to take back"),
                    ScoreKey::Redo => shared.say("nothing to make again"),
                    ScoreKey::Digit(_)
                    | ScoreKey::Half
                    | ScoreKey::Skip
                    | ScoreKey::Missing
                    | ScoreKey::To(_)
                    | ScoreKey::Left
                    | ScoreKey::Right
                    | ScoreKey::Up
                    | ScoreKey::Down => {}
                }
                Vec::new()
            }
            Ok(true) => {
                // The cursor is kept too, so that reopening resumes at the same slice.
                let mut effects = vec![self.save()];
                if self.test().slices != before {
                    effects.extend(self.refit(shared));
                }
                effects
            }
        }
    }

    fn save(&self) -> Effect {
        Effect::Save(Save::Test(Box::new(self.test().clone())))
    }

    /// Asks for the map of this test alone; older scores would hide what the last key did.
    fn refit(&self, shared: &mut Shared) -> Option<Effect> {
        (self.test().scored() >= LEAST_SCORES)
            .then(|| Effect::Work(shared.ask_map(&self.oven, &[self.test()])))
    }

    fn next_rack(&mut self, shared: &mut Shared) -> Vec<Effect> {
        let slices = &self.test().slices;
        let here = self.rack_in_sight();
        let firsts: Vec<usize> = (0..slices.len())
            .filter(|&i| i == 0 || slices[i - 1].rack != slices[i].rack)
            .collect();
        let at = firsts.iter().position(|&i| Some(slices[i].rack) == here);
        match at.map(|i| firsts[(i + 1) % firsts.len()]) {
            Some(first) => self.score(ScoreKey::To(first), shared),
            None => Vec::new(),
        }
    }

    fn open_photo(&self, shared: &mut Shared) {
        let (oven, test) = (self.oven.clone(), self.test().clone());
        let photo = PhotoScreen::new(oven, test, self.rack_in_sight(), true, shared);
        shared.open(Screen::Photo(Box::new(photo)));
    }

    fn read_map(&self, shared: &mut Shared) -> Vec<Effect> {
        if self.test().scored() == 0 {
            shared.say("a map needs scores; press a digit for each slice first");
            return Vec::new();
        }
        // The kitchen holds this test as last saved, which is as it stands: every key saves.
        let tests = shared.beside(self.test());
        shared.open(Screen::Map(MapScreen::new(self.oven.id.clone(), tests)));
        Vec::new()
    }
}

impl ScreenState for Score {
    fn refreshed(&mut self, shared: &mut Shared) -> bool {
        let id = &self.test().id;
        let Some(test) = shared.kitchen.test(id).cloned() else {
            return false;
        };
        *self = Self::new(self.oven.clone(), test);
        true
    }

    fn scope(&self) -> Scope {
        Scope::Score
    }

    fn title(&self, _shared: &Shared) -> String {
        let test = self.test();
        let dial = self.oven.dial.unit.show(test.setup.dial);
        let minutes = test.minutes.map_or_else(String::new, |m| format!(", {m}"));
        format!(
            "score the toast test, {}, {} {dial}{minutes}",
            self.oven.name,
            test.setup.mode.words()
        )
    }

    fn guide(&self, _shared: &Shared) -> String {
        let test = self.test();
        let count = test.slices.len();
        let Some(slice) = test.slices.get(self.scoring.cursor()) else {
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

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, _shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        let to = match act {
            MouseAct::WheelUp => ScoreKey::Left,
            MouseAct::WheelDown => ScoreKey::Right,
            MouseAct::Press => view::hit(self, body, at)?,
        };
        Some(key(to))
    }

    fn entered(&mut self, shared: &mut Shared) -> Vec<Effect> {
        self.refit(shared).into_iter().collect()
    }

    fn cautions(&self) -> Option<Occasion> {
        Some(Occasion::ToastTest)
    }
}
