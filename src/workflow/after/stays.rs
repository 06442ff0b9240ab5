//! Where each piece of a bake was, and when.

use crate::{
    geometry::Grid,
    model::{BakeLog, DoorOpening, Oven},
    units::Minutes,
};

/// A stretch of a bake that a piece spent in one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stay {
    /// When it began, minutes with the door shut.
    pub from: Minutes,
    /// When it ended.
    pub to: Minutes,
    /// Its share of the browning by the plan, 0..1.
    pub share: f64,
    /// Rack position.
    pub rack: u8,
    /// Centimetres from the left wall.
    pub x: f64,
    /// Centimetres from the door.
    pub y: f64,
}

/// Returns where a piece was, segment by segment, by the plan's places and the moves as they were done.
///
/// A move not noted counts as done by the plan. Food stands still in its browning while the door is open, so
/// that time is left out. Empty where the plan does not know its tray.
pub fn stays(bake: &BakeLog, oven: &Oven, (tray, row, col): (usize, usize, usize)) -> Vec<Stay> {
    let Some(size) = bake.plan.tray else {
        return Vec::new();
    };
    let lattice = Grid::new(size.across, size.deep, size.width.0, size.depth.0);
    if row >= lattice.rows || col >= lattice.cols {
        return Vec::new();
    }
    let moves: Vec<&DoorOpening> = bake.openings.iter().filter(|o| o.is_move()).collect();
    let end = bake.baked.unwrap_or(bake.plan.bake);
    let begins = |i: usize, planned: Minutes| match i.checked_sub(1) {
        None => Minutes(0.0),
        Some(before) => moves.get(before).map_or(planned, |o| o.at),
    };
    let segments = &bake.plan.segments;
    segments
        .iter()
        .enumerate()
        .filter_map(|(i, segment)| {
            let at = segment.trays.iter().find(|t| t.tray == tray)?;
            let (row, col) = if at.turned {
                (lattice.rows - 1 - row, lattice.cols - 1 - col)
            } else {
                (row, col)
            };
            let to = segments
                .get(i + 1)
                .map_or(end, |next| begins(i + 1, next.from));
            Some(Stay {
                from: shut(bake, begins(i, segment.from)),
                to: shut(bake, to),
                share: segment.share,
                rack: at.rack,
                x: (oven.cavity.width.0 - lattice.width) / 2.0 + at.shift_x.0 + lattice.x(col),
                y: (oven.cavity.depth.0 - lattice.depth) / 2.0 + at.shift_y.0 + lattice.y(row),
            })
        })
        .collect()
}

/// Turns minutes into a bake into minutes with the door shut.
pub(super) fn shut(bake: &BakeLog, at: Minutes) -> Minutes {
    let open: f64 = bake
        .openings
        .iter()
        .filter(|o| o.at < at)
        .filter_map(|o| Some(o.open_for?.0.min(at.0 - o.at.0)))
        .sum();
    Minutes((at.0 - open).max(0.0))
}
