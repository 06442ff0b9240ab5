//! Nonlinear least squares after Levenberg and Marquardt, small and plain.
//!
//! Marquardt 1963 with the scaling by the largest curvature seen so far (More 1978) and the damping
//! of Nielsen 1999 (all from memory); held to NIST's data sets Misra1a and `BoxBOD` from both given
//! starts in `tests/reference_calibration.rs`. Steps are solved as a stacked least-squares problem by
//! QR, so that no normal equations lose digits.

use super::error::CalibrationError;
use nalgebra::{DMatrix, DVector};

/// Most evaluations of the model before the search gives up.
const MOST_EVALUATIONS: usize = 2000;
/// Dampings of the first step, tried in turn: short first steps keep a search near its start where long
/// ones run off to where a parameter has no influence.
const FIRST_DAMPINGS: [f64; 4] = [1e-3, 1.0, 1e2, 1e4];
/// A slope this much shorter than it once was has no influence left.
const LOST: f64 = 1e-9;
/// A step smaller than this share of the parameters ends the search.
const STEP_TOLERANCE: f64 = 1e-13;
/// Residuals this close to right angles with every slope of the model end the search.
const ANGLE_TOLERANCE: f64 = 1e-12;

/// How a search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// The next step was too small to matter.
    SmallStep,
    /// The sum of squares is flat in every direction.
    Flat,
}

/// A curve fitted by least squares.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// The parameters.
    pub parameters: Vec<f64>,
    /// Covariance of the parameters, from the residual variance.
    pub covariance: DMatrix<f64>,
    /// Sum of squared residuals.
    pub residual_ss: f64,
    /// Residuals, observed less modelled, in the order given.
    pub residuals: Vec<f64>,
    /// Observations less parameters.
    pub df: f64,
    /// How the search ended.
    pub ending: Ending,
    /// Evaluations of the model.
    pub evaluations: usize,
}

impl Curve {
    /// Returns the standard deviation of the residuals.
    pub fn residual_sd(&self) -> f64 {
        (self.residual_ss / self.df).sqrt()
    }

    /// Returns the standard error of parameter `i`.
    pub fn sd(&self, i: usize) -> f64 {
        self.covariance[(i, i)].max(0.0).sqrt()
    }
}

/// Fits `model` to observations `(x, y)` from a start.
///
/// `model(parameters, x)` returns the value and its slope for each parameter.
///
/// # Errors
/// [`CalibrationError`] for no more observations than parameters, figures that are not finite, or a
/// search that does not settle.
pub fn fit_curve(
    observations: &[(f64, f64)],
    start: &[f64],
    model: impl Fn(&[f64], f64) -> (f64, Vec<f64>),
) -> Result<Curve, CalibrationError> {
    let (n, p) = (observations.len(), start.len());
    if n <= p {
        return Err(CalibrationError::TooFew {
            what: "readings",
            have: n,
            answer: "this curve with its error",
            need: p + 1,
        });
    }
    let mut ran_off = None;
    for first_damping in FIRST_DAMPINGS {
        let search = Search::run(observations, start, &model, first_damping)?;
        if search.ran_off() {
            ran_off = Some(search.evaluations);
        } else {
            return search.into_curve();
        }
    }
    Err(CalibrationError::NotSettled {
        evaluations: ran_off.unwrap_or(0),
    })
}

/// One search from one start with one damping of its first step.
struct Search {
    here: DVector<f64>,
    misses: DVector<f64>,
    slopes: DMatrix<f64>,
    /// Largest length of each column of slopes met on the way.
    scale: DVector<f64>,
    ending: Ending,
    evaluations: usize,
}

impl Search {
    fn run(
        observations: &[(f64, f64)],
        start: &[f64],
        model: &impl Fn(&[f64], f64) -> (f64, Vec<f64>),
        mut damping: f64,
    ) -> Result<Self, CalibrationError> {
        let p = start.len();
        let mut here = DVector::from_column_slice(start);
        let begin = linearise(observations, &here, model).ok_or(CalibrationError::Figure {
            what: "a start",
            value: start.first().copied().unwrap_or(f64::NAN),
            hint: "",
        })?;
        let (mut misses, mut slopes) = begin;
        let mut scale = DVector::from_element(p, f64::MIN_POSITIVE);
        let (mut factor, mut evaluations) = (2.0, 1);
        let ending = loop {
            for j in 0..p {
                scale[j] = f64::max(scale[j], slopes.column(j).norm());
            }
            if flat(&misses, &slopes) {
                break Ending::Flat;
            }
            if evaluations >= MOST_EVALUATIONS {
                return Err(CalibrationError::NotSettled { evaluations });
            }
            evaluations += 1;
            let ss = misses.norm_squared();
            let step = damped_step(&misses, &slopes, &scale, damping);
            let small = step.as_ref().is_some_and(|step| {
                (0..p).all(|j| step[j].abs() <= STEP_TOLERANCE * (here[j].abs() + STEP_TOLERANCE))
            });
            let better = step.and_then(|step| {
                let there = &here + &step;
                let (m, s) = linearise(observations, &there, model)?;
                let foreseen = ss - (&misses - &slopes * &step).norm_squared();
                let gain = (ss - m.norm_squared()) / foreseen.max(f64::MIN_POSITIVE);
                (m.norm_squared() < ss).then_some((there, m, s, gain))
            });
            if let Some((there, m, s, gain)) = better {
                damping *= f64::max(1.0 / 3.0, 1.0 - (2.0 * gain - 1.0).powi(3));
                factor = 2.0;
                (here, misses, slopes) = (there, m, s);
            } else {
                damping *= factor;
                factor *= 2.0;
            }
            if small {
                break Ending::SmallStep;
            }
        };
        Ok(Self {
            here,
            misses,
            slopes,
            scale,
            ending,
            evaluations,
        })
    }

    /// Tells whether a parameter has lost all its influence: the search ran off to where the model no
    /// longer answers to it.
    fn ran_off(&self) -> bool {
        self.slopes
            .column_iter()
            .zip(self.scale.iter())
            .any(|(slope, most)| slope.norm() < LOST * most)
    }

    fn into_curve(self) -> Result<Curve, CalibrationError> {
        let (n, p) = self.slopes.shape();
        let residual_ss = self.misses.norm_squared();
        let df = (n - p) as f64;
        let spread = spread(&self.slopes).ok_or(CalibrationError::NotSettled {
            evaluations: self.evaluations,
        })?;
        Ok(Curve {
            covariance: spread * (residual_ss / df),
            parameters: self.here.iter().copied().collect(),
            residual_ss,
            residuals: self.misses.iter().copied().collect(),
            df,
            ending: self.ending,
            evaluations: self.evaluations,
        })
    }
}

/// Residuals and slopes of the model; `None` where one is not finite.
fn linearise(
    observations: &[(f64, f64)],
    parameters: &DVector<f64>,
    model: &impl Fn(&[f64], f64) -> (f64, Vec<f64>),
) -> Option<(DVector<f64>, DMatrix<f64>)> {
    let (n, p) = (observations.len(), parameters.len());
    let mut misses = DVector::zeros(n);
    let mut slopes = DMatrix::zeros(n, p);
    for (i, &(x, y)) in observations.iter().enumerate() {
        let (value, gradient) = model(parameters.as_slice(), x);
        misses[i] = y - value;
        for (j, slope) in gradient.iter().enumerate().take(p) {
            slopes[(i, j)] = *slope;
        }
    }
    let fine = misses
        .iter()
        .chain(slopes.iter())
        .all(|v: &f64| v.is_finite());
    fine.then_some((misses, slopes))
}

/// Tells whether no slope has any share in the residuals left.
fn flat(misses: &DVector<f64>, slopes: &DMatrix<f64>) -> bool {
    let size = misses.norm();
    slopes
        .column_iter()
        .all(|s| s.dot(misses).abs() <= ANGLE_TOLERANCE * s.norm() * size)
}

/// Minimises |misses - slopes step|^2 + damping |scale step|^2.
fn damped_step(
    misses: &DVector<f64>,
    slopes: &DMatrix<f64>,
    scale: &DVector<f64>,
    damping: f64,
) -> Option<DVector<f64>> {
    let (n, p) = slopes.shape();
    let mut stacked = DMatrix::zeros(n + p, p);
    stacked.view_mut((0, 0), (n, p)).copy_from(slopes);
    let mut wanted = DVector::zeros(n + p);
    wanted.rows_mut(0, n).copy_from(misses);
    for j in 0..p {
        stacked[(n + j, j)] = damping.sqrt() * scale[j];
    }
    let qr = stacked.qr();
    let right = qr.q().transpose() * wanted;
    let step = qr.r().solve_upper_triangular(&right)?;
    step.iter().all(|v| v.is_finite()).then_some(step)
}

/// Returns the inverse of slopes' slopes, through QR.
fn spread(slopes: &DMatrix<f64>) -> Option<DMatrix<f64>> {
    let p = slopes.ncols();
    // Columns of very different size are brought to one size first.
    let sizes: Vec<f64> = slopes.column_iter().map(|c| c.norm()).collect();
    let mut scaled = slopes.clone();
    for (j, size) in sizes.iter().enumerate() {
        if *size <= 0.0 {
            return None;
        }
        scaled.column_mut(j).scale_mut(1.0 / size);
    }
    let r = scaled.qr().r();
    let inverse = r.solve_upper_triangular(&DMatrix::identity(p, p))?;
    let mut out = &inverse * inverse.transpose();
    for i in 0..p {
        for j in 0..p {
            out[(i, j)] /= sizes[i] * sizes[j];
        }
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_exact_curve_is_found_exactly() {
        let data: Vec<(f64, f64)> = (0..10)
            .map(|i| {
                let x = f64::from(i);
                (x, 3.0 * (-0.4 * x).exp())
            })
            .collect();
        let curve = fit_curve(&data, &[1.0, 1.0], |p, x| {
            let e = (-p[1] * x).exp();
            (p[0] * e, vec![e, -p[0] * x * e])
        })
        .unwrap();
        assert!((curve.parameters[0] - 3.0).abs() < 1e-9);
        assert!((curve.parameters[1] - 0.4).abs() < 1e-9);
        assert!(curve.evaluations < 100);
    }

    #[test]
    fn too_little_and_the_impossible_are_refused() {
        let line = |p: &[f64], x: f64| (p[0] + p[1] * x, vec![1.0, x]);
        assert!(fit_curve(&[(0.0, 1.0), (1.0, 2.0)], &[0.0, 0.0], line).is_err());
        let bad = [(0.0, f64::NAN), (1.0, 2.0), (2.0, 3.0)];
        assert!(fit_curve(&bad, &[0.0, 0.0], line).is_err());
    }
}
