//! Takes the terminal over and gives it back as it was: on quit, on a panic, on a signal.

use crossterm::{
    cursor, event, execute,
    terminal::{
        Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode,
        enable_raw_mode,
    },
};
use ratatui::{Terminal, backend::CrosstermBackend};
use std::{
    io::{self, Stdout},
    mem::ManuallyDrop,
    panic,
    sync::atomic::{AtomicBool, Ordering},
    thread,
};

/// Whether the terminal is ours now; restoring it twice would leave the caller's screen.
static TAKEN: AtomicBool = AtomicBool::new(false);

/// The terminal in raw mode on the alternate screen; dropping it restores everything.
pub(crate) struct Taken {
    /// Never dropped by itself: it would write to a terminal that may be gone, and stop the program over it.
    terminal: ManuallyDrop<Terminal<CrosstermBackend<Stdout>>>,
}

impl Taken {
    /// Takes the terminal over. It asks the terminal no question, so nothing can block here.
    ///
    /// # Errors
    /// The system's error when the terminal refuses; what was changed so far is undone.
    pub(crate) fn new() -> io::Result<Self> {
        restore_on_panic();
        take().map(|terminal| Self {
            terminal: ManuallyDrop::new(terminal),
        })
    }

    /// Takes the terminal over once more, after whoever had it meanwhile left it otherwise.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub(crate) fn take_again(&mut self) -> io::Result<()> {
        if self.is_in_front() {
            restore();
            self.terminal = ManuallyDrop::new(take()?);
        }
        Ok(())
    }

    /// Gives the terminal back and stops, as any program does at Ctrl-Z; goes on when it is called back.
    ///
    /// Without a shell behind it nobody could call it back, so it does not stop then.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub(crate) fn suspend(&mut self) -> io::Result<()> {
        #[cfg(unix)]
        {
            let leads_its_session =
                rustix::process::getsid(None).is_ok_and(|id| id == rustix::process::getpid());
            if !leads_its_session {
                restore();
                signal_hook::low_level::emulate_default_handler(signal_hook::consts::SIGTSTP)?;
                return self.take_again();
            }
        }
        Ok(())
    }

    /// Tells whether the terminal is ours to draw on: in the background it is the shell's.
    #[expect(
        clippy::unused_self,
        reason = "only who has taken the terminal may ask"
    )]
    pub(crate) fn is_in_front(&self) -> bool {
        #[cfg(unix)]
        if let Ok(front) = rustix::termios::tcgetpgrp(rustix::stdio::stdin()) {
            return front == rustix::process::getpgrp();
        }
        true
    }

    /// Tells whether the terminal is in raw mode now: not after it was given back for a stop.
    pub(crate) fn holds() -> bool {
        TAKEN.load(Ordering::SeqCst)
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

fn take() -> io::Result<Terminal<CrosstermBackend<Stdout>>> {
    enable_raw_mode()?;
    TAKEN.store(true, Ordering::SeqCst);
    let made = let_signals_through()
        .and_then(|()| {
            execute!(
                io::stdout(),
                EnterAlternateScreen,
                Clear(ClearType::All),
                event::EnableMouseCapture,
                event::EnableBracketedPaste,
                cursor::Hide
            )
        })
        .and_then(|()| Terminal::new(CrosstermBackend::new(io::stdout())));
    if made.is_err() {
        restore();
    }
    made
}

/// Lets the terminal turn Ctrl-C, Ctrl-Z and Ctrl-\ into signals: then nothing that the program is in the
/// middle of reading, such as half a mouse report or a paste without end, can swallow them.
#[cfg(unix)]
fn let_signals_through() -> io::Result<()> {
    use rustix::termios::{LocalModes, OptionalActions, tcgetattr, tcsetattr};
    let input = rustix::stdio::stdin();
    let mut modes = tcgetattr(input)?;
    modes.local_modes.insert(LocalModes::ISIG);
    Ok(tcsetattr(input, OptionalActions::Now, &modes)?)
}

/// Elsewhere they are keys.
#[cfg(not(unix))]
fn let_signals_through() -> io::Result<()> {
    Ok(())
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
/// Only a panic on the thread that draws ends the program: the others' are dealt with, and must leave the
/// screen alone.
fn restore_on_panic() {
    static HOOKED: AtomicBool = AtomicBool::new(false);
    if HOOKED.swap(true, Ordering::SeqCst) {
        return;
    }
    let drawing = thread::current().id();
    let before = panic::take_hook();
    panic::set_hook(Box::new(move |info| {
        if TAKEN.load(Ordering::SeqCst) && thread::current().id() != drawing {
            return;
        }
        restore();
        before(info);
    }));
}
