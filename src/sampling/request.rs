//! What is asked of a picture, and why it may be refused.

use crate::geometry::{Point, point::is_convex};

/// Lightness L* taken for a white card or plain white paper when nothing better is known (from memory).
pub const WHITE_LIGHTNESS: f64 = 95.0;
/// Lightness L* of a photographer's grey card, which reflects 18 % (from memory).
pub const GREY_LIGHTNESS: f64 = 49.5;
/// Most rows or columns a picture is searched for.
pub const MOST_CELLS: usize = 12;

/// An upright rectangle in pixels of the upright photo.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectangle {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width, above 0.
    pub width: f64,
    /// Height, above 0.
    pub height: f64,
}

impl Rectangle {
    pub const fn new(x: f64, y: f64, width: f64, height: f64) -> Self {
        Self {
            x,
            y,
            width,
            height,
        }
    }

    /// Returns the corners, clockwise from the upper left.
    pub fn corners(&self) -> [Point; 4] {
        let (x, y) = (self.x + self.width, self.y + self.height);
        [
            Point::new(self.x, self.y),
            Point::new(x, self.y),
            Point::new(x, y),
            Point::new(self.x, y),
        ]
    }
}

/// A thing of known lightness in the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reference {
    /// An untoasted slice on the lattice.
    Slice {
        /// Row from the back, from 0.
        row: usize,
        /// Column from the left, from 0.
        col: usize,
    },
    /// A white card or plain white paper.
    White(Rectangle),
    /// A patch of known lightness.
    Grey(Rectangle, f64),
}

/// Which side of the upright picture the back wall of the oven is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Side {
    /// At the top: taken from where the baker stands.
    #[default]
    Top,
    Right,
    Bottom,
    Left,
}

/// What is asked of a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// Rows of slices, back to door.
    pub rows: usize,
    /// Columns of slices, left to right.
    pub cols: usize,
    /// Outer corners of the lattice of slices in pixels of the upright photo: back-left,
    /// back-right, front-right, front-left. Looked for when `None`.
    pub corners: Option<[Point; 4]>,
    /// Where the back wall of the oven is; counts only when the corners are looked for.
    pub back: Side,
    /// Things of known lightness; looked for when empty.
    pub references: Vec<Reference>,
    /// L* of an untoasted slice of this loaf.
    pub untoasted: f64,
}

/// Why a picture is not scored.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SamplingError {
    #[error(
        "{rows} rows by {cols} columns cannot be looked for; give 1 to {MOST_CELLS} of each and at least 2 slices"
    )]
    Counts { rows: usize, cols: usize },
    #[error(
        "the four corners {corners} make no grid: {why}; give back-left, back-right, front-right, front-left in pixels of the upright picture, which is {width} x {height}"
    )]
    Corners {
        corners: String,
        why: &'static str,
        width: usize,
        height: usize,
    },
    #[error(
        "no bread found: {found} of {wanted} slices stand in {rows} rows and {cols} columns; photograph the whole tray from above on a plain ground, check the counts, or give the four corners"
    )]
    NoLattice {
        found: usize,
        wanted: usize,
        rows: usize,
        cols: usize,
    },
    #[error(
        "the slices stand in {found_rows} rows and {found_cols} columns, not {rows} and {cols}; correct the counts, turn the picture so that the back of the oven is at the top, or give the four corners of all places, empty ones too"
    )]
    OtherCounts {
        found_rows: usize,
        found_cols: usize,
        rows: usize,
        cols: usize,
    },
    #[error(
        "{others} more things like slices lie beside or between those of {rows} rows and {cols} columns; correct the counts, take away what is no slice, or give the four corners"
    )]
    MoreSlices {
        others: usize,
        rows: usize,
        cols: usize,
    },
    #[error(
        "the grid of {rows} rows and {cols} columns does not fit ({percent:.0} %): {against}{counted}; correct the counts, or put the corners around all places, half a step outside the middles of the corner slices"
    )]
    NoFit {
        percent: f64,
        against: String,
        rows: usize,
        cols: usize,
        counted: String,
    },
    #[error(
        "no bread found: {found} of {wanted} places inside the corners hold a slice; check the corners and the counts"
    )]
    NoBread { found: usize, wanted: usize },
    #[error(
        "no bread found: the {found} things that stand in rows and columns are grey, and bread is not; photograph the tray in colour, by daylight or a lamp"
    )]
    NotBread { found: usize },
    #[error(
        "no bread found: the {found} things that stand there differ in hue as no bread does; photograph slices of one loaf, and nothing else, in the places"
    )]
    ManyColours { found: usize },
    #[error(
        "the slices barely stand out: the middling one differs by {percent:.0} % from what it lies on, a gap by as much; lay the bread on foil, parchment or a dark tray and photograph again"
    )]
    Faint { percent: f64 },
    #[error(
        "the picture is too bright: on {clipped} of {slices} slices the crumb is blown out to white; photograph again with less light or the exposure turned down, without flash"
    )]
    TooBright { clipped: usize, slices: usize },
    #[error(
        "the picture is too dark: it has {percent:.1} % of full brightness; photograph again with more light, by a window or under a lamp, without flash"
    )]
    TooDark { percent: f64 },
    #[error(
        "the picture is too bright: {percent:.0} % of it is blown out to white; photograph again with less light or the exposure turned down, without flash"
    )]
    Washed { percent: f64 },
    #[error(
        "the picture is blurred: its edges have {percent:.0} % of the sharpness of one in focus; hold still or lean on something, wipe the lens, and photograph again"
    )]
    Blurred { percent: f64 },
    #[error(
        "no pieces found: {found} patches of one size stand out from the tray; photograph the whole tray from above, with nothing else of that size in the picture"
    )]
    NoPieces { found: usize },
    #[error(
        "only {both} slices are read in both photos, at least {needed} are needed; photograph the same tray twice, turned end for end, every slice in its place"
    )]
    Unlike { both: usize, needed: usize },
    #[error(
        "the two photos do not show one tray turned end for end: their slices differ by {percent:.0} % from place to place; photograph the same tray twice, turned by half a turn, every slice in its place"
    )]
    OtherTray { percent: f64 },
    #[error(
        "the reference {what} cannot be used: {why}; name an untoasted slice on the tray, or a patch inside the {width} x {height} picture"
    )]
    Reference {
        what: String,
        why: String,
        width: usize,
        height: usize,
    },
}

impl Request {
    /// Returns the same request for a picture whose references do not matter.
    pub(super) fn clone_without_references(&self) -> Self {
        Self {
            references: Vec::new(),
            ..self.clone()
        }
    }

    /// Checks the counts and, where given, the corners against the size of the photo.
    ///
    /// Fails with [`SamplingError::Counts`] or [`SamplingError::Corners`].
    pub fn check(&self, width: usize, height: usize) -> Result<(), SamplingError> {
        let (rows, cols) = (self.rows, self.cols);
        let good = (1..=MOST_CELLS).contains(&rows) && (1..=MOST_CELLS).contains(&cols);
        if !good || rows * cols < 2 {
            return Err(SamplingError::Counts { rows, cols });
        }
        let Some(corners) = &self.corners else {
            return Ok(());
        };
        // a corner may lie a little outside the frame: the slice inside it is still whole
        let rim = 0.1 * width.max(height) as f64;
        let inside = |p: &Point| {
            (-rim..width as f64 + rim).contains(&p.x) && (-rim..height as f64 + rim).contains(&p.y)
        };
        let why = if !corners.iter().all(|c| c.x.is_finite() && c.y.is_finite()) {
            "a coordinate is no number"
        } else if !corners.iter().all(inside) {
            "one lies outside the picture"
        } else if !is_convex(corners) {
            "they cross, or three lie on a line"
        } else if crate::geometry::point::area(corners) < 0.01 * (width * height) as f64 {
            "they enclose less than a hundredth of the picture"
        } else {
            return Ok(());
        };
        Err(SamplingError::Corners {
            corners: corners.map(|c| format!("{},{}", c.x, c.y)).join(" "),
            why,
            width,
            height,
        })
    }
}
