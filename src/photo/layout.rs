//! What the samples of a pixel are.

/// What the samples of a pixel are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Layout {
    Grey,
    GreyAlpha,
    Rgb,
    Rgba,
}

impl Layout {
    /// Tells whether there is only lightness.
    pub(super) fn is_grey(self) -> bool {
        matches!(self, Self::Grey | Self::GreyAlpha)
    }

    /// Returns how many samples a pixel has.
    pub(super) fn samples(self) -> usize {
        match self {
            Self::Grey => 1,
            Self::GreyAlpha => 2,
            Self::Rgb => 3,
            Self::Rgba => 4,
        }
    }
}
