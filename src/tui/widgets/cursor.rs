//! The cursor that reads a place on a rack: the same place in every picture, whatever its size.

/// Steps from wall to wall.
const STEPS: f64 = 40.0;

/// A place on every rack position of an oven, as shares of the width from the left wall and of the depth from the door.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RackCursor(f64, f64);

impl Default for RackCursor {
    /// The middle.
    fn default() -> Self {
        Self(0.5, 0.5)
    }
}

impl RackCursor {
    /// Puts it on a place, in the unit of the rack's width and depth; outside, on the edge.
    pub(crate) fn at((x, y): (f64, f64), (width, depth): (f64, f64)) -> Self {
        Self((x / width).clamp(0.0, 1.0), (y / depth).clamp(0.0, 1.0))
    }

    /// Goes right and towards the back, in steps, and no further than the walls.
    pub(crate) fn go(&mut self, right: i8, back: i8) {
        let step = |v: f64, by: i8| (v + f64::from(by) / STEPS).clamp(0.0, 1.0);
        *self = Self(step(self.0, right), step(self.1, back));
    }

    /// Returns its place, in the unit of the rack's width and depth.
    pub(crate) fn place(self, (width, depth): (f64, f64)) -> (f64, f64) {
        (self.0 * width, self.1 * depth)
    }
}
