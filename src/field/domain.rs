//! Where things are: the cavity, its rack positions, and slices on them.

use crate::{geometry::rows, numeric::whole};

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

/// Spacing of the places a slice may go to, as a share of its side.
const STEP: f64 = 0.4;
/// Air between a slice and a wall, cm, where slices are laid where they tell most: few of them block no air, but none lies
/// against a wall, where it scorches and a rack may not reach (a choice, no source).
pub const LEAST_AIR: f64 = 1.5;

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
    /// Makes a rectangle on a rack position: its middle, width and depth in cm.
    pub const fn new(rack: u8, x: f64, y: f64, width: f64, depth: f64) -> Self {
        Self {
            rack,
            x,
            y,
            width,
            depth,
        }
    }

    /// Returns places all over a rack position that a slice of `width` x `depth` cm could go to in a `cavity`, with
    /// [`LEAST_AIR`] to the walls where there is so much room.
    pub fn everywhere(rack: u8, (width, depth): (f64, f64), cavity: (f64, f64)) -> Vec<Self> {
        let along = |side: f64, length: f64| -> Vec<f64> {
            let air = LEAST_AIR.min(0.5 * (length - side));
            let room = length - side - 2.0 * air;
            let steps = whole::floor((room / (STEP * side)).round().max(1.0));
            (0..=steps)
                .map(|i| air + side / 2.0 + room * i as f64 / steps as f64)
                .collect()
        };
        let xs = along(width, cavity.0);
        let at = |(x, y)| Self {
            rack,
            x,
            y,
            width,
            depth,
        };
        along(depth, cavity.1)
            .into_iter()
            .flat_map(|y| xs.iter().map(move |&x| (x, y)))
            .map(at)
            .collect()
    }

    /// Orders `chosen` of the spots as slices are read: rack by rack from the bottom, row by row as their scores are
    /// typed.
    pub(super) fn in_reading_order(spots: &[Self], mut chosen: Vec<usize>) -> Vec<usize> {
        chosen.sort_by_key(|&i| spots[i].rack);
        let racks = chosen.chunk_by(|&a, &b| spots[a].rack == spots[b].rack);
        let read = racks.flat_map(|on_rack| {
            let places: Vec<(f64, f64)> =
                on_rack.iter().map(|&i| (spots[i].x, spots[i].y)).collect();
            let near = spots[on_rack[0]].depth / 2.0;
            let rows = rows(&places, near).into_iter().flatten();
            rows.map(|i| on_rack[i]).collect::<Vec<usize>>()
        });
        read.collect()
    }

    /// Tells whether two slices would lie on one another.
    pub(super) fn overlaps(&self, other: &Self) -> bool {
        let apart = |a: f64, b: f64, side: f64| (a - b).abs() >= side - 1e-6;
        self.rack == other.rack
            && !apart(self.x, other.x, f64::midpoint(self.width, other.width))
            && !apart(self.y, other.y, f64::midpoint(self.depth, other.depth))
    }
}
