//! The one action table: which key means what on which screen.
//!
//! Key handling, the help popup, the hint bar and the README's list are all read from here. Each
//! screen writes its own rows (`KEYS` in its module); this module gathers them.

use super::{
    action::{Action, Typed},
    screens::{
        air, choice, clock, compare, history, home, layout, map, outcome, oven_form, photo, plan,
        record, score,
    },
};
use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};
use std::fmt::Write as _;

/// A key as screens know it: single keys only, for a hand in a mitt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Key {
    /// A character.
    Char(char),
    /// Enter.
    Enter,
    /// Escape.
    Escape,
    /// Tab.
    Tab,
    /// Tab with shift.
    BackTab,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// Arrow up with shift.
    FastUp,
    /// Arrow down with shift.
    FastDown,
    /// Arrow left with shift.
    FastLeft,
    /// Arrow right with shift.
    FastRight,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
    /// Home.
    Home,
    /// End.
    End,
    /// A function key, from 1.
    Function(u8),
    /// Control and C: the way out that every terminal program has.
    Interrupt,
}

impl Key {
    /// Takes over the terminal's key event; `None` for releases and keys no screen uses.
    pub(crate) fn from_terminal(event: KeyEvent) -> Option<Self> {
        if event.kind == KeyEventKind::Release {
            return None;
        }
        let control = event.modifiers.contains(KeyModifiers::CONTROL);
        let shift = event.modifiers.contains(KeyModifiers::SHIFT);
        let key = match event.code {
            KeyCode::Char('c') if control => Self::Interrupt,
            KeyCode::Char(_) if control || event.modifiers.contains(KeyModifiers::ALT) => {
                return None;
            }
            KeyCode::Char(c) => Self::Char(c),
            KeyCode::Enter => Self::Enter,
            KeyCode::Esc => Self::Escape,
            KeyCode::Tab => Self::Tab,
            KeyCode::BackTab => Self::BackTab,
            KeyCode::Backspace => Self::Backspace,
            KeyCode::Delete => Self::Delete,
            KeyCode::Up if shift => Self::FastUp,
            KeyCode::Down if shift => Self::FastDown,
            KeyCode::Left if shift => Self::FastLeft,
            KeyCode::Right if shift => Self::FastRight,
            KeyCode::Up => Self::Up,
            KeyCode::Down => Self::Down,
            KeyCode::Left => Self::Left,
            KeyCode::Right => Self::Right,
            KeyCode::PageUp => Self::PageUp,
            KeyCode::PageDown => Self::PageDown,
            KeyCode::Home => Self::Home,
            KeyCode::End => Self::End,
            KeyCode::F(n) => Self::Function(n),
            KeyCode::Insert
            | KeyCode::Null
            | KeyCode::CapsLock
            | KeyCode::ScrollLock
            | KeyCode::NumLock
            | KeyCode::PrintScreen
            | KeyCode::Pause
            | KeyCode::Menu
            | KeyCode::KeypadBegin
            | KeyCode::Media(_)
            | KeyCode::Modifier(_) => return None,
        };
        Some(key)
    }

    /// Returns the key without shift, where a screen makes no difference.
    fn plain(self) -> Self {
        match self {
            Self::FastUp => Self::Up,
            Self::FastDown => Self::Down,
            Self::FastLeft => Self::Left,
            Self::FastRight => Self::Right,
            Self::Char(_)
            | Self::Enter
            | Self::Escape
            | Self::Tab
            | Self::BackTab
            | Self::Backspace
            | Self::Delete
            | Self::Up
            | Self::Down
            | Self::Left
            | Self::Right
            | Self::PageUp
            | Self::PageDown
            | Self::Home
            | Self::End
            | Self::Function(_)
            | Self::Interrupt => self,
        }
    }

    /// Returns how the key is written in hints and help.
    pub fn words(self) -> String {
        match self {
            Self::Char(' ') => "Space".to_owned(),
            Self::Char(c) => c.to_string(),
            Self::Enter => "Enter".to_owned(),
            Self::Escape => "Esc".to_owned(),
            Self::Tab => "Tab".to_owned(),
            Self::BackTab => "Shift-Tab".to_owned(),
            Self::Backspace => "Backspace".to_owned(),
            Self::Delete => "Del".to_owned(),
            Self::Up => "\u{2191}".to_owned(),
            Self::Down => "\u{2193}".to_owned(),
            Self::Left => "\u{2190}".to_owned(),
            Self::Right => "\u{2192}".to_owned(),
            Self::FastUp => "Shift-\u{2191}".to_owned(),
            Self::FastDown => "Shift-\u{2193}".to_owned(),
            Self::FastLeft => "Shift-\u{2190}".to_owned(),
            Self::FastRight => "Shift-\u{2192}".to_owned(),
            Self::PageUp => "PgUp".to_owned(),
            Self::PageDown => "PgDn".to_owned(),
            Self::Home => "Home".to_owned(),
            Self::End => "End".to_owned(),
            Self::Function(n) => format!("F{n}"),
            Self::Interrupt => "Ctrl-C".to_owned(),
        }
    }
}

/// Where a key holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Scope {
    /// On every screen.
    Everywhere,
    /// While a popup lies over the screen.
    Popup,
    /// The home screen.
    Home,
    /// The list of oven templates.
    Templates,
    /// The oven form.
    OvenForm,
    /// The layout of a toast test.
    Layout,
    /// Scoring.
    Score,
    /// The map.
    Map,
    /// The plan.
    Plan,
    /// Where to bake it.
    Choice,
    /// The bake clock.
    Clock,
    /// What came out of the oven.
    Outcome,
    /// The oven's record.
    Record,
    /// Writing a service visit.
    Visit,
    /// Choosing a photo of the toasted slices.
    PhotoFile,
    /// The corners of the lattice in a photo.
    PhotoCorners,
    /// What is of known lightness in a photo.
    PhotoReferences,
    /// The scores read from a photo.
    PhotoScores,
    /// Which rack position a photo shows.
    PhotoRack,
    /// Before and after.
    Compare,
    /// The thermometer's record and its charts.
    Air,
    /// Before a round with the thermometer.
    AirSetup,
    /// A thermometer being described.
    AirThermometer,
    /// A round with the thermometer.
    AirRound,
    /// A wanted temperature, or the time of a reading, being typed.
    AirEntry,
    /// An oven's history.
    History,
}

impl Scope {
    /// Every scope, in the order help and README show them.
    pub const ALL: [Self; 26] = [
        Self::Everywhere,
        Self::Popup,
        Self::Home,
        Self::Templates,
        Self::OvenForm,
        Self::Layout,
        Self::Score,
        Self::Map,
        Self::Plan,
        Self::Choice,
        Self::Clock,
        Self::Outcome,
        Self::Record,
        Self::Visit,
        Self::PhotoFile,
        Self::PhotoCorners,
        Self::PhotoReferences,
        Self::PhotoScores,
        Self::PhotoRack,
        Self::Compare,
        Self::Air,
        Self::AirSetup,
        Self::AirThermometer,
        Self::AirRound,
        Self::AirEntry,
        Self::History,
    ];

    /// Returns the heading over the scope's keys.
    pub fn words(self) -> &'static str {
        match self {
            Self::Everywhere => "Everywhere",
            Self::Popup => "In a window over the screen",
            Self::Home => "Kitchen",
            Self::Templates => "New oven",
            Self::OvenForm => "Oven form",
            Self::Layout => "Lay-out",
            Self::Score => "Scoring",
            Self::Map => "Map",
            Self::Plan => "Plan",
            Self::Choice => "Where to bake",
            Self::Clock => "Bake clock",
            Self::Outcome => "What came out",
            Self::Record => "Record",
            Self::Visit => "Service visit",
            Self::PhotoFile => "Photo: the file",
            Self::PhotoCorners => "Photo: the corners",
            Self::PhotoReferences => "Photo: what is known",
            Self::PhotoScores => "Photo: the scores",
            Self::PhotoRack => "Photo: the rack position",
            Self::Compare => "Before and after",
            Self::Air => "Thermometer",
            Self::AirSetup => "Before a round with the thermometer",
            Self::AirThermometer => "Describing a thermometer",
            Self::AirRound => "Round with the thermometer",
            Self::AirEntry => "Wanted temperature, time of a reading",
            Self::History => "History",
        }
    }

    /// Returns the rows of this scope.
    pub fn bindings(self) -> &'static [Binding] {
        match self {
            Self::Everywhere => EVERYWHERE,
            Self::Popup => POPUP,
            Self::Home => home::KEYS,
            Self::Templates => oven_form::TEMPLATE_KEYS,
            Self::OvenForm => oven_form::KEYS,
            Self::Layout => layout::KEYS,
            Self::Score => score::KEYS,
            Self::Map => map::KEYS,
            Self::Plan => plan::KEYS,
            Self::Choice => choice::KEYS,
            Self::Clock => clock::KEYS,
            Self::Outcome => outcome::KEYS,
            Self::Record => record::KEYS,
            Self::Visit => record::VISIT_KEYS,
            Self::PhotoFile => photo::FILE_KEYS,
            Self::PhotoCorners => photo::CORNER_KEYS,
            Self::PhotoReferences => photo::REFERENCE_KEYS,
            Self::PhotoScores => photo::SCORE_KEYS,
            Self::PhotoRack => photo::RACK_KEYS,
            Self::Compare => compare::KEYS,
            Self::Air => air::KEYS,
            Self::AirSetup => air::SETUP_KEYS,
            Self::AirThermometer => air::THERMOMETER_KEYS,
            Self::AirRound => air::ROUND_KEYS,
            Self::AirEntry => air::ENTRY_KEYS,
            Self::History => history::KEYS,
        }
    }
}

/// One row of the action table.
#[derive(Debug)]
pub struct Binding {
    /// The keys, the one to show first.
    pub keys: &'static [Key],
    /// What they mean.
    pub action: Action,
    /// Two or three words for the hint bar; empty to leave it out there.
    pub hint: &'static str,
    /// One line for help and README.
    pub help: &'static str,
}

impl Binding {
    /// Returns the keys as help and README write them: `? or F1`, `0 to 9`.
    pub fn key_words(&self) -> String {
        match self.keys {
            [first, _, _, _, .., last] => format!("{} to {}", first.words(), last.words()),
            few => few
                .iter()
                .map(|k| k.words())
                .collect::<Vec<_>>()
                .join(" or "),
        }
    }

    /// Returns the key that the hint bar shows: the first that works now, or a whole row as `0-9`.
    ///
    /// Characters are no keys while a field takes text.
    pub fn hint_key(&self, takes_text: bool) -> Option<String> {
        match self.keys {
            [first, _, _, _, .., last] if !takes_text => {
                Some(format!("{}-{}", first.words(), last.words()))
            }
            keys => keys
                .iter()
                .find(|k| !(takes_text && matches!(k, Key::Char(_))))
                .map(|k| k.words()),
        }
    }
}

const EVERYWHERE: &[Binding] = &[
    Binding {
        keys: &[Key::Function(1), Key::Char('?')],
        action: Action::Help,
        hint: "help",
        help: "show the keys of this screen",
    },
    Binding {
        keys: &[Key::Escape],
        action: Action::Back,
        hint: "back",
        help: "close a window, or go back one screen",
    },
    Binding {
        keys: &[Key::Char('q'), Key::Interrupt],
        action: Action::Quit,
        hint: "quit",
        help: "leave; asks first while a bake runs or something is not on disk yet",
    },
];

const POPUP: &[Binding] = &[
    Binding {
        keys: &[Key::Up, Key::PageUp],
        action: Action::Scroll(-1),
        hint: "",
        help: "scroll up",
    },
    Binding {
        keys: &[Key::Down, Key::PageDown],
        action: Action::Scroll(1),
        hint: "scroll",
        help: "scroll down",
    },
    Binding {
        keys: &[Key::Enter, Key::Char(' ')],
        action: Action::Back,
        hint: "close",
        help: "close the window",
    },
];

/// Writes the whole table as Markdown, one section a scope; the README holds it word for word.
pub fn as_markdown() -> String {
    let mut out = String::new();
    for scope in Scope::ALL {
        let _ = writeln!(out, "\n| {} | |\n| --- | --- |", scope.words());
        for binding in scope.bindings() {
            let keys = binding.key_words().replace('|', "\\|");
            let _ = writeln!(out, "| `{keys}` | {} |", binding.help);
        }
    }
    out
}

/// Finds what a key means in a scope; while a field takes text, characters are text.
pub fn action_for(scope: Scope, takes_text: bool, key: Key) -> Option<Action> {
    if takes_text {
        match key {
            Key::Char(c) => return Some(Action::Typed(Typed::Char(c))),
            Key::Backspace | Key::Delete => return Some(Action::Typed(Typed::Erase)),
            Key::Enter
            | Key::Escape
            | Key::Tab
            | Key::BackTab
            | Key::Up
            | Key::Down
            | Key::Left
            | Key::Right
            | Key::FastUp
            | Key::FastDown
            | Key::FastLeft
            | Key::FastRight
            | Key::PageUp
            | Key::PageDown
            | Key::Home
            | Key::End
            | Key::Function(_)
            | Key::Interrupt => {}
        }
    }
    #[cfg(debug_assertions)]
    if key == Key::Function(12) {
        return Some(Action::Break);
    }
    let bound = |key: Key| {
        scope
            .bindings()
            .iter()
            .chain(EVERYWHERE)
            .find(|b| b.keys.contains(&key))
    };
    bound(key)
        .or_else(|| bound(key.plain()))
        .map(|b| with_figure(&b.action, key))
}

/// Puts a key's own figure into its action, where ten keys share one row of the table.
fn with_figure(action: &Action, key: Key) -> Action {
    if let Action::Layout(action) = action {
        Action::Layout(layout::with_figure(*action, key))
    } else if let Action::Score(action) = action {
        Action::Score(score::with_figure(*action, key))
    } else if let Action::Clock(action) = action {
        Action::Clock(clock::with_figure(*action, key))
    } else if let Action::Air(action) = action {
        Action::Air(air::with_figure(*action, key))
    } else if let Action::Photo(action) = action {
        Action::Photo(photo::with_figure(*action, key))
    } else if let Action::Outcome(action) = action {
        Action::Outcome(outcome::with_figure(*action, key))
    } else {
        action.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn no_key_is_used_twice_in_a_scope() {
        let mut rows = 0;
        for scope in Scope::ALL {
            let mut seen = HashSet::new();
            let everywhere = if scope == Scope::Everywhere {
                &[][..]
            } else {
                EVERYWHERE
            };
            for binding in scope.bindings().iter().chain(everywhere) {
                rows += 1;
                assert!(!binding.help.is_empty(), "{scope:?} {:?}", binding.keys);
                assert!(!binding.keys.is_empty(), "{scope:?} {}", binding.help);
                for key in binding.keys {
                    assert!(seen.insert(*key), "{scope:?}: {key:?} is used twice");
                }
            }
        }
        assert!(rows > 15, "only {rows} rows: a table was not gathered");
    }

    #[test]
    fn a_field_takes_characters_and_leaves_the_other_keys() {
        let typed = action_for(Scope::OvenForm, true, Key::Char('q'));
        assert!(matches!(typed, Some(Action::Typed(Typed::Char('q')))));
        let help = action_for(Scope::OvenForm, true, Key::Function(1));
        assert!(matches!(help, Some(Action::Help)));
        let quit = action_for(Scope::Home, false, Key::Char('q'));
        assert!(matches!(quit, Some(Action::Quit)));
    }
}
