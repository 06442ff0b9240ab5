//! The state of the map screen, and what can be done on it.

use crate::tui::prelude::*;
use crate::workflow::view::MapView;
use crate::{
    model::{Oven, OvenId, TestId, ToastTest},
    tui::{
        shared::MapKey,
        widgets::{Overlay, Overlays, RackCursor, list::neighbour},
    },
};
use std::sync::Arc;

/// What can be done on the map screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Act {
    Paper,
    /// Move the cursor: right and towards the back, in steps.
    Move(i8, i8),
    /// Put the cursor on a place of a rack position, cm from the left wall and from the door.
    Point(u8, f64, f64),
    Rack(i8),
    Show(u8),
    Turn,
    Quantity,
    Toggle(Overlay),
    Plan,
    Correct,
}

/// From where the oven is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Seen {
    /// One rack position from above, as large as it goes.
    FromAbove,
    /// The means of all rack positions, from the side.
    FromTheSide,
}

/// The state of the map screen.
#[derive(Debug)]
pub(crate) struct MapScreen {
    pub(super) oven: OvenId,
    pub(super) tests: Vec<TestId>,
    pub(super) seen: Seen,
    pub(super) shows_degrees: bool,
    pub(super) overlays: Overlays,
    /// The rack position chosen; until one is, the one that the verdict names.
    pub(super) rack: Option<u8>,
    /// Where the cursor is, on every rack.
    pub(super) cursor: RackCursor,
}

impl MapScreen {
    /// Opens on an oven and the tests to pool.
    pub(crate) fn new(oven: OvenId, tests: Vec<TestId>) -> Self {
        Self {
            oven,
            tests,
            seen: Seen::FromAbove,
            shows_degrees: false,
            overlays: Overlays::default(),
            rack: None,
            cursor: RackCursor::default(),
        }
    }

    pub(super) fn key(&self) -> MapKey {
        MapKey {
            oven: self.oven.clone(),
            tests: self.tests.clone(),
        }
    }

    pub(super) fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.oven)
    }

    pub(super) fn tests<'s>(&self, shared: &'s Shared) -> Vec<&'s ToastTest> {
        self.tests
            .iter()
            .filter_map(|id| shared.kitchen.test(id))
            .collect()
    }

    pub(super) fn map<'s>(
        &self,
        shared: &'s Shared,
    ) -> Option<Result<&'s Arc<MapView>, &'s Trouble>> {
        shared.map.held_for(&self.key())
    }

    pub(super) fn ready<'s>(&self, shared: &'s Shared) -> Option<&'s MapView> {
        self.map(shared).and_then(Result::ok).map(Arc::as_ref)
    }

    /// Tells whether to say whose scores are drawn: several tests are pooled.
    pub(super) fn notes_scores(&self) -> bool {
        self.tests.len() > 1 && self.overlays.has(Overlay::Scores)
    }

    /// Returns the numbers of the racks on the map, lowest first.
    pub(super) fn racks(&self, shared: &Shared) -> Vec<u8> {
        self.ready(shared)
            .map(|v| v.map.racks.iter().map(|r| r.rack).collect())
            .unwrap_or_default()
    }

    /// Returns the rack position in sight: the one chosen, else the one that the verdict names.
    pub(super) fn chosen(&self, view: &MapView) -> Option<u8> {
        let known = |rack: &u8| view.rack(*rack).is_some();
        let first = || view.map.racks.first().map(|r| r.rack);
        self.rack
            .filter(known)
            .or_else(|| view.strongest_rack())
            .or_else(first)
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        match action {
            Act::Paper => {
                let mode = self.tests(shared).first().map(|t| t.setup.mode);
                shared.ask_papers(self.oven.clone(), mode);
            }
            Act::Move(right, back) => self.cursor.go(right, back),
            Act::Point(rack, x, y) => {
                self.rack = Some(rack);
                if let Some(oven) = self.oven(shared) {
                    self.cursor = RackCursor::at((x, y), oven.cavity.floor());
                }
            }
            Act::Rack(by) => self.rack = self.rack_beside(by, shared),
            Act::Show(rack) => self.rack = Some(rack),
            Act::Turn => {
                self.seen = match self.seen {
                    Seen::FromAbove => Seen::FromTheSide,
                    Seen::FromTheSide => Seen::FromAbove,
                };
            }
            Act::Quantity => self.shows_degrees = !self.shows_degrees,
            Act::Toggle(overlay) => self.overlays.toggle(overlay),
            Act::Correct => {
                let test = self.tests(shared).last().map(|&t| t.clone());
                if let (Some(oven), Some(test)) = (self.oven(shared).cloned(), test) {
                    shared.open(Place::Score(Box::new(oven), Box::new(test)));
                }
            }
            Act::Plan => {
                shared.open(Place::Plan(self.oven.clone(), self.tests.clone()));
            }
        }
    }

    pub(super) fn rack_beside(&self, by: i8, shared: &Shared) -> Option<u8> {
        neighbour(&self.racks(shared), self.chosen(self.ready(shared)?)?, by)
    }
}
