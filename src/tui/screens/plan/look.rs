//! A place looked at in a plan: the cursor that maps and trays share, and what is known there.

use crate::{
    model::{Oven, PlaceName},
    units::CelsiusDelta,
    workflow::view::ReadOut,
};

/// Steps the cursor takes from wall to wall.
const STEPS: f64 = 40.0;

/// The place looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Look {
    /// Its rack position.
    pub(super) rack: u8,
    /// Shares of the cavity's width from the left and of its depth from the door.
    pub(super) at: (f64, f64),
}

impl Look {
    /// Looks at the middle of a rack position.
    pub(super) fn of(rack: u8) -> Self {
        Self {
            rack,
            at: (0.5, 0.5),
        }
    }

    /// Looks at a place.
    pub(super) fn at(rack: u8, at: (f64, f64)) -> Self {
        Self { rack, at }
    }

    /// Goes right and towards the back, in steps.
    pub(super) fn go(&mut self, right: i8, back: i8) {
        let step = |v: f64, by: i8| (v + f64::from(by) / STEPS).clamp(0.0, 1.0);
        self.at = (step(self.at.0, right), step(self.at.1, back));
    }

    /// The place in cm from the left wall and from the door, in a cavity of this width and depth.
    pub(super) fn place(self, (width, depth): (f64, f64)) -> (f64, f64) {
        (self.at.0 * width, self.at.1 * depth)
    }

    /// Says where it is, and how much hotter or cooler than the rest of its rack.
    pub(super) fn says(self, oven: &Oven, read: Option<&ReadOut>) -> [String; 2] {
        let c = oven.cavity;
        let (x, y) = self.place((c.width.0, c.depth.0));
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
