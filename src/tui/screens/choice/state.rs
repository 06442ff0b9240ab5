//! The state of the ranked list, and what can be done with it.

use crate::tui::prelude::*;
use crate::{
    model::TestId,
    workflow::{
        choice::{Basis, Choices},
        plan::PlanRequest,
        pool::tests_now,
    },
};
use std::sync::Arc;

/// What can be done with the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Go(i8),
    /// Jump to a row; on the row that has the cursor, take it.
    To(usize),
    Take,
}

/// The state of the list.
#[derive(Debug)]
pub(crate) struct ChoiceScreen {
    pub(super) request: PlanRequest,
    pub(super) row: usize,
    pub(super) asked: Asked<Choices>,
}

impl ChoiceScreen {
    /// Opens on a bake; its mode does not matter.
    pub(crate) fn new(request: PlanRequest) -> Self {
        Self {
            request,
            row: 0,
            asked: Asked::default(),
        }
    }

    pub(super) fn found(&self) -> Option<Result<&Arc<Choices>, &Trouble>> {
        self.asked.fresh()
    }

    pub(super) fn count(&self) -> usize {
        self.found()
            .and_then(Result::ok)
            .map_or(0, |c| c.ranked.len())
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        let count = self.count();
        match action {
            Act::Go(by) => self.row = list::step(self.row, isize::from(by), count),
            Act::To(row) if row == self.row => self.take(shared),
            Act::To(row) if row < count => self.row = row,
            Act::To(_) => {}
            Act::Take => self.take(shared),
        }
    }

    pub(super) fn take(&self, shared: &mut Shared) {
        let found = self.found().and_then(Result::ok);
        let way = found.and_then(|c| c.ranked.get(self.row)).cloned();
        let Some(way) = way else {
            shared.say("the list is still being made; a moment");
            return;
        };
        let oven = shared.kitchen.oven(&way.oven).cloned();
        let tests: Vec<TestId> = match (&way.basis, &oven) {
            (Basis::Tests { .. }, Some(oven)) => tests_now(&shared.kitchen, oven, way.mode)
                .iter()
                .map(|t| t.id.clone())
                .collect(),
            (Basis::Tests { .. }, None) | (Basis::Custom, _) => Vec::new(),
        };
        let request = PlanRequest {
            mode: way.mode,
            // Trays on several rack positions are the planner's to place.
            racks: match way.racks[..] {
                [rack] if self.request.trays == 1 => vec![rack],
                _ => Vec::new(),
            },
            ..self.request.clone()
        };
        shared.replace(Place::PlanOf(way.oven, tests, Box::new(request)));
    }
}
