//! The outline of one slice, as a depth: how far inside it a point lies.

use super::picture::single;
use crate::{geometry::Point, numeric::whole};

/// Steps of the search for the angle a slice is turned by, degrees.
const ANGLE_STEP: usize = 3;

/// The shape of one slice in a picture.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Outline {
    /// Centre of gravity, pixels of the picture.
    pub(super) centre: Point,
    /// Square root of its area, pixels of the picture.
    pub(super) side: f64,
    /// Where the first cell of the depth map lies, pixels of the picture.
    origin: Point,
    /// Pixels of the picture for one cell of the depth map.
    step: f64,
    width: usize,
    height: usize,
    /// Distance to the nearest point outside, pixels of the picture; 0 outside.
    depth: Vec<f32>,
}

impl Outline {
    /// Makes an outline of the pixels of a plane `width` wide that belong to a slice; holes are filled.
    ///
    /// `to_picture` maps the centre of a pixel of the plane to the picture, `step` is its size there.
    pub(super) fn of_members(
        members: &[usize],
        width: usize,
        to_picture: impl Fn(Point) -> Point,
        step: f64,
    ) -> Option<Self> {
        let x = |p: usize| p % width;
        let y = |p: usize| p / width;
        let (x0, x1) = (
            members.iter().map(|&p| x(p)).min()?,
            members.iter().map(|&p| x(p)).max()?,
        );
        let (y0, y1) = (
            members.iter().map(|&p| y(p)).min()?,
            members.iter().map(|&p| y(p)).max()?,
        );
        // a rim of two empty cells on every side
        let (w, h) = (x1 - x0 + 5, y1 - y0 + 5);
        let mut inside = vec![false; w * h];
        for &p in members {
            inside[(y(p) - y0 + 2) * w + x(p) - x0 + 2] = true;
        }
        fill_holes(&mut inside, w, h);
        let first = to_picture(Point::new(x0 as f64, y0 as f64));
        let origin = Point::new(first.x - 2.0 * step, first.y - 2.0 * step);
        let (mut sx, mut sy, mut n) = (0.0, 0.0, 0.0);
        for (i, _) in inside.iter().enumerate().filter(|(_, v)| **v) {
            sx += (i % w) as f64;
            sy += (i / w) as f64;
            n += 1.0;
        }
        Some(Self {
            centre: Point::new(origin.x + sx / n * step, origin.y + sy / n * step),
            side: f64::sqrt(n) * step,
            depth: depths(&inside, w, h, step),
            origin,
            step,
            width: w,
            height: h,
        })
    }

    /// Returns how far inside `p` lies, in pixels of the picture; 0 outside.
    pub(super) fn depth_at(&self, p: Point) -> f64 {
        // most of what is asked for lies elsewhere, and a division takes long
        if p.x < self.origin.x || p.y < self.origin.y {
            return 0.0;
        }
        let x = (p.x - self.origin.x) / self.step;
        let y = (p.y - self.origin.y) / self.step;
        let (i, j) = (whole::floor(x), whole::floor(y));
        if i + 1 >= self.width || j + 1 >= self.height {
            return 0.0;
        }
        let (fx, fy) = (x - i as f64, y - j as f64);
        let at = |dx: usize, dy: usize| f64::from(self.depth[(j + dy) * self.width + i + dx]);
        let upper = at(0, 0) + fx * (at(1, 0) - at(0, 0));
        let lower = at(0, 1) + fx * (at(1, 1) - at(0, 1));
        upper + fy * (lower - upper)
    }

    /// Tells whether `p` lies inside.
    pub(super) fn holds(&self, p: Point) -> bool {
        self.depth_at(p) > 0.0
    }

    /// Returns the smallest and greatest x and y of the depth map, pixels of the picture.
    pub(super) fn bounds(&self) -> (Point, Point) {
        let far = Point::new(
            self.origin.x + (self.width - 1) as f64 * self.step,
            self.origin.y + (self.height - 1) as f64 * self.step,
        );
        (self.origin, far)
    }

    /// Returns the centres of the cells on the rim of the slice, pixels of the picture.
    fn rim(&self) -> Vec<Point> {
        let edge = single(self.step * 1.01);
        (0..self.depth.len())
            .filter(|&i| self.depth[i] > 0.0 && self.depth[i] <= edge)
            .map(|i| {
                Point::new(
                    self.origin.x + (i % self.width) as f64 * self.step,
                    self.origin.y + (i / self.width) as f64 * self.step,
                )
            })
            .collect()
    }

    /// Returns by how many degrees (-45..45) the smallest rectangle around the slice is turned from
    /// the direction `along`, and how much smaller it is than the one that is not turned.
    pub(super) fn turned(&self, along: Point) -> (f64, f64) {
        let rim = self.rim();
        let base = along.y.atan2(along.x);
        let box_area = |degrees: f64| self.box_area(&rim, base + degrees.to_radians());
        let straight = box_area(0.0);
        let best = (0..90 / ANGLE_STEP)
            .map(|i| (i * ANGLE_STEP) as f64 - 45.0)
            .map(|degrees| (degrees, box_area(degrees)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap_or((0.0, straight));
        (best.0, 1.0 - best.1 / straight)
    }

    /// Returns the area of the rectangle around `rim` that is turned by `angle`.
    fn box_area(&self, rim: &[Point], angle: f64) -> f64 {
        let (sin, cos) = angle.sin_cos();
        let span = |value: &dyn Fn(&Point) -> f64| {
            let (low, high) = rim
                .iter()
                .map(value)
                .fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
            high - low + self.step
        };
        span(&|p| p.x * cos + p.y * sin) * span(&|p| p.y * cos - p.x * sin)
    }

    /// Returns an upright square around the centre, `share` times as wide as the outline.
    pub(super) fn square(&self, share: f64) -> [Point; 4] {
        let half = self.side / 2.0 * share;
        [(-half, -half), (half, -half), (half, half), (-half, half)]
            .map(|(x, y)| Point::new(self.centre.x + x, self.centre.y + y))
    }
}

/// Fills what is not reached from the rim.
fn fill_holes(inside: &mut [bool], w: usize, h: usize) {
    let mut outside = vec![false; w * h];
    let mut queue = vec![0];
    outside[0] = true;
    while let Some(p) = queue.pop() {
        let (x, y) = (p % w, p / w);
        let around = [
            (x > 0).then(|| p - 1),
            (x + 1 < w).then(|| p + 1),
            (y > 0).then(|| p - w),
            (y + 1 < h).then(|| p + w),
        ];
        for q in around.into_iter().flatten() {
            if !inside[q] && !outside[q] {
                outside[q] = true;
                queue.push(q);
            }
        }
    }
    for (i, o) in inside.iter_mut().zip(&outside) {
        *i = !o;
    }
}

/// Two-pass chamfer distance (Borgefors 1986; from memory) to the nearest cell outside.
fn depths(inside: &[bool], w: usize, h: usize, step: f64) -> Vec<f32> {
    let straight = 1.0_f32;
    let slanted = std::f32::consts::SQRT_2;
    let mut d: Vec<f32> = inside
        .iter()
        .map(|&i| if i { f32::MAX / 4.0 } else { 0.0 })
        .collect();
    for y in 1..h {
        for x in 1..w - 1 {
            let i = y * w + x;
            let near = (d[i - 1] + straight)
                .min(d[i - w] + straight)
                .min(d[i - w - 1] + slanted)
                .min(d[i - w + 1] + slanted);
            d[i] = d[i].min(near);
        }
    }
    for y in (0..h - 1).rev() {
        for x in (1..w - 1).rev() {
            let i = y * w + x;
            let near = (d[i + 1] + straight)
                .min(d[i + w] + straight)
                .min(d[i + w + 1] + slanted)
                .min(d[i + w - 1] + slanted);
            d[i] = d[i].min(near);
        }
    }
    let step = single(step);
    d.into_iter().map(|v| v * step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(width: usize, hole: bool) -> Outline {
        let members: Vec<usize> = (0..20_usize)
            .flat_map(|y| (0..20).map(move |x| (y + 5) * width + x + 7))
            .filter(|&p| !(hole && p == 14 * width + 16))
            .collect();
        Outline::of_members(&members, width, |p| p.scaled(2.0), 2.0).unwrap()
    }

    #[test]
    fn depth_grows_inwards_and_holes_do_not_count() {
        for hole in [false, true] {
            let o = square(50, hole);
            assert!(o.centre.distance(Point::new(2.0 * 16.5, 2.0 * 14.5)) < 1e-9);
            assert!((o.side - 40.0).abs() < 1e-9);
            assert!(o.depth_at(Point::new(33.0, 29.0)) > 19.0);
            assert!((o.depth_at(Point::new(14.0, 29.0)) - 2.0).abs() < 1e-6);
            assert!(o.depth_at(Point::new(5.0, 29.0)).abs() < 1e-9);
            assert!(o.depth_at(Point::new(500.0, -3.0)).abs() < 1e-9);
        }
    }

    #[test]
    fn a_turned_square_tells_its_angle() {
        let (degrees, gain) = square(50, false).turned(Point::new(1.0, 0.0));
        assert!(degrees.abs() < 1e-9 && gain.abs() < 0.01);
        let (sin, cos) = 20_f64.to_radians().sin_cos();
        let width = 200;
        let inside = |p: &usize| {
            let (x, y) = ((p % width) as f64 - 100.0, (p / width) as f64 - 100.0);
            (x * cos + y * sin).abs() < 40.0 && (y * cos - x * sin).abs() < 40.0
        };
        let members: Vec<usize> = (0..width * width).filter(inside).collect();
        let o = Outline::of_members(&members, width, |p| p, 1.0).unwrap();
        let (degrees, gain) = o.turned(Point::new(1.0, 0.0));
        assert!((degrees - 20.0).abs() <= 3.0, "{degrees}");
        assert!(gain > 0.2);
        assert!((o.side - 80.0).abs() < 1.0);
    }
}
