//! How the light and the camera are taken out of a picture.

use super::{light::Light, tone::ToneCurve};

/// How the light and the camera were taken out of a picture.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Correction {
    pub(super) light: Light,
    pub(super) curve: ToneCurve,
}
