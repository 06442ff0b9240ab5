//! What a reading of a picture says: one verdict for each place of the lattice, and what it rests on.

use super::{
    agree::GridFit, correction::Correction, crumb::Unreadable, patch::Measured, quality::Quality,
};
use crate::{
    colour::lab::Lab,
    geometry::Point,
    model::{Warning, shade::Browning},
    numeric::normal::Z90,
};

/// A score and what it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SliceScore {
    /// Mean colour of the crumb, light and reference taken into account.
    pub colour: Lab,
    /// Standard error of L* against the other slices of the picture.
    pub se: f64,
    /// Standard error of L* that all slices share: the reference's, the light's towards it, the tone
    /// curve's.
    pub shared_se: f64,
    /// Browning against an untoasted slice.
    pub browning: Browning,
    /// Shade on the card, 0..9, with its 90 % interval.
    pub shade: (f64, f64, f64),
    /// Browning over the mean browning of the slices read; `None` for an untoasted reference.
    pub relative: Option<f64>,
}

impl SliceScore {
    /// Returns half the width of the 90 % interval of L*, whatever it is off by.
    pub fn give_or_take(&self) -> f64 {
        Z90 * self.se.hypot(self.shared_se)
    }
}

/// What became of one place of the lattice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// No slice lies here.
    Missing,
    /// A slice lies here and cannot be read.
    Unread(Unreadable),
    /// A slice was read.
    Read(SliceScore),
}

/// Something to know about a slice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flag {
    /// It is the untoasted reference.
    Reference,
    /// It lies more than a fifth of a step off its place.
    Shifted,
    /// It is turned by more than 12 degrees.
    Turned,
    /// It touches a neighbour.
    Touching,
    /// Part of it was left out as glare.
    Glare,
    /// A shadow may lie on it. One whose shaded part was left out for good bears no flag, but a wider error.
    Shadow,
    /// It is far from even: half of it is darker than a slice in one oven gets.
    Uneven,
}

impl Flag {
    /// Returns the word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Reference => "reference",
            Self::Shifted => "shifted",
            Self::Turned => "turned",
            Self::Touching => "touching",
            Self::Glare => "glare",
            Self::Shadow => "shadow",
            Self::Uneven => "uneven",
        }
    }
}

/// One place of the lattice.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Row from the back, from 0.
    pub row: usize,
    /// Column from the left, from 0.
    pub col: usize,
    /// Where the slice, or its empty place, lies in the photo; pixels.
    pub centre: Point,
    /// What became of it.
    pub verdict: Verdict,
    /// What else is to know.
    pub flags: Vec<Flag>,
    /// The lightness it would have been read with, where it is there and was left out.
    pub left_out: Option<f64>,
}

/// What the light did, and how it was told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LightShare {
    /// How the light was corrected.
    pub kind: LightKind,
    /// By how much the brightest lit slice got more light than the least lit, as a share: 0.2 for 20 %.
    pub removed: f64,
    /// What is left of it: the standard deviation of a lean from the middle of the tray to its edge, natural
    /// logarithm of light.
    pub lean: f64,
}

/// How the light was corrected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LightKind {
    /// From what is seen around the slices.
    Background,
    /// From a second photo with the tray turned end for end, and the background.
    Turned,
    /// Hardly any background: only the falling off that lenses have was taken out.
    LensOnly,
}

/// All that was read from a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Scores {
    /// Outer corners of the lattice in the photo: back-left, back-right, front-right, front-left.
    pub corners: [Point; 4],
    /// How well corners, counts and slices agree.
    pub grid: GridFit,
    /// References used.
    pub references: Vec<Measured>,
    /// What was done about the light.
    pub light: LightShare,
    /// One for each place, row by row from the back.
    pub places: Vec<Place>,
    /// How well the picture could be read.
    pub quality: Quality,
    /// What else the user should know.
    pub warnings: Vec<Warning>,
    /// How light and camera were taken out.
    pub(super) correction: Correction,
}
