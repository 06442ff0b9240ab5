//! What goes into the field engine and what comes out of it.

use crate::{
    geometry::Grid,
    numeric::{normal::Z90, quantile::of_sorted},
};
use std::collections::BTreeSet;

/// How much further an interval of the largest difference reaches than that of a place: no draw holds a pattern finer
/// than slices, and of many places the strongest is named after looking. In ovens drawn by another hand 91 of 125 such
/// peaks lay in the interval of their place, 103 in this one.
pub const UNSEEN: f64 = 1.5;

/// How an observed browning is to be taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// As it stands, within its error.
    Exact,
    /// The true browning is at least this (a nearly burnt slice).
    AtLeast,
    /// The true browning is at most this (a barely toasted slice).
    AtMost,
}

/// The browning of one slice: the mean over its area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation {
    /// Rack position it lay on.
    pub rack: u8,
    /// Centre, cm from the left wall.
    pub x: f64,
    /// Centre, cm from the door.
    pub y: f64,
    /// Extent along x, cm; 0 for a point.
    pub width: f64,
    /// Extent along y, cm; 0 for a point.
    pub depth: f64,
    /// Browning dose B.
    pub browning: f64,
    /// Standard error of the reading itself, in B (slice-to-slice scatter not included).
    pub sd: f64,
    /// How to take it.
    pub bound: Bound,
    /// Which test of a pool it comes from, from 0.
    pub batch: usize,
    /// What it shares with the other slices of its photo; `None` where it was read by eye.
    pub lean: Option<Lean>,
}

/// What is left of the light in a photo: it leans over the tray, so slices on one side are all a
/// little too light and those on the other too dark, and its level is not quite known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lean {
    /// Which photo, any number that no other photo of the fit has.
    pub photo: usize,
    /// What one standard deviation of a lean to the right, of one to the back, and of the level adds to
    /// this slice, B.
    pub loads: [f64; 3],
}

impl Lean {
    /// Returns the lean of the difference of two slices in one place, each from a photo of its own.
    pub fn joined(a: Option<Self>, b: Option<Self>) -> Option<Self> {
        let (Some(one), Some(other)) = (a, b) else {
            return a.or(b);
        };
        let both = |i: usize| one.loads[i].hypot(other.loads[i]).copysign(one.loads[i]);
        Some(Self {
            photo: one.photo,
            loads: [both(0), both(1), both(2)],
        })
    }

    /// Returns the same after browning was multiplied by `factor`.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        let loads = self.loads.map(|l| l * factor);
        Self { loads, ..self }
    }

    /// Returns the covariance of two slices by the light of their photos.
    pub(super) fn covariance(a: Option<Self>, b: Option<Self>) -> f64 {
        match (a, b) {
            (Some(a), Some(b)) if a.photo == b.photo => {
                a.loads.iter().zip(b.loads).map(|(x, y)| x * y).sum()
            }
            (Some(_) | None, _) => 0.0,
        }
    }
}

/// A figure with its interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The estimate.
    pub value: f64,
    /// Lower end of the 90 % interval.
    pub lo: f64,
    /// Upper end of the 90 % interval.
    pub hi: f64,
}

impl Range {
    /// Makes a figure with the ends of its 90 % interval, all in one unit.
    pub const fn new(value: f64, lo: f64, hi: f64) -> Self {
        Self { value, lo, hi }
    }

    /// Returns the median of a sampled figure with its 90 % interval.
    pub fn of_samples(values: &[f64]) -> Self {
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        Self {
            value: of_sorted(&sorted, 0.5),
            lo: of_sorted(&sorted, 0.05),
            hi: of_sorted(&sorted, 0.95),
        }
    }
}

/// What a rack's map rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Evidence {
    /// Slices lay on this rack position.
    Tested,
    /// Interpolated between tested rack positions.
    Interpolated,
}

/// The map of one rack position on a grid.
#[derive(Debug, Clone, PartialEq)]
pub struct RackMap {
    /// Rack position.
    pub rack: u8,
    /// What it rests on.
    pub evidence: Evidence,
    /// The grid; row 0 at the back wall.
    pub grid: Grid,
    /// Browning B at the cell centres, row by row from the back.
    pub mean: Vec<f64>,
    /// Standard deviation of the field itself (not of a new slice), in B.
    pub sd: Vec<f64>,
    /// Browning minus the rack's own mean, in B.
    pub contrast: Vec<f64>,
    /// Standard deviation of `contrast`, in B.
    pub contrast_sd: Vec<f64>,
    /// The rack's own mean browning, B.
    pub rack_mean: f64,
    /// Standard deviation of `rack_mean`.
    pub rack_mean_sd: f64,
}

impl RackMap {
    /// Returns the 90 % interval of browning in cell `i`, B; browning is never below zero.
    pub fn interval(&self, i: usize) -> Range {
        between(self.mean[i], self.sd[i])
    }

    /// Returns the rack's mean with its standard deviation, B.
    pub fn level(&self) -> (f64, f64) {
        (self.rack_mean, self.rack_mean_sd)
    }
}

#[cfg(test)]
impl RackMap {
    /// Makes the map of a tested rack position from its browning, for a test.
    pub(crate) fn tested(rack: u8, grid: Grid, mean: Vec<f64>, sd: Vec<f64>) -> Self {
        let rack_mean = mean.iter().sum::<f64>() / mean.len() as f64;
        Self {
            rack,
            evidence: Evidence::Tested,
            grid,
            contrast: mean.iter().map(|b| b - rack_mean).collect(),
            contrast_sd: sd.clone(),
            sd,
            mean,
            rack_mean,
            rack_mean_sd: 0.01,
        }
    }
}

impl PointEstimate {
    /// Returns the 90 % interval of browning, B; browning is never below zero.
    pub fn interval(&self) -> Range {
        between(self.mean, self.sd)
    }
}

fn between(mean: f64, sd: f64) -> Range {
    Range {
        value: mean.max(0.0),
        lo: (mean - Z90 * sd).max(0.0),
        hi: (mean + Z90 * sd).max(0.0),
    }
}

/// The estimate at one point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointEstimate {
    /// Browning B.
    pub mean: f64,
    /// Standard deviation of the field, B.
    pub sd: f64,
    /// Steepest rise: dB/dx and dB/dy, per cm.
    pub gradient: (f64, f64),
}

/// Hotter or cooler than the rack's own mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ZoneKind {
    /// Browns more.
    Hot,
    /// Browns less.
    Cool,
}

impl ZoneKind {
    /// Returns the word written into a map.
    pub fn word(self) -> &'static str {
        match self {
            Self::Hot => "HOT",
            Self::Cool => "COOL",
        }
    }
}

/// How firmly a zone is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Strength {
    /// Each of its cells is noticeably off with a probability of 80 % or more: "probably".
    Probable,
    /// Each of its cells is so with 95 % or more: said plainly.
    Plain,
}

impl Strength {
    /// Returns its key: `plain` or `probable`.
    pub fn key(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Probable => "probable",
        }
    }

    /// Returns the word before what is said: nothing, or `probably `.
    pub fn adverb(self) -> &'static str {
        match self {
            Self::Plain => "",
            Self::Probable => "probably ",
        }
    }
}

/// A connected part of a map that is noticeably hotter or cooler than the rack's own mean.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Rack position.
    pub rack: u8,
    /// Hot or cool.
    pub kind: ZoneKind,
    /// How firmly it is told.
    pub strength: Strength,
    /// Centre of gravity, cm from the left wall and from the door.
    pub centre: (f64, f64),
    /// Area, square centimetres.
    pub area: f64,
    /// Probability that the zone's mean lies beyond what is noticeable.
    pub probability: f64,
    /// Largest difference from the rack's mean in the part of the zone where slices lay, shades
    /// (signed), with interval.
    pub peak_shade: Range,
    /// The same as an equivalent temperature difference, C (signed), with interval.
    pub peak_c: Range,
    /// Cells (row, col), row 0 at the back.
    pub cells: Vec<(usize, usize)>,
    /// Cells around a plain zone that probably belong to it.
    pub around: Vec<(usize, usize)>,
}

impl Zone {
    /// Returns the zone with the cells it has on another map of the same rack position; its figures stay.
    #[must_use]
    pub fn shown_on(self, read: &FieldMap, shown: &FieldMap) -> Self {
        let of = |map: &FieldMap| {
            map.racks
                .iter()
                .find(|r| r.rack == self.rack)
                .map(|r| r.grid)
        };
        let (Some(from), Some(to)) = (of(read), of(shown)) else {
            return self;
        };
        let moved = |cells: &[(usize, usize)]| {
            let held: BTreeSet<(usize, usize)> = cells.iter().copied().collect();
            let inside = |&(row, col): &(usize, usize)| {
                from.cell_at(to.x(col), to.y(row))
                    .is_some_and(|cell| held.contains(&cell))
            };
            (0..to.rows)
                .flat_map(|row| (0..to.cols).map(move |col| (row, col)))
                .filter(inside)
                .collect()
        };
        Self {
            cells: moved(&self.cells),
            around: moved(&self.around),
            ..self
        }
    }
}

/// How alike the browning is over one rack position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evenness {
    /// Rack position.
    pub rack: u8,
    /// Darkest minus lightest (5 % and 95 % quantiles of the map), shades.
    pub spread: Range,
    /// Standard deviation over the area, shades.
    pub sd: Range,
    /// The same standard deviation as degrees, C.
    pub sd_c: Range,
    /// Share of the area within half a shade of the mean, 0..1.
    pub within_half: Range,
    /// Standard deviation of B divided by its mean.
    pub relative_sd: f64,
}

/// The whole answer on one grid.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldMap {
    /// One map for each rack position, from the bottom up.
    pub racks: Vec<RackMap>,
    /// Slice-to-slice scatter (the fitted nugget), B.
    pub noise_sd: f64,
}
