//! Takes the terminal over and gives it back as it was: on quit, on a panic, on a signal.

use crossterm::{
    cursor, event, execute,
    terminal::{EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode},
};
use ratatui::{Terminal, backend::CrosstermBackend};
use std::{
    io::{self, Stdout},
    panic,
    sync::atomic::{AtomicBool, Ordering},
};

/// Whether the terminal is ours now; restoring it twice would leave the caller's screen.
static TAKEN: AtomicBool = AtomicBool::new(false);

/// The terminal in raw mode on the alternate screen; dropping it restores everything.
pub(crate) struct Taken {
    terminal: Terminal<CrosstermBackend<Stdout>>,
}

impl Taken {
    /// Takes the terminal over. It asks the terminal no question, so nothing can block here.
    ///
    /// # Errors
    /// The system's error when the terminal refuses; what was changed so far is undone.
    pub(crate) fn new() -> io::Result<Self> {
        restore_on_panic();
        enable_raw_mode()?;
        TAKEN.store(true, Ordering::SeqCst);
        let made = execute!(
            io::stdout(),
            EnterAlternateScreen,
            event::EnableMouseCapture,
            event::EnableBracketedPaste,
            cursor::Hide
        )
        .and_then(|()| Terminal::new(CrosstermBackend::new(io::stdout())));
        match made {
            Ok(terminal) => Ok(Self { terminal }),
            Err(error) => {
                restore();
                Err(error)
            }
        }
    }

    /// Returns the terminal to draw on.
    pub(crate) fn screen(&mut self) -> &mut Terminal<CrosstermBackend<Stdout>> {
        &mut self.terminal
    }
}

impl Drop for Taken {
    fn drop(&mut self) {
        restore();
    }
}

/// Gives the terminal back; harmless when it is not taken.
fn restore() {
    if TAKEN.swap(false, Ordering::SeqCst) {
        // Nothing can be done about a terminal that is gone, and each step is worth trying.
        execute!(
            io::stdout(),
            event::DisableBracketedPaste,
            event::DisableMouseCapture,
            LeaveAlternateScreen,
            cursor::Show
        )
        .ok();
        disable_raw_mode().ok();
    }
}

/// Restores the terminal before a panic's message is printed, so that it can be read.
///
/// A panic inside a worker's job is caught there and must leave the screen alone.
fn restore_on_panic() {
    static HOOKED: AtomicBool = AtomicBool::new(false);
    if HOOKED.swap(true, Ordering::SeqCst) {
        return;
    }
    let before = panic::take_hook();
    panic::set_hook(Box::new(move |info| {
        if std::thread::current().name() == Some("worker") {
            return;
        }
        restore();
        before(info);
    }));
}
