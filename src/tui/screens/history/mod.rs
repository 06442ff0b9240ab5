//! The history screen: the time line of an oven, charts of what was measured on it, when to test again.

mod charts;
#[cfg(test)]
mod tests;
mod view;

pub use charts::Chart;

use super::ScreenState;
use crate::{
    model::{Mode, Oven, OvenId},
    tui::{
        action::Action,
        app::Shared,
        effect::Effect,
        event::MouseAct,
        keys::{Binding, Key, Scope},
        widgets::list,
    },
    workflow::history::History,
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};

/// What can be done on the history screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HistoryAction {
    /// Show the next chart.
    Chart,
    /// The next way of heating that has something to chart.
    Mode,
    /// Along the time line: later (-1) or earlier (1).
    Step(i8),
    /// Put the cursor on a moment, 0 for the latest.
    To(usize),
    /// Write the card and the technician's sheet.
    Paper,
}

const fn row(
    keys: &'static [Key],
    action: HistoryAction,
    hint: &'static str,
    help: &'static str,
) -> Binding {
    Binding {
        keys,
        action: Action::History(action),
        hint,
        help,
    }
}

/// The keys of the history screen.
pub const KEYS: &[Binding] = &[
    row(
        &[Key::Char('v'), Key::Tab],
        HistoryAction::Chart,
        "chart",
        "next chart: evenness, hottest place, offset over time",
    ),
    row(
        &[Key::Char('m')],
        HistoryAction::Mode,
        "mode",
        "the next way of heating",
    ),
    row(
        &[Key::Char('w')],
        HistoryAction::Paper,
        "on paper",
        "write the card for the oven door and the technician's sheet as PDF",
    ),
    row(
        &[Key::Up],
        HistoryAction::Step(-1),
        "",
        "later on the time line",
    ),
    row(
        &[Key::Down],
        HistoryAction::Step(1),
        "",
        "earlier on the time line; the chart marks that day",
    ),
];

/// The state of the history screen.
#[derive(Debug)]
pub struct HistoryScreen {
    oven: OvenId,
    chart: Chart,
    /// How it heats on the charts; the first with something to show until one is chosen.
    mode: Option<Mode>,
    /// Cursor on the time line, 0 for the latest moment.
    row: usize,
}

impl HistoryScreen {
    /// Opens the history of an oven.
    pub(crate) fn new(oven: OvenId) -> Self {
        Self {
            oven,
            chart: Chart::Evenness,
            mode: None,
            row: 0,
        }
    }

    fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.oven)
    }

    fn answer<'s>(&self, shared: &'s Shared) -> Option<Result<&'s History, &'s str>> {
        let answer = shared.history.held_for(&self.oven)?;
        Some(answer.map(AsRef::as_ref))
    }

    fn ready<'s>(&self, shared: &'s Shared) -> Option<&'s History> {
        self.answer(shared).and_then(Result::ok)
    }

    /// Returns how it heats on the charts.
    fn mode(&self, oven: &Oven, life: &History) -> Option<Mode> {
        self.mode
            .or_else(|| charted(oven, life).first().copied())
            .or_else(|| oven.modes.first().copied())
    }

    /// Returns the mode of the charts on screen.
    fn mode_in_sight(&self, shared: &Shared) -> Option<Mode> {
        self.mode(self.oven(shared)?, self.ready(shared)?)
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: HistoryAction, shared: &mut Shared) -> Vec<Effect> {
        let count = self.ready(shared).map_or(0, |life| life.moments.len());
        match action {
            HistoryAction::Chart => self.chart = self.chart.next(),
            HistoryAction::Mode => self.mode = self.next_mode(shared),
            HistoryAction::Step(by) => self.row = list::step(self.row, isize::from(by), count),
            HistoryAction::To(row) if row < count => self.row = row,
            HistoryAction::To(_) => {}
            HistoryAction::Paper => {
                let mode = self.mode_in_sight(shared);
                return vec![Effect::Work(shared.ask_papers(self.oven.clone(), mode))];
            }
        }
        Vec::new()
    }

    fn next_mode(&self, shared: &Shared) -> Option<Mode> {
        let (oven, life) = (self.oven(shared)?, self.ready(shared)?);
        let modes = charted(oven, life);
        let here = self.mode_in_sight(shared)?;
        let next = modes.iter().position(|m| *m == here).map_or(0, |at| at + 1);
        modes.get(next % modes.len().max(1)).copied()
    }
}

/// Returns the modes that have something on the charts, in the oven's order.
fn charted(oven: &Oven, life: &History) -> Vec<Mode> {
    let has = |mode: &&Mode| {
        life.mapped.points().any(|p| p.mode == **mode)
            || life.offsets.iter().any(|p| p.mode == **mode)
    };
    oven.modes.iter().filter(has).copied().collect()
}

impl ScreenState for HistoryScreen {
    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        true
    }

    fn scope(&self) -> Scope {
        Scope::History
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self.oven(shared).map_or("", |o| &o.name);
        format!("history of {name}")
    }

    fn guide(&self, shared: &Shared) -> String {
        match self.answer(shared) {
            None => "every test is being mapped; the charts appear by themselves".to_owned(),
            Some(Err(_)) => "Esc: back".to_owned(),
            Some(Ok(_)) => {
                "v: next chart. m: mode. up, down: along the time line. w: on paper".to_owned()
            }
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        let action = match act {
            MouseAct::WheelUp => HistoryAction::Step(-1),
            MouseAct::WheelDown => HistoryAction::Step(1),
            MouseAct::Press => view::hit(self, shared, body, at)?,
        };
        Some(Action::History(action))
    }

    fn entered(&mut self, shared: &mut Shared) -> Vec<Effect> {
        vec![Effect::Work(shared.ask_history(self.oven.clone()))]
    }
}
