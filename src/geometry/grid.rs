//! A regular grid of cells over a rectangle; row 0 lies at the far side (largest y).

/// A grid of `cols` x `rows` cells over a rectangle `width` x `depth`.
///
/// x runs from the left edge, y from the near edge; cell (0, 0) is far left, and cells are stored
/// row by row, so that a grid prints the way it lies: far side on top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Cells along x.
    pub cols: usize,
    /// Cells along y.
    pub rows: usize,
    /// Extent along x.
    pub width: f64,
    /// Extent along y.
    pub depth: f64,
}

impl Grid {
    /// Makes a grid of so many cells over a rectangle, cm.
    pub const fn new(cols: usize, rows: usize, width: f64, depth: f64) -> Self {
        Self {
            cols,
            rows,
            width,
            depth,
        }
    }

    /// Returns the count of cells.
    pub fn len(&self) -> usize {
        self.cols * self.rows
    }

    /// Tells a grid without cells.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Returns the storage index of cell (`row`, `col`).
    pub fn index(&self, row: usize, col: usize) -> usize {
        row * self.cols + col
    }

    /// Returns x of the centre of column `col`.
    pub fn x(&self, col: usize) -> f64 {
        (col as f64 + 0.5) * self.width / self.cols as f64
    }

    /// Returns y of the centre of row `row` (row 0 has the largest y).
    pub fn y(&self, row: usize) -> f64 {
        self.depth - (row as f64 + 0.5) * self.depth / self.rows as f64
    }

    /// Returns the area of one cell.
    pub fn cell_area(&self) -> f64 {
        self.width * self.depth / self.len() as f64
    }

    /// Returns the cell (row, col) that holds the point, or `None` outside the rectangle.
    pub fn cell_at(&self, x: f64, y: f64) -> Option<(usize, usize)> {
        if !(0.0..=self.width).contains(&x) || !(0.0..=self.depth).contains(&y) || self.is_empty() {
            return None;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "both are in range by the check above"
        )]
        let cell = |v: f64, whole: f64, n: usize| ((v / whole * n as f64) as usize).min(n - 1);
        let from_near = cell(y, self.depth, self.rows);
        Some((self.rows - 1 - from_near, cell(x, self.width, self.cols)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_row_is_at_the_far_side() {
        let g = Grid::new(4, 3, 40.0, 30.0);
        assert_eq!((g.x(0), g.y(0)), (5.0, 25.0));
        assert_eq!(g.cell_at(5.0, 25.0), Some((0, 0)));
        assert_eq!(g.cell_at(40.0, 0.0), Some((2, 3)));
        assert_eq!(g.cell_at(41.0, 0.0), None);
        for row in 0..3 {
            for col in 0..4 {
                assert_eq!(g.cell_at(g.x(col), g.y(row)), Some((row, col)));
            }
        }
    }
}
