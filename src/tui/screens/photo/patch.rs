//! A patch of known lightness as it is drawn on the photo.

use super::way::Way;
use crate::{
    geometry::Point,
    sampling::{
        Rectangle, Reference,
        request::{GREY_LIGHTNESS, WHITE_LIGHTNESS},
    },
};

/// Side of a new patch, columns of the screen.
const SIDE: f64 = 6.0;
/// Smallest side of a patch, pixels of the photo.
const LEAST: f64 = 4.0;
/// One key makes the grey lighter by this much L*.
const LIGHTER: f64 = 0.5;

/// A patch in hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Patch {
    pub(super) place: Rectangle,
    /// L* of a grey patch; `None` for white.
    pub(super) grey: Option<f64>,
    /// Where the mouse took hold.
    from: Option<Point>,
}

impl Patch {
    /// Puts a new patch around `centre`; `step` is the photo's pixels a column.
    pub(super) fn new(centre: Point, step: f64, is_grey: bool) -> Self {
        let side = (SIDE * step).max(LEAST);
        Self {
            place: Rectangle::new(centre.x - side / 2.0, centre.y - side / 2.0, side, side),
            grey: is_grey.then_some(GREY_LIGHTNESS),
            from: None,
        }
    }

    pub(super) fn middle(&self) -> Point {
        Point::new(
            self.place.x + self.place.width / 2.0,
            self.place.y + self.place.height / 2.0,
        )
    }

    pub(super) fn nudge(&mut self, way: Way, step: f64) {
        let (dx, dy) = way.direction();
        self.place.x += dx * step;
        self.place.y += dy * step;
    }

    /// Makes it larger or smaller about its middle.
    pub(super) fn grow(&mut self, by: i8, step: f64) {
        let middle = self.middle();
        let side = |s: f64| (s + f64::from(by) * 2.0 * step).max(LEAST);
        let (width, height) = (side(self.place.width), side(self.place.height));
        self.place = Rectangle {
            x: middle.x - width / 2.0,
            y: middle.y - height / 2.0,
            width,
            height,
        };
    }

    pub(super) fn lighten(&mut self, by: i8) {
        if let Some(grey) = &mut self.grey {
            *grey = (*grey + LIGHTER * f64::from(by)).clamp(5.0, WHITE_LIGHTNESS);
        }
    }

    pub(super) fn press(&mut self, p: Point) {
        self.from = Some(p);
    }

    /// Stretches the patch from where the mouse took hold to `p`.
    pub(super) fn pull(&mut self, p: Point) {
        if let Some(from) = self.from {
            self.place = Rectangle {
                x: from.x.min(p.x),
                y: from.y.min(p.y),
                width: (from.x - p.x).abs().max(LEAST),
                height: (from.y - p.y).abs().max(LEAST),
            };
        }
    }

    pub(super) fn release(&mut self) {
        self.from = None;
    }

    pub(super) fn reference(&self) -> Reference {
        match self.grey {
            None => Reference::White(self.place),
            Some(lightness) => Reference::Grey(self.place, lightness),
        }
    }
}
