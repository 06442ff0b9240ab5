//! The state of the compare screen, and what can be done on it.

use crate::tui::prelude::*;
use crate::tui::shared::MAP_GRID;
use crate::workflow::compare::{Pooling, TestGroup, compare_tests, sides};
use crate::{
    model::{Oven, OvenId, TestId, ToastTest},
    tui::widgets::{RackCursor, list::neighbour},
    workflow::compare::CompareView,
};

use jiff::civil::DateTime;

/// From this many columns on the three pictures stand side by side.
pub(super) const ROOM_FOR_THREE: u16 = 130;

/// What can be done on the compare screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Act {
    /// Move the cursor: right and towards the back, in steps.
    Move(i8, i8),
    /// Put the cursor on a place.
    Point(RackCursor),
    Show(u8),
    Rack(i8),
    Blink,
    Change,
    All,
    Pool,
}

/// One of the three pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pane {
    Before,
    After,
    Change,
}

/// The state of the compare screen.
#[derive(Debug)]
pub(crate) struct CompareScreen {
    pub(super) oven: OvenId,
    pub(super) asked: Asked<CompareView>,
    /// The tests it was opened with.
    pub(super) named: (Vec<TestId>, Vec<TestId>),
    pub(super) pooling: Pooling,
    /// The tests that are compared.
    pub(super) before: Vec<TestId>,
    pub(super) after: Vec<TestId>,
    /// The picture shown alone; all three where there is room when `None`.
    pub(super) alone: Option<Pane>,
    /// The rack position chosen; until one is, the one that changed most.
    pub(super) rack: Option<u8>,
    /// Where the cursor is, in every picture.
    pub(super) cursor: RackCursor,
}

impl CompareScreen {
    /// Opens on an oven and the tests of both sides.
    pub(crate) fn new(oven: OvenId, before: Vec<TestId>, after: Vec<TestId>) -> Self {
        Self {
            oven,
            asked: Asked::default(),
            before: before.clone(),
            after: after.clone(),
            named: (before, after),
            pooling: Pooling::Beside,
            alone: None,
            rack: None,
            cursor: RackCursor::default(),
        }
    }

    pub(super) fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.oven)
    }

    pub(super) fn answer(&self) -> Option<Result<&CompareView, &Trouble>> {
        Some(self.asked.held()?.map(AsRef::as_ref))
    }

    pub(super) fn ready(&self) -> Option<&CompareView> {
        self.answer().and_then(Result::ok)
    }

    pub(super) fn racks(view: &CompareView) -> Vec<u8> {
        view.comparison.racks.iter().map(|r| r.rack).collect()
    }

    pub(super) fn chosen(&self, view: &CompareView) -> Option<u8> {
        let racks = Self::racks(view);
        self.rack
            .filter(|r| racks.contains(r))
            .or_else(|| view.changed_most())
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        match action {
            Act::Move(right, back) => self.cursor.go(right, back),
            Act::Point(cursor) => self.cursor = cursor,
            Act::Rack(by) => self.rack = self.rack_beside(by),
            Act::Show(rack) => self.rack = Some(rack),
            Act::Blink => {
                // The first press goes to what is not in sight yet on a narrow screen.
                self.alone = Some(match self.shown_alone(shared) {
                    Some(Pane::Before) => Pane::After,
                    Some(Pane::After | Pane::Change) | None => Pane::Before,
                });
            }
            Act::Change => self.alone = Some(Pane::Change),
            Act::All => {
                self.alone = None;
                if shared.size.0 < ROOM_FOR_THREE {
                    shared.say(format!(
                        "three pictures side by side need {ROOM_FOR_THREE} columns; Space and c show them one by one"
                    ));
                }
            }
            Act::Pool => self.pool(shared),
        }
    }

    /// Asks for the comparison of the tests as they are now; the old answer is shown till then.
    pub(super) fn ask(&mut self, shared: &mut Shared) {
        let named = (self.named.0.as_slice(), self.named.1.as_slice());
        let (before, after) = sides(&shared.kitchen, named, self.pooling);
        let ids = |tests: &[&ToastTest]| tests.iter().map(|t| t.id.clone()).collect();
        (self.before, self.after) = (ids(&before), ids(&after));
        let owned = |tests: Vec<&ToastTest>| tests.into_iter().cloned().collect();
        let (before, after): (Vec<ToastTest>, Vec<ToastTest>) = (owned(before), owned(after));
        let Some(oven) = self.oven(shared).cloned() else {
            return;
        };
        self.asked.ask(shared, Lane::Quick, move || {
            let (before, after): (Vec<&ToastTest>, Vec<&ToastTest>) =
                (before.iter().collect(), after.iter().collect());
            let side = |tests| TestGroup { oven: &oven, tests };
            Ok(compare_tests(side(&before), side(&after), MAP_GRID)?)
        });
    }

    /// Takes the two alone, or each with the tests beside it, which only a service visit between the sides tells apart.
    pub(super) fn pool(&mut self, shared: &mut Shared) {
        let shown = (self.before.clone(), self.after.clone());
        self.pooling = match self.pooling {
            Pooling::Beside => Pooling::Alone,
            Pooling::Alone => Pooling::Beside,
        };
        self.ask(shared);
        if (&self.before, &self.after) == (&shown.0, &shown.1) {
            shared.say(
                "no other test can count with these: that takes a service visit between them, and a second test in their mode on its side",
            );
        } else {
            self.asked.let_go();
        }
    }

    /// Returns the picture that stands alone on a screen of this width.
    pub(super) fn shown_alone(&self, shared: &Shared) -> Option<Pane> {
        self.alone
            .or((shared.size.0 < ROOM_FOR_THREE).then_some(Pane::Change))
    }

    pub(super) fn rack_beside(&self, by: i8) -> Option<u8> {
        let view = self.ready()?;
        neighbour(&Self::racks(view), self.chosen(view)?, by)
    }
}

impl CompareScreen {
    /// Tells whether a service visit lies between the two sides.
    pub(super) fn is_visited(&self, shared: &Shared) -> bool {
        let times = |ids: &[TestId]| -> Vec<DateTime> {
            let tests = ids.iter().filter_map(|id| shared.kitchen.test(id));
            tests.map(|t| t.when).collect()
        };
        let (before, after) = (times(&self.before), times(&self.after));
        let (Some(last), Some(first)) = (before.iter().max(), after.iter().min()) else {
            return false;
        };
        self.oven(shared).is_some_and(|oven| {
            oven.visits
                .iter()
                .any(|v| v.when >= *last && v.when <= *first)
        })
    }
}
