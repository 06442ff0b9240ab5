//! A page as a list of things drawn on it, in millimetres from its upper left corner.

use super::font::Weight;
use crate::{colour::Rgb, geometry::contour::Piece};

/// The colour of letters and lines.
pub(super) const INK: Rgb = Rgb(24, 22, 20);
/// A quieter ink, still dark enough for a copier.
pub(super) const QUIET: Rgb = Rgb(84, 80, 76);
/// Bare paper.
pub(super) const PAPER: Rgb = Rgb(255, 255, 255);
/// A light ground behind every other row.
pub(super) const GROUND: Rgb = Rgb(240, 239, 236);

/// Which part of a line of letters stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// A line of letters.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Words {
    /// Where it is anchored.
    pub(super) x: f64,
    /// Its base line.
    pub(super) y: f64,
    pub(super) text: String,
    /// Letter size, mm.
    pub(super) size: f64,
    pub(super) weight: Weight,
    pub(super) anchor: Anchor,
    pub(super) ink: Rgb,
    /// Whether a rim of bare paper sets it off from what lies under it.
    pub(super) rimmed: bool,
}

impl Words {
    /// Makes a line of letters in ink that begins at its place.
    pub(super) fn new(
        text: impl Into<String>,
        (x, y): (f64, f64),
        size: f64,
        weight: Weight,
    ) -> Self {
        Self {
            x,
            y,
            text: text.into(),
            size,
            weight,
            anchor: Anchor::Start,
            ink: INK,
            rimmed: false,
        }
    }

    pub(super) fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    pub(super) fn inked(self, ink: Rgb) -> Self {
        Self { ink, ..self }
    }

    pub(super) fn rimmed(self) -> Self {
        Self {
            rimmed: true,
            ..self
        }
    }
}

/// A rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Frame {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) width: f64,
    pub(super) height: f64,
}

impl Frame {
    pub(super) const fn new(x: f64, y: f64, width: f64, height: f64) -> Self {
        Self {
            x,
            y,
            width,
            height,
        }
    }
}

/// One thing on a page.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Item {
    /// A filled rectangle.
    Fill(Frame, Rgb),
    /// The outline of a rectangle, with its thickness.
    Outline(Frame, f64, Rgb),
    /// Straight pieces of line, with their thickness.
    Lines(Vec<Piece>, f64, Rgb),
    /// Dots, with their radius.
    Dots(Vec<(f64, f64)>, f64, Rgb),
    /// Letters.
    Words(Words),
}

impl From<Words> for Item {
    fn from(words: Words) -> Self {
        Self::Words(words)
    }
}

/// One page.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Page {
    /// mm.
    pub(super) width: f64,
    /// mm.
    pub(super) height: f64,
    /// In the order they are drawn.
    pub(super) items: Vec<Item>,
}
