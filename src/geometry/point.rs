//! Points of a plane and the polygons they make.

/// A point of a plane; what its unit is, and which way y points, is its owner's business.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Rightwards.
    pub x: f64,
    /// Downwards in a picture.
    pub y: f64,
}

impl Point {
    /// Makes a point from its coordinates.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Returns the distance to `other`.
    pub fn distance(self, other: Self) -> f64 {
        let (x, y) = (self.x - other.x, self.y - other.y);
        // several times as fast as hypot, whose care for huge and tiny values no length here needs
        (x * x + y * y).sqrt()
    }

    /// Returns the point a share `t` (0..1) of the straight way to `other`.
    #[must_use]
    pub fn towards(self, other: Self, t: f64) -> Self {
        Self::new(
            self.x + (other.x - self.x) * t,
            self.y + (other.y - self.y) * t,
        )
    }

    /// Returns this point with both coordinates multiplied by `factor`.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.y * factor)
    }
}

/// Returns twice the signed area of the triangle `a`, `b`, `c`: positive when they run clockwise on
/// a plane whose y points down.
pub fn cross(a: Point, b: Point, c: Point) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

/// Tells whether four corners, in their order, make a convex quadrilateral with some area.
pub fn is_convex(corners: &[Point; 4]) -> bool {
    let turns: Vec<f64> = (0..4)
        .map(|i| cross(corners[i], corners[(i + 1) % 4], corners[(i + 2) % 4]))
        .collect();
    turns.iter().all(|&t| t > 1e-9) || turns.iter().all(|&t| t < -1e-9)
}

/// Returns the area a polygon encloses.
pub fn area(polygon: &[Point]) -> f64 {
    let n = polygon.len();
    let twice: f64 = (0..n)
        .map(|i| {
            let (a, b) = (polygon[i], polygon[(i + 1) % n]);
            a.x * b.y - b.x * a.y
        })
        .sum();
    twice.abs() / 2.0
}

/// Tells whether `p` lies inside a polygon (even-odd rule).
pub fn contains(polygon: &[Point], p: Point) -> bool {
    let n = polygon.len();
    (0..n)
        .filter(|&i| {
            let (a, b) = (polygon[i], polygon[(i + 1) % n]);
            (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x
        })
        .count()
        % 2
        == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [Point; 4] = [
        Point::new(0.0, 0.0),
        Point::new(4.0, 0.0),
        Point::new(4.0, 4.0),
        Point::new(0.0, 4.0),
    ];

    #[test]
    fn a_square_knows_its_area_and_its_inside() {
        assert!((area(&SQUARE) - 16.0).abs() < 1e-12);
        assert!(contains(&SQUARE, Point::new(1.0, 3.9)));
        assert!(!contains(&SQUARE, Point::new(-0.1, 2.0)));
        assert!(!contains(&SQUARE, Point::new(2.0, 4.1)));
    }

    #[test]
    fn crossed_and_flat_corners_are_not_convex() {
        assert!(is_convex(&SQUARE));
        let [a, b, c, d] = SQUARE;
        assert!(is_convex(&[d, c, b, a]));
        assert!(!is_convex(&[a, c, b, d]));
        assert!(!is_convex(&[a, b, b, d]));
        assert!(!is_convex(&[a, b, Point::new(0.5, 0.5), d]));
    }
}
