//! The dose curve of a kind of bake, refitted from what came out of the oven.
//!
//! A piece pulled at `t` has browned `c` times the sum over its places of rate x (E(end) - E(begin)), E the
//! minutes at full rate of [`Dose`]. The factor `c` of each bake is free, so only the *course* of the browning
//! teaches: pieces pulled at different times, or turned at a time other than the rest. Two factors are
//! estimated, one on everything before the surface browns (rise and plateau), one on the approach to its final
//! heat, by least squares with a normal prior on their logarithms around the default curve (ridge on a
//! nonlinear model, Gauss-Newton with halved steps; `c` is projected out as in Golub and Pereyra 1973, from
//! memory). Intervals come from the curvature at the optimum, widened where the pieces scatter more than
//! their stated errors. The tests hold them to curves drawn by a generator of their own.

use super::{
    door::DoorModel,
    dose::{Dose, Heat},
};
use crate::{
    model::DoseCurve,
    numeric::{linear::Factor, normal::Z90},
    units::Minutes,
};
use nalgebra::{DMatrix, DVector};

/// Prior standard deviation of the logarithm of either factor: the earlier curve that plans are also
/// shown for lies about one of it below the default (an assumption, no source).
const PRIOR_SD: f64 = 0.4;
/// Either factor stays within e^-1.5 to e^1.5: beyond it is another kind of bake.
const MOST: f64 = 1.5;
/// Steps after which the search is given up.
const STEPS: usize = 30;
/// A step in the logarithms smaller than this ends the search.
const CLOSE: f64 = 1e-6;
/// Share of the prior's variance that the bakes must have removed before their curve is used.
const ENOUGH: f64 = 0.5;

/// A stretch of time in one place of the oven.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// When it began, minutes with the door shut.
    pub from: Minutes,
    /// When it ended.
    pub to: Minutes,
    /// Browning rate there, in any unit that all pieces of the bake share.
    pub rate: f64,
}

/// What one piece tells.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    /// Which bake, from 0.
    pub bake: usize,
    /// Where it was and when, until it was pulled.
    pub stretches: Vec<Stretch>,
    /// Its browning B.
    pub browning: f64,
    /// Standard error of `browning`, of the map at its places included.
    pub sd: f64,
}

/// A figure with its 90 % interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// The estimate.
    pub value: f64,
    /// Lower end.
    pub lo: f64,
    /// Upper end.
    pub hi: f64,
}

/// The curve that the bakes tell.
#[derive(Debug, Clone, PartialEq)]
pub struct Refit {
    /// The refitted curve.
    pub curve: DoseCurve,
    /// Factor on rise and plateau.
    pub warming: Figure,
    /// Factor on the approach.
    pub approach: Figure,
    /// Share of the bake's time at which half of the browning is done.
    pub half: Figure,
    /// The same of the default curve, with its prior's interval.
    pub half_before: Figure,
    /// Share of the prior's variance of `half` that the bakes removed, 0..1.
    pub learned: f64,
    /// Root mean square of the residuals in their stated errors; near 1 when all is as assumed.
    pub scatter: f64,
    /// Gauss-Newton steps taken; `converged` tells whether that was enough.
    pub steps: usize,
    /// Whether the search ended by itself.
    pub converged: bool,
}

impl Refit {
    /// Tells whether the bakes weigh at least as much as the default does.
    pub fn is_enough(&self) -> bool {
        self.converged && self.learned >= ENOUGH
    }
}

/// Why no curve can be refitted.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RefitError {
    /// Too few pieces, or no bake with two of them.
    #[error(
        "{0} scored pieces tell nothing of when it browns; score at least three of one bake, pulled at different times"
    )]
    TooFew(usize),
    /// A figure that is none.
    #[error("piece {0} has a browning, an error or a time that cannot be; score it again")]
    Figure(usize),
    /// Nothing browns.
    #[error("nothing browns in this time at this temperature; check the recipe of the bakes")]
    NoBrowning,
}

/// The course of one bake.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// The air it saw.
    pub heat: Heat,
    /// How the air falls and comes back at an opening.
    pub door: DoorModel,
    /// When the door was shut again, minutes of the food's own time.
    pub shut: Vec<Minutes>,
}

impl Course {
    /// Returns the browning over time of food with this curve.
    fn dose(&self, curve: &DoseCurve, bake: Minutes) -> Dose {
        let dose = Dose::new(curve, &self.heat, bake);
        if self.shut.is_empty() {
            dose
        } else {
            self.door.slow(dose, &self.heat, &self.shut)
        }
    }
}

/// Refits `default` to `samples`; `courses` has what each bake went through, `usual` the recipe's time for shares of it.
///
/// # Errors
/// [`RefitError`] when the pieces tell nothing, or one of them cannot be.
pub fn refit(
    default: &DoseCurve,
    courses: &[Course],
    samples: &[Sample],
    usual: Minutes,
) -> Result<Refit, RefitError> {
    check(courses, samples)?;
    let problem = Problem {
        default,
        courses,
        samples,
        usual,
        longest: samples
            .iter()
            .flat_map(|s| &s.stretches)
            .map(|s| s.to.0)
            .fold(usual.0, f64::max),
    };
    let search = problem.search()?;
    Ok(problem.sum_up(&search))
}

fn check(courses: &[Course], samples: &[Sample]) -> Result<(), RefitError> {
    let of_bake = |b: usize| samples.iter().filter(|s| s.bake == b).count();
    let telling: usize = (0..courses.len()).map(of_bake).filter(|n| *n >= 2).sum();
    if telling < 3 {
        return Err(RefitError::TooFew(samples.len()));
    }
    let sound = |s: &Sample| {
        s.bake < courses.len()
            && s.browning.is_finite()
            && s.sd.is_finite()
            && s.sd > 0.0
            && s.stretches
                .iter()
                .all(|t| t.rate.is_finite() && (0.0..=6000.0).contains(&t.from.0) && t.to >= t.from)
    };
    match samples.iter().position(|s| !sound(s)) {
        Some(wrong) => Err(RefitError::Figure(wrong + 1)),
        None => Ok(()),
    }
}

/// Stretches `default`: `log` holds the logarithms of both factors.
fn stretched(default: &DoseCurve, log: [f64; 2]) -> DoseCurve {
    let (warming, approach) = (log[0].exp(), log[1].exp());
    DoseCurve {
        rise_s: default.rise_s * warming,
        plateau_min: default.plateau_min * warming,
        approach_s: default.approach_s * approach,
        ..*default
    }
}

struct Problem<'a> {
    default: &'a DoseCurve,
    courses: &'a [Course],
    samples: &'a [Sample],
    usual: Minutes,
    longest: f64,
}

/// Where a search ended.
struct Search {
    log: [f64; 2],
    /// Residuals in their stated errors.
    residuals: Vec<f64>,
    /// Their derivatives to the logarithms.
    slopes: [Vec<f64>; 2],
    steps: usize,
    converged: bool,
}

impl Problem<'_> {
    /// Returns the residuals in units of their errors, each bake's factor at its best.
    fn residuals(&self, log: [f64; 2]) -> Vec<f64> {
        let curve = stretched(self.default, log);
        let mut doses: Vec<(&Course, Dose)> = Vec::new();
        for course in self.courses {
            if !doses.iter().any(|(c, _)| *c == course) {
                doses.push((course, course.dose(&curve, Minutes(self.longest))));
            }
        }
        let share = |sample: &Sample| -> f64 {
            let course = &self.courses[sample.bake];
            let dose = doses.iter().find(|(c, _)| *c == course).map(|(_, d)| d);
            let of = |s: &Stretch, d: &Dose| s.rate * (d.effective(s.to) - d.effective(s.from));
            dose.map_or(0.0, |d| sample.stretches.iter().map(|s| of(s, d)).sum())
        };
        let shares: Vec<f64> = self.samples.iter().map(share).collect();
        let mut factors = vec![(0.0, 0.0); self.courses.len()];
        for (sample, share) in self.samples.iter().zip(&shares) {
            let weight = sample.sd.powi(-2);
            factors[sample.bake].0 += weight * share * sample.browning;
            factors[sample.bake].1 += weight * share * share;
        }
        let residual = |(sample, share): (&Sample, &f64)| {
            let (xy, xx) = factors[sample.bake];
            let factor = if xx > 0.0 { xy / xx } else { 0.0 };
            (sample.browning - factor * share) / sample.sd
        };
        self.samples.iter().zip(&shares).map(residual).collect()
    }

    fn slopes(&self, log: [f64; 2]) -> [Vec<f64>; 2] {
        const H: f64 = 1e-3;
        [0, 1].map(|k| {
            let (mut up, mut down) = (log, log);
            up[k] += H;
            down[k] -= H;
            let pairs = self.residuals(up).into_iter().zip(self.residuals(down));
            pairs.map(|(u, d)| (u - d) / (2.0 * H)).collect()
        })
    }

    fn search(&self) -> Result<Search, RefitError> {
        let cost = |r: &[f64], log: [f64; 2]| {
            let prior: f64 = log.iter().map(|l| (l / PRIOR_SD).powi(2)).sum();
            r.iter().map(|v| v * v).sum::<f64>() + prior
        };
        let mut log = [0.0; 2];
        let mut residuals = self.residuals(log);
        let mut now = cost(&residuals, log);
        let (mut steps, mut converged) = (0, false);
        while steps < STEPS && !converged {
            steps += 1;
            let slopes = self.slopes(log);
            let gradient = DVector::from_fn(2, |k, _| {
                dot(&slopes[k], &residuals) + log[k] / PRIOR_SD.powi(2)
            });
            let factor =
                Factor::new(curvature(&slopes, 1.0)).map_err(|_why| RefitError::NoBrowning)?;
            let step = factor.cholesky.solve(&gradient);
            let mut length = 1.0;
            converged = true;
            while length > 1e-3 {
                let to = [0, 1].map(|k| (log[k] - length * step[k]).clamp(-MOST, MOST));
                let there = self.residuals(to);
                let cost = cost(&there, to);
                if cost <= now {
                    let moved = (to[0] - log[0]).abs().max((to[1] - log[1]).abs());
                    converged = moved < CLOSE;
                    (log, residuals, now) = (to, there, cost);
                    break;
                }
                length /= 2.0;
            }
        }
        if !now.is_finite() {
            return Err(RefitError::NoBrowning);
        }
        Ok(Search {
            log,
            residuals,
            slopes: self.slopes(log),
            steps,
            converged,
        })
    }

    /// Share of the usual time at which half of the browning is done.
    fn half(&self, log: [f64; 2]) -> f64 {
        let curve = stretched(self.default, log);
        let heat = self.courses[0].heat;
        let dose = Dose::new(&curve, &heat, self.usual);
        dose.time_of(0.5).0 / self.usual.0
    }

    /// Derivatives of [`Self::half`].
    fn half_slope(&self, log: [f64; 2]) -> DVector<f64> {
        const H: f64 = 0.02;
        DVector::from_fn(2, |k, _| {
            let (mut up, mut down) = (log, log);
            up[k] += H;
            down[k] -= H;
            (self.half(up) - self.half(down)) / (2.0 * H)
        })
    }

    fn sum_up(&self, search: &Search) -> Refit {
        let bakes = (0..self.courses.len())
            .filter(|b| self.samples.iter().any(|s| s.bake == *b))
            .count();
        let free = search.residuals.len().saturating_sub(bakes).max(1) as f64;
        let scatter = (dot(&search.residuals, &search.residuals) / free).sqrt();
        // Pieces that scatter more than stated say less; fewer than stated is luck.
        let precision = curvature(&search.slopes, scatter.max(1.0).powi(-2));
        let covariance = precision
            .try_inverse()
            .unwrap_or_else(|| DMatrix::identity(2, 2) * PRIOR_SD.powi(2));
        let prior = DMatrix::identity(2, 2) * PRIOR_SD.powi(2);
        let sd_of =
            |slope: &DVector<f64>, c: &DMatrix<f64>| slope.dot(&(c * slope)).max(0.0).sqrt();
        let (slope, before) = (self.half_slope(search.log), self.half_slope([0.0; 2]));
        let (sd, sd_before) = (sd_of(&slope, &covariance), sd_of(&before, &prior));
        let around = |value: f64, sd: f64| Figure {
            value,
            lo: (value - Z90 * sd).max(0.0),
            hi: (value + Z90 * sd).min(1.0),
        };
        let factor = |k: usize| {
            let half = Z90 * covariance[(k, k)].max(0.0).sqrt();
            Figure {
                value: search.log[k].exp(),
                lo: (search.log[k] - half).exp(),
                hi: (search.log[k] + half).exp(),
            }
        };
        Refit {
            curve: stretched(self.default, search.log),
            warming: factor(0),
            approach: factor(1),
            half: around(self.half(search.log), sd),
            half_before: around(self.half([0.0; 2]), sd_before),
            learned: (1.0 - (sd / sd_before).powi(2)).clamp(0.0, 1.0),
            scatter,
            steps: search.steps,
            converged: search.converged,
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The penalised normal matrix; `weight` scales what the pieces say.
fn curvature(slopes: &[Vec<f64>; 2], weight: f64) -> DMatrix<f64> {
    DMatrix::from_fn(2, 2, |i, j| {
        let own = if i == j { PRIOR_SD.powi(-2) } else { 0.0 };
        weight * dot(&slopes[i], &slopes[j]) + own
    })
}

#[cfg(test)]
mod tests;
