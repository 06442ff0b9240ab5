//! The terminal face: an `Event` becomes an `Action`, `update` changes the `App`, `view` draws it.
//!
//! ```text
//! input thread  ->  Event  -> action_of -> Action -> update(&mut App, Action) -> Vec<Effect>
//! worker thread ->                                                                 |
//! clock         ->            view(&App, &mut Frame)  <-  run loop carries out  <--+
//! ```
//!
//! # A new screen
//! 1. `screens/<name>.rs`: a state struct, `enum <Name>Action`, `pub const KEYS: &[Binding]`, and
//!    [`screens::ScreenState`] for the struct. Its own `update(&mut self, action, shared)` returns effects.
//! 2. A variant in [`screens::Screen`], [`action::Action`] and [`keys::Scope`]; the compiler then names every
//!    match to visit.
//! 3. `view` and `hit` get the same body rectangle and compute their parts by the same pure function, so that
//!    the mouse meets what is drawn. `view` has `&self` and cannot change state.
//! 4. Slow work is `Effect::Work(job)`; the answer arrives in [`app::Shared::map`] or [`app::Shared::plan`] and the
//!    screen in sight is told by [`screens::ScreenState::answered`].
//! 5. Navigation is asked for on [`app::Shared`]: `open`, `replace`, `back`. Messages: `say`, `complain`.
//! 6. `guide` is one line that tells a newcomer the next key; every figure has its unit; nothing is told by colour
//!    alone; keys are single keys.
//! 7. Tests: key sequences through `update`, a snapshot in `tests/screens.rs`.

pub mod action;
pub mod app;
pub mod effect;
pub mod event;
#[cfg(test)]
mod fixture;
pub mod keys;
mod outside;
pub mod popups;
mod run;
pub mod screens;
mod terminal;
pub mod theme;
pub mod update;
pub mod view;
pub mod widgets;
pub mod worker;

pub use run::step;

use crate::model::Warning;
use crate::workflow::kitchen::Kitchen;
use app::App;
use jiff::civil::DateTime;
use std::io::IsTerminal;
use theme::{Depth, Theme};

/// Why the terminal face could not run.
#[derive(Debug, thiserror::Error)]
pub enum TuiError {
    /// The terminal refused to be taken over or drawn on.
    #[error(
        "the terminal could not be used: {0}; run it in a terminal window, or use a command such as 'rackshade map'"
    )]
    Terminal(#[source] std::io::Error),
    /// The system gave no thread.
    #[error("the system gave no thread: {0}; close other programs and try again")]
    Thread(#[source] std::io::Error),
    /// The program ended before everything was on disk.
    #[error(
        "these are not on disk: {0}; see that the data folder can be written to, then enter them again"
    )]
    NotSaved(String),
    /// Keys and mouse can no longer be read.
    #[error("keys can no longer be read; everything scored is saved, start again in a terminal")]
    InputLost,
}

/// How the terminal face is to be run.
#[derive(Debug, Clone, Default)]
pub struct TuiOptions {
    /// Colours to use; found out from the environment when `None`.
    pub depth: Option<Depth>,
    /// What opening the store had to say.
    pub warnings: Vec<Warning>,
}

/// Runs the terminal face until the user leaves.
///
/// # Errors
/// [`TuiError`]; the terminal is restored before it returns.
pub fn run(kitchen: Kitchen, options: TuiOptions) -> Result<(), TuiError> {
    let TuiOptions { depth, warnings } = options;
    let theme = depth.map_or_else(theme_here, Theme::new);
    let mut app = App::new(kitchen, theme, local_now(), &warnings);
    run::run(&mut app)
}

/// Finds out from the environment which colours can be shown; the terminal itself is asked nothing.
fn theme_here() -> Theme {
    let vars = std::env::vars_os()
        .filter_map(|(k, v)| Some((k.into_string().ok()?, v.into_string().ok()?)))
        .collect();
    Theme::detect(&vars, std::io::stdout().is_terminal())
}

fn local_now() -> DateTime {
    jiff::ZonedDateTime::now().datetime()
}
