//! What a screen is to the shell, and how one is written.
//!
//! The shell knows [`Screen`] alone. A screen is written as a [`Room`]: it names its own acts, the table of keys that
//! lead to them, and what each one does; that makes it a `Screen`.

use super::{
    event::{Mouse, MouseAct},
    keys::{Key, Keys, Table, Typed},
    shared::{Shared, Timed},
    widgets::{Sentence, photo_view::Painting},
    worker::Answer,
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};
use std::{any::Any, fmt::Debug, time::Duration};

/// A screen as it is written.
pub(crate) trait Room: Debug + Any {
    /// What can be done on it.
    type Act: Copy
    where
        Self: Sized;

    /// Returns the table of the keys that hold now.
    fn table(&self) -> &'static Table<Self::Act>
    where
        Self: Sized;

    /// Does something; what the shell is to do about it is asked for on `shared`.
    fn act(&mut self, act: Self::Act, shared: &mut Shared)
    where
        Self: Sized;

    /// Returns the words behind the program's name: where we are, and with what.
    fn title(&self, shared: &Shared) -> String;

    /// Returns the one line that tells a newcomer what to do next, with its key.
    fn guide(&self, shared: &Shared) -> String;

    /// Returns what is so, in at most twelve words: the one bold line, above everything else.
    fn verdict(&self, _shared: &Shared) -> Option<String> {
        None
    }

    /// Returns why, and how sure: the figures, ranges and warnings behind what is in sight.
    fn why(&self, _shared: &Shared) -> Vec<Sentence> {
        Vec::new()
    }

    /// Draws what must stay readable in a window smaller than screens are made for; tells whether it did.
    fn view_small(&self, _shared: &Shared, _frame: &mut Frame<'_>, _area: Rect) -> bool {
        false
    }

    /// Draws the screen into `body`.
    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect);

    /// Returns what is shown inside the same `body` in pixels, where the terminal takes them.
    fn painting(&self, _body: Rect) -> Option<Painting> {
        None
    }

    /// Returns what the wheel does when it is turned up, and down.
    fn wheel(&self) -> Option<[Self::Act; 2]>
    where
        Self: Sized,
    {
        None
    }

    /// Finds what a press of the mouse at `at` inside the same `body` stands for.
    fn press(&self, _shared: &Shared, _body: Rect, _at: Position) -> Option<Self::Act>
    where
        Self: Sized,
    {
        None
    }

    /// Finds what a mouse act at `at` stands for.
    fn hit(&self, shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Self::Act>
    where
        Self: Sized,
    {
        match act {
            MouseAct::Press => self.press(shared, body, at),
            MouseAct::WheelUp => self.wheel().map(|[up, _]| up),
            MouseAct::WheelDown => self.wheel().map(|[_, down]| down),
            MouseAct::Drag | MouseAct::Release => None,
        }
    }

    /// Tells whether characters are text now, rather than keys.
    fn takes_text(&self) -> bool {
        false
    }

    /// Takes text, where [`Self::takes_text`] says so.
    fn typed(&mut self, _typed: Typed, _shared: &mut Shared) {}

    /// Is told that the screen has come into sight.
    fn entered(&mut self, _shared: &mut Shared) {}

    /// Is told that the records were changed by something else and read again. A screen that may hold a copy
    /// of an older state says no, and is left: what it would save must not undo the change.
    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        false
    }

    /// Is told an answer of the worker while the screen is in sight.
    fn answered(&mut self, _answer: &Answer, _shared: &mut Shared) {}

    /// Is told to go back; a screen with something open inside closes that first.
    fn leave(&mut self, shared: &mut Shared) {
        shared.back();
    }

    /// Is told that the program is to be left; a screen that says no has asked back.
    fn may_quit(&mut self, _shared: &mut Shared) -> bool {
        true
    }

    /// Returns how often the screen must be drawn again; only what runs by the clock needs it.
    fn tick(&self) -> Option<Duration> {
        None
    }

    /// Returns what is timed on this screen: it rings here, and nowhere else.
    fn shows(&self) -> Option<Timed> {
        None
    }

    /// Is told that [`Self::tick`] has passed.
    fn ticked(&mut self, _shared: &mut Shared) {}
}

/// What most rooms write alike: their acts go to `update`, `view.rs` draws them, one table has all keys, and the
/// wheel does what two of them do.
macro_rules! as_usual {
    ($keys:ident $(, $wheel:expr)?) => {
        as_usual!($($wheel)?);

        fn table(&self) -> &'static Table<Act> {
            &$keys
        }
    };
    ($($wheel:expr)?) => {
        type Act = Act;

        $(fn wheel(&self) -> Option<[Act; 2]> {
            Some($wheel)
        })?

        fn act(&mut self, act: Act, shared: &mut Shared) {
            self.update(act, shared);
        }

        fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
            view::draw(self, shared, frame, body);
        }
    };
}
pub(crate) use as_usual;

/// A screen as the shell knows it: a room whose acts are its own matter.
pub(crate) trait Screen: Room {
    /// Deals with a key; tells whether it means something here.
    fn on_key(&mut self, key: Key, shared: &mut Shared) -> bool;

    /// Deals with a pasted text; tells whether it means something here.
    fn on_paste(&mut self, text: String, shared: &mut Shared) -> bool;

    /// Deals with the mouse inside `body`.
    fn on_mouse(&mut self, mouse: Mouse, body: Rect, shared: &mut Shared);

    /// Returns the keys that hold now, and whether characters are text.
    fn keys(&self) -> (Keys, bool);
}

impl<R: Room> Screen for R {
    fn on_key(&mut self, key: Key, shared: &mut Shared) -> bool {
        if self.takes_text() {
            let typed = match key {
                Key::Char(c) => Some(Typed::Char(c)),
                Key::Backspace | Key::Delete => Some(Typed::Erase),
                _ => None,
            };
            if let Some(typed) = typed {
                self.typed(typed, shared);
                return true;
            }
        }
        let act = self.table().act(key);
        if let Some(act) = act {
            self.act(act, shared);
        }
        act.is_some()
    }

    fn on_paste(&mut self, text: String, shared: &mut Shared) -> bool {
        let takes = self.takes_text();
        if takes {
            self.typed(Typed::Text(text), shared);
        }
        takes
    }

    fn on_mouse(&mut self, mouse: Mouse, body: Rect, shared: &mut Shared) {
        let at = Position::new(mouse.column, mouse.row);
        if let Some(act) = self.hit(shared, body, at, mouse.act) {
            self.act(act, shared);
        }
    }

    fn keys(&self) -> (Keys, bool) {
        (self.table().keys(), self.takes_text())
    }
}

impl dyn Screen {
    /// Returns the room behind the screen when it is a `T`.
    #[cfg(test)]
    pub(crate) fn as_room<T: Any>(&self) -> Option<&T> {
        (self as &dyn Any).downcast_ref()
    }
}
