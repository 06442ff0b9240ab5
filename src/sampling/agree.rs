//! Whether the grid fits the picture: how well corners, counts and slices agree.
//!
//! One figure from 0 to 1. Places that share a slice, slices far off their places, slices that stand in no place
//! and places without one speak against it; what the finder counts by itself is set beside it.

use super::{
    lattice::{self, Lattice, NoLattice},
    locate::Cell,
    planes::Search,
    request::{Request, SamplingError},
};
use crate::{
    geometry::{
        Homography, Point,
        point::{contains, cross},
    },
    model::Warning,
    numeric::quantile::quantile,
};

/// Below this the grid does not fit.
const REFUSED: f64 = 0.6;
/// Below this it may not.
const DOUBTED: f64 = 0.86;
/// Farther off its place (steps of the grid) a slice speaks against the grid.
const OFF: f64 = 0.22;
/// Two places share a slice when their outlines' middles lie closer, in sides of a slice.
const SHARED: f64 = 0.55;
/// Greatest ratio of areas of a slice and another thing like it.
const ALIKE: f64 = 1.5;
/// Least merit of another thing like a slice.
const SOUND: f64 = 0.65;
/// So much less warm, levels of the picture's range, a thing is no toast.
const COOLER: f64 = 20.0;
/// What a place without a slice weighs, against one that is wrong.
const EMPTY: f64 = 0.35;
/// Middling distance between the places given and those found, steps, from which it weighs fully.
const APART: f64 = 0.45;

/// How well the grid fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GridFit {
    /// 1 where every place holds its own slice in its middle, towards 0 where hardly one does.
    pub figure: f64,
    /// Places that share a slice with another.
    pub shared: usize,
    /// Slices far off the middle of their places.
    pub off: usize,
    /// Things like slices that stand in no place.
    pub beside: usize,
    /// Places that hold none.
    pub empty: usize,
    /// The corners run against the clock, as in a mirror: left and right are exchanged.
    pub mirrored: bool,
    /// Rows and columns that are counted without the corners, where that can be told.
    pub counted: Option<(usize, usize)>,
}

impl GridFit {
    /// Where there is no grid to fit.
    pub(super) fn of_no_grid() -> Self {
        Self {
            figure: 1.0,
            shared: 0,
            off: 0,
            beside: 0,
            empty: 0,
            mirrored: false,
            counted: None,
        }
    }

    /// Tells whether it must be looked at before the scores are used.
    pub fn is_doubtful(&self) -> bool {
        self.figure < DOUBTED || self.mirrored
    }

    /// Returns what speaks against it, in words.
    pub fn against(&self) -> String {
        let mut said = Vec::new();
        let mut tell = |n: usize, one: &str, more: &str| {
            if n > 0 {
                said.push(if n == 1 {
                    format!("1 {one}")
                } else {
                    format!("{n} {more}")
                });
            }
        };
        tell(
            self.shared,
            "place shares a slice with another",
            "places share a slice with another",
        );
        tell(
            self.off,
            "slice is off its place",
            "slices are off their places",
        );
        tell(
            self.beside,
            "slice stands in no place",
            "slices stand in no place",
        );
        tell(self.empty, "place is empty", "places are empty");
        if self.mirrored {
            said.push("the corners run against the clock, as in a mirror".to_owned());
        }
        if said.is_empty() {
            said.push("the corners and the slices found do not agree".to_owned());
        }
        said.join(", ")
    }
}

/// Sets the grid against the slices located on it and what the finder sees by itself.
pub(super) fn fit(request: &Request, map: &Homography, cells: &[Cell], search: &Search) -> GridFit {
    let counts = (request.rows, request.cols);
    let held: Vec<(usize, Point, f64)> = cells
        .iter()
        .enumerate()
        .filter_map(|(i, c)| c.outline.as_ref().map(|o| (i, o.centre, o.side)))
        .collect();
    let shared = held
        .iter()
        .filter(|(i, p, side)| {
            held.iter()
                .any(|(j, q, _)| i != j && p.distance(*q) < SHARED * side)
        })
        .count();
    let off = held
        .iter()
        .filter(|(i, p, _)| p.distance(cells[*i].place) > OFF * cells[*i].pitch)
        .count();
    let beside = beside(map, &held, search, cells);
    let empty = cells
        .iter()
        .filter(|c| c.outline.is_none() && !c.faint)
        .count();
    let (found, counted) = finder(search, counts);
    let apart = found.map_or(0.0, |lattice| apart(map, &lattice, search, counts));
    let other = counted.is_some_and(|c| c != counts);
    let n = cells.len() as f64;
    let wrong = shared as f64 / 2.0 + off as f64 + beside as f64 + EMPTY * empty as f64;
    let by_slices = (1.0 - wrong / n).max(0.0);
    let by_finder = 1.0 - (apart / APART).min(1.0) * 0.5;
    let by_counts = if other { 0.88 } else { 1.0 };
    // what was looked for may as well end before a row that hardly holds a slice
    let open = request.corners.is_none() && (beside > 0 || hollow(cells, counts));
    let by_rim = if open { DOUBTED - 0.01 } else { 1.0 };
    GridFit {
        figure: by_slices * by_finder * by_counts * by_rim,
        shared,
        off,
        beside,
        empty,
        mirrored: request
            .corners
            .is_some_and(|c| cross(c[0], c[1], c[2]) < 0.0),
        counted: counted.filter(|c| *c != counts),
    }
}

/// Tells whether a row or column at the rim holds slices in no more than half of its places.
fn hollow(cells: &[Cell], (rows, cols): (usize, usize)) -> bool {
    let thin = |line: &mut dyn Iterator<Item = usize>| {
        let (mut held, mut all) = (0, 0);
        for i in line {
            all += 1;
            held += usize::from(cells[i].outline.is_some());
        }
        2 * held <= all
    };
    let row = |r: usize| thin(&mut (0..cols).map(|c| r * cols + c));
    let col = |c: usize| thin(&mut (0..rows).map(|r| r * cols + c));
    rows > 1 && (row(0) || row(rows - 1)) || cols > 1 && (col(0) || col(cols - 1))
}

/// Counts things like the slices held that stand in no place, inside the grid or a step around it.
fn beside(
    map: &Homography,
    held: &[(usize, Point, f64)],
    search: &Search,
    cells: &[Cell],
) -> usize {
    let warmths: Vec<f64> = held
        .iter()
        .map(|h| search.planes[0].around(search.down(h.1)))
        .collect();
    let warm = quantile(&warmths, 0.5);
    let pitches: Vec<f64> = cells.iter().map(|c| c.pitch).collect();
    let reach = quantile(&pitches, 0.5);
    let corners = lattice::corners_of(map);
    let mut found: Vec<Point> = Vec::new();
    for region in &search.regions {
        let p = search.up(region.centre);
        // What is nearer to the camera is larger: it is held against the slice that lies next to it.
        let next = held
            .iter()
            .min_by(|a, b| a.1.distance(p).total_cmp(&b.1.distance(p)));
        let Some(side) = next.map(|h| h.2) else {
            continue;
        };
        let area = (side / search.step).powi(2);
        let alike = (1.0 / ALIKE..ALIKE).contains(&(region.area / area))
            && region.warmth > warm - COOLER
            && region.merit() > SOUND;
        let near = contains(&corners, p) || held.iter().any(|h| h.1.distance(p) < 1.4 * reach);
        let free = held.iter().all(|h| h.1.distance(p) > 0.7 * h.2)
            && found
                .iter()
                .all(|q| q.distance(p) > 0.7 * area.sqrt() * search.step);
        if alike && near && free {
            found.push(p);
        }
    }
    found.len()
}

/// Returns what the finder makes of the picture: its grid, and the counts it sees.
fn finder(search: &Search, counts: (usize, usize)) -> (Option<Lattice>, Option<(usize, usize)>) {
    match lattice::find(&search.regions, counts) {
        Ok(lattice) => (Some(lattice), Some(counts)),
        Err(NoLattice::OtherCounts { rows, cols }) => (None, Some((rows, cols))),
        Err(NoLattice::TooFew(_) | NoLattice::Others(_)) => (None, None),
    }
}

/// Returns how far the places given lie from those found, steps; the middling place.
fn apart(map: &Homography, lattice: &Lattice, search: &Search, counts: (usize, usize)) -> f64 {
    let n = counts.0 * counts.1;
    let found: Vec<Point> = (0..n)
        .map(|i| search.up(lattice.map.map(lattice::cell_centre(i, counts))))
        .collect();
    let away: Vec<f64> = (0..n)
        .map(|i| {
            let place = map.map(lattice::cell_centre(i, counts));
            let nearest = found
                .iter()
                .map(|q| q.distance(place))
                .fold(f64::MAX, f64::min);
            nearest / lattice::pitch(map, i, counts)
        })
        .collect();
    // the farthest places tell most: corners on the slices' centres fit in the middle
    let far = quantile(&away, 0.8);
    if far < OFF { 0.0 } else { far }
}

/// Refuses a grid that does not fit, and warns of one that may not.
///
/// # Errors
/// [`SamplingError::NoFit`].
pub(super) fn judge(fit: &GridFit, request: &Request) -> Result<Option<Warning>, SamplingError> {
    if fit.figure < REFUSED {
        return Err(SamplingError::NoFit {
            percent: 100.0 * fit.figure,
            against: fit.against(),
            rows: request.rows,
            cols: request.cols,
            counted: fit.counted.map_or_else(String::new, |(r, c)| {
                format!("; {r} rows and {c} columns are seen instead")
            }),
        });
    }
    let counted = fit.counted.map_or_else(String::new, |(r, c)| {
        format!(", and {r} rows by {c} columns are seen")
    });
    Ok((fit.figure < DOUBTED).then(|| {
        Warning::new(
            format!(
                "the grid may not fit ({:.0} %): {}{counted}",
                100.0 * fit.figure,
                fit.against()
            ),
            "check the corners and the counts",
        )
    }))
}

/// Says what corners in the order of a mirror do to the scores.
pub(super) fn mirrored(fit: &GridFit) -> Option<Warning> {
    fit.mirrored.then(|| {
        Warning::new(
            "the corners run against the clock, as in a mirror, so left and right are exchanged",
            "give them back-left, back-right, front-right, front-left unless the picture is a mirror image",
        )
    })
}

/// Says where the back wall is taken to be, where corners put it anywhere but at the top of the picture.
pub(super) fn turned(corners: &[Point; 4]) -> Option<Warning> {
    let middle = corners[0]
        .towards(corners[2], 0.5)
        .towards(corners[1].towards(corners[3], 0.5), 0.5);
    let back = corners[0].towards(corners[1], 0.5);
    let (dx, dy) = (back.x - middle.x, back.y - middle.y);
    let side = if dy.abs() >= dx.abs() {
        if dy < 0.0 {
            return None;
        }
        "bottom"
    } else if dx > 0.0 {
        "right"
    } else {
        "left"
    };
    Some(Warning::new(
        format!("by the order of the corners the oven's back wall is at the picture's {side}"),
        "if it is at the top, give the upper left corner first",
    ))
}
