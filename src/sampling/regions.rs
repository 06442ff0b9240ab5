//! Compact patches of a picture: what is brighter, darker or warmer than all around it, at whatever
//! level that holds best.
//!
//! A component tree (Najman and Couprie 2006, IEEE Trans. Image Process. 15:3531-3539; from memory)
//! sweeps all levels of a plane at once with a union-find; a component is kept where it is as solid
//! as a slice: for a filled rectangle area / (12 sqrt(det of its second moments)) is 1.

use super::picture::clip;
use crate::{geometry::Point, numeric::whole};

/// Levels a plane is divided into.
pub(super) const LEVELS: usize = 64;
/// Steps back over which a component's growth is looked at.
const GROWTH_STEPS: usize = 3;
/// Least and greatest solidity of a slice; a disc has 1.05, a filled rectangle 1.
const SOLID: (f64, f64) = (0.84, 1.08);
/// Least ratio of the short to the long axis, seen at a slant.
const LEAST_ASPECT: f64 = 0.4;

/// One quantity of a small picture, quantised.
#[derive(Debug, Clone)]
pub(super) struct Plane {
    pub(super) width: usize,
    pub(super) height: usize,
    levels: Vec<u8>,
}

impl Plane {
    /// Quantises values between their 0.5 % and 99.5 % quantiles.
    pub(super) fn new(width: usize, height: usize, values: &[f32]) -> Self {
        let mut sorted: Vec<f32> = values.iter().step_by(7).copied().collect();
        sorted.sort_by(f32::total_cmp);
        let at = |share: f32| {
            let i = whole::floor(f64::from(share * (sorted.len().saturating_sub(1)) as f32));
            sorted.get(i).copied().unwrap_or(0.0)
        };
        let (low, high) = (at(0.005), at(0.995));
        let scale = (LEVELS - 1) as f32 / (high - low).max(1e-6);
        let levels = values
            .iter()
            .map(|v| {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "clamped to the levels"
                )]
                let level = ((v - low) * scale).clamp(0.0, (LEVELS - 1) as f32) as u8;
                level
            })
            .collect();
        Self {
            width,
            height,
            levels,
        }
    }

    /// Returns this plane upside down: dark becomes bright.
    pub(super) fn inverted(&self) -> Self {
        let top = u8::try_from(LEVELS - 1).unwrap_or(u8::MAX);
        Self {
            width: self.width,
            height: self.height,
            levels: self.levels.iter().map(|v| top - v).collect(),
        }
    }

    /// Returns the mean level over the nine pixels around a point inside.
    pub(super) fn around(&self, p: Point) -> f64 {
        let near = |v: f64, n: usize| clip(v.round() - 1.0, n)..clip(v.round() + 2.0, n);
        let (mut sum, mut n) = (0.0, 0.0);
        for y in near(p.y, self.height) {
            for x in near(p.x, self.width) {
                sum += f64::from(self.levels[y * self.width + x]);
                n += 1.0;
            }
        }
        sum / f64::max(n, 1.0)
    }

    /// Returns the pixels of the component that holds `region`'s seed at its level.
    pub(super) fn members(&self, region: &Region) -> Vec<usize> {
        let mut inside = vec![region.seed];
        let mut seen = vec![false; self.levels.len()];
        seen[region.seed] = true;
        let mut next = 0;
        while let Some(&pixel) = inside.get(next) {
            next += 1;
            for q in neighbours(pixel, self.width, self.height) {
                if self.levels[q] >= region.level && !seen[q] {
                    seen[q] = true;
                    inside.push(q);
                }
            }
        }
        inside
    }
}

/// A solid patch of a plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Region {
    /// Centre of gravity, in pixels of the plane.
    pub(super) centre: Point,
    /// Pixels it holds.
    pub(super) area: f64,
    /// 1 for a filled rectangle, less for anything ragged.
    pub(super) solid: f64,
    /// Short over long axis.
    pub(super) aspect: f64,
    /// Area now over area a few levels higher, at least 1: near 1 at a true edge.
    pub(super) growth: f64,
    /// Which plane it comes from.
    pub(super) plane: usize,
    /// Warmth at its centre, levels of the picture's range; [`f64::NAN`] until the planes are at hand.
    pub(super) warmth: f64,
    seed: usize,
    level: u8,
}

impl Region {
    /// Returns how much it looks like a slice by itself, 0..1.
    pub(super) fn merit(&self) -> f64 {
        let solid = 1.0 - (self.solid - 1.0).abs() * 3.0;
        solid.max(0.0) / self.growth
    }
}

fn neighbours(p: usize, width: usize, height: usize) -> impl Iterator<Item = usize> {
    let (x, y) = (p % width, p / width);
    [
        (x > 0).then(|| p - 1),
        (x + 1 < width).then(|| p + 1),
        (y > 0).then(|| p - width),
        (y + 1 < height).then(|| p + width),
    ]
    .into_iter()
    .flatten()
}

/// Sums over the pixels of one component.
#[derive(Debug, Clone, Copy, Default)]
struct Moments {
    n: f64,
    x: f64,
    y: f64,
    xx: f64,
    yy: f64,
    xy: f64,
}

impl Moments {
    fn add_pixel(&mut self, x: f64, y: f64) {
        self.n += 1.0;
        self.x += x;
        self.y += y;
        self.xx += x * x;
        self.yy += y * y;
        self.xy += x * y;
    }

    fn add(&mut self, other: &Self) {
        self.n += other.n;
        self.x += other.x;
        self.y += other.y;
        self.xx += other.xx;
        self.yy += other.yy;
        self.xy += other.xy;
    }

    /// Returns solidity and aspect.
    fn shape(&self) -> (f64, f64) {
        let (mx, my) = (self.x / self.n, self.y / self.n);
        // a pixel is itself a square with a second moment of 1/12
        let xx = self.xx / self.n - mx * mx + 1.0 / 12.0;
        let yy = self.yy / self.n - my * my + 1.0 / 12.0;
        let xy = self.xy / self.n - mx * my;
        let det = (xx * yy - xy * xy).max(1e-9);
        let half = f64::midpoint(xx, yy);
        let spread = (half * half - det).max(0.0).sqrt();
        (
            self.n / (12.0 * det.sqrt()),
            ((half - spread).max(0.0) / (half + spread)).sqrt(),
        )
    }
}

/// A union-find over pixels whose roots carry their component's sums.
///
/// The plane has a rim of one pixel that is never entered, so that every pixel has four neighbours.
struct Forest {
    /// Pixels of a row, rim and all.
    stride: usize,
    parent: Vec<u32>,
    /// Which of the sums belong to a root.
    slot: Vec<u32>,
    /// Few against the pixels, so that they stay close at hand.
    sums: Vec<Moments>,
    /// Whether a root is among the large ones.
    large: Vec<bool>,
}

const OUTSIDE: u32 = u32::MAX;

impl Forest {
    fn new(width: usize, height: usize) -> Self {
        let count = (width + 2) * (height + 2);
        Self {
            stride: width + 2,
            parent: vec![OUTSIDE; count],
            slot: vec![OUTSIDE; count],
            sums: Vec::new(),
            large: vec![false; count],
        }
    }

    fn root(&mut self, mut p: u32) -> u32 {
        while self.parent[p as usize] != p {
            let grand = self.parent[self.parent[p as usize] as usize];
            self.parent[p as usize] = grand;
            p = grand;
        }
        p
    }

    fn of(&self, root: u32) -> &Moments {
        &self.sums[self.slot[root as usize] as usize]
    }

    /// Returns column and row of a pixel, without the rim.
    fn place(&self, p: u32) -> (usize, usize) {
        let p = p as usize;
        (p % self.stride - 1, p / self.stride - 1)
    }

    /// Adds a pixel to the component next to it, or begins one, and joins those it lies between.
    fn enter(&mut self, p: u32) {
        let i = p as usize;
        let mut home = OUTSIDE;
        for q in [i - self.stride, i - 1, i + 1, i + self.stride] {
            if self.parent[q] == OUTSIDE {
                continue;
            }
            #[expect(clippy::cast_possible_truncation, reason = "an index of the plane")]
            let root = self.root(q as u32);
            home = if home == OUTSIDE || home == root {
                root
            } else {
                self.join(home, root)
            };
        }
        if home == OUTSIDE {
            home = p;
            #[expect(clippy::cast_possible_truncation, reason = "fewer than pixels")]
            let slot = self.sums.len() as u32;
            self.slot[i] = slot;
            self.sums.push(Moments::default());
        }
        self.parent[i] = home;
        let (x, y) = self.place(p);
        self.sums[self.slot[home as usize] as usize].add_pixel(x as f64, y as f64);
    }

    /// Joins two components and returns the root of both.
    fn join(&mut self, a: u32, b: u32) -> u32 {
        let (keep, gone) = if self.of(a).n >= self.of(b).n {
            (a, b)
        } else {
            (b, a)
        };
        self.parent[gone as usize] = keep;
        let lost = *self.of(gone);
        self.sums[self.slot[keep as usize] as usize].add(&lost);
        keep
    }
}

/// A component that has reached the least area.
struct Large {
    root: u32,
    /// Its area at the last few levels, the last first.
    past: [f64; GROWTH_STEPS],
}

/// Finds the solid components of `plane` with an area (pixels) within `areas`, at every level.
pub(super) fn regions(plane: &Plane, number: usize, areas: (f64, f64)) -> Vec<Region> {
    let mut forest = Forest::new(plane.width, plane.height);
    let mut by_level: Vec<Vec<u32>> = vec![Vec::new(); LEVELS];
    for (row, y) in plane.levels.chunks_exact(plane.width).zip(1_u32..) {
        #[expect(clippy::cast_possible_truncation, reason = "a row of the plane")]
        let first = y * forest.stride as u32 + 1;
        for (p, &level) in (first..).zip(row) {
            by_level[usize::from(level)].push(p);
        }
    }
    let mut large: Vec<Large> = Vec::new();
    let mut found = Vec::new();
    for level in (0..64_u8).rev() {
        let pixels = &by_level[usize::from(level)];
        for &p in pixels {
            forest.enter(p);
        }
        for &p in pixels {
            let root = forest.root(p);
            let area = forest.of(root).n;
            if area >= areas.0 && !forest.large[root as usize] {
                forest.large[root as usize] = true;
                large.push(Large {
                    root,
                    past: [area; GROWTH_STEPS],
                });
            }
        }
        large
            .retain(|l| forest.parent[l.root as usize] == l.root && forest.of(l.root).n <= areas.1);
        for l in &mut large {
            found.extend(judge(&forest, l, (level, number)));
        }
    }
    found
}

/// Makes a region of a component if it is solid enough, and notes its area for the next level.
fn judge(forest: &Forest, large: &mut Large, (level, plane): (u8, usize)) -> Option<Region> {
    let moments = *forest.of(large.root);
    let growth = moments.n / large.past[GROWTH_STEPS - 1].min(moments.n);
    large.past.rotate_right(1);
    large.past[0] = moments.n;
    let (solid, aspect) = moments.shape();
    let (x, y) = forest.place(large.root);
    ((SOLID.0..=SOLID.1).contains(&solid) && aspect >= LEAST_ASPECT).then_some(Region {
        centre: Point::new(moments.x / moments.n, moments.y / moments.n),
        area: moments.n,
        solid,
        aspect,
        growth,
        plane,
        warmth: f64::NAN,
        seed: y * (forest.stride - 2) + x,
        level,
    })
}

/// Keeps the best of the regions that lie on one another with much the same size.
pub(super) fn best_of_each(mut all: Vec<Region>) -> Vec<Region> {
    all.sort_by(|a, b| b.merit().total_cmp(&a.merit()));
    let mut kept: Vec<Region> = Vec::new();
    for region in all {
        let twin = kept.iter().any(|k| {
            let ratio = region.area / k.area;
            (0.75..1.33).contains(&ratio) && k.centre.distance(region.centre) < 0.25 * k.area.sqrt()
        });
        if !twin {
            kept.push(region);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A grey field with a bright square and a bright thin frame.
    fn scene() -> Plane {
        let (width, height) = (60, 40);
        let mut values = vec![0.3_f32; width * height];
        for y in 10..22 {
            for x in 8..20 {
                values[y * width + x] = 0.8;
            }
        }
        for x in 30..50 {
            for y in [5, 30] {
                values[y * width + x] = 0.8;
            }
        }
        Plane::new(width, height, &values)
    }

    #[test]
    fn a_square_is_found_and_a_line_is_not() {
        let plane = scene();
        let found = best_of_each(regions(&plane, 0, (20.0, 400.0)));
        assert_eq!(found.len(), 1, "{found:?}");
        let square = found[0];
        assert!((square.area - 144.0).abs() < 1e-9);
        assert!(square.centre.distance(Point::new(13.5, 15.5)) < 1e-9);
        assert!((square.solid - 1.0).abs() < 1e-6 && (square.aspect - 1.0).abs() < 1e-6);
        assert_eq!(plane.members(&square).len(), 144);
    }

    #[test]
    fn a_dark_square_is_found_upside_down() {
        let plane = scene().inverted();
        assert!(regions(&plane, 0, (20.0, 400.0)).is_empty());
        assert_eq!(
            best_of_each(regions(&plane.inverted(), 0, (20.0, 400.0))).len(),
            1
        );
    }
}
