//! The lattice of slices: which of a picture's solid patches stand in rows and columns, seen in
//! perspective.
//!
//! Seeded from each patch and two of its neighbours, grown from cell to cell, judged by how many
//! cells it fills, then fitted as a homography and matched again. False patches (cards, planks, crumbs)
//! fall away because they stand in no row.

#[cfg(test)]
mod tests;

use super::{
    regions::{LEVELS, Region},
    request::MOST_CELLS,
};
use crate::{
    geometry::{Homography, Point},
    numeric::{quantile::quantile, whole},
};
use std::collections::BTreeMap;

/// Patches tried as a seed, best first.
const SEEDS: usize = 80;
/// Neighbours looked at on each side of a seed.
const NEIGHBOURS: usize = 5;
/// Farthest from where it is expected that a slice is looked for, in steps of the lattice.
const REACH: f64 = 0.33;
/// Fewest patches that make a lattice, where it has as many cells.
const FEWEST: usize = 3;
/// Least share of the cells that must hold a patch.
const LEAST_FILLED: f64 = 0.5;
/// Greatest ratio of areas of a slice of the lattice and one right beside it.
const ALIKE: f64 = 1.6;
/// Greatest ratio of areas of two slices side by side.
const AREA_RATIO: f64 = 1.7;

/// How much less warm than the middling slice of the lattice one right beside it may be, levels: an
/// untoasted slice is, and so is a card, but neither fills a row.
const COOLER: f64 = 32.0;
/// Least merit of the middling patch of a row or column at the rim: slices of rendered photos have 0.55 and more.
const LEAST_MERIT: f64 = 0.5;
/// Least merit of a patch that counts as a slice by itself.
const SOUND: f64 = 0.75;
/// What a patch loses in worth when it is as much less warm than the middling one as can be.
const GREY_LOSS: f64 = 0.8;

/// Rows and columns in a picture.
#[derive(Debug, Clone)]
pub(super) struct Lattice {
    /// From the unit square (across, then from the back) to pixels of the small picture.
    pub(super) map: Homography,
    /// The patch at each cell, row by row from the back, if one was found.
    pub(super) matched: Vec<Option<usize>>,
}

/// Why no lattice was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NoLattice {
    /// Fewer patches stand in rows and columns than half the cells; holds the count.
    TooFew(usize),
    /// The patches stand in so many columns and rows, and no more are to be seen.
    OtherCounts {
        /// Rows found.
        rows: usize,
        /// Columns found.
        cols: usize,
    },
    /// So many more patches like slices lie beside or between those of the lattice.
    Others(usize),
}

/// Finds the lattice of `rows` by `cols` among the patches.
pub(super) fn find(regions: &[Region], (rows, cols): (usize, usize)) -> Result<Lattice, NoLattice> {
    let mut best: Option<(f64, Cells)> = None;
    for seed in 0..regions.len().min(SEEDS) {
        for (across, down) in bases(regions, seed, (rows, cols)) {
            let cells = grow(regions, seed, (across, down), (rows, cols));
            let (count, _, _) = extent(&cells);
            if count < FEWEST.min(rows * cols) {
                continue;
            }
            let value = worth(regions, &cells);
            if best.as_ref().is_none_or(|(v, _)| value > *v) {
                best = Some((value, cells));
            }
        }
    }
    let Some((_, cells)) = best else {
        return Err(NoLattice::TooFew(0));
    };
    settle(regions, &cells, (rows, cols))
}

type Cells = BTreeMap<(i32, i32), usize>;

/// Returns how much a grown lattice convinces: its patches, weighed by how like slices they look
/// and how alike in size and warmth they are.
fn worth(regions: &[Region], cells: &Cells) -> f64 {
    let mut areas: Vec<f64> = cells.values().map(|&i| regions[i].area).collect();
    areas.sort_by(f64::total_cmp);
    let middle = areas[areas.len() / 2];
    let warmths: Vec<f64> = cells.values().map(|&i| regions[i].warmth).collect();
    let warm = quantile(&warmths, 0.5);
    cells
        .values()
        .map(|&i| {
            let unlike = (regions[i].area / middle).ln().abs();
            let cool = (warm - regions[i].warmth).abs() / LEVELS as f64;
            (0.5 + 0.5 * regions[i].merit()) * (1.0 - unlike).max(0.0) * (1.0 - GREY_LOSS * cool)
        })
        .sum()
}

/// Returns pairs of steps (across, down) from a seed to neighbours of its size.
///
/// A single row or column has neighbours one way only: the other step stands upright on it, as long.
fn bases(regions: &[Region], seed: usize, (rows, cols): (usize, usize)) -> Vec<(Point, Point)> {
    let here = regions[seed];
    let side = here.area.sqrt();
    let mut near: Vec<Point> = regions
        .iter()
        .enumerate()
        .filter(|&(i, r)| {
            let ratio = r.area / here.area;
            i != seed
                && (1.0 / AREA_RATIO..AREA_RATIO).contains(&ratio)
                && (0.75..2.6).contains(&(r.centre.distance(here.centre) / side))
        })
        .map(|(_, r)| Point::new(r.centre.x - here.centre.x, r.centre.y - here.centre.y))
        .collect();
    near.sort_by(|a, b| a.x.hypot(a.y).total_cmp(&b.x.hypot(b.y)));
    let across: Vec<Point> = near
        .iter()
        .filter(|p| p.x.abs() > 1.5 * p.y.abs())
        .map(|p| p.scaled(p.x.signum()))
        .take(NEIGHBOURS)
        .collect();
    let down: Vec<Point> = near
        .iter()
        .filter(|p| p.y.abs() > 1.5 * p.x.abs())
        .map(|p| p.scaled(p.y.signum()))
        .take(NEIGHBOURS)
        .collect();
    if rows == 1 {
        return across.iter().map(|&a| (a, upright(a))).collect();
    }
    if cols == 1 {
        return down.iter().map(|&d| (upright(d).scaled(-1.0), d)).collect();
    }
    across
        .iter()
        .flat_map(|&a| down.iter().map(move |&d| (a, d)))
        .collect()
}

/// Returns `step` turned clockwise by a right angle, as seen in the picture.
fn upright(step: Point) -> Point {
    Point::new(-step.y, step.x)
}

/// Grows a lattice cell by cell from a seed and its steps, never beyond `rows` by `cols`.
fn grow(
    regions: &[Region],
    seed: usize,
    steps: (Point, Point),
    (rows, cols): (usize, usize),
) -> Cells {
    let mut cells = Cells::from([((0, 0), seed)]);
    let mut queue = vec![((0_i32, 0_i32), steps)];
    let mut next = 0;
    while let Some(&((row, col), (across, down))) = queue.get(next) {
        next += 1;
        let here = regions[cells[&(row, col)]];
        for (dr, dc) in [(0, 1), (0, -1), (1, 0), (-1, 0)] {
            let cell = (row + dr, col + dc);
            if cells.contains_key(&cell) || !fits(&cells, cell, (rows, cols)) {
                continue;
            }
            let step = if dr == 0 { across } else { down };
            let sign = f64::from(dr + dc);
            let expected = Point::new(here.centre.x + sign * step.x, here.centre.y + sign * step.y);
            let reach = REACH * step.x.hypot(step.y);
            let Some(found) = nearest(regions, &cells, expected, (reach, here.area)) else {
                continue;
            };
            let there = regions[found].centre;
            let seen = Point::new(
                sign * (there.x - here.centre.x),
                sign * (there.y - here.centre.y),
            );
            // slices lie a little off their places: half of the old step is kept
            let step = step.towards(seen, 0.5);
            let steps = if dr == 0 {
                (step, down)
            } else {
                (across, step)
            };
            cells.insert(cell, found);
            queue.push((cell, steps));
        }
    }
    cells
}

/// Tells whether a further cell leaves the grown lattice within its counts.
fn fits(cells: &Cells, (row, col): (i32, i32), (rows, cols): (usize, usize)) -> bool {
    let (mut low, mut high) = ((row, col), (row, col));
    for &(r, c) in cells.keys() {
        low = (low.0.min(r), low.1.min(c));
        high = (high.0.max(r), high.1.max(c));
    }
    let within = |a: i32, b: i32, n: usize| usize::try_from(b - a).is_ok_and(|d| d < n);
    within(low.0, high.0, rows) && within(low.1, high.1, cols)
}

/// Returns the likeliest free patch near `expected`: close, alike in size, solid.
fn nearest(
    regions: &[Region],
    cells: &Cells,
    expected: Point,
    (reach, area): (f64, f64),
) -> Option<usize> {
    let free = |i: usize| {
        cells.values().all(|&j| {
            j != i && regions[j].centre.distance(regions[i].centre) > 0.5 * regions[j].area.sqrt()
        })
    };
    regions
        .iter()
        .enumerate()
        .filter(|&(_, r)| {
            r.centre.distance(expected) < reach
                && (1.0 / AREA_RATIO..AREA_RATIO).contains(&(r.area / area))
        })
        .filter(|&(i, _)| free(i))
        .max_by(|(_, a), (_, b)| {
            let value = |r: &Region| {
                r.merit() - r.centre.distance(expected) / reach * 0.5 - (r.area / area).ln().abs()
            };
            value(a).total_cmp(&value(b))
        })
        .map(|(i, _)| i)
}

/// Returns the count of cells, and the rows and columns they span.
fn extent(cells: &Cells) -> (usize, usize, usize) {
    let span = |values: Vec<i32>| {
        let low = values.iter().min().copied().unwrap_or(0);
        let high = values.iter().max().copied().unwrap_or(-1);
        usize::try_from(high - low + 1).unwrap_or(0)
    };
    (
        cells.len(),
        span(cells.keys().map(|k| k.0).collect()),
        span(cells.keys().map(|k| k.1).collect()),
    )
}

/// Fits the perspective, matches every cell again, and settles which cells the counts mean.
fn settle(
    regions: &[Region],
    cells: &Cells,
    (rows, cols): (usize, usize),
) -> Result<Lattice, NoLattice> {
    let (count, spanned_rows, spanned_cols) = extent(cells);
    if (count as f64) < LEAST_FILLED * (rows * cols) as f64 {
        return Err(NoLattice::TooFew(count));
    }
    let first = (
        cells.keys().map(|k| k.0).min().unwrap_or(0),
        cells.keys().map(|k| k.1).min().unwrap_or(0),
    );
    // a whole missing row or column at the rim: try each place the counts leave open
    let mut best: Option<Lattice> = None;
    let mut tie = false;
    for up in 0..=rows - spanned_rows {
        for left in 0..=cols - spanned_cols {
            let numbered: Vec<(usize, usize)> = cells
                .iter()
                .filter_map(|(&(r, c), &i)| {
                    let row = usize::try_from(r - first.0).ok()? + up;
                    let col = usize::try_from(c - first.1).ok()? + left;
                    Some((row * cols + col, i))
                })
                .collect();
            let Some(lattice) = refine(regions, numbered, (rows, cols)) else {
                continue;
            };
            let filled = |l: &Lattice| l.matched.iter().flatten().count();
            match best.as_ref().map(|b| filled(&lattice).cmp(&filled(b))) {
                None | Some(std::cmp::Ordering::Greater) => {
                    tie = false;
                    best = Some(lattice);
                }
                Some(std::cmp::Ordering::Equal) => tie = true,
                Some(std::cmp::Ordering::Less) => {}
            }
        }
    }
    // an empty row or column at the rim could as well lie on the other side, or be none
    let spanned = |l: &Lattice| {
        let held = |cell: usize| l.matched[cell].is_some();
        let row = |r: usize| (0..cols).any(|c| held(r * cols + c));
        let col = |c: usize| (0..rows).any(|r| held(r * cols + c));
        row(0) && row(rows - 1) && col(0) && col(cols - 1)
    };
    match best {
        Some(lattice) if thin(regions, &lattice, (rows, cols)) != (0, 0) => {
            let (r, c) = thin(regions, &lattice, (rows, cols));
            Err(NoLattice::OtherCounts {
                rows: rows.saturating_sub(r).max(1),
                cols: cols.saturating_sub(c).max(1),
            })
        }
        Some(lattice) if !tie && spanned(&lattice) => match more(regions, &lattice, (rows, cols)) {
            (0, 0) => match others(regions, &lattice) {
                // a plank or a stain may look like one; a column left out is more than a few
                n if n >= 2 && 4 * n > rows * cols => Err(NoLattice::Others(n)),
                _ => Ok(lattice),
            },
            (r, c) => Err(NoLattice::OtherCounts {
                rows: rows + r,
                cols: cols + c,
            }),
        },
        Some(_) => Err(NoLattice::OtherCounts {
            rows: spanned_rows,
            cols: spanned_cols,
        }),
        None => Err(NoLattice::TooFew(count)),
    }
}

/// Returns how many rows and columns at the rim hold too little to be one: fewer patches than half their
/// places, or patches hardly like slices. A card or a plank in line with the slices makes such a one.
fn thin(regions: &[Region], lattice: &Lattice, (rows, cols): (usize, usize)) -> (usize, usize) {
    let is_thin = |cells: Vec<usize>| {
        let held: Vec<f64> = cells
            .iter()
            .filter_map(|&cell| lattice.matched[cell].map(|i| regions[i].merit()))
            .collect();
        2 * held.len() < cells.len() || quantile(&held, 0.5) < LEAST_MERIT
    };
    let row = |r: usize| is_thin((0..cols).map(|c| r * cols + c).collect());
    let col = |c: usize| is_thin((0..rows).map(|r| r * cols + c).collect());
    let count = |first: bool, last: bool| usize::from(first) + usize::from(last);
    (
        if rows > 1 {
            count(row(0), row(rows - 1))
        } else {
            0
        },
        if cols > 1 {
            count(col(0), col(cols - 1))
        } else {
            0
        },
    )
}

/// Returns how many further rows and columns of slices stand right beside the lattice.
fn more(regions: &[Region], lattice: &Lattice, counts: (usize, usize)) -> (usize, usize) {
    let (rows, cols) = counts;
    let mut areas: Vec<f64> = lattice
        .matched
        .iter()
        .flatten()
        .map(|&i| regions[i].area)
        .collect();
    areas.sort_by(f64::total_cmp);
    let area = areas.get(areas.len() / 2).copied().unwrap_or(0.0);
    let matched = lattice.matched.iter().flatten();
    let warmths: Vec<f64> = matched.map(|&i| regions[i].warmth).collect();
    let warm = quantile(&warmths, 0.5);
    let holds = |row: f64, col: f64| {
        let place = lattice.map.map(Point::new(
            (col + 0.5) / cols as f64,
            (row + 0.5) / rows as f64,
        ));
        let near = |r: &Region| {
            let ratio = r.area / area;
            r.centre.distance(place) < REACH * area.sqrt()
                && (1.0 / ALIKE..ALIKE).contains(&ratio)
                && r.growth < 1.2
                // a card in line with the slices is none
                && r.warmth > warm - COOLER
        };
        regions.iter().any(near)
    };
    // two slices in line with the lattice, and a third of a row, are no chance: slices may be missing there too
    let full = |held: usize, of: usize| held >= 2 && 3 * held >= of;
    let row = |at: f64| full((0..cols).filter(|&c| holds(at, c as f64)).count(), cols);
    let col = |at: f64| full((0..rows).filter(|&r| holds(r as f64, at)).count(), rows);
    let run = |is_full: &dyn Fn(f64) -> bool, last: usize| {
        let before = (1..MOST_CELLS).take_while(|&k| is_full(-(k as f64)));
        let behind = (1..MOST_CELLS).take_while(|&k| is_full((last + k) as f64));
        before.count() + behind.count()
    };
    (run(&row, rows - 1), run(&col, cols - 1))
}

/// Returns how many patches like the slices of the lattice are none of them: every second column makes
/// a lattice too.
fn others(regions: &[Region], lattice: &Lattice) -> usize {
    let held: Vec<&Region> = lattice
        .matched
        .iter()
        .flatten()
        .map(|&i| &regions[i])
        .collect();
    let middling = |of: fn(&Region) -> f64| {
        let values: Vec<f64> = held.iter().map(|r| of(r)).collect();
        quantile(&values, 0.5)
    };
    let (area, warm) = (middling(|r| r.area), middling(|r| r.warmth));
    let mut found: Vec<&Region> = Vec::new();
    for region in regions {
        let apart = |k: &&Region| k.centre.distance(region.centre) > 0.75 * area.sqrt();
        let alike = (1.0 / ALIKE..ALIKE).contains(&(region.area / area))
            && region.warmth > warm - COOLER
            && region.merit() > SOUND;
        if alike && held.iter().all(apart) && found.iter().all(apart) {
            found.push(region);
        }
    }
    found.len()
}

/// Returns where a map puts the corners of the unit square.
pub(super) fn corners_of(map: &Homography) -> [Point; 4] {
    [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)].map(|(x, y)| map.map(Point::new(x, y)))
}

/// Returns the centre of a cell in the unit square.
pub(super) fn cell_centre(cell: usize, (rows, cols): (usize, usize)) -> Point {
    Point::new(
        ((cell % cols) as f64 + 0.5) / cols as f64,
        ((cell / cols) as f64 + 0.5) / rows as f64,
    )
}

/// Returns the cell that a point of the unit square lies in, the nearest one outside it.
pub(super) fn cell_at(unit: Point, (rows, cols): (usize, usize)) -> usize {
    let index = |v: f64, n: usize| whole::floor((v * n as f64).clamp(0.0, n as f64 - 1.0));
    index(unit.y, rows) * cols + index(unit.x, cols)
}

/// Returns where points of the unit square lie in the picture, as numbered patches tell.
///
/// The patches of a single row or column lie on one line: points half a step beside each stand in for
/// the rows or columns that would tell the perspective.
fn anchors(
    regions: &[Region],
    numbered: &[(usize, usize)],
    (rows, cols): (usize, usize),
) -> Vec<(Point, Point)> {
    let mut pairs: Vec<(Point, Point)> = numbered
        .iter()
        .map(|&(cell, i)| (cell_centre(cell, (rows, cols)), regions[i].centre))
        .collect();
    let ends = numbered.first().zip(numbered.last());
    if let Some((&(a, i), &(b, j))) = ends.filter(|_| (rows == 1 || cols == 1) && rows != cols) {
        let steps = b.abs_diff(a).max(1) as f64;
        let (from, to) = (regions[i].centre, regions[j].centre);
        let step = Point::new((to.x - from.x) / steps, (to.y - from.y) / steps);
        let (beside, unit) = if rows == 1 {
            (upright(step).scaled(0.5), Point::new(0.0, 0.5))
        } else {
            (upright(step).scaled(-0.5), Point::new(0.5, 0.0))
        };
        let plus = |p: Point, q: Point, sign: f64| Point::new(p.x + sign * q.x, p.y + sign * q.y);
        for k in 0..pairs.len() {
            let (cell, centre) = pairs[k];
            for sign in [-1.0, 1.0] {
                pairs.push((plus(cell, unit, sign), plus(centre, beside, sign)));
            }
        }
    }
    pairs
}

/// Fits a homography to numbered patches, then matches and fits again.
fn refine(
    regions: &[Region],
    mut numbered: Vec<(usize, usize)>,
    counts: (usize, usize),
) -> Option<Lattice> {
    let (rows, cols) = counts;
    for _ in 0..3 {
        let map = Homography::fit(&anchors(regions, &numbered, counts)).ok()?;
        let mut areas: Vec<f64> = numbered.iter().map(|&(_, i)| regions[i].area).collect();
        areas.sort_by(f64::total_cmp);
        let area = areas[areas.len() / 2];
        numbered = (0..rows * cols)
            .filter_map(|cell| {
                let place = map.map(cell_centre(cell, counts));
                let reach = REACH * pitch(&map, cell, counts);
                nearest(regions, &Cells::new(), place, (reach, area)).map(|i| (cell, i))
            })
            .collect();
    }
    let map = Homography::fit(&anchors(regions, &numbered, counts)).ok()?;
    let mut matched = vec![None; rows * cols];
    for (cell, i) in numbered {
        matched[cell] = Some(i);
    }
    Some(Lattice { map, matched })
}

/// Returns the shorter step of the lattice at a cell, in pixels of the small picture.
pub(super) fn pitch(map: &Homography, cell: usize, counts: (usize, usize)) -> f64 {
    let (rows, cols) = counts;
    let here = cell_centre(cell, counts);
    let half = (0.5 / cols as f64, 0.5 / rows as f64);
    let across = map
        .map(Point::new(here.x - half.0, here.y))
        .distance(map.map(Point::new(here.x + half.0, here.y)));
    let down = map
        .map(Point::new(here.x, here.y - half.1))
        .distance(map.map(Point::new(here.x, here.y + half.1)));
    across.min(down)
}
