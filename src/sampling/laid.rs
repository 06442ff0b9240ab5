//! A picture laid out: where everything lies and how it is lit; not yet scored.

use super::{
    agree::GridFit,
    crumb::{Crumb, Unreadable},
    light::Light,
    locate::Cell,
    patch::Measured,
    quality::Quality,
    scores::Flag,
};
use crate::{geometry::Homography, model::Warning};

/// A picture whose slices are found and whose light is known; not yet scored.
pub(super) struct Laid {
    pub(super) map: Homography,
    pub(super) grid: GridFit,
    pub(super) cells: Vec<Cell>,
    pub(super) crumbs: Vec<Result<Crumb, Option<Unreadable>>>,
    pub(super) light: Light,
    /// What the light of each cell is further off by, natural logarithm, where a second photo tells it.
    pub(super) offsets: Vec<Option<f64>>,
    /// What is known of each cell's light and evenness besides.
    pub(super) local: Vec<Local>,
    pub(super) references: Vec<Measured>,
    pub(super) quality: Quality,
    pub(super) warnings: Vec<Warning>,
}

impl Laid {
    /// Returns what the light of a cell is off by beyond the smooth light, natural logarithm.
    pub(super) fn offset(&self, cell: usize) -> f64 {
        self.offsets[cell].unwrap_or(self.local[cell].offset)
    }
}

/// What is known of the light and the evenness of one slice beyond the smooth light over the picture.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Local {
    /// What its light is further off by, natural logarithm.
    pub(super) offset: f64,
    /// What its error is widened by, natural logarithm of luminance.
    pub(super) sd: f64,
    /// What is to be said of it.
    pub(super) flag: Option<Flag>,
    /// Why it is left out.
    pub(super) out: Option<Unreadable>,
}
