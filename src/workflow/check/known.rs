//! What is known of an oven before a quick check, and why there may be no check.

use crate::{
    field::{self, Spot},
    model::{
        Mode, Oven, Slice, ToastTest,
        shade::{ROUNDING_SD_SHADE, browning_per_shade},
    },
    workflow::{
        ground::GroundError,
        kitchen::Records,
        layout::LayoutError,
        map::{MapError, map_of},
        observe::tells,
        pool::{Pool, Which, tests_beside},
        view::MapView,
    },
};
use jiff::civil::Date;

/// Fewest and most slices of a quick check.
pub const SLICES: (usize, usize) = (3, 8);
/// Cells of the map of earlier tests; no figure here depends on them.
pub(super) const COARSE: (usize, usize) = (12, 9);

/// A part that may have changed by more than this, shades, was not seen.
pub(super) const UNSEEN: f64 = 4.0;

/// What is known of the oven before the check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Known {
    /// No scored toast test in this mode.
    Nothing,
    /// Tests up to this day.
    Tests(Date),
    /// Tests up to this day, and a service visit since.
    BeforeVisit(Date, Date),
}

impl Known {
    /// Says it in a sentence.
    pub fn sentence(&self) -> String {
        match self {
            Self::Nothing => {
                "No earlier test in this mode: the slices show what it is like.".to_owned()
            }
            Self::Tests(day) => format!("Checked against the tests up to {day}."),
            Self::BeforeVisit(day, visit) => {
                format!("Checked against the tests up to {day}, before the visit of {visit}.")
            }
        }
    }
}

/// Why there is no check.
#[derive(Debug, thiserror::Error)]
pub enum CheckError {
    /// A number of slices that is not for a quick check.
    #[error("{0} slices are no quick check; take {least} to {most}, or lay out a whole test", least = SLICES.0, most = SLICES.1)]
    Count(usize),
    /// The slices cannot be laid out.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// The mode, or the earlier tests.
    #[error(transparent)]
    Ground(#[from] GroundError),
    /// No map of the slices.
    #[error(transparent)]
    Map(#[from] MapError),
    /// The engine refused.
    #[error(transparent)]
    Field(#[from] field::FieldError),
    /// Too few places.
    #[error("only {0} slices of that size fit without touching; take fewer or smaller ones")]
    NoRoom(usize),
    /// Too few scores.
    #[error("{0} scored slices say nothing yet; score at least {least}", least = SLICES.0)]
    Unscored(usize),
    /// Scores for other slices than those laid.
    #[error("{given} scores for {slices} slices; give one for each, - where none lay")]
    Scores {
        /// Scores given.
        given: usize,
        /// Slices laid.
        slices: usize,
    },
    /// Too few slices carry a figure.
    #[error(
        "{ends} of {scored} slices are as good as burnt or hardly toasted and say nothing; toast again and pull when the lightest slice is golden"
    )]
    Untold {
        /// Slices at an end of the shades.
        ends: usize,
        /// Slices with a score.
        scored: usize,
    },
    /// Nothing browned.
    #[error(
        "the slices hardly browned; toast again and pull later, when the lightest one is golden"
    )]
    Pale,
}

/// The earlier tests with their map.
pub(super) struct Before {
    pub(super) view: MapView,
    pub(super) tests: Vec<ToastTest>,
    pub(super) known: Known,
}

/// Returns the newest scored test in a mode before `check`, itself left out; another check only where there is no full one.
pub(super) fn newest_before<'k>(
    records: &'k Records,
    oven: &Oven,
    mode: Mode,
    check: Option<&ToastTest>,
) -> Option<&'k ToastTest> {
    let earlier = |t: &&ToastTest| {
        check.is_none_or(|c| t.id != c.id && (t.when, t.id.as_str()) <= (c.when, c.id.as_str()))
    };
    let mut tests = records.tests_of(&oven.id);
    tests.retain(|t| earlier(t) && t.setup.mode == mode && t.scored() > 0 && tells(t));
    let full = tests.iter().rfind(|t| !t.is_check());
    full.or(tests.last()).copied()
}

/// Maps the tests before a check; `None` where there are none, or they give no map.
pub(super) fn before(
    records: &Records,
    oven: &Oven,
    mode: Mode,
    check: Option<&ToastTest>,
) -> Result<Option<Before>, CheckError> {
    let Some(newest) = newest_before(records, oven, mode, check) else {
        return Ok(None);
    };
    let earlier = |t: &&ToastTest| {
        check.is_none_or(|c| t.id != c.id && (t.when, t.id.as_str()) <= (c.when, c.id.as_str()))
    };
    let ids = tests_beside(records, newest)
        .into_iter()
        .filter(earlier)
        .map(|t| t.id.clone())
        .collect();
    let pool = Pool::choose(records, oven, &Which::These(ids));
    let view = match map_of(&pool, COARSE) {
        Ok(view) => view,
        Err(MapError::Field(_too_little)) => return Ok(None),
        Err(other) => return Err(other.into()),
    };
    let day = newest.when.date();
    let visit = oven
        .visits
        .iter()
        .filter(|v| v.when > newest.when && check.is_none_or(|c| v.when <= c.when))
        .max_by_key(|v| v.when);
    let known = visit.map_or(Known::Tests(day), |v| {
        Known::BeforeVisit(day, v.when.date())
    });
    let tests = pool.tests;
    Ok(Some(Before { view, tests, known }))
}

pub(super) fn spot_of(slice: &Slice, (width, depth): (f64, f64)) -> Spot {
    Spot::new(slice.rack, slice.place.x.0, slice.place.y.0, width, depth)
}

/// Standard error of a reading, B.
pub(super) fn reading_sd(by_eye: bool) -> f64 {
    if by_eye {
        ROUNDING_SD_SHADE * browning_per_shade()
    } else {
        0.0
    }
}

/// Returns the smallest change, shades, that these slices and a full test together rule out.
pub(super) fn with_full(
    before: &Before,
    racks: &[u8],
    (few, whole): (&[Spot], &[Slice]),
) -> Option<f64> {
    let side = few.first().map(|s| (s.width, s.depth))?;
    let mut spots = few.to_vec();
    spots.extend(whole.iter().map(|s| spot_of(s, side)));
    let all: Vec<usize> = (0..spots.len()).collect();
    let check = before
        .view
        .fit
        .check(racks, spots, reading_sd(before.view.by_eye))?;
    Some(check.hides(&all) / browning_per_shade())
}
