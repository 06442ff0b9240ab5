//! A baking day: loads baked one after another, and which of them were begun.

use super::{
    id::{BakeId, DayId, OvenId},
    moment::Moment,
    oven::Mode,
    plan::Plan,
    shade::Shade,
};
use crate::units::Minutes;

/// One load of the day.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// From 1, by their start.
    pub number: usize,
    /// Its oven.
    pub oven: OvenId,
    /// How that heats.
    pub mode: Mode,
    /// The trays in it, numbered through the day.
    pub trays: Vec<usize>,
    /// When its door shuts, minutes into the day.
    pub start: Minutes,
    /// When it is done.
    pub end: Minutes,
    /// The plan it follows; its trays have their numbers of the day.
    pub plan: Plan,
    /// Minutes its door stands open to put it in, and again to take it out.
    pub handling: Minutes,
    /// Minutes after it is out until the air is back.
    pub wait: Minutes,
}

/// A baking day that was begun.
#[derive(Debug, Clone, PartialEq)]
pub struct BakingDay {
    /// Its id.
    pub id: DayId,
    /// When the first load went in.
    pub begun: Moment,
    /// The shade the recipe wants.
    pub wanted: Option<Shade>,
    /// The baker gave up what was left of it.
    pub given_up: bool,
    /// Every load by its start, with the log of those that went in: it says how far they are.
    pub loads: Vec<(Batch, Option<BakeId>)>,
}
