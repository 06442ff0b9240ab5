//! Large pieces in parts: a cake or a loaf has a light and a dark side of its own.
//!
//! A piece counts as a point where it is small beside what differs in an oven. One that takes more room is divided,
//! alike in all pieces, so that the parts of a tray are a lattice again and a turn is a reversal of it.

use crate::{geometry::Grid, model::Tray, numeric::whole};

/// A piece with more room than this, cm, is divided: cookies stand closer, cakes and loaves do not (a choice, no source).
const LARGE: f64 = 15.0;
/// A part is no longer than this, cm, a slice of the toast test.
const PART: f64 = 10.0;

/// The parts of a tray's pieces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cells {
    /// Pieces across and deep.
    pieces: (usize, usize),
    /// Parts of one piece, across and deep.
    each: (usize, usize),
}

impl Cells {
    /// Divides the pieces of a tray.
    pub fn of(tray: Tray) -> Self {
        Self {
            pieces: (tray.across, tray.deep),
            each: (
                parts(tray.width.0 / tray.across as f64),
                parts(tray.depth.0 / tray.deep as f64),
            ),
        }
    }

    /// Returns how many there are on a tray.
    pub fn count(self) -> usize {
        self.pieces.0 * self.pieces.1 * self.each.0 * self.each.1
    }

    /// Returns their lattice on a tray of that size.
    pub(super) fn lattice(self, tray: Tray) -> Grid {
        Grid {
            cols: self.pieces.0 * self.each.0,
            rows: self.pieces.1 * self.each.1,
            width: tray.width.0,
            depth: tray.depth.0,
        }
    }

    /// Returns the mean of every piece from the parts of one tray or of several, one after the other.
    pub(super) fn means(self, parts: &[f64]) -> Vec<f64> {
        let (across, deep) = self.pieces;
        let mut pieces = vec![0.0; parts.len() / (self.each.0 * self.each.1)];
        for (i, part) in parts.iter().enumerate() {
            // Rows run through the trays, which stand one behind the other.
            let (row, col) = (i / (across * self.each.0), i % (across * self.each.0));
            let piece = row / self.each.1 * across + col / self.each.0;
            pieces[piece] += part / (self.each.0 * self.each.1) as f64;
        }
        debug_assert_eq!(pieces.len() % (across * deep).max(1), 0, "whole trays");
        pieces
    }
}

/// Returns into how many parts a length of a piece goes.
fn parts(length: f64) -> usize {
    if length > LARGE {
        whole::floor((length / PART).ceil())
    } else {
        1
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Centimetres;

    #[test]
    fn a_cake_is_divided_and_a_cookie_is_not() {
        let tray = |width, depth, across, deep| {
            Tray::new(Centimetres(width), Centimetres(depth), across, deep)
        };
        assert_eq!(Cells::of(tray(45.7, 33.0, 6, 4)).count(), 24);
        assert_eq!(Cells::of(tray(23.0, 23.0, 1, 1)).count(), 9);
        // Two loaves side by side on two trays: each has two parts across and three deep.
        let loaves = Cells::of(tray(36.0, 24.0, 2, 1));
        assert_eq!(loaves.count(), 12);
        let parts: Vec<f64> = (0..24).map(f64::from).collect();
        // By hand: columns 0, 1 of rows 0, 4, 8; columns 2, 3 of the same; and 12 more on the second tray.
        assert_eq!(loaves.means(&parts), [4.5, 6.5, 16.5, 18.5]);
    }
}
