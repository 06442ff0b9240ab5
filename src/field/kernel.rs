//! Matern 5/2 covariance in one direction, for points and for averages over an extent.
//!
//! k(d) = (1 + a + a^2/3) exp(-a), a = sqrt(5) |d| / l (Rasmussen and Williams 2006, eq. 4.17).
//! A slice observes the mean over its area. With a product kernel k(dx) k(dy) that mean is a
//! product of one-dimensional means, which have closed forms from the first two antiderivatives:
//!   I(d) = l/sqrt5 [8 - exp(-a)(a^2 + 5a + 8)] / 3
//!   J(d) = l/sqrt5 (8/3) d - (l/sqrt5)^2 [15 - exp(-a)(a^2 + 7a + 15)] / 3   (d >= 0)
//! checked against numerical quadrature in the tests below.

const SQRT_5: f64 = 2.236_067_977_499_79;
/// Below this share of the length scale an extent counts as a point: the difference is under
/// (extent / l)^2 / 7, and the closed form would lose its digits to cancellation.
const POINT: f64 = 1e-4;

/// An interval on one axis: its middle and its extent (0 for a point), cm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// The middle.
    pub middle: f64,
    /// The length; 0 for a point.
    pub length: f64,
}

impl Extent {
    pub const fn new(middle: f64, length: f64) -> Self {
        Self { middle, length }
    }
}

/// Matern 5/2 with one length scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Matern52 {
    /// sqrt(5) / l.
    rate: f64,
}

impl Matern52 {
    /// Makes the kernel with length scale `l` > 0, in the unit of the distances.
    pub fn new(l: f64) -> Self {
        Self { rate: SQRT_5 / l }
    }

    /// Returns the correlation at distance `d`.
    pub fn at(self, d: f64) -> f64 {
        let a = d.abs() * self.rate;
        (1.0 + a + a * a / 3.0) * (-a).exp()
    }

    /// Returns the derivative of [`Matern52::at`] by `d`.
    pub fn slope(self, d: f64) -> f64 {
        let a = d.abs() * self.rate;
        -d * self.rate * self.rate / 3.0 * (1.0 + a) * (-a).exp()
    }

    /// Returns the mean correlation of every point of one extent with every point of the other.
    pub fn mean(self, p: Extent, q: Extent) -> f64 {
        let d = p.middle - q.middle;
        match (self.is_point(p), self.is_point(q)) {
            (true, true) => self.at(d),
            (true, false) => self.mean_from_point(d, q.length),
            (false, true) => self.mean_from_point(d, p.length),
            (false, false) => {
                let (far, near) = (
                    f64::midpoint(p.length, q.length),
                    (p.length - q.length) / 2.0,
                );
                (self.second(d + far) - self.second(d + near) - self.second(d - near)
                    + self.second(d - far))
                    / (p.length * q.length)
            }
        }
    }

    /// Returns the derivative of [`Matern52::mean`] by the middle of a point `at` against `q`.
    pub fn mean_slope(self, at: f64, q: Extent) -> f64 {
        let d = at - q.middle;
        if self.is_point(q) {
            self.slope(d)
        } else {
            (self.at(d + q.length / 2.0) - self.at(d - q.length / 2.0)) / q.length
        }
    }

    fn is_point(self, e: Extent) -> bool {
        e.length * self.rate < POINT * SQRT_5
    }

    fn mean_from_point(self, d: f64, length: f64) -> f64 {
        (self.first(d + length / 2.0) - self.first(d - length / 2.0)) / length
    }

    /// Antiderivative of [`Matern52::at`]; odd.
    fn first(self, d: f64) -> f64 {
        let a = d.abs() * self.rate;
        let whole = (8.0 - (-a).exp() * (a * a + 5.0 * a + 8.0)) / (3.0 * self.rate);
        whole.copysign(d)
    }

    /// Antiderivative of [`Matern52::first`]; even.
    fn second(self, d: f64) -> f64 {
        let a = d.abs() * self.rate;
        (8.0 * a - 15.0 + (-a).exp() * (a * a + 7.0 * a + 15.0)) / (3.0 * self.rate * self.rate)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn simpson(f: impl Fn(f64) -> f64, from: f64, to: f64) -> f64 {
        let n = 400;
        let h = (to - from) / f64::from(n);
        (0..=n)
            .map(|i| {
                let w = if i == 0 || i == n {
                    1.0
                } else if i % 2 == 1 {
                    4.0
                } else {
                    2.0
                };
                w * f(from + h * f64::from(i))
            })
            .sum::<f64>()
            * h
            / 3.0
    }

    proptest! {
        #[test]
        fn means_over_extents_agree_with_quadrature(
            l in 5.0..60.0_f64, d in -40.0..40.0_f64, w in 2.0..14.0_f64, v in 2.0..50.0_f64,
        ) {
            let k = Matern52::new(l);
            let (p, q) = (Extent { middle: d, length: w }, Extent { middle: 0.0, length: v });
            let inner = |x: f64| simpson(|y| k.at(x - y), -v / 2.0, v / 2.0) / v;
            let outer = simpson(inner, d - w / 2.0, d + w / 2.0) / w;
            prop_assert!((k.mean(p, q) - outer).abs() < 1e-6);
            let point = Extent { middle: d, length: 0.0 };
            prop_assert!((k.mean(point, q) - inner(d)).abs() < 1e-6);
            prop_assert!((k.mean(p, q) - k.mean(q, p)).abs() < 1e-12);
        }

        #[test]
        fn slopes_agree_with_finite_differences(l in 5.0..60.0_f64, d in -40.0..40.0_f64, w in 0.0..14.0_f64) {
            let k = Matern52::new(l);
            let q = Extent { middle: 1.0, length: if w < 2.0 { 0.0 } else { w } };
            let h = 1e-4;
            let at = |x: f64| k.mean(Extent { middle: x, length: 0.0 }, q);
            let numeric = (at(d + h) - at(d - h)) / (2.0 * h);
            prop_assert!((k.mean_slope(d, q) - numeric).abs() < 1e-7);
        }
    }

    #[test]
    fn a_tiny_extent_is_a_point() {
        let k = Matern52::new(20.0);
        let tiny = Extent::new(3.0, 1e-5);
        let small = Extent::new(3.0, 0.01);
        let origin = Extent::new(0.0, 0.0);
        assert!((k.mean(tiny, origin) - k.at(3.0)).abs() < 1e-12);
        assert!((k.mean(small, small) - 1.0).abs() < 1e-6);
    }
}
