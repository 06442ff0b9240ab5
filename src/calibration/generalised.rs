//! A line through points that instruments with errors of their own told, by generalised least squares.
//!
//! One instrument's error is alike in all its points: it moves a line up or down, and where different ones read at
//! different places it tilts it (Aitken 1935; `tests/reference_calibration.rs` holds it to scipy).

use super::{
    error::{CalibrationError, finite},
    estimate::Estimate,
    line::{Line, weight_of},
};
use crate::numeric::linear::Factor;
use nalgebra::{DMatrix, DVector, Matrix2};

/// A point whose value was told by instruments with errors of their own.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Where.
    pub x: f64,
    /// What was observed there, and the uncertainty that no other point shares.
    pub y: Estimate,
    /// Instruments behind it by their number, each with the standard uncertainty it brings: the share it has in this
    /// point times its own. One instrument's errors are alike in all points.
    pub shared: Vec<(usize, f64)>,
}

impl Line {
    /// Fits a line through points by generalised least squares (Aitken 1935), its intercept taken at `origin`.
    ///
    /// The points' covariance is their own scatter and what instruments share among them, so the line carries
    /// everything. Its degrees of freedom at a place are Welch and Satterthwaite's over the points' parts (GUM, G.4.1).
    /// Points that lie farther from the line than all this allows widen their scatter (Birge 1932, from memory).
    ///
    /// # Errors
    /// [`CalibrationError`] for fewer than two points, points at one x, or figures that cannot be.
    pub fn through(points: &[Told], origin: f64) -> Result<Self, CalibrationError> {
        const NEED: usize = 2;
        if points.len() < NEED {
            return Err(CalibrationError::TooFew {
                what: "points",
                have: points.len(),
                answer: "a line with its error",
                need: NEED,
            });
        }
        finite("an origin", origin)?;
        for p in points {
            finite("an x", p.x)?;
            finite("a y", p.y.value)?;
            weight_of(p.y.sd)?;
        }
        let spare = points.len() as f64 - 2.0;
        let mut fit = Generalised::new(points, origin, 1.0)?;
        let scatter = if spare > 0.0 { fit.misfit / spare } else { 0.0 };
        let excess = scatter.max(1.0);
        if excess > 1.0 {
            fit = Generalised::new(points, origin, excess)?;
        }
        let (a, ab, b) = (fit.covariance[0], fit.covariance[1], fit.covariance[3]);
        let mean = points.iter().map(|p| p.y.value).sum::<f64>() / points.len() as f64;
        let (mut left, mut all) = (0.0, 0.0);
        let mut range = (f64::INFINITY, f64::NEG_INFINITY);
        for p in points {
            left += (p.y.value - fit.line.0 - fit.line.1 * (p.x - origin)).powi(2);
            all += (p.y.value - mean).powi(2);
            range = (range.0.min(p.x), range.1.max(p.x));
        }
        let mut line = Self {
            origin,
            intercept: fit.line.0,
            slope: fit.line.1,
            covariance: (a, ab, b),
            residual_sd: scatter.sqrt(),
            df: f64::INFINITY,
            points: points.len(),
            r_squared: if all > 0.0 { 1.0 - left / all } else { 1.0 },
            range,
            spare: Some(fit.spare(points, excess, spare)),
        };
        line.df = line.df_at(0.0);
        Ok(line)
    }
}

/// A line by generalised least squares, and what every point has in it.
struct Generalised {
    /// Intercept and slope.
    line: (f64, f64),
    covariance: Matrix2<f64>,
    /// What a point's value adds to intercept and slope.
    gains: Vec<(f64, f64)>,
    /// Residuals in standard deviations, squared and summed.
    misfit: f64,
}

impl Generalised {
    fn new(points: &[Told], origin: f64, excess: f64) -> Result<Self, CalibrationError> {
        let n = points.len();
        let covariance = DMatrix::from_fn(n, n, |i, j| {
            let own = if i == j {
                excess * points[i].y.sd.powi(2)
            } else {
                0.0
            };
            let (a, b) = (&points[i].shared, &points[j].shared);
            let common: f64 = a
                .iter()
                .flat_map(|(who, sd)| {
                    b.iter()
                        .filter(move |(other, _)| other == who)
                        .map(move |(_, other_sd)| sd * other_sd)
                })
                .sum();
            own + common
        });
        let one_place = |_why| CalibrationError::OnePlace(points[0].x);
        let factor = Factor::new(covariance).map_err(one_place)?;
        let design = DMatrix::from_fn(n, 2, |i, k| if k == 0 { 1.0 } else { points[i].x - origin });
        let y = DVector::from_iterator(n, points.iter().map(|p| p.y.value));
        let weighted = factor.cholesky.solve(&design);
        let normal = design.tr_mul(&weighted);
        let normal = Matrix2::new(
            normal[(0, 0)],
            normal[(0, 1)],
            normal[(1, 0)],
            normal[(1, 1)],
        );
        // Points at one x leave no slope, but for rounding.
        let singular = normal.determinant() <= 1e-12 * normal[(0, 0)] * normal[(1, 1)];
        let covariance = normal
            .try_inverse()
            .filter(|_| !singular)
            .ok_or(CalibrationError::OnePlace(points[0].x))?;
        let gains: Vec<(f64, f64)> = (0..n)
            .map(|i| {
                let (w0, w1) = (weighted[(i, 0)], weighted[(i, 1)]);
                (
                    covariance[(0, 0)] * w0 + covariance[(0, 1)] * w1,
                    covariance[(1, 0)] * w0 + covariance[(1, 1)] * w1,
                )
            })
            .collect();
        let line = gains
            .iter()
            .zip(&y)
            .fold((0.0, 0.0), |sum, (g, y)| (sum.0 + g.0 * y, sum.1 + g.1 * y));
        let misses = DVector::from_fn(n, |i, _| y[i] - line.0 - line.1 * design[(i, 1)]);
        Ok(Self {
            line,
            covariance,
            gains,
            misfit: misses.dot(&factor.cholesky.solve(&misses)),
        })
    }

    /// Sum over the points' parts of variance^2 / df, by powers of the distance from the origin.
    ///
    /// The part of the scatter that only the misfit shows is known as well as the misfit is, by `left` degrees of freedom.
    fn spare(&self, points: &[Told], excess: f64, left: f64) -> [f64; 5] {
        let mut sum = [0.0; 5];
        let mut scatter = [0.0; 3];
        for (p, &(a, b)) in points.iter().zip(&self.gains) {
            let variance = p.y.sd.powi(2);
            let powers = [a * a, 2.0 * a * b, b * b];
            add_square(&mut sum, powers, variance * variance / p.y.df);
            for (total, power) in scatter.iter_mut().zip(powers) {
                *total += variance * power;
            }
        }
        if excess > 1.0 {
            add_square(&mut sum, scatter, (excess - 1.0).powi(2) / left);
        }
        sum
    }
}

/// Adds the square of a polynomial of the second degree, times a factor.
fn add_square(sum: &mut [f64; 5], of: [f64; 3], factor: f64) {
    for (i, a) in of.iter().enumerate() {
        for (j, b) in of.iter().enumerate() {
            sum[i + j] += factor * a * b;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calibration::Point;

    fn told(x: f64, value: f64, sd: f64, df: f64, shared: &[(usize, f64)]) -> Told {
        Told {
            x,
            y: Estimate { value, sd, df },
            shared: shared.to_vec(),
        }
    }

    #[test]
    fn one_instrument_for_all_points_is_added_and_moves_nothing() {
        let inf = f64::INFINITY;
        let list = [
            (150.0, 146.0, 0.4),
            (175.0, 169.5, 0.8),
            (200.0, 193.2, 0.5),
        ];
        let plain: Vec<Point> = list
            .iter()
            .map(|&(x, y, sd)| Point { x, y, sd: Some(sd) })
            .collect();
        let shared: Vec<Told> = list
            .iter()
            .map(|&(x, y, sd)| told(x, y, sd, inf, &[(0, 2.0)]))
            .collect();
        let (a, b) = (
            Line::fit(&plain, 175.0).unwrap(),
            Line::through(&shared, 175.0).unwrap(),
        );
        assert!((a.slope - b.slope).abs() < 1e-10);
        for x in [120.0, 175.0, 230.0] {
            let (a, b) = (a.at(x).with_type_b(2.0), b.at(x));
            assert!((a.value - b.value).abs() < 1e-9 && (a.sd - b.sd).abs() < 1e-9);
            assert!(b.df.is_infinite());
        }
        // The x that is wanted lies in the interval drawn round the line, the instrument's error in it.
        let (alone, both) = (
            a.inverse(180.0, 0.9).unwrap(),
            b.inverse(180.0, 0.9).unwrap(),
        );
        assert!((alone.0 - both.0).abs() < 1e-9);
        assert!(both.1 < alone.1 && both.2 > alone.2, "{alone:?} {both:?}");
        for (end, upper) in [(both.1, true), (both.2, false)] {
            let (low, high) = a.at(end).with_type_b(2.0).interval(0.9);
            let edge = if upper { high } else { low };
            assert!((edge - 180.0).abs() < 1e-6, "{end}: {low} to {high}");
        }
    }

    /// By hand: two points define the line, and beyond them it is -1.25 of one and 2.25 of the other.
    #[test]
    fn another_instrument_for_each_point_tilts_the_line() {
        let u = 6.0 / 3.0_f64.sqrt();
        let inf = f64::INFINITY;
        let two = [
            told(180.0, 175.0, 0.1, inf, &[(0, u)]),
            told(200.0, 195.0, 0.1, inf, &[(1, u)]),
        ];
        let line = Line::through(&two, 190.0).unwrap();
        let wanted = (1.25_f64.powi(2) + 2.25_f64.powi(2)).sqrt() * u.hypot(0.1);
        assert!(
            (line.at(225.0).sd - wanted).abs() < 1e-9,
            "{:?}",
            line.at(225.0)
        );
        // A vague instrument that agrees makes a sure one no worse.
        let sure = [
            told(180.0, 178.0, 0.2, inf, &[(0, 0.3)]),
            told(200.0, 198.0, 0.2, inf, &[(0, 0.3)]),
        ];
        let mut more = sure.to_vec();
        more[0].shared = vec![(0, 0.3 * 0.996), (1, 4.6 * 0.004)];
        let (a, b) = (
            Line::through(&sure, 190.0).unwrap(),
            Line::through(&more, 190.0).unwrap(),
        );
        assert!(b.at(185.0).sd < 1.05 * a.at(185.0).sd);
    }

    /// Two settings, each by the scatter of three cycle means: the normal would cover 77 to 85 % here.
    #[test]
    fn few_cycles_behind_each_point_are_counted() {
        use crate::numeric::random::Stream;
        const TRIALS: u32 = 4000;
        let mut s = Stream::new(1);
        let mut inside = [0, 0, 0];
        let places = [150.0, 175.0, 210.0];
        for _ in 0..TRIALS {
            let points: Vec<Told> = [150.0, 200.0]
                .iter()
                .map(|&x| {
                    let cycles = [s.normal(), s.normal(), s.normal()];
                    let mean = cycles.iter().sum::<f64>() / 3.0;
                    let ss: f64 = cycles.iter().map(|c| (c - mean).powi(2)).sum();
                    told(x, x + mean, (ss / 6.0).sqrt().max(1e-6), 2.0, &[])
                })
                .collect();
            let line = Line::through(&points, 175.0).unwrap();
            for (count, x) in inside.iter_mut().zip(places) {
                let (lo, hi) = line.at(x).interval(0.9);
                *count += u32::from(lo <= x && x <= hi);
            }
        }
        for (count, x) in inside.iter().zip(places) {
            let share = f64::from(*count) / f64::from(TRIALS);
            assert!((0.885..=0.97).contains(&share), "{share} at {x}");
        }
    }

    #[test]
    fn points_that_contradict_their_errors_widen_them_without_a_jump() {
        let half = |bend: f64| {
            let list: Vec<Told> = [(0.0, 0.0), (1.0, bend), (2.0, 0.0)]
                .iter()
                .map(|&(x, y)| told(x, y, 1.0, 10.0, &[]))
                .collect();
            let (lo, hi) = Line::through(&list, 1.0).unwrap().at(1.0).interval(0.9);
            0.5 * (hi - lo)
        };
        let mut before = half(0.0);
        for i in 1..=500 {
            let now = half(0.01 * f64::from(i));
            assert!(
                now > 0.999 * before && now < 1.03 * before,
                "{i}: {before} {now}"
            );
            before = now;
        }
        assert!(before > 2.0 * half(0.0));
    }

    #[test]
    fn what_gives_no_line_is_refused() {
        let inf = f64::INFINITY;
        let one = told(1.0, 2.0, 0.1, inf, &[]);
        assert!(Line::through(std::slice::from_ref(&one), 0.0).is_err());
        assert!(matches!(
            Line::through(&[one.clone(), told(1.0, 3.0, 0.1, inf, &[])], 0.0),
            Err(CalibrationError::OnePlace(_))
        ));
        assert!(Line::through(&[one, told(2.0, 3.0, 0.0, inf, &[])], 0.0).is_err());
    }
}
