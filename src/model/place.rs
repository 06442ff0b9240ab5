//! Places on a rack position, in centimetres and as a baker says them.

use crate::units::Centimetres;

/// A place on a rack position: centre of a slice, a piece or a zone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Distance from the left wall, seen facing the door.
    pub x: Centimetres,
    /// Distance from the closed door.
    pub y: Centimetres,
}

impl Place {
    /// Makes a place, from the left wall and from the door.
    pub const fn new(x: Centimetres, y: Centimetres) -> Self {
        Self { x, y }
    }
}

/// The outer size of a slice: along the door and front to back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SliceSize {
    /// Extent along the door.
    pub width: Centimetres,
    /// Extent from the door towards the back.
    pub depth: Centimetres,
}

impl SliceSize {
    /// Makes the size of a slice, along the door and front to back.
    pub const fn new(width: Centimetres, depth: Centimetres) -> Self {
        Self { width, depth }
    }

    /// A slice of ordinary sandwich bread, about 10 x 10 cm.
    pub const ORDINARY: Self = Self {
        width: Centimetres(10.0),
        depth: Centimetres(10.0),
    };
}

/// Where on a rack something is, in the baker's words: a ninth of the cavity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlaceName {
    /// -1 left, 0 middle, 1 right.
    across: i8,
    /// -1 front, 0 middle, 1 back.
    deep: i8,
}

impl PlaceName {
    /// Names the place at `x`, `y` (cm) in a cavity `width` x `depth` (cm), by thirds.
    pub fn of(x: f64, y: f64, width: f64, depth: f64) -> Self {
        let third = |v: f64, whole: f64| {
            let (first, last) = (v < whole / 3.0, v > whole * 2.0 / 3.0);
            i8::from(last) - i8::from(first)
        };
        Self {
            across: third(x, width),
            deep: third(y, depth),
        }
    }

    /// Returns the words as a sentence begins: `Back left`, `The centre`, `The back`.
    pub fn title(self) -> &'static str {
        self.both().1
    }

    /// Returns the words as they are spoken: `back left`, `front`, `centre`.
    pub fn spoken(self) -> String {
        self.words().replace('-', " ")
    }

    /// Returns the words: `back-left`, `front`, `right`, `centre`.
    pub fn words(self) -> &'static str {
        self.both().0
    }

    /// Returns the words and the title.
    fn both(self) -> (&'static str, &'static str) {
        match (self.deep, self.across) {
            (1, -1) => ("back-left", "Back left"),
            (1, 0) => ("back", "The back"),
            (1, _) => ("back-right", "Back right"),
            (-1, -1) => ("front-left", "Front left"),
            (-1, 0) => ("front", "The front"),
            (-1, _) => ("front-right", "Front right"),
            (_, -1) => ("left", "The left side"),
            (_, 0) => ("centre", "The centre"),
            (_, _) => ("right", "The right side"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ninths_have_the_bakers_names() {
        assert_eq!(PlaceName::of(5.0, 35.0, 45.0, 40.0).words(), "back-left");
        assert_eq!(PlaceName::of(40.0, 5.0, 45.0, 40.0).words(), "front-right");
        assert_eq!(PlaceName::of(22.0, 20.0, 45.0, 40.0).words(), "centre");
        assert_eq!(PlaceName::of(22.0, 2.0, 45.0, 40.0).words(), "front");
    }
}
