//! Marching squares: where lines of equal value pass through the cells of a lattice.
//!
//! Lorensen and Cline 1987 in two dimensions; the two doubtful cases are decided by the mean of the
//! four corners.

/// A side of a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Towards row 0.
    Top,
    /// Towards higher columns.
    Right,
    /// Away from row 0.
    Bottom,
    /// Towards column 0.
    Left,
}

/// The way a line takes through a cell: the two sides it joins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Passage {
    /// Cuts off the top-left corner.
    LeftTop,
    /// Cuts off the top-right corner.
    TopRight,
    /// Cuts off the bottom-right corner.
    RightBottom,
    /// Cuts off the bottom-left corner.
    BottomLeft,
    /// Runs along the row.
    LeftRight,
    /// Runs along the column.
    TopBottom,
}

impl Passage {
    /// Returns the two sides it joins.
    pub fn sides(self) -> (Side, Side) {
        match self {
            Self::LeftTop => (Side::Left, Side::Top),
            Self::TopRight => (Side::Top, Side::Right),
            Self::RightBottom => (Side::Right, Side::Bottom),
            Self::BottomLeft => (Side::Bottom, Side::Left),
            Self::LeftRight => (Side::Left, Side::Right),
            Self::TopBottom => (Side::Top, Side::Bottom),
        }
    }
}

/// Values at a cell's corners: top-left, top-right, bottom-right, bottom-left.
pub type Corners = [f64; 4];

/// Returns the ways a line of `level` takes through a cell: none, one or two.
///
/// Corners at or above the level count as above. A corner that is no number draws no line.
pub fn passages(corners: Corners, level: f64) -> [Option<Passage>; 2] {
    use Passage::{BottomLeft, LeftRight, LeftTop, RightBottom, TopBottom, TopRight};
    if corners.iter().any(|c| c.is_nan()) {
        return [None, None];
    }
    let [tl, tr, br, bl] = corners.map(|c| c >= level);
    let middle_is_above = corners.iter().sum::<f64>() / 4.0 >= level;
    match (tl, tr, br, bl) {
        (false, false, false, false) | (true, true, true, true) => [None, None],
        (true, false, false, false) | (false, true, true, true) => [Some(LeftTop), None],
        (false, true, false, false) | (true, false, true, true) => [Some(TopRight), None],
        (false, false, true, false) | (true, true, false, true) => [Some(RightBottom), None],
        (false, false, false, true) | (true, true, true, false) => [Some(BottomLeft), None],
        (true, true, false, false) | (false, false, true, true) => [Some(LeftRight), None],
        (true, false, false, true) | (false, true, true, false) => [Some(TopBottom), None],
        // Two opposite corners above: they hang together when the middle is above too.
        (true, false, true, false) if middle_is_above => [Some(TopRight), Some(BottomLeft)],
        (true, false, true, false) => [Some(LeftTop), Some(RightBottom)],
        (false, true, false, true) if middle_is_above => [Some(LeftTop), Some(RightBottom)],
        (false, true, false, true) => [Some(TopRight), Some(BottomLeft)],
    }
}

/// Returns where a line of `level` crosses a side, as (column, row) offsets 0..1 in the cell.
pub fn crossing(corners: Corners, level: f64, side: Side) -> (f64, f64) {
    let [tl, tr, br, bl] = corners;
    let share = |from: f64, to: f64| {
        if (to - from).abs() < f64::EPSILON {
            0.5
        } else {
            ((level - from) / (to - from)).clamp(0.0, 1.0)
        }
    };
    match side {
        Side::Top => (share(tl, tr), 0.0),
        Side::Right => (1.0, share(tr, br)),
        Side::Bottom => (share(bl, br), 1.0),
        Side::Left => (0.0, share(tl, bl)),
    }
}

/// A straight piece of a line, from and to, as (column, row) on the lattice.
pub type Piece = [(f64, f64); 2];

/// Returns every piece of the line of `level` over a lattice of `cols` x `rows` values.
pub fn line(values: &[f64], cols: usize, level: f64) -> Vec<Piece> {
    let rows = values.len().checked_div(cols).unwrap_or(0);
    let mut pieces = Vec::new();
    for row in 1..rows {
        for col in 1..cols {
            let (above, below) = ((row - 1) * cols + col, row * cols + col);
            let corners = [
                values[above - 1],
                values[above],
                values[below],
                values[below - 1],
            ];
            for passage in passages(corners, level).into_iter().flatten() {
                let (from, to) = passage.sides();
                let place = |side| {
                    let (u, v) = crossing(corners, level, side);
                    ((col - 1) as f64 + u, (row - 1) as f64 + v)
                };
                pieces.push([place(from), place(to)]);
            }
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cone_gives_a_circle_of_the_right_length() {
        // The line of distance 6 around the middle of a 21 x 21 lattice: 2 pi 6 = 37.70.
        let values: Vec<f64> = (0..21 * 21)
            .map(|i| (f64::from(i % 21) - 10.0).hypot(f64::from(i / 21) - 10.0))
            .collect();
        let pieces = line(&values, 21, 6.0);
        let length: f64 = pieces
            .iter()
            .map(|[a, b]| (a.0 - b.0).hypot(a.1 - b.1))
            .sum();
        assert!((length - 37.70).abs() < 0.4, "{length}");
        for [a, b] in pieces {
            for p in [a, b] {
                assert!(((p.0 - 10.0).hypot(p.1 - 10.0) - 6.0).abs() < 0.1, "{p:?}");
            }
        }
    }

    #[test]
    fn a_saddle_is_decided_by_its_middle() {
        let high = passages([1.0, 0.0, 1.0, 0.4], 0.5);
        assert_eq!(high, [Some(Passage::TopRight), Some(Passage::BottomLeft)]);
        let low = passages([0.6, 0.0, 0.6, 0.0], 0.5);
        assert_eq!(low, [Some(Passage::LeftTop), Some(Passage::RightBottom)]);
    }

    #[test]
    fn nothing_passes_where_nothing_changes_or_nothing_is_known() {
        assert_eq!(passages([1.0; 4], 0.5), [None, None]);
        assert_eq!(passages([1.0, 0.0, f64::NAN, 0.0], 0.5), [None, None]);
        assert!(line(&[], 0, 1.0).is_empty());
    }
}
