//! A straight line by least squares, with everything needed to say how sure it is.
//!
//! y = intercept + slope (x - origin) by (weighted) least squares, covariance and prediction as in
//! JCGM 100:2008 (GUM), example H.3, whose figures `tests/reference_calibration.rs` holds it to, with
//! NIST's data set Norris for its digits. Sums are taken about the weighted means, which keeps the
//! digits when x lies far from 0. Inverse prediction turns the line's own interval round, as Fieller's theorem
//! does (Fieller 1954, from memory); `tests/reference_calibration.rs` holds it to a published example.

use super::{error::CalibrationError, estimate::Estimate};
use crate::numeric::student;
use std::ops::RangeInclusive;

/// A point of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Where.
    pub x: f64,
    /// What was observed there.
    pub y: f64,
    /// Standard uncertainty of `y` where it is known; all points have one, or none has.
    pub sd: Option<f64>,
}

/// Sizes of figures that a line is fitted to: far beyond what is measured, and far from where squares of them and
/// their differences lose all digits.
const SIZES: RangeInclusive<f64> = 1e-12..=1e12;
const SIZES_HINT: &str = " that is 0 or from 1e-12 to 1e12 in size";
/// Points whose xs differ by less than this share of the largest lie at one place.
const LEAST_SPREAD: f64 = 1e-9;

/// A fitted straight line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// The x at which the intercept is taken.
    pub origin: f64,
    /// y at the origin.
    pub intercept: f64,
    /// Change of y for each unit of x.
    pub slope: f64,
    /// Variance of the intercept, their covariance, variance of the slope.
    pub covariance: (f64, f64, f64),
    /// Standard deviation of the points about the line; of unit weight where errors were given.
    pub residual_sd: f64,
    /// Degrees of freedom: points less two; infinite where the errors given explain the scatter. Where they were
    /// estimated themselves, those of the line at its origin.
    pub df: f64,
    /// How many points.
    pub points: usize,
    /// Share of the variance of y that the line explains, 0..1.
    pub r_squared: f64,
    /// Lowest and highest x seen.
    pub range: (f64, f64),
    /// Sum of squared variances over degrees of freedom as a polynomial of the distance from the origin, lowest power
    /// first, where the points' errors were estimated.
    pub(super) spare: Option<[f64; 5]>,
}

impl Line {
    /// Fits a line through points, its intercept taken at `origin`.
    ///
    /// Without errors the scatter about the line gives them; with errors they are believed, and
    /// widened where the points scatter more than they allow (Birge 1932, from memory).
    ///
    /// # Errors
    /// [`CalibrationError`] for fewer than three points (two where errors are given), points at one x,
    /// or figures that cannot be.
    pub fn fit(points: &[Point], origin: f64) -> Result<Self, CalibrationError> {
        let known = !points.is_empty() && points.iter().all(|p| p.sd.is_some());
        let need = if known { 2 } else { 3 };
        if points.len() < need {
            return Err(CalibrationError::TooFew {
                what: "points",
                have: points.len(),
                answer: "a line with its error",
                need,
            });
        }
        fit_for("an origin", origin)?;
        let mut sums = Sums::default();
        for p in points {
            fit_for("an x", p.x)?;
            fit_for("a y", p.y)?;
            sums.add_weight(p, weight(p, known)?);
        }
        let (mean_x, mean_y) = (sums.wx / sums.w, sums.wy / sums.w);
        let (mut sxx, mut sxy, mut syy) = (0.0, 0.0, 0.0);
        for p in points {
            let w = weight(p, known)?;
            let (dx, dy) = (p.x - mean_x, p.y - mean_y);
            sxx += w * dx * dx;
            sxy += w * dx * dy;
            syy += w * dy * dy;
        }
        let largest = sums.range.0.abs().max(sums.range.1.abs());
        if sxx.is_nan() || (sxx / sums.w).sqrt() <= LEAST_SPREAD * largest {
            return Err(CalibrationError::OnePlace(mean_x));
        }
        let slope = sxy / sxx;
        let rss: f64 = points.iter().try_fold(0.0, |sum, p| {
            let miss = (p.y - mean_y) - slope * (p.x - mean_x);
            Ok(sum + weight(p, known)? * miss * miss)
        })?;
        let spare = points.len() as f64 - 2.0;
        let scatter = if spare > 0.0 { rss / spare } else { 0.0 };
        let (scale, df) = if known && scatter <= 1.0 {
            (1.0, f64::INFINITY)
        } else {
            (scatter, spare)
        };
        let away = origin - mean_x;
        let var_slope = scale / sxx;
        Ok(Self {
            origin,
            intercept: mean_y + slope * away,
            slope,
            covariance: (
                scale / sums.w + away * away * var_slope,
                away * var_slope,
                var_slope,
            ),
            residual_sd: scatter.sqrt(),
            df,
            points: points.len(),
            r_squared: if syy > 0.0 { 1.0 - rss / syy } else { 1.0 },
            range: sums.range,
            spare: None,
        })
    }

    /// Degrees of freedom of the line at a distance from its origin.
    pub(super) fn df_at(&self, away: f64) -> f64 {
        let Some(spare) = self.spare else {
            return self.df;
        };
        let (a, ab, b) = self.covariance;
        let variance = a + 2.0 * away * ab + away * away * b;
        let sum = spare.iter().rev().fold(0.0, |sum, c| sum * away + c);
        if sum > 0.0 {
            variance * variance / sum
        } else {
            f64::INFINITY
        }
    }

    /// Degrees of freedom of the slope: those of the line far away.
    fn slope_df(&self) -> f64 {
        match self.spare {
            None => self.df,
            Some(spare) if spare[4] > 0.0 => self.covariance.2.powi(2) / spare[4],
            Some(_) => f64::INFINITY,
        }
    }

    /// Returns the intercept's and the slope's standard uncertainty.
    pub fn sds(&self) -> (f64, f64) {
        (self.covariance.0.sqrt(), self.covariance.2.sqrt())
    }

    /// Returns the correlation of intercept and slope, -1..1; `None` where the points lie on the line to the last
    /// digit, so that neither has an error.
    pub fn correlation(&self) -> Option<f64> {
        let (a, ab, b) = self.covariance;
        (a > 0.0 && b > 0.0).then(|| (ab / a.sqrt() / b.sqrt()).clamp(-1.0, 1.0))
    }

    /// Returns the line at `x`, with the uncertainty of the line itself and not of a new point.
    pub fn at(&self, x: f64) -> Estimate {
        let away = x - self.origin;
        let (a, ab, b) = self.covariance;
        Estimate {
            value: self.intercept + self.slope * away,
            sd: (a + 2.0 * away * ab + away * away * b).max(0.0).sqrt(),
            df: self.df_at(away),
        }
    }

    /// Returns the x at which the line reaches `y`, with its interval of `level`: from there to there `y` lies
    /// within the interval of [`Self::at`].
    ///
    /// It is the interval of the line, which is a long mean, and not of what one more point would show.
    /// Where the points share no error it is Fieller's. `None` where the slope cannot be told from nothing, so that there is no
    /// such interval.
    pub fn inverse(&self, y: f64, level: f64) -> Option<(f64, f64, f64)> {
        const STEPS: u32 = 60;
        const WIDER: f64 = 1.3;
        let t = student::half_width(level, self.slope_df());
        // Far away the line's own error governs, so both ends exist where this is above 0.
        let apart = self.slope * self.slope - t * t * self.covariance.2;
        if apart.is_nan() || apart <= 0.0 {
            return None;
        }
        let x = self.origin + (y - self.intercept) / self.slope;
        let outside = |at: f64| {
            let (lo, hi) = self.at(at).interval(level);
            y < lo || y > hi
        };
        let here = self.at(x);
        let reach = student::half_width(level, here.df) * here.sd / self.slope.abs();
        let edge = |side: f64| {
            let (mut near, mut far) = (x, x + side * reach);
            for _ in 0..STEPS {
                if outside(far) {
                    break;
                }
                (near, far) = (far, x + (far - x) * WIDER);
            }
            for _ in 0..STEPS {
                let middle = 0.5 * (near + far);
                if outside(middle) {
                    far = middle;
                } else {
                    near = middle;
                }
            }
            near
        };
        Some((x, edge(-1.0), edge(1.0)))
    }
}

struct Sums {
    w: f64,
    wx: f64,
    wy: f64,
    range: (f64, f64),
}

impl Default for Sums {
    fn default() -> Self {
        Self {
            w: 0.0,
            wx: 0.0,
            wy: 0.0,
            range: (f64::INFINITY, f64::NEG_INFINITY),
        }
    }
}

impl Sums {
    fn add_weight(&mut self, p: &Point, w: f64) {
        self.w += w;
        self.wx += w * p.x;
        self.wy += w * p.y;
        self.range = (self.range.0.min(p.x), self.range.1.max(p.x));
    }
}

/// Checks that a figure is one that sums of squares can carry.
fn fit_for(what: &'static str, value: f64) -> Result<f64, CalibrationError> {
    if value == 0.0 || SIZES.contains(&value.abs()) {
        Ok(value)
    } else {
        Err(CalibrationError::Figure {
            what,
            value,
            hint: SIZES_HINT,
        })
    }
}

fn weight(p: &Point, known: bool) -> Result<f64, CalibrationError> {
    match p.sd.filter(|_| known) {
        None => Ok(1.0),
        Some(sd) => weight_of(sd),
    }
}

pub(super) fn weight_of(sd: f64) -> Result<f64, CalibrationError> {
    if SIZES.contains(&sd) {
        Ok(1.0 / (sd * sd))
    } else {
        Err(CalibrationError::Figure {
            what: "a standard error",
            value: sd,
            hint: " above 0, from 1e-12 to 1e12",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(list: &[(f64, f64)]) -> Vec<Point> {
        list.iter()
            .map(|&(x, y)| Point { x, y, sd: None })
            .collect()
    }

    #[test]
    fn the_origin_moves_the_intercept_and_nothing_else() {
        let list = points(&[(1.0, 2.1), (2.0, 3.9), (3.0, 6.2), (4.0, 7.8)]);
        let (a, b) = (
            Line::fit(&list, 0.0).unwrap(),
            Line::fit(&list, 2.5).unwrap(),
        );
        assert!((a.slope - b.slope).abs() < 1e-14);
        for x in [0.0, 2.5, 9.0] {
            let (a, b) = (a.at(x), b.at(x));
            assert!((a.value - b.value).abs() < 1e-12 && (a.sd - b.sd).abs() < 1e-12);
        }
        assert!(
            b.correlation().unwrap().abs() < 1e-12,
            "at the middle they are independent"
        );
    }

    #[test]
    fn the_inverse_reaches_what_the_line_gives_and_encloses_it() {
        let list = points(&[
            (300.0, 288.0),
            (350.0, 336.0),
            (400.0, 386.5),
            (450.0, 433.0),
        ]);
        let line = Line::fit(&list, 350.0).unwrap();
        let (x, lo, hi) = line.inverse(350.0, 0.9).unwrap();
        assert!((line.at(x).value - 350.0).abs() < 1e-9);
        assert!(lo < x && x < hi, "{lo} {x} {hi}");
        // At its ends the wanted value lies on the edge of the line's own interval.
        for end in [lo, hi] {
            let there = line.at(end);
            let reach = student::half_width(0.9, line.df) * there.sd;
            assert!(((there.value - 350.0).abs() - reach).abs() < 1e-6);
        }
    }

    #[test]
    fn a_slope_that_may_be_nothing_has_no_inverse() {
        let flat = points(&[(1.0, 2.0), (2.0, 2.4), (3.0, 1.9), (4.0, 2.2)]);
        let line = Line::fit(&flat, 0.0).unwrap();
        assert_eq!(line.inverse(2.1, 0.9), None);
    }

    #[test]
    fn known_errors_are_believed_until_the_points_contradict_them() {
        let at = |x, y, sd| Point { x, y, sd: Some(sd) };
        let calm = [at(0.0, 0.0, 1.0), at(1.0, 1.1, 1.0), at(2.0, 1.9, 1.0)];
        let line = Line::fit(&calm, 0.0).unwrap();
        assert!(line.df.is_infinite() && (line.sds().1 - 0.5_f64.sqrt()).abs() < 1e-12);
        let wild = [at(0.0, 0.0, 0.1), at(1.0, 4.0, 0.1), at(2.0, 2.0, 0.1)];
        let line = Line::fit(&wild, 0.0).unwrap();
        assert!((line.df - 1.0).abs() < 1e-12 && line.sds().1 > 1.0);
    }

    #[test]
    fn what_gives_no_line_is_refused() {
        assert!(Line::fit(&points(&[(1.0, 2.0), (2.0, 3.0)]), 0.0).is_err());
        assert!(matches!(
            Line::fit(&points(&[(1.0, 2.0), (1.0, 3.0), (1.0, 4.0)]), 0.0),
            Err(CalibrationError::OnePlace(_))
        ));
        assert!(Line::fit(&points(&[(1.0, f64::NAN), (2.0, 3.0), (3.0, 4.0)]), 0.0).is_err());
        let none = [
            Point {
                x: 0.0,
                y: 0.0,
                sd: Some(0.0),
            },
            Point {
                x: 1.0,
                y: 0.0,
                sd: Some(0.1),
            },
        ];
        assert!(Line::fit(&none, 0.0).is_err());
    }
}
