//! The state of the program: a stack of screens and what they share.

use super::{
    bell::{WATCH_TICK, day, dough, first},
    place::Place,
    screen::{Room, Screen},
    screens::open,
    shared::{Banner, Shared, first_of},
    theme::Theme,
};
use crate::{
    model::{Moment, Warning},
    workflow::kitchen::Kitchen,
};
use std::time::Duration;

/// How often a window that only looks looks again.
const LOOK_TICK: Duration = Duration::from_secs(1);

/// The whole state. Only `update` changes it; `view` reads it.
#[derive(Debug)]
pub struct App {
    /// Screens, the one in sight last; never empty.
    pub(crate) screens: Vec<Box<dyn Screen>>,
    /// What every screen may read and change.
    pub(crate) shared: Shared,
}

impl App {
    /// Makes the state at start-up: the home screen over the stored ovens.
    ///
    /// `warnings` are what opening the store had to say; the first is shown at once.
    pub fn new(
        kitchen: Kitchen,
        theme: Theme,
        now: impl Into<Moment>,
        warnings: &[Warning],
    ) -> Self {
        let banner = first_of(warnings).map(Banner::Wrong);
        let mut shared = Shared::new(kitchen, theme, now.into(), banner);
        day::take_up(&mut shared);
        Self {
            screens: open(Place::Home, &mut shared).into_iter().collect(),
            shared,
        }
    }

    /// Returns the screen in sight.
    pub(crate) fn screen(&self) -> Option<&dyn Screen> {
        self.screens.last().map(AsRef::as_ref)
    }

    /// Tells whether the screen in sight is a `T`.
    #[cfg(test)]
    pub(crate) fn shows<T: std::any::Any>(&self) -> bool {
        self.screen().is_some_and(|s| s.as_room::<T>().is_some())
    }

    /// Returns how often time must be told: by the screen in sight, or by what is timed out of sight.
    pub fn tick(&self) -> Option<Duration> {
        let top = self.screen().and_then(Room::tick);
        let runs = || first(&self.shared).is_some() || dough::running(&self.shared).is_some();
        top.or_else(|| runs().then_some(WATCH_TICK))
            .or_else(|| self.shared.kitchen.is_looking().then_some(LOOK_TICK))
    }

    /// Returns what the screens share.
    pub fn shared(&self) -> &Shared {
        &self.shared
    }

    /// Sets size and clocks before an event is dealt with; the run loop and tests call it.
    pub fn set_clock(&mut self, now: impl Into<Moment>, elapsed: Duration) {
        self.shared.moment = now.into();
        self.shared.now = self.shared.moment.civil();
        self.shared.elapsed = elapsed;
    }

    /// Sets the terminal's size before the first frame.
    pub fn set_size(&mut self, columns: u16, rows: u16) {
        self.shared.size = (columns, rows);
    }
}
