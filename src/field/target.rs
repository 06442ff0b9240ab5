//! What a covariance is wanted for: means over rectangles at rack heights, kept as tables.
//!
//! A slice, a map cell's centre and a whole rack are all the same thing: the mean of the field over
//! a rectangle (a point when its extents are 0). Rack positions are toasted with the same lay-out, so
//! targets share few places in the plane, and places share few columns and rows: whatever depends on
//! the plane alone is worked out once for each distinct place.

use super::{kernel::Extent, map::Lean};

/// Size of the tilt features: left-right, front-back, two curvatures and the saddle.
pub(super) const FEATURES: usize = 5;
/// Prior size of a curvature relative to a slope: beyond the outer slices a stronger bend runs away.
const BEND: f64 = 0.3;

/// A set of rectangles, addressed by index.
#[derive(Debug, Clone, Default)]
pub(super) struct Targets {
    pub(super) xs: Vec<Extent>,
    pub(super) ys: Vec<Extent>,
    pub(super) heights: Vec<f64>,
    /// Index into `xs` and `ys` for each distinct place in the plane.
    pub(super) places: Vec<[usize; 2]>,
    /// Index into `places` and `heights` for each target.
    pub(super) items: Vec<[usize; 2]>,
    /// The lean of the photo that each target was read from; none for places of a map.
    pub(super) leans: Vec<Option<Lean>>,
}

impl Targets {
    /// Adds the mean over a rectangle at `height` cm.
    pub(super) fn push(&mut self, x: Extent, y: Extent, height: f64) {
        let place = [
            find_or_add(&mut self.xs, x, same_extent),
            find_or_add(&mut self.ys, y, same_extent),
        ];
        let item = [
            find_or_add(&mut self.places, place, |a, b| a == b),
            find_or_add(&mut self.heights, height, |a, b| (a - b).abs() < 1e-9),
        ];
        self.items.push(item);
        self.leans.push(None);
    }

    /// Adds the field at a point at `height` cm.
    pub(super) fn push_point(&mut self, x: f64, y: f64, height: f64) {
        self.push(point(x), point(y), height);
    }

    pub(super) fn len(&self) -> usize {
        self.items.len()
    }

    /// Returns the rectangle at distinct place `p`.
    pub(super) fn place(&self, p: usize) -> (Extent, Extent) {
        let [x, y] = self.places[p];
        (self.xs[x], self.ys[y])
    }

    /// Returns the tilt features of every distinct place in a cavity `width` x `depth` cm.
    pub(super) fn tilts(&self, width: f64, depth: f64) -> Vec<[f64; FEATURES]> {
        let along = |e: &Extent, whole: f64| {
            let u = e.middle / (whole / 2.0) - 1.0;
            let half = e.length / whole;
            // mean of u^2 over the extent, less the mean of u^2 over the whole cavity
            (u, BEND * (u * u + half * half / 3.0 - 1.0 / 3.0))
        };
        let us: Vec<_> = self.xs.iter().map(|e| along(e, width)).collect();
        let vs: Vec<_> = self.ys.iter().map(|e| along(e, depth)).collect();
        self.places
            .iter()
            .map(|&[i, j]| {
                let ((u, bend_u), (v, bend_v)) = (us[i], vs[j]);
                [u, v, bend_u, bend_v, BEND * u * v]
            })
            .collect()
    }
}

/// Returns the extent of a point.
pub(super) fn point(middle: f64) -> Extent {
    Extent::new(middle, 0.0)
}

fn same_extent(a: Extent, b: Extent) -> bool {
    (a.middle - b.middle).abs() < 1e-9 && (a.length - b.length).abs() < 1e-9
}

fn find_or_add<T: Copy>(all: &mut Vec<T>, wanted: T, same: impl Fn(T, T) -> bool) -> usize {
    all.iter()
        .position(|&t| same(t, wanted))
        .unwrap_or_else(|| {
            all.push(wanted);
            all.len() - 1
        })
}
