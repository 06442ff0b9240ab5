//! The state of the lay-out, and what can be done with it.

use super::bench::{Bench, Setting};
use crate::workflow::catalogue::Occasion;
use crate::{
    model::Oven,
    tui::{effect::Save, place::Place, shared::Shared, widgets::list},
};

/// What can be done on the layout screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    /// Read the cautions.
    Cautions,
    /// Setting above, or nudge the slice towards the back.
    Up,
    /// Setting below, or nudge the slice towards the door.
    Down,
    /// Less, or nudge the slice to the left.
    Left,
    /// More, or nudge the slice to the right.
    Right,
    /// From the settings to the slices and back.
    Side,
    /// Load or empty a rack position.
    Rack(u8),
    /// Put the cursor on a setting.
    ToSetting(usize),
    /// Put the cursor on a slice.
    ToSlice(usize),
    /// Next slice.
    Next,
    /// Slice before.
    Before,
    /// Take the slice out, or lay it back.
    Missing,
    /// Lay one more slice.
    Extra,
    /// Lay everything out anew, without what was changed by hand.
    Anew,
    /// Keep the test and go on to scoring.
    Start,
}

/// The state of the layout screen.
#[derive(Debug)]
pub(crate) struct LayoutScreen {
    pub(super) bench: Bench,
    pub(super) setting: Setting,
    /// The cursor is among the slices, not the settings.
    pub(super) on_slices: bool,
}

impl LayoutScreen {
    /// Opens with the lay-out that suits the oven's middle rack position.
    pub(crate) fn new(oven: Oven, shared: &Shared) -> Self {
        Self {
            bench: Bench::new(oven, shared),
            setting: Setting::Racks,
            on_slices: false,
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        match action {
            Act::Up if self.on_slices => self.bench.nudge(0.0, 1.0),
            Act::Down if self.on_slices => self.bench.nudge(0.0, -1.0),
            Act::Left if self.on_slices => self.bench.nudge(-1.0, 0.0),
            Act::Right if self.on_slices => self.bench.nudge(1.0, 0.0),
            Act::Up => self.go(-1),
            Act::Down => self.go(1),
            Act::Left => self.bench.change(self.setting, -1),
            Act::Right => self.bench.change(self.setting, 1),
            Act::Side => self.on_slices = !self.on_slices && self.bench.has_slices(),
            Act::Rack(rack) => {
                if let Err(words) = self.bench.switch_rack(rack) {
                    shared.say(words);
                }
            }
            Act::ToSetting(at) => {
                self.on_slices = false;
                if let Some(setting) = Setting::ALL.get(at) {
                    self.setting = *setting;
                }
            }
            Act::ToSlice(at) => {
                self.on_slices = true;
                self.bench.go_to(at);
            }
            Act::Next => self.walk(1),
            Act::Before => self.walk(-1),
            Act::Missing => {
                self.on_slices = self.bench.has_slices();
                self.bench.switch_missing();
            }
            Act::Extra => {
                self.on_slices = true;
                self.bench.add();
            }
            Act::Anew => {
                self.bench.lay_out();
                self.on_slices = self.on_slices && self.bench.has_slices();
            }
            Act::Cautions => shared.caution(Occasion::ToastTest),
            Act::Start => self.start(shared),
        }
    }

    pub(super) fn go(&mut self, by: isize) {
        let row = list::step(self.setting.index(), by, Setting::ALL.len());
        if let Some(setting) = Setting::ALL.get(row) {
            self.setting = *setting;
        }
    }

    pub(super) fn walk(&mut self, by: isize) {
        if self.on_slices {
            self.bench.step(by);
        }
        self.on_slices = self.bench.has_slices();
    }

    /// Keeps the test before a slice is toasted: from here on nothing is lost.
    pub(super) fn start(&self, shared: &mut Shared) {
        match self.bench.test(shared) {
            Err(words) => {
                shared.say(words);
            }
            Ok(test) => {
                let oven = self.bench.oven().clone();
                shared.replace(Place::Score(Box::new(oven), Box::new(test.clone())));
                shared.caution(Occasion::ToastTest);
                shared.save(Save::Test(Box::new(test)));
            }
        }
    }
}
