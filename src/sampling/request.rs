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
    /// Makes a patch of the picture, as shares of its width and height from the top left.
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
    /// At the right.
    Right,
    /// At the bottom.
    Bottom,
    /// At the left.
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
    /// Rows or columns that cannot be.
    #[error(
        "{rows} rows by {cols} columns cannot be looked for; give 1 to {MOST_CELLS} of each and at least 2 slices"
    )]
    Counts {
        /// Rows asked for.
        rows: usize,
        /// Columns asked for.
        cols: usize,
    },
    /// Corners that cannot be a lattice in perspective.
    #[error(
        "the four corners {corners} make no grid: {why}; give back-left, back-right, front-right, front-left in pixels of the upright picture, which is {width} x {height}"
    )]
    Corners {
        /// The corners as given.
        corners: String,
        /// What is wrong with them.
        why: &'static str,
        /// Width of the photo.
        width: usize,
        /// Height of the photo.
        height: usize,
    },
    /// No slices in rows and columns.
    #[error(
        "no bread found: {found} of {wanted} slices stand in {rows} rows and {cols} columns; photograph the whole tray from above on a plain ground, check the counts, or give the four corners"
    )]
    NoLattice {
        /// Patches that stand in a lattice.
        found: usize,
        /// Slices looked for.
        wanted: usize,
        /// Rows asked for.
        rows: usize,
        /// Columns asked for.
        cols: usize,
    },
    /// Slices stand in a lattice of other counts.
    #[error(
        "the slices seem to stand in {found_rows} rows and {found_cols} columns, not {rows} and {cols}; correct the counts, turn the picture so that the back of the oven is at the top, or give the four corners of all places, empty ones too"
    )]
    OtherCounts {
        /// Rows seen.
        found_rows: usize,
        /// Columns seen.
        found_cols: usize,
        /// Rows asked for.
        rows: usize,
        /// Columns asked for.
        cols: usize,
    },
    /// The lattice leaves slices out.
    #[error(
        "{others} more things like slices lie beside or between those of {rows} rows and {cols} columns; correct the counts, take away what is no slice, or give the four corners"
    )]
    MoreSlices {
        /// Patches like slices that stand in no place.
        others: usize,
        /// Rows asked for.
        rows: usize,
        /// Columns asked for.
        cols: usize,
    },
    /// Corners, counts and slices do not agree.
    #[error(
        "the grid of {rows} rows and {cols} columns does not fit ({percent:.0} %): {against}{counted}; correct the counts, or put the corners around all places, half a step outside the middles of the corner slices"
    )]
    NoFit {
        /// How well it fits, percent.
        percent: f64,
        /// What speaks against it.
        against: String,
        /// Rows asked for.
        rows: usize,
        /// Columns asked for.
        cols: usize,
        /// What is counted instead, in words; empty where nothing is.
        counted: String,
    },
    /// The corners are good, but hardly a place holds a slice.
    #[error(
        "no bread found: {found} of {wanted} places inside the corners hold a slice; check the corners and the counts"
    )]
    NoBread {
        /// Places with a slice.
        found: usize,
        /// All places.
        wanted: usize,
    },
    /// Things stand in rows and columns, but without the warm colour of bread.
    #[error(
        "no bread found: the {found} things that stand in rows and columns are grey, and bread is not; photograph the tray in colour, by daylight or a lamp"
    )]
    NotBread {
        /// Things found.
        found: usize,
    },
    /// Things of many colours.
    #[error(
        "no bread found: the {found} things that stand there differ in hue as no bread does; photograph slices of one loaf, and nothing else, in the places"
    )]
    ManyColours {
        /// Things found.
        found: usize,
    },
    /// Bread that looks like what it lies on.
    #[error(
        "the slices barely stand out: the middling one differs by {percent:.0} % from what it lies on, a gap by as much; {first}lay the bread on foil, parchment or a dark tray and photograph again"
    )]
    Faint {
        /// What to look at first.
        first: &'static str,
        /// How much the middling slice differs in warmth and brightness, percent.
        percent: f64,
    },
    /// Crumb is blown out.
    #[error(
        "the picture is too bright: on {clipped} of {slices} slices the crumb is blown out to white; photograph again with less light or the exposure turned down, without flash"
    )]
    TooBright {
        /// Slices that are blown out.
        clipped: usize,
        /// All slices.
        slices: usize,
    },
    /// Crumb is black.
    #[error(
        "the picture is too dark: it has {percent:.1} % of full brightness; photograph again with more light, by a window or under a lamp, without flash"
    )]
    TooDark {
        /// Mean luminance of the crumb, or of the picture, percent of full scale.
        percent: f64,
    },
    /// Most of the picture is blown out, and nothing to be found in it.
    #[error(
        "the picture is too bright: {percent:.0} % of it is blown out to white; photograph again with less light or the exposure turned down, without flash"
    )]
    Washed {
        /// Share of the picture that is blown out, percent.
        percent: f64,
    },
    /// Nothing in it is sharp.
    #[error(
        "the picture is blurred: its edges have {percent:.0} % of the sharpness of one in focus; hold still or lean on something, wipe the lens, and photograph again"
    )]
    Blurred {
        /// Sharpness in the worst direction, percent of that of a picture in focus.
        percent: f64,
    },
    /// No pieces of one size.
    #[error(
        "no pieces found: {found} patches of one size stand out from the tray; photograph the whole tray from above, with nothing else of that size in the picture"
    )]
    NoPieces {
        /// Pieces seen.
        found: usize,
    },
    /// Two photos that do not show one tray.
    #[error(
        "only {both} slices are read in both photos, at least {needed} are needed; photograph the same tray twice, turned end for end, every slice in its place"
    )]
    Unlike {
        /// Slices read in both.
        both: usize,
        /// Slices needed.
        needed: usize,
    },
    /// Two photos whose slices differ from place to place.
    #[error(
        "the two photos do not show one tray turned end for end: their slices differ by {percent:.0} % from place to place; photograph the same tray twice, turned by half a turn, every slice in its place"
    )]
    OtherTray {
        /// By how much the brightness of the slices differs, beyond what light does, percent.
        percent: f64,
    },
    /// Two photos that show the tray the same way round.
    #[error(
        "both photos show the tray the same way round; turn the tray end for end, keep the camera as it was, and photograph it again"
    )]
    NotTurned,
    /// A reference that is not there or cannot be read.
    #[error(
        "the reference {what} cannot be used: {why}; name an untoasted slice on the tray, or a patch inside the {width} x {height} picture"
    )]
    Reference {
        /// The reference as given.
        what: String,
        /// What is wrong.
        why: String,
        /// Width of the photo.
        width: usize,
        /// Height of the photo.
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
    /// # Errors
    /// [`SamplingError::Counts`] or [`SamplingError::Corners`].
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
            corners: corners.map(|c| format!("{:.0},{:.0}", c.x, c.y)).join(" "),
            why,
            width,
            height,
        })
    }
}
