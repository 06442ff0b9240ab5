//! Plane perspective: the homography between a flat lattice and its picture.
//!
//! Estimated by the normalised direct linear transformation (Hartley and Zisserman, Multiple View
//! Geometry, 2nd ed. 2004, algorithm 4.2; from memory).

use super::point::Point;
use nalgebra::{DMatrix, Matrix3, Vector3};

/// A plane perspective map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Homography {
    forward: Matrix3<f64>,
    backward: Matrix3<f64>,
}

/// Points that fix no perspective.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the points fix no perspective: fewer than four, or three of four on a line")]
pub struct Degenerate;

impl Homography {
    /// Fits the map that takes each first point to its second, by least squares when there are more
    /// than four pairs.
    ///
    /// # Errors
    /// [`Degenerate`] when the pairs fix no such map.
    pub fn fit(pairs: &[(Point, Point)]) -> Result<Self, Degenerate> {
        if pairs.len() < 4 {
            return Err(Degenerate);
        }
        let (from, from_scale) = normalising(pairs.iter().map(|p| p.0))?;
        let (to, to_scale) = normalising(pairs.iter().map(|p| p.1))?;
        // a ninth row keeps the factorisation square with four pairs
        let mut rows = DMatrix::zeros((2 * pairs.len()).max(9), 9);
        for (i, &(a, b)) in pairs.iter().enumerate() {
            let (a, b) = (apply(&from, a), apply(&to, b));
            let upper = [-a.x, -a.y, -1.0, 0.0, 0.0, 0.0, b.x * a.x, b.x * a.y, b.x];
            let lower = [0.0, 0.0, 0.0, -a.x, -a.y, -1.0, b.y * a.x, b.y * a.y, b.y];
            for (j, (u, l)) in upper.into_iter().zip(lower).enumerate() {
                rows[(2 * i, j)] = u;
                rows[(2 * i + 1, j)] = l;
            }
        }
        let svd = rows.svd(false, true);
        let v_t = svd.v_t.ok_or(Degenerate)?;
        let mut order: Vec<usize> = (0..svd.singular_values.len()).collect();
        order.sort_by(|&i, &j| svd.singular_values[i].total_cmp(&svd.singular_values[j]));
        let last = v_t.row(order[0]);
        if svd.singular_values[order[1]] < 1e-10 * svd.singular_values[order[8]] {
            return Err(Degenerate);
        }
        let normalised = Matrix3::from_row_iterator(last.iter().copied());
        let back = to.try_inverse().ok_or(Degenerate)?;
        let forward = back * normalised * from;
        let scale = forward.norm();
        if !(scale.is_finite() && from_scale > 0.0 && to_scale > 0.0) {
            return Err(Degenerate);
        }
        let forward = forward / scale;
        let backward = forward.try_inverse().ok_or(Degenerate)?;
        Ok(Self { forward, backward })
    }

    /// Fits the map from the unit square, (0,0) (1,0) (1,1) (0,1), to four corners in that order.
    ///
    /// # Errors
    /// [`Degenerate`] when three corners lie on a line.
    pub fn of_unit_square(corners: &[Point; 4]) -> Result<Self, Degenerate> {
        let unit = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)];
        let pairs: Vec<(Point, Point)> = unit
            .into_iter()
            .zip(corners)
            .map(|((x, y), &c)| (Point::new(x, y), c))
            .collect();
        Self::fit(&pairs)
    }

    /// Maps a point.
    pub fn map(&self, p: Point) -> Point {
        apply(&self.forward, p)
    }

    /// Maps a point the other way.
    pub fn unmap(&self, p: Point) -> Point {
        apply(&self.backward, p)
    }
}

fn apply(m: &Matrix3<f64>, p: Point) -> Point {
    let q = m * Vector3::new(p.x, p.y, 1.0);
    Point::new(q.x / q.z, q.y / q.z)
}

/// Moves points to their centroid and scales them to a mean distance of sqrt 2.
fn normalising(
    points: impl Iterator<Item = Point> + Clone,
) -> Result<(Matrix3<f64>, f64), Degenerate> {
    let n = points.clone().count() as f64;
    let x = points.clone().map(|p| p.x).sum::<f64>() / n;
    let y = points.clone().map(|p| p.y).sum::<f64>() / n;
    let mean = points.map(|p| (p.x - x).hypot(p.y - y)).sum::<f64>() / n;
    if !(mean.is_finite() && mean > 0.0) {
        return Err(Degenerate);
    }
    let s = std::f64::consts::SQRT_2 / mean;
    Ok((
        Matrix3::new(s, 0.0, -s * x, 0.0, s, -s * y, 0.0, 0.0, 1.0),
        s,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn corner(x: f64, y: f64) -> impl Strategy<Value = Point> {
        (-80.0..80.0, -80.0..80.0).prop_map(move |(dx, dy)| Point::new(x + dx, y + dy))
    }

    proptest! {
        #[test]
        fn there_and_back_again_is_where_it_began(
            corners in (corner(100.0, 100.0), corner(500.0, 100.0), corner(500.0, 400.0), corner(100.0, 400.0)),
            u in 0.0..1.0_f64,
            v in 0.0..1.0_f64,
        ) {
            let corners = [corners.0, corners.1, corners.2, corners.3];
            let map = Homography::of_unit_square(&corners).unwrap();
            let there = map.map(Point::new(u, v));
            let back = map.unmap(there);
            prop_assert!((back.x - u).abs() < 1e-8 && (back.y - v).abs() < 1e-8);
            for (unit, &c) in [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)].into_iter().zip(&corners) {
                prop_assert!(map.map(Point::new(unit.0, unit.1)).distance(c) < 1e-7);
            }
        }
    }

    #[test]
    fn many_pairs_of_one_map_give_that_map() {
        let truth = Homography::of_unit_square(&[
            Point::new(10.0, 20.0),
            Point::new(300.0, 5.0),
            Point::new(340.0, 260.0),
            Point::new(-20.0, 240.0),
        ])
        .unwrap();
        let pairs: Vec<(Point, Point)> = (0..20)
            .map(|i| Point::new(f64::from(i % 5), f64::from(i / 5)).scaled(0.3))
            .map(|p| (p, truth.map(p)))
            .collect();
        let fitted = Homography::fit(&pairs).unwrap();
        let p = Point::new(0.77, 0.13);
        assert!(fitted.map(p).distance(truth.map(p)) < 1e-7);
    }

    #[test]
    fn points_on_a_line_fix_nothing() {
        let line: Vec<(Point, Point)> = (0..6)
            .map(|i| Point::new(f64::from(i), 2.0 * f64::from(i)))
            .map(|p| (p, p))
            .collect();
        assert_eq!(Homography::fit(&line), Err(Degenerate));
        assert_eq!(Homography::fit(&line[..3]), Err(Degenerate));
    }
}
