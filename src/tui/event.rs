//! What can happen to the program: a closed list, made by the input thread, the worker and the clock.

use super::{keys::Key, worker::Answer};
use crossterm::event as term;

/// Something that happened.
#[derive(Debug)]
pub enum Event {
    /// A key went down.
    Key(Key),
    /// The mouse was pressed, dragged or let go, or its wheel turned.
    Mouse(Mouse),
    /// Text was pasted.
    Paste(String),
    /// The terminal has a new size, columns and rows.
    Resize(u16, u16),
    /// A screen's clock moved on.
    Tick,
    /// The worker has an answer.
    Finished(Answer),
    /// The system asks the program to end.
    Terminate,
    /// The program is to stop, and go on when it is called back.
    Suspend,
    /// The program goes on after it was stopped.
    Resume,
}

/// What the mouse did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MouseAct {
    /// Its main button went down.
    Press,
    /// It was moved with the button down.
    Drag,
    /// The button was let go.
    Release,
    /// The wheel turned away from the hand.
    WheelUp,
    /// The wheel turned towards the hand.
    WheelDown,
}

/// A mouse event at a cell of the terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mouse {
    /// Column, 0 at the left.
    pub column: u16,
    /// Row, 0 at the top.
    pub row: u16,
    /// What it did.
    pub act: MouseAct,
}

impl Event {
    /// Takes over what the terminal reported; `None` for what no screen uses (key releases, hovering).
    pub(crate) fn from_terminal(event: term::Event) -> Option<Self> {
        match event {
            term::Event::Key(key) => Key::from_terminal(key).map(Self::Key),
            term::Event::Mouse(mouse) => Self::from_mouse(mouse),
            term::Event::Paste(text) => Some(Self::Paste(text)),
            term::Event::Resize(columns, rows) => Some(Self::Resize(columns, rows)),
            term::Event::FocusGained | term::Event::FocusLost => None,
        }
    }

    fn from_mouse(mouse: term::MouseEvent) -> Option<Self> {
        let act = match mouse.kind {
            term::MouseEventKind::Drag(term::MouseButton::Left) => MouseAct::Drag,
            term::MouseEventKind::Up(term::MouseButton::Left) => MouseAct::Release,
            term::MouseEventKind::Down(term::MouseButton::Left) => MouseAct::Press,
            term::MouseEventKind::ScrollUp => MouseAct::WheelUp,
            term::MouseEventKind::ScrollDown => MouseAct::WheelDown,
            _ => return None,
        };
        Some(Self::Mouse(Mouse {
            column: mouse.column,
            row: mouse.row,
            act,
        }))
    }
}
