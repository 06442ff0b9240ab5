//! The loaf a toast test is made with.

use super::place::SliceSize;
use super::worded::worded;
use crate::units::Centimetres;

worded! {
    /// What the slices lie on: it decides which faces see the heat.
    pub enum Surface [words] {
        /// Right on the rack: both faces see the heat.
        BareRack: "on the bare rack";
        /// On a sheet: mostly the top face does.
        Sheet: "on a sheet";
    }
}

/// The bread of one toast test.
#[derive(Debug, Clone, PartialEq)]
pub struct Bread {
    /// Free words: "white sandwich, loaf A".
    pub loaf: String,
    /// Outer size of a slice.
    pub slice: SliceSize,
    /// Thickness of a slice.
    pub thickness: Centimetres,
    /// What the slices lie on.
    pub surface: Surface,
    /// Lightness L* of an untoasted slice of this loaf, where it was measured.
    pub untoasted_lightness: Option<f64>,
}

impl Default for Bread {
    fn default() -> Self {
        Self {
            loaf: "white sandwich bread".to_owned(),
            slice: SliceSize::ORDINARY,
            thickness: Centimetres(1.2),
            surface: Surface::BareRack,
            untoasted_lightness: None,
        }
    }
}
