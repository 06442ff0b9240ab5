//! Ways to move on the picture.

/// A way to move on the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Way {
    /// Up in the picture.
    Up,
    /// Down in the picture.
    Down,
    /// To the left in the picture.
    Left,
    /// To the right in the picture.
    Right,
}

impl Way {
    /// Returns the step in x and y, y downwards.
    pub(super) fn direction(self) -> (f64, f64) {
        match self {
            Self::Up => (0.0, -1.0),
            Self::Down => (0.0, 1.0),
            Self::Left => (-1.0, 0.0),
            Self::Right => (1.0, 0.0),
        }
    }
}
