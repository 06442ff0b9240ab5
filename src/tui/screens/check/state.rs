//! The state of a quick check, and what can be done in it.

use crate::tui::prelude::*;
use crate::{
    model::{Mode, Oven, TestId},
    workflow::{
        catalogue::Occasion,
        check::{CheckRequest, Checked, Places, SLICES, USUAL_SLICES, check, places},
    },
};

/// What can be done in a quick check.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Cautions,
    Count(i8),
    Rack(u8),
    Mode(i8),
    Start,
    Map,
    Test,
    Record,
    Score,
}

/// The state of a quick check: its places, or its answer once a test is scored.
#[derive(Debug)]
pub(crate) struct CheckScreen {
    pub(super) oven: Oven,
    count: usize,
    mode: Mode,
    /// The rack positions chosen by hand; those of the newest test until then.
    pub(super) racks: Option<Vec<u8>>,
    pub(super) places: Asked<Places>,
    /// The scored test whose answer is shown.
    pub(super) test: Option<TestId>,
    pub(super) answer: Asked<Checked>,
}

impl CheckScreen {
    /// Opens on the places of six slices.
    pub(crate) fn new(oven: Oven) -> Self {
        let mode = oven.modes.first().copied().unwrap_or(Mode::StillAir);
        Self {
            oven,
            count: USUAL_SLICES,
            mode,
            racks: None,
            places: Asked::default(),
            test: None,
            answer: Asked::default(),
        }
    }

    /// Opens on the answer of a scored check.
    pub(crate) fn of(oven: Oven, test: TestId) -> Self {
        Self {
            test: Some(test),
            ..Self::new(oven)
        }
    }

    /// Asks for the places, or for the answer.
    pub(super) fn ask(&mut self, shared: &mut Shared) {
        let (records, oven) = (shared.kitchen.snapshot(), self.oven.clone());
        if let Some(id) = &self.test {
            if let Some(test) = shared.kitchen.test(id).cloned() {
                self.answer.ask(shared, Lane::Quick, move || {
                    Ok(check(&records, &oven, &test)?)
                });
            }
            return;
        }
        let asked = CheckRequest {
            mode: Some(self.mode),
            racks: self.racks.clone().unwrap_or_default(),
            count: self.count,
            slice: None,
            dial: None,
        };
        if self.racks.as_ref().is_some_and(Vec::is_empty) {
            self.places.clear();
            return;
        }
        self.places.ask(shared, Lane::Quick, move || {
            Ok(places(&records, &oven, &asked)?)
        });
    }

    pub(super) fn settle(&mut self, answer: &Answer, shared: &mut Shared) {
        if self.places.settle(answer) || !self.answer.settle(answer) {
            return;
        }
        let test = self.test.as_ref().and_then(|id| shared.kitchen.test(id));
        let (Some(Ok(checked)), Some(test)) = (self.answer.held(), test) else {
            return;
        };
        if test.is_check() && test.note != checked.note() {
            let mut test = test.clone();
            checked.note().clone_into(&mut test.note);
            shared.save(Save::Test(Box::new(test)));
        }
    }

    /// Returns the rack positions that carry slices.
    pub(super) fn loaded(&self) -> Vec<u8> {
        self.racks
            .clone()
            .unwrap_or_else(|| match self.places.held() {
                Some(Ok(places)) => places.racks.clone(),
                Some(Err(_)) | None => Vec::new(),
            })
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, act: Act, shared: &mut Shared) {
        match act {
            Act::Cautions => shared.caution(Occasion::ToastTest),
            Act::Count(by) => {
                let (least, most) = SLICES;
                let count = match by {
                    i8::MIN..=-1 => self.count.saturating_sub(1),
                    0..=i8::MAX => self.count + 1,
                };
                if !(least..=most).contains(&count) {
                    shared.say(format!("a quick check takes {least} to {most} slices"));
                    return;
                }
                self.count = count;
                self.ask(shared);
            }
            Act::Rack(rack) => {
                if let Err(why) = self.oven.rack(rack) {
                    shared.say(why.to_string());
                    return;
                }
                let mut racks = self.loaded();
                if racks.contains(&rack) {
                    racks.retain(|r| *r != rack);
                } else {
                    racks.push(rack);
                    racks.sort_unstable();
                }
                self.racks = Some(racks);
                self.ask(shared);
            }
            Act::Mode(by) => self.other_mode(by, shared),
            Act::Start => self.start(shared),
            Act::Map => self.go_to_map(shared),
            Act::Test => shared.open(Place::Layout(Box::new(self.oven.clone()))),
            Act::Record => shared.open(Place::Record(self.oven.id.clone())),
            Act::Score => {
                let test = self.test.as_ref().and_then(|id| shared.kitchen.test(id));
                if let Some(test) = test.cloned() {
                    shared.replace(Place::Score(Box::new(self.oven.clone()), Box::new(test)));
                }
            }
        }
    }

    fn other_mode(&mut self, by: i8, shared: &mut Shared) {
        let bakes: Vec<Mode> = self
            .oven
            .modes
            .iter()
            .copied()
            .filter(|m| *m != Mode::Proofing)
            .collect();
        let Some(mode) = list::neighbour(&bakes, self.mode, by) else {
            return;
        };
        self.mode = mode;
        shared.say(format!("checked with {}", self.mode.words()));
        self.ask(shared);
    }

    /// Keeps the test before a slice is toasted, and goes on to its clock.
    fn start(&mut self, shared: &mut Shared) {
        match self.places.fresh() {
            Some(Ok(places)) => {
                let test = places.test(&shared.kitchen, &self.oven, shared.now);
                let (oven, kept) = (Box::new(self.oven.clone()), Box::new(test.clone()));
                shared.replace(Place::Toasting(oven, kept));
                shared.caution(Occasion::ToastTest);
                shared.save(Save::Test(Box::new(test)));
            }
            Some(Err(why)) => shared.say(why.to_string()),
            None if self.places.is_waiting() => shared.say("the places are still being chosen"),
            None => shared.say("load a rack position first: press its number"),
        }
    }

    fn go_to_map(&self, shared: &mut Shared) {
        let test = self.test.as_ref().and_then(|id| shared.kitchen.test(id));
        if let Some(test) = test.cloned() {
            let tests = shared.beside(&test);
            shared.open(Place::Map(self.oven.id.clone(), tests));
        }
    }
}
