//! Figures and parts that changed.

use crate::field::{Range, Strength, ZoneKind};

/// A figure before, after, and its change (after minus before), each with its 90 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// Before.
    pub before: Range,
    /// After.
    pub after: Range,
    /// After minus before.
    pub change: Range,
}

/// A part of a rack position that noticeably changed against the rest of it.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangedZone {
    /// Browns more or less than before, against its rack's own mean.
    pub kind: ZoneKind,
    /// How firmly it is told.
    pub strength: Strength,
    /// Centre of gravity, cm from the left wall and from the door.
    pub centre: (f64, f64),
    /// Area, square centimetres.
    pub area: f64,
    /// Largest change, shades (signed), with interval.
    pub peak_shade: Range,
    /// The same as an equivalent temperature difference, C (signed), with interval.
    pub peak_c: Range,
}
