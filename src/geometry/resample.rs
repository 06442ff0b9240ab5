//! Values of a grid read at other places by bilinear interpolation.

use super::grid::Grid;

/// Two neighbours along one axis and the weight of the second.
type Between = (usize, usize, f64);

/// Reads values stored on one grid at the nodes of another lattice over the same rectangle.
///
/// Between cell centres the reading is bilinear; beyond the outermost centres it is held.
#[derive(Debug, Clone, PartialEq)]
pub struct Resampler {
    source_cols: usize,
    across: Vec<Between>,
    down: Vec<Between>,
}

impl Resampler {
    /// Prepares to read `from` at the cell centres of `cols` x `rows` cells.
    pub fn centres(from: &Grid, cols: usize, rows: usize) -> Self {
        let centre = |i: usize, n: usize| (i as f64 + 0.5) / n as f64;
        Self {
            source_cols: from.cols,
            across: (0..cols)
                .map(|i| between(centre(i, cols), from.cols))
                .collect(),
            down: (0..rows)
                .map(|i| between(centre(i, rows), from.rows))
                .collect(),
        }
    }

    /// Prepares to read `from` at the (`cols` + 1) x (`rows` + 1) corners of `cols` x `rows` cells.
    pub fn corners(from: &Grid, cols: usize, rows: usize) -> Self {
        let corner = |i: usize, n: usize| i as f64 / n as f64;
        Self {
            source_cols: from.cols,
            across: (0..=cols)
                .map(|i| between(corner(i, cols), from.cols))
                .collect(),
            down: (0..=rows)
                .map(|i| between(corner(i, rows), from.rows))
                .collect(),
        }
    }

    /// Returns the readings row by row; NaN where `values` is shorter than the grid.
    pub fn read(&self, values: &[f64]) -> Vec<f64> {
        let at = |row: usize, col: usize| {
            values
                .get(row * self.source_cols + col)
                .copied()
                .unwrap_or(f64::NAN)
        };
        let mut out = Vec::with_capacity(self.across.len() * self.down.len());
        for &(upper, lower, v) in &self.down {
            for &(left, right, u) in &self.across {
                let above = at(upper, left) * (1.0 - u) + at(upper, right) * u;
                let below = at(lower, left) * (1.0 - u) + at(lower, right) * u;
                out.push(above * (1.0 - v) + below * v);
            }
        }
        out
    }
}

/// Places `share` (0..1 of the whole extent) between the centres of `n` cells.
fn between(share: f64, n: usize) -> Between {
    let last = n.saturating_sub(1);
    let position = (share * n as f64 - 0.5).clamp(0.0, last as f64);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0..=last"
    )]
    let first = position as usize;
    (first, (first + 1).min(last), position - first as f64)
}

#[cfg(test)]
#[expect(clippy::float_cmp, reason = "the same cell is read, not computed")]
mod tests {
    use super::*;

    fn plane() -> (Grid, Vec<f64>) {
        let grid = Grid::new(8, 6, 40.0, 30.0);
        let mut values = Vec::new();
        for row in 0..grid.rows {
            for col in 0..grid.cols {
                values.push(2.0 + 0.1 * grid.x(col) - 0.3 * grid.y(row));
            }
        }
        (grid, values)
    }

    #[test]
    fn a_plane_is_read_exactly_between_the_centres() {
        let (grid, values) = plane();
        let fine = Grid {
            cols: 37,
            rows: 23,
            ..grid
        };
        let read = Resampler::centres(&grid, fine.cols, fine.rows).read(&values);
        assert_eq!(read.len(), fine.len());
        let mut checked = 0;
        for row in 0..fine.rows {
            for col in 0..fine.cols {
                let (x, y) = (fine.x(col), fine.y(row));
                let inside = (2.5..=37.5).contains(&x) && (2.5..=27.5).contains(&y);
                if inside {
                    let expected = 2.0 + 0.1 * x - 0.3 * y;
                    assert!((read[fine.index(row, col)] - expected).abs() < 1e-12);
                    checked += 1;
                }
            }
        }
        assert!(checked > 500, "{checked}");
    }

    #[test]
    fn the_same_grid_gives_the_same_values_and_corners_hold_the_edge() {
        let (grid, values) = plane();
        assert_eq!(Resampler::centres(&grid, 8, 6).read(&values), values);
        let corners = Resampler::corners(&grid, 4, 3).read(&values);
        assert_eq!(corners.len(), 5 * 4);
        assert_eq!(corners[0], values[0]);
        assert_eq!(corners[19], values[47]);
        assert!((corners[2] - f64::midpoint(values[3], values[4])).abs() < 1e-12);
    }
}
