//! The state of the history screen, and what can be done on it.

use super::charts::Chart;
use crate::tui::prelude::*;
use crate::{
    model::{Mode, Oven, OvenId},
    workflow::history::History,
};

/// What can be done on the history screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Chart,
    Mode,
    Step(i8),
    /// Put the cursor on a moment, 0 for the latest.
    To(usize),
    Paper,
}

/// The state of the history screen.
#[derive(Debug)]
pub(crate) struct HistoryScreen {
    pub(super) oven: OvenId,
    pub(super) asked: Asked<History>,
    pub(super) chart: Chart,
    /// How it heats on the charts; the first with something to show until one is chosen.
    pub(super) mode: Option<Mode>,
    /// Cursor on the time line, 0 for the latest moment.
    pub(super) row: usize,
}

impl HistoryScreen {
    /// Opens the history of an oven.
    pub(crate) fn new(oven: OvenId) -> Self {
        Self {
            oven,
            asked: Asked::default(),
            chart: Chart::Evenness,
            mode: None,
            row: 0,
        }
    }

    pub(super) fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.oven)
    }

    pub(super) fn answer(&self) -> Option<Result<&History, &Trouble>> {
        Some(self.asked.held()?.map(AsRef::as_ref))
    }

    pub(super) fn ready(&self) -> Option<&History> {
        self.answer().and_then(Result::ok)
    }

    /// Returns how it heats on the charts.
    pub(super) fn mode(&self, oven: &Oven, life: &History) -> Option<Mode> {
        self.mode
            .or_else(|| charted(oven, life).first().copied())
            .or_else(|| oven.modes.first().copied())
    }

    /// Returns the mode of the charts on screen.
    pub(super) fn mode_in_sight(&self, shared: &Shared) -> Option<Mode> {
        self.mode(self.oven(shared)?, self.ready()?)
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        let count = self.ready().map_or(0, |life| life.moments.len());
        match action {
            Act::Chart => {
                self.chart = list::neighbour(&Chart::ALL, self.chart, 1).unwrap_or(self.chart);
            }
            Act::Mode => self.mode = self.next_mode(shared),
            Act::Step(by) => self.row = list::step(self.row, isize::from(by), count),
            Act::To(row) if row < count => self.row = row,
            Act::To(_) => {}
            Act::Paper => {
                let mode = self.mode_in_sight(shared);
                shared.ask_papers(self.oven.clone(), mode);
            }
        }
    }

    pub(super) fn next_mode(&self, shared: &Shared) -> Option<Mode> {
        let (oven, life) = (self.oven(shared)?, self.ready()?);
        list::neighbour(&charted(oven, life), self.mode_in_sight(shared)?, 1)
    }
}

/// Returns the modes that have something on the charts, in the oven's order.
pub(super) fn charted(oven: &Oven, life: &History) -> Vec<Mode> {
    let has = |mode: &&Mode| {
        life.mapped.points().any(|p| p.mode == **mode)
            || life.offsets.iter().any(|p| p.mode == **mode)
    };
    oven.modes.iter().filter(has).copied().collect()
}
