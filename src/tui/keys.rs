//! Keys, and the tables that say what each one means on a screen.
//!
//! Key handling, the help popup, the hint bar, `rackshade keys` and the manual page are all read from
//! a screen's own tables, which it writes with `keys!`, one line a key.

use crate::model::text::joined;
use crossterm::event::{KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

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
            _ => return None,
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
            _ => self,
        }
    }

    /// Returns the figure of a digit key.
    pub fn digit(self) -> Option<u8> {
        match self {
            Self::Char(c) => c.to_digit(10).and_then(|d| u8::try_from(d).ok()),
            _ => None,
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

/// What was entered into the field that has the cursor.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Typed {
    /// One character.
    Char(char),
    /// The last character is taken away.
    Erase,
    /// A pasted text.
    Text(String),
}

/// A row of a table as help, hint bar and README show it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line {
    /// The keys, the one to show first.
    pub keys: &'static [Key],
    /// Two or three words for the hint bar; empty to leave it out there.
    pub hint: &'static str,
    /// One line for help and README.
    pub help: &'static str,
}

/// What the keys of a row do.
#[derive(Debug, Clone, Copy)]
pub enum Does<A> {
    /// The same, whichever of them it is.
    This(A),
    /// Something that depends on the digit.
    Digit(fn(u8) -> A),
}

/// A row of a table.
#[derive(Debug)]
pub struct Row<A> {
    /// As it is shown.
    pub line: Line,
    /// What its keys do.
    pub does: Does<A>,
}

/// The keys that hold in one state of a screen.
#[derive(Debug)]
pub struct Table<A: 'static> {
    /// The heading over the keys.
    pub title: &'static str,
    /// The rows, those to show first.
    pub rows: &'static [Row<A>],
}

/// A table without what its keys do: what help, hint bar and README need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Keys {
    /// The heading over the keys.
    pub title: &'static str,
    /// The rows.
    pub lines: Vec<Line>,
}

impl<A: Copy> Table<A> {
    /// Finds what a key does here.
    pub fn act(&self, key: Key) -> Option<A> {
        let bound = |key: Key| self.rows.iter().find(|r| r.line.keys.contains(&key));
        let row = bound(key).or_else(|| bound(key.plain()))?;
        match row.does {
            Does::This(act) => Some(act),
            Does::Digit(act) => key.digit().map(act),
        }
    }

    /// Returns what is shown of the table.
    pub fn keys(&self) -> Keys {
        Keys {
            title: self.title,
            lines: self.rows.iter().map(|row| row.line).collect(),
        }
    }
}

impl Line {
    /// Returns the keys as help and README write them: `? or F1`, `0 to 9`.
    pub fn key_words(&self) -> String {
        match self.keys {
            [first, _, _, _, .., last] => format!("{} to {}", first.words(), last.words()),
            few => joined(few.iter().map(|k| k.words()), " or "),
        }
    }

    /// Tells whether the keys are a row of digits, each with a meaning of its own.
    pub fn is_digits(&self) -> bool {
        self.keys.len() > 1 && self.keys.iter().all(|key| key.digit().is_some())
    }

    /// Returns the first key that works now: characters are no keys while a field takes text.
    pub fn first_key(&self, takes_text: bool) -> Option<Key> {
        let works = |k: &&Key| !(takes_text && matches!(k, Key::Char(_)));
        self.keys.iter().find(works).copied()
    }

    /// Returns how the hint bar writes the key: the first that works now, or a whole row as `0-9`.
    pub fn hint_key(&self, takes_text: bool) -> Option<String> {
        match self.keys {
            [first, _, _, _, .., last] if !takes_text => {
                Some(format!("{}-{}", first.words(), last.words()))
            }
            _ => self.first_key(takes_text).map(Key::words),
        }
    }
}

/// The ten digits.
pub(crate) const DIGITS: [Key; 10] = [
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
];

/// Writes a table of keys: `'n' | Enter => Act, "hint", "help";`, one line a key.
///
/// `Digits` (or `DigitsFrom1`) stands for the row of digits; its act is made of the digit.
macro_rules! keys {
    ($(#[$doc:meta])* $vis:vis $name:ident: $act:ident, $title:literal; $($($key:tt)|+ => $does:expr, $hint:literal, $help:literal;)*) => {
        $(#[$doc])*
        $vis const $name: $crate::tui::keys::Table<$act> = {
            use $act::*;
            $crate::tui::keys::Table {
                title: $title,
                rows: &[$($crate::tui::keys::Row {
                    line: $crate::tui::keys::Line {
                        keys: $crate::tui::keys::keys!(@keys $($key)|+),
                        hint: $hint,
                        help: $help,
                    },
                    does: $crate::tui::keys::keys!(@does $($key)|+ => $does),
                }),*],
            }
        };
    };
    (@keys Digits) => { &$crate::tui::keys::DIGITS };
    (@keys DigitsFrom1) => { $crate::tui::keys::DIGITS.split_at(1).1 };
    (@keys $($key:tt)|+) => { &[$($crate::tui::keys::keys!(@key $key)),+] };
    (@key $char:literal) => { $crate::tui::keys::Key::Char($char) };
    (@key F1) => { $crate::tui::keys::Key::Function(1) };
    (@key F2) => { $crate::tui::keys::Key::Function(2) };
    (@key F3) => { $crate::tui::keys::Key::Function(3) };
    (@key $name:ident) => { $crate::tui::keys::Key::$name };
    (@does Digits => $act:expr) => { $crate::tui::keys::Does::Digit($act) };
    (@does DigitsFrom1 => $act:expr) => { $crate::tui::keys::Does::Digit($act) };
    (@does $($key:tt)|+ => $act:expr) => { $crate::tui::keys::Does::This($act) };
}
pub(crate) use keys;
