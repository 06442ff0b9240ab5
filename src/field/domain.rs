//! Where things are: the cavity, its rack positions, and slices on them.

/// A rack position for the engine: its number and its height, cm above the cavity floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rack {
    /// Number from the bottom.
    pub number: u8,
    /// Height above the cavity floor, cm.
    pub height: f64,
}

/// Where the field lives.
#[derive(Debug, Clone, PartialEq)]
pub struct Domain {
    /// Left wall to right wall, cm.
    pub width: f64,
    /// Door to back wall, cm.
    pub depth: f64,
    /// Rack positions to be mapped, from the bottom up.
    pub racks: Vec<Rack>,
}

/// A slice that could be laid: its middle from the left wall and the door, and its sides, cm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Rack position.
    pub rack: u8,
    /// Middle, cm from the left wall.
    pub x: f64,
    /// Middle, cm from the door.
    pub y: f64,
    /// Extent along x, cm.
    pub width: f64,
    /// Extent along y, cm.
    pub depth: f64,
}

impl Spot {
    /// Tells whether two slices would lie on one another.
    pub(super) fn overlaps(&self, other: &Self) -> bool {
        let apart = |a: f64, b: f64, side: f64| (a - b).abs() >= side - 1e-6;
        self.rack == other.rack
            && !apart(self.x, other.x, f64::midpoint(self.width, other.width))
            && !apart(self.y, other.y, f64::midpoint(self.depth, other.depth))
    }
}
