//! What is asked of a paper, and why there is none.

use crate::{
    model::{Mode, Oven},
    report::paper::PaperError,
    store::StoreError,
    workflow::{ground::GroundError, kitchen::Records, pool::tests_now},
};
use jiff::civil::{Date, DateTime};

/// Heading over what weakens a paper.
pub(super) const DOUBTS: &str = "Reasons for doubt";
/// Cells of the maps on paper, along the door and front to back.
pub(super) const GRID: (usize, usize) = (24, 18);

/// What a paper is made of.
#[derive(Debug, Clone)]
pub struct PaperRequest {
    /// The mode; the first one that was tested when `None`.
    pub mode: Option<Mode>,
    /// Which service visit the sheet sets before and after: its day, or its day and time; the latest when `None`.
    pub visit: Option<DateTime>,
    /// Today.
    pub today: Date,
}

/// Why there is no paper.
#[derive(Debug, thiserror::Error)]
pub enum NoPaper {
    /// The oven has no such mode, or its tests give no map.
    #[error(transparent)]
    Ground(#[from] GroundError),
    /// It cannot be drawn.
    #[error(transparent)]
    Paper(#[from] PaperError),
    /// No service visit of that day or time.
    #[error("{oven} has no service visit of {when}; {known}")]
    NoSuchVisit {
        /// The oven's name.
        oven: String,
        /// The day, or day and time, asked for.
        when: String,
        /// What there is.
        known: String,
    },
    /// It cannot be written.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// Returns the mode asked for, else the first one with a scored test, else the oven's first.
pub(super) fn mode_for(kitchen: &Records, oven: &Oven, asked: Option<Mode>) -> Option<Mode> {
    let tested = |mode: &&Mode| !tests_now(kitchen, oven, **mode).is_empty();
    asked.or_else(|| oven.modes.iter().find(tested).copied())
}
