//! A place looked at in a plan: the cursor that maps and trays share, and what is known there.

use crate::{
    model::{Oven, PlaceName},
    tui::widgets::RackCursor,
    units::CelsiusDelta,
    workflow::view::ReadOut,
};

/// The place looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Look {
    /// Its rack position.
    pub(super) rack: u8,
    /// Where on it.
    pub(super) at: RackCursor,
}

impl Look {
    /// Looks at the middle of a rack position.
    pub(super) fn of(rack: u8) -> Self {
        Self {
            rack,
            at: RackCursor::default(),
        }
    }

    /// Looks at a place.
    pub(super) fn at(rack: u8, at: RackCursor) -> Self {
        Self { rack, at }
    }

    /// Says where it is, and how much hotter or cooler than the rest of its rack.
    pub(super) fn says(self, oven: &Oven, read: Option<&ReadOut>) -> [String; 2] {
        let c = oven.cavity;
        let (x, y) = self.at.place(c.floor());
        let name = PlaceName::of(x, y, c.width.0, c.depth.0).spoken();
        let unit = oven.dial.unit;
        let letter = unit.letter();
        let figure = |c: f64| unit.delta_figure(CelsiusDelta(c)).round() + 0.0;
        let heat = read.map_or_else(
            || "nothing tested here".to_owned(),
            |read| {
                let c = &read.degrees_c;
                let words = read.heat_words(unit);
                format!(
                    "{words} ({:+.0} to {:+.0} {letter})",
                    figure(c.lo),
                    figure(c.hi)
                )
            },
        );
        [format!("Rack {}, {name}:", self.rack), heat]
    }
}
