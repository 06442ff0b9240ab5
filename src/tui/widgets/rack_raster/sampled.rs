//! A rack's map read at the cells of a picture: two readings above one another in each cell.

use crate::{
    field::RackMap,
    geometry::{Resampler, contour::Corners},
    report::Quantity,
};

/// Readings of one map for a picture of `cols` x `rows` cells, in the unit of a [`Quantity`].
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sampled {
    /// Cells along the door.
    pub(super) cols: usize,
    /// Cells front to back.
    pub(super) rows: usize,
    /// Readings, `cols` x 2 `rows`, back first.
    values: Vec<f64>,
    /// Which of them are doubtful.
    doubt: Vec<bool>,
    /// Readings at the corners of cells, (`cols` + 1) x (`rows` + 1).
    corners: Vec<f64>,
}

impl Sampled {
    /// Reads `map` for `cols` x `rows` cells.
    pub(super) fn new(map: &RackMap, quantity: Quantity, cols: usize, rows: usize) -> Self {
        let centres = Resampler::centres(&map.grid, cols, rows * 2);
        let convert = |b: Vec<f64>| -> Vec<f64> {
            b.into_iter()
                .map(|b| quantity.value(b, map.rack_mean))
                .collect()
        };
        let mean = centres.read(&map.mean);
        let sd = centres.read(&map.sd);
        let contrast_sd = match quantity {
            Quantity::Shade => sd.clone(),
            Quantity::Degrees { .. } => centres.read(&map.contrast_sd),
        };
        let doubt = mean
            .iter()
            .zip(sd.iter().zip(&contrast_sd))
            .map(|(b, (&sd, &csd))| quantity.is_doubtful(b - map.rack_mean, csd, sd))
            .collect();
        let corners = Resampler::corners(&map.grid, cols, rows).read(&map.mean);
        Self {
            cols,
            rows,
            values: convert(mean),
            doubt,
            corners: convert(corners),
        }
    }

    /// Returns the reading of the upper (`half` 0) or lower (1) half of a cell, and whether it is doubtful.
    pub(super) fn half(&self, col: usize, row: usize, half: usize) -> (f64, bool) {
        let i = (row * 2 + half) * self.cols + col;
        (self.values[i], self.doubt[i])
    }

    /// Returns the reading of a whole cell.
    pub(super) fn cell(&self, col: usize, row: usize) -> f64 {
        f64::midpoint(self.half(col, row, 0).0, self.half(col, row, 1).0)
    }

    /// Tells whether all of a cell is doubtful.
    pub(super) fn is_doubtful(&self, col: usize, row: usize) -> bool {
        self.half(col, row, 0).1 && self.half(col, row, 1).1
    }

    /// Returns the readings at a cell's corners.
    pub(super) fn corners(&self, col: usize, row: usize) -> Corners {
        let above = row * (self.cols + 1) + col;
        let below = above + self.cols + 1;
        [
            self.corners[above],
            self.corners[above + 1],
            self.corners[below + 1],
            self.corners[below],
        ]
    }

    /// Returns the rise towards higher columns and towards row 0, per cell.
    pub(super) fn rise(&self, col: usize, row: usize) -> (f64, f64) {
        let [tl, tr, br, bl] = self.corners(col, row);
        (
            f64::midpoint(tr - tl, br - bl),
            f64::midpoint(tl - bl, tr - br),
        )
    }
}
