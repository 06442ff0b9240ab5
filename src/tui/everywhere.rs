//! The keys that hold everywhere, and those in a window over the screen.

use super::{
    app::App,
    keys::{Key, Keys, Line, keys},
};

/// What the shell does itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ShellAct {
    /// Leave the program; asked again first when something would be lost or is running.
    Quit,
    /// Close the popup, or go back one screen.
    Back,
    /// Show or hide the keys of this screen.
    Help,
    /// Show or hide why, and how sure, of what is in sight.
    Why,
    /// Scroll the popup up (negative) or down, in lines.
    Scroll(i16),
    /// Break on purpose, so that a test can see the terminal restored; no release build does.
    Break,
    /// Break every worker on purpose, so that a test can see that the screen stays; no release build does.
    BreakWorkers,
}

keys! { pub(crate) EVERYWHERE: ShellAct, "Everywhere";
    'i' => Why, "why", "show why, and how sure: figures, ranges and warnings of what is in sight";
    F1 | '?' => Help, "help", "show the keys of this screen";
    Escape => Back, "back", "close a window, or go back one screen";
    'q' | Interrupt => Quit, "quit", "leave; asks first while a bake runs or something is not on disk yet";
}

keys! { pub(crate) POPUP: ShellAct, "In a window over the screen";
    Up | PageUp => Scroll(-1), "", "scroll up";
    Down | PageDown => Scroll(1), "scroll", "scroll down";
    Enter | ' ' => Back, "close", "close the window";
}

/// Tells whether a line is the key that shows why: it is left out where nothing lies behind a screen.
pub(crate) fn is_why(line: &Line) -> bool {
    line.keys == [Key::Char('i')]
}

/// Returns the keys that hold now, and whether characters are text.
pub(crate) fn keys_now(app: &App) -> Option<(Keys, bool)> {
    if app.shared.popup.is_some() {
        return Some((POPUP.keys(), false));
    }
    Some(app.screen()?.keys())
}
