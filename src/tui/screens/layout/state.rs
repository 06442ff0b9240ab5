//! The state of the lay-out, and what can be done with it.

use super::bench::{Bench, Setting};
use crate::model::Oven;
use crate::tui::prelude::*;
use crate::tui::widgets::form::Rows as _;
use crate::workflow::{advised::next_on, catalogue::Occasion, next::Outlook};

/// What can be done on the layout screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Cautions,
    Up,
    Down,
    Left,
    Right,
    Side,
    Rack(u8),
    /// The same by its number, which could be meant for the figure under the cursor.
    Digit(u8),
    /// Put the cursor on a setting.
    ToSetting(usize),
    /// Put the cursor on a slice.
    ToSlice(usize),
    Next,
    Before,
    Missing,
    Extra,
    Anew,
    Other,
    Advised,
    Start,
}

/// The state of the layout screen.
#[derive(Debug)]
pub(crate) struct LayoutScreen {
    pub(super) bench: Bench,
    pub(super) setting: Setting,
    /// The cursor is among the slices, not the settings.
    pub(super) on_slices: bool,
    /// The places the map asks for, while they are looked for.
    pub(super) advice: Asked<Outlook>,
}

impl LayoutScreen {
    /// Opens with the lay-out that suits the oven's middle rack position.
    pub(crate) fn new(oven: Oven, shared: &Shared) -> Self {
        Self {
            bench: Bench::new(oven, shared),
            setting: Setting::Racks,
            on_slices: false,
            advice: Asked::default(),
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        let asked_for = self.bench.advised_for();
        self.act(action, shared);
        // The places were asked for other rack positions, another mode or size.
        if self.advice.is_waiting() && self.bench.advised_for() != asked_for {
            self.advice.clear();
        }
    }

    fn act(&mut self, action: Act, shared: &mut Shared) {
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
                if let Err(why) = self.bench.switch_rack(rack) {
                    shared.say(why.to_string());
                }
            }
            Act::Digit(_) if !self.on_slices && self.setting.is_figure() => {
                let what = self.setting.label().to_lowercase();
                shared.say(format!(
                    "left and right change the {what}; on the line Load rack digits load racks"
                ));
            }
            Act::Digit(rack) => self.act(Act::Rack(rack), shared),
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
            Act::Other => {
                self.on_slices = false;
                match self.bench.other_lay_out(shared) {
                    Ok(words) | Err(words) => shared.say(words),
                }
            }
            Act::Advised => self.ask_advice(shared),
            Act::Cautions => shared.caution(Occasion::ToastTest),
            Act::Start => self.start(shared),
        }
    }

    /// Asks where the next slices tell most, given all tests of this oven in this mode.
    fn ask_advice(&mut self, shared: &mut Shared) {
        let (mode, racks) = self.bench.setup();
        let racks = racks.to_vec();
        if racks.is_empty() {
            shared.say("load a rack position first: press its number");
            return;
        }
        let oven = self.bench.oven().clone();
        let records = shared.kitchen.snapshot();
        self.advice.ask(shared, Lane::Quick, move || {
            Ok(next_on(&records, &oven, mode, &racks, None)?)
        });
        shared.say("looking for the places that tell most");
    }

    /// Takes the advised places when they have come.
    pub(super) fn settle(&mut self, answer: &Answer, shared: &mut Shared) {
        if !self.advice.settle(answer) {
            return;
        }
        match self.advice.fresh() {
            Some(Ok(outlook)) => {
                let first = outlook.sentences().into_iter().next();
                if let Some(best) = outlook.ways.first() {
                    self.bench.take_advised(best.slices.clone());
                }
                self.on_slices = false;
                shared.say(first.unwrap_or_default());
            }
            Some(Err(why)) => shared.say(why.to_string()),
            None => {}
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
            Err(why) => {
                shared.say(why.to_string());
            }
            Ok(test) => {
                let oven = self.bench.oven().clone();
                shared.replace(Place::Toasting(Box::new(oven), Box::new(test.clone())));
                shared.caution(Occasion::ToastTest);
                shared.save(Save::Test(Box::new(test)));
            }
        }
    }
}
