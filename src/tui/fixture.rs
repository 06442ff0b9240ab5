//! A program over a kitchen in a temporary folder, for tests of the screens.

use super::worker::work;
use super::{app::App, effect::Effect, event::Event, keys::Key, run::step, theme::Theme};
use crate::workflow::{catalogue::oven_templates, kitchen::Kitchen};
use crate::{
    model::{Moment, Oven, ToastTest},
    workflow::kitchen::Access,
};
use jiff::{SignedDuration, civil::date};
use std::time::Duration;
use tempfile::TempDir;

/// The program and the folder its kitchen lies in.
pub(crate) struct Fixture {
    pub(crate) app: App,
    pub(crate) folder: TempDir,
    /// The worker's work is done at once, as by a quick machine.
    pub(crate) works: bool,
}

impl Fixture {
    pub(crate) fn new() -> Self {
        let folder = TempDir::new().unwrap();
        let (kitchen, warnings) = Kitchen::open(folder.path(), Access::Write).unwrap();
        let now = date(2026, 11, 25).at(9, 30, 0, 0);
        let app = App::new(kitchen, Theme::default(), now, &warnings);
        Self {
            app,
            folder,
            works: false,
        }
    }

    /// With one oven, made from the first template.
    pub(crate) fn with_oven() -> Self {
        let mut fixture = Self::new();
        let mut oven = oven_templates()[0].oven.clone();
        oven.name = "Wall oven".to_owned();
        oven.id = fixture.app.shared.kitchen.fresh_oven_id(&oven.name);
        fixture.app.shared.kitchen.save_oven(oven).unwrap();
        fixture
    }

    /// With one oven, the worker's work done at once.
    pub(crate) fn working() -> Self {
        Self {
            works: true,
            ..Self::with_oven()
        }
    }

    /// With one oven and a toast test on the scoring screen.
    pub(crate) fn scoring() -> Self {
        let mut fixture = Self::with_oven();
        fixture.keys("t\n\ns");
        assert!(fixture.app.shows::<crate::tui::screens::score::Score>());
        fixture
    }

    pub(crate) fn press(&mut self, key: Key) -> Vec<Effect> {
        let effects = step(&mut self.app, Event::Key(key));
        if self.works {
            self.work(effects)
        } else {
            effects
        }
    }

    /// Does the work that was asked for, and what is asked for then; returns what is left.
    pub(crate) fn work(&mut self, effects: Vec<Effect>) -> Vec<Effect> {
        let mut rest = Vec::new();
        for effect in effects {
            if let Effect::Work(job) = effect {
                let more = step(&mut self.app, Event::Finished(work(job)));
                rest.extend(self.work(more));
            } else {
                rest.push(effect);
            }
        }
        rest
    }

    /// Presses one key after the other: letters, `\n`, `\t`, `\x1b`, `\x08` and arrows; returns the effects of the last.
    pub(crate) fn keys(&mut self, keys: &str) -> Vec<Effect> {
        let mut last = Vec::new();
        for c in keys.chars() {
            last = self.press(match c {
                '\n' => Key::Enter,
                '\t' => Key::Tab,
                '\x1b' => Key::Escape,
                '\x08' => Key::Backspace,
                '←' => Key::Left,
                '→' => Key::Right,
                '↑' => Key::Up,
                '↓' => Key::Down,
                letter => Key::Char(letter),
            });
        }
        last
    }

    pub(crate) fn oven(&self) -> &Oven {
        self.app.shared.kitchen.ovens().first().unwrap()
    }

    pub(crate) fn test(&self) -> &ToastTest {
        self.app.shared.kitchen.tests().last().unwrap()
    }

    pub(crate) fn guide(&self) -> String {
        let screen = self.app.screen().unwrap();
        screen.guide(&self.app.shared)
    }

    /// Returns the screen in sight.
    #[track_caller]
    pub(crate) fn room<T: std::any::Any>(&self) -> &T {
        self.app.screen().unwrap().as_room().unwrap()
    }

    /// Returns the kitchen as the next start would find it.
    #[track_caller]
    pub(crate) fn on_disk(&self) -> Kitchen {
        let (kitchen, warnings) = Kitchen::open(self.folder.path(), Access::Read).unwrap();
        assert!(warnings.is_empty(), "{warnings:?}");
        kitchen
    }

    /// Lets the clock stand at so many minutes after the fixture's begin; returns whether the bell rang.
    pub(crate) fn at(&mut self, minutes: f64) -> bool {
        self.at_with_clock_set(minutes, 0.0)
    }

    /// The same, with the wall clock set on by so many minutes since, or back.
    pub(crate) fn at_with_clock_set(&mut self, minutes: f64, set: f64) -> bool {
        let passed = Duration::from_secs_f64(minutes * 60.0);
        let now = date(2026, 11, 25).at(9, 30, 0, 0) + passed;
        let set = SignedDuration::from_secs_f64(set * 60.0);
        self.app.set_clock(now + set, passed);
        let effects = step(&mut self.app, Event::Tick);
        effects.iter().any(|e| matches!(e, Effect::Bell(_)))
    }

    /// Holds that the guide says so.
    #[track_caller]
    pub(crate) fn guides(&self, words: &str) {
        let said = self.guide();
        assert!(said.contains(words), "{said}");
    }

    /// Holds that the message says so.
    #[track_caller]
    pub(crate) fn says(&self, words: &str) {
        let said = format!("{:?}", self.app.shared.banner);
        assert!(said.contains(words), "{said}");
    }

    /// Reads the kitchen again from the disk, as the next start would.
    pub(crate) fn reopened(self) -> Self {
        self.reopened_at(date(2026, 11, 26).at(8, 0, 0, 0).into())
    }

    /// The same, that start being at `now`.
    pub(crate) fn reopened_at(self, now: Moment) -> Self {
        let Self { app, folder, .. } = self;
        drop(app);
        let (kitchen, warnings) = Kitchen::open(folder.path(), Access::Write).unwrap();
        assert!(warnings.is_empty(), "{warnings:?}");
        let app = App::new(kitchen, Theme::default(), now, &warnings);
        Self {
            app,
            folder,
            works: false,
        }
    }
}
