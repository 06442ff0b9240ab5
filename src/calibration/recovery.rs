//! How the air comes back after the door was closed, the thermometer's own lag beside the oven's.
//!
//! Air after closing: hold - drop e^(-t / tau). A thermometer with a lag of its own follows it by
//! lag dR/dt = air - R, so that it reads
//! R(t) = hold (1 - e^(-t/lag)) + R0 e^(-t/lag) - drop tau (e^(-t/tau) - e^(-t/lag)) / (tau - lag).
//! A slow thermometer in an oven that is quick to recover sees a small fall and a long return: the
//! reading alone cannot tell one lag from the other (exchanging them gives the same shape), so the
//! thermometer's must be known. Everything but tau is linear, so tau alone is searched (variable
//! projection, Golub and Pereyra 1973, from memory); the errors are those of all unknowns together.
//!
//! The hold the air comes back to swings, and where in its swing the door was opened is chance. Where the
//! swing is known it enters as correlated noise (generalised least squares, Aitken 1935), since it
//! would otherwise be taken for part of the return; where not, residuals that resemble their
//! neighbours widen the intervals. A thermostat that feels the opening heats longer
//! than usual: the walls rise above their swing and dip below it a cycle on. What is usual of that is taken off
//! the readings, and what is not enters as further correlated noise. Tau stays that of the air alone.

use super::{error::CalibrationError, estimate::Estimate, holding::Holding, thin::thin};
use crate::numeric::{linear::Factor, student};
use nalgebra::{DMatrix, DVector};
use std::f64::consts::TAU;

/// Share of the swing's variance in its first overtone: a saw's teeth are steeper on one side.
const OVERTONE: f64 = 0.1;
/// Cycles over which a swing keeps step with itself. This and those below were chosen on one set of invented
/// ovens so that intervals cover, and are judged on another (`tests/bench/calibration_study.rs`).
const IN_STEP: f64 = 2.0;
/// How far the walls rise when the heater answers to an opening, as a share of the swing: what it is by and
/// large (a thermostat in the air gives about 1, one in the wall 0), and its standard deviation.
const ANSWER: (f64, f64) = (0.3, 0.5);
/// Over which share of a cycle they do.
const ANSWER_LENGTH: f64 = 0.9;
/// Cycles over which the answer fades by e.
const ANSWER_FADES: f64 = 1.0;
/// How far the walls stray from that, standard deviation as a share of the swing.
const STRAY: f64 = 0.5;
/// Over how many cycles they do.
const STRAY_LENGTH: f64 = 1.0;
/// A swing is entered by its covariance for at most so many readings; beyond, neighbours are averaged.
const MOST_READINGS: usize = 300;
/// The same where no swing is known.
const MOST_PLAIN: usize = 1500;
/// A tau of so many times the readings' length or more shows no return.
const MOST_SPANS: f64 = 20.0;

/// The swing of the hold that the return rides on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// Length of a cycle, seconds.
    pub cycle: f64,
    /// Peak to peak, C.
    pub peak_to_peak: f64,
    /// Standard deviation of readings about it, C.
    pub noise: f64,
}

/// What is known before a recovery is fitted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Surroundings {
    /// Time constant of the thermometer, seconds; 0 where it follows at once.
    pub lag: f64,
    /// The oven's swing while it holds, where known.
    pub swing: Option<Swing>,
}

impl Swing {
    /// Takes the swing of a hold, where it has one.
    pub fn of(hold: &Holding) -> Option<Self> {
        Some(Self {
            cycle: hold.cycle?.value,
            peak_to_peak: hold.swing?.value,
            noise: hold.noise,
        })
    }

    /// Share of a wave of `cycle` seconds that a thermometer with this lag still shows.
    fn shown(lag: f64, cycle: f64) -> f64 {
        1.0 / 1.0_f64.hypot(TAU * lag / cycle)
    }

    /// Covariance of the readings at two times, seconds after closing, C^2.
    ///
    /// A sine of that size and any phase has variance p^2 / 8; it and its overtone lose step over cycles. The
    /// heater's answer is more or less than usual. On top the walls stray, with kinks where the heater
    /// switches (Matern 3/2).
    fn covariance(&self, at: (f64, f64), lag: f64) -> f64 {
        let apart = at.0 - at.1;
        let turns = TAU * apart / self.cycle;
        let step = apart / (IN_STEP * self.cycle);
        let wave = (1.0 - OVERTONE) * turns.cos() + OVERTONE * (2.0 * turns).cos();
        let swing = Self::shown(lag, self.cycle).powi(2) / 8.0 * wave * (-0.5 * step * step).exp();
        let answer = ANSWER.1 * ANSWER.1 * self.answer(at.0, lag) * self.answer(at.1, lag);
        let far = 3.0_f64.sqrt() * apart.abs() / (STRAY_LENGTH * self.cycle);
        let stray = STRAY * STRAY * (1.0 + far) * (-far).exp();
        self.peak_to_peak.powi(2) * (swing + answer + stray)
    }

    /// The heater's answer in the reading `since` seconds after closing, for one that is a whole swing high.
    fn answer(&self, since: f64, lag: f64) -> f64 {
        let cycles = (since - lag) / self.cycle;
        if cycles <= 0.0 {
            return 0.0;
        }
        let wave = (0.5 * TAU * cycles / ANSWER_LENGTH).sin() * (-cycles / ANSWER_FADES).exp();
        wave * Self::shown(lag, 2.0 * ANSWER_LENGTH * self.cycle)
    }
}

/// How far the air fell and how it came back.
#[derive(Debug, Clone, PartialEq)]
pub struct Recovery {
    /// Temperature it comes back to, C.
    pub hold: Estimate,
    /// Fall below it at the moment of closing, C.
    pub drop: Estimate,
    /// Time constant of the return, seconds.
    pub tau: Estimate,
    /// Standard deviation of the readings about the curve, C.
    pub residual_sd: f64,
    /// How much neighbouring residuals are alike, a factor on variances that is in all of them; 1 where they are not.
    pub alike: f64,
    /// Rise of the sum of squares for one standard error, squared.
    step: f64,
    /// Residuals and model around the best tau, for intervals that need not be symmetric.
    profile: Profile,
}

impl Recovery {
    /// Returns both ends of the interval of `level` for tau, seconds: every tau whose sum of squares is
    /// no worse than chance allows (profile likelihood, Bates and Watts 1988, from memory).
    pub fn tau_interval(&self, level: f64) -> (f64, f64) {
        let t = student::half_width(level, self.tau.df);
        let allowed = self.profile.least + t * t * self.step;
        let beyond = |towards: f64| {
            let inside = |tau: f64| {
                self.profile
                    .residual_ss(tau)
                    .is_some_and(|ss| ss <= allowed)
            };
            let (mut near, mut far) = (self.tau.value, self.tau.value * towards);
            let mut tries = 0;
            while inside(far) && tries < 12 {
                (near, far) = (far, far * towards);
                tries += 1;
            }
            for _ in 0..40 {
                let middle = (near * far).sqrt();
                if inside(middle) {
                    near = middle;
                } else {
                    far = middle;
                }
            }
            near
        };
        (beyond(1.0 / 1.5), beyond(1.5))
    }

    /// Returns both ends of the interval of `level` for the drop, C.
    pub fn drop_interval(&self, level: f64) -> (f64, f64) {
        self.drop.interval(level)
    }

    /// Returns the logarithm of tau, by which openings are weighed together; its uncertainty is that of the wider
    /// side of [`Self::tau_interval`].
    pub fn ln_tau(&self, level: f64) -> Estimate {
        let (lo, hi) = self.tau_interval(level);
        let value = self.tau.value.ln();
        let half = (hi.ln() - value).max(value - lo.ln());
        Estimate {
            value,
            sd: half / student::half_width(level, self.tau.df),
            df: self.tau.df,
        }
    }

    /// Returns the modelled reading `since` seconds after closing.
    pub fn reading(&self, since: f64) -> Option<f64> {
        let (linear, _) = self.profile.solve(self.tau.value)?;
        let row = self.profile.row(self.tau.value, since);
        let back: f64 = row.iter().zip(linear.iter()).map(|(a, b)| a * b).sum();
        Some(back + self.profile.answer(since))
    }
}

/// Fits the return of the air to readings `(seconds since closing, C)`.
///
/// # Errors
/// [`CalibrationError`] for too few readings, or readings that show no return.
pub fn recovery(
    readings: &[(f64, f64)],
    around: &Surroundings,
) -> Result<Recovery, CalibrationError> {
    let profile = Profile::new(readings, around)?;
    let unknown = profile.columns() + 1;
    if readings.len() <= unknown {
        return Err(CalibrationError::TooFew {
            what: "readings after the door was closed",
            have: readings.len(),
            answer: "how the air comes back",
            need: unknown + 1,
        });
    }
    let start = profile.best_tau().ok_or(CalibrationError::NoRecovery)?;
    let found = profile.settle(start)?;
    if !(found.drop.value > 0.0 && found.tau.value < MOST_SPANS * found.profile.span()) {
        return Err(CalibrationError::NoRecovery);
    }
    Ok(found)
}

/// Factor on variances from residuals that resemble their neighbours: (1 + r) / (1 - r) of an AR(1).
fn alike(residuals: &[f64]) -> f64 {
    let n = residuals.len() as f64;
    let ss: f64 = residuals.iter().map(|r| r * r).sum();
    if ss <= 0.0 {
        return 1.0;
    }
    let next: f64 = residuals.windows(2).map(|w| w[0] * w[1]).sum();
    // Residuals of a fitted curve lean to disagree; within two standard errors of nothing, nothing is added.
    let r = next / ss;
    if r < 2.0 / n.sqrt() {
        return 1.0;
    }
    let r = r.min(0.9);
    (1.0 + r) / (1.0 - r)
}

/// The model with everything but tau solved for.
#[derive(Debug, Clone, PartialEq)]
struct Profile {
    readings: Vec<(f64, f64)>,
    lag: f64,
    swing: Option<Swing>,
    /// Factor of the readings' covariance, where the swing is known.
    whitener: Option<DMatrix<f64>>,
    least: f64,
}

impl Profile {
    fn new(readings: &[(f64, f64)], around: &Surroundings) -> Result<Self, CalibrationError> {
        let lag = around.lag.max(0.0);
        let Some(swing) = around
            .swing
            .filter(|s| s.peak_to_peak > 0.0 && s.cycle > 0.0)
        else {
            return Ok(Self {
                readings: thin(readings, MOST_PLAIN).1,
                lag,
                swing: None,
                whitener: None,
                least: 0.0,
            });
        };
        let (per_bin, readings) = thin(readings, MOST_READINGS);
        let noise = swing.noise.max(0.02 * swing.peak_to_peak).powi(2) / per_bin as f64;
        let n = readings.len();
        let matrix = DMatrix::from_fn(n, n, |i, j| {
            let own = if i == j { noise } else { 0.0 };
            swing.covariance((readings[i].0, readings[j].0), lag) + own
        });
        let factor = Factor::new(matrix).map_err(|_why| CalibrationError::NoRecovery)?;
        Ok(Self {
            readings,
            lag,
            swing: Some(swing),
            whitener: Some(factor.cholesky.l()),
            least: 0.0,
        })
    }

    /// Settles tau by golden sections on ln tau, then takes the errors from the slopes of all.
    fn settle(mut self, start: f64) -> Result<Recovery, CalibrationError> {
        let ratio = 0.5 * (5.0_f64.sqrt() - 1.0);
        let at = |ln_tau: f64| self.residual_ss(ln_tau.exp()).unwrap_or(f64::INFINITY);
        let (mut a, mut b) = (start.ln() - 0.2, start.ln() + 0.2);
        for _ in 0..40 {
            let (c, d) = (b - ratio * (b - a), a + ratio * (b - a));
            if at(c) < at(d) {
                b = d;
            } else {
                a = c;
            }
        }
        let tau = (0.5 * (a + b)).exp();
        let (linear, least) = self.solve(tau).ok_or(CalibrationError::NoRecovery)?;
        self.least = least;
        let df = (self.readings.len() - self.columns() - 1) as f64;
        let (plain, _) = self.system(tau);
        let bend = DVector::from_iterator(
            self.readings.len(),
            self.readings
                .iter()
                .map(|r| -linear[1] * self.fall_by_ln_tau(tau, r.0)),
        );
        let mut slopes = plain.insert_column(0, 0.0);
        slopes.set_column(0, &self.whiten_vector(bend));
        let inverse = Factor::new(slopes.tr_mul(&slopes))
            .map_err(|_why| CalibrationError::NoRecovery)?
            .cholesky
            .inverse();
        let residuals: Vec<f64> = self
            .readings
            .iter()
            .map(|r| {
                let row = self.row(tau, r.0);
                r.1 - self.answer(r.0)
                    - row
                        .iter()
                        .zip(linear.iter())
                        .map(|(a, b)| a * b)
                        .sum::<f64>()
            })
            .collect();
        let ss: f64 = residuals.iter().map(|r| r * r).sum();
        let (alike, step) = if self.whitener.is_some() {
            // Readings that scatter more than the swing allows widen everything alike.
            (1.0, (least / df).max(1.0))
        } else {
            let alike = alike(&residuals);
            (alike, alike * least / df)
        };
        let estimate = |value: f64, i: usize, by: f64| {
            Estimate::new(value, by * (step * inverse[(i, i)]).sqrt(), df)
        };
        Ok(Recovery {
            hold: estimate(linear[0], 1, 1.0),
            drop: estimate(linear[1], 2, 1.0),
            tau: estimate(tau, 0, tau),
            residual_sd: (ss / df).sqrt(),
            alike,
            step,
            profile: self,
        })
    }

    fn whiten(&self, matrix: DMatrix<f64>) -> DMatrix<f64> {
        match &self.whitener {
            None => matrix,
            Some(l) => l.solve_lower_triangular(&matrix).unwrap_or(matrix),
        }
    }

    fn whiten_vector(&self, vector: DVector<f64>) -> DVector<f64> {
        match &self.whitener {
            None => vector,
            Some(l) => l.solve_lower_triangular(&vector).unwrap_or(vector),
        }
    }

    fn span(&self) -> f64 {
        let last = self.readings.iter().map(|r| r.0).fold(0.0, f64::max);
        last - self.readings.iter().map(|r| r.0).fold(last, f64::min)
    }

    fn columns(&self) -> usize {
        2 + usize::from(self.lag > 0.0)
    }

    /// What is taken off a reading for the heater's usual answer, C.
    fn answer(&self, since: f64) -> f64 {
        self.swing.map_or(0.0, |s| {
            ANSWER.0 * s.peak_to_peak * s.answer(since, self.lag)
        })
    }

    /// Share of the drop still missing in the reading.
    fn fall(&self, tau: f64, t: f64) -> f64 {
        if self.lag <= 0.0 {
            return (-t / tau).exp();
        }
        let gap = (1.0 / self.lag - 1.0 / tau) * t;
        // tau (e^(-t/tau) - e^(-t/lag)) / (tau - lag), through a form that stays exact where both are alike
        let shape = if gap.abs() < 1e-9 {
            1.0
        } else {
            -(-gap).exp_m1() / gap
        };
        (t / self.lag) * (-t / tau).exp() * shape
    }

    /// Slope of [`Self::fall`] for ln tau, by a central difference where there is a lag.
    fn fall_by_ln_tau(&self, tau: f64, t: f64) -> f64 {
        const STEP: f64 = 1e-5;
        if self.lag <= 0.0 {
            return t / tau * (-t / tau).exp();
        }
        let up = self.fall(tau * STEP.exp(), t);
        let down = self.fall(tau * (-STEP).exp(), t);
        (up - down) / (2.0 * STEP)
    }

    /// What the hold, the drop and the rest are multiplied by in the reading at `t`.
    fn row(&self, tau: f64, t: f64) -> Vec<f64> {
        if self.lag > 0.0 {
            let own = (-t / self.lag).exp();
            vec![1.0 - own, -self.fall(tau, t), own]
        } else {
            vec![1.0, -self.fall(tau, t)]
        }
    }

    /// The linear part at a tau, and the sum of squares it leaves.
    fn solve(&self, tau: f64) -> Option<(DVector<f64>, f64)> {
        let (a, y) = self.system(tau);
        let qr = a.clone().qr();
        let x = qr.r().solve_upper_triangular(&(qr.q().transpose() * &y))?;
        let ss = (y - a * &x).norm_squared();
        ss.is_finite().then_some((x, ss))
    }

    fn system(&self, tau: f64) -> (DMatrix<f64>, DVector<f64>) {
        let rows: Vec<f64> = self
            .readings
            .iter()
            .flat_map(|r| self.row(tau, r.0))
            .collect();
        let a = DMatrix::from_row_slice(self.readings.len(), self.columns(), &rows);
        let y = DVector::from_iterator(
            self.readings.len(),
            self.readings.iter().map(|r| r.1 - self.answer(r.0)),
        );
        (self.whiten(a), self.whiten_vector(y))
    }

    fn residual_ss(&self, tau: f64) -> Option<f64> {
        self.solve(tau).map(|(_, ss)| ss)
    }

    /// The tau with the least sum of squares among many, from a few seconds to several spans.
    fn best_tau(&self) -> Option<f64> {
        const TRIED: u32 = 60;
        let span = self.span();
        if span <= 0.0 {
            return None;
        }
        // Without a swing, readings that hardly bend would settle at the edge of a shorter range and pass for a return.
        let spans = if self.whitener.is_some() {
            3.0
        } else {
            MOST_SPANS
        };
        let (low, high) = ((span / 500.0).max(0.5), span * spans);
        (0..=TRIED)
            .map(|i| low * (high / low).powf(f64::from(i) / f64::from(TRIED)))
            .filter_map(|tau| Some((tau, self.solve(tau)?)))
            .filter(|(_, (linear, _))| linear[1] > 0.0)
            .min_by(|a, b| a.1.1.total_cmp(&b.1.1))
            .map(|(tau, _)| tau)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readings(tau: f64, lag: f64, drop: f64) -> Vec<(f64, f64)> {
        // Steps the air and the thermometer in small steps, as nature would.
        let (mut air_fall, mut reads) = (drop, 175.0 - drop * 0.6);
        if lag <= 0.0 {
            reads = 175.0 - drop;
        }
        let mut out = Vec::new();
        for step in 0..60_000_u32 {
            let t = f64::from(step) / 100.0;
            if step % 1500 == 0 {
                out.push((t, reads));
            }
            let air = 175.0 - air_fall;
            air_fall -= air_fall / tau * 0.01;
            reads = if lag > 0.0 {
                reads + (air - reads) / lag * 0.01
            } else {
                175.0 - air_fall
            };
        }
        out
    }

    #[test]
    fn a_slow_thermometer_hides_a_quick_oven_unless_its_lag_is_known() {
        let seen = readings(45.0, 60.0, 40.0);
        let plain = recovery(&seen, &Surroundings::default()).unwrap();
        assert!(plain.tau.value > 80.0, "{:?}", plain.tau);
        assert!(plain.drop.value < 33.0, "{:?}", plain.drop);
        let known = Surroundings {
            lag: 60.0,
            swing: None,
        };
        let true_one = recovery(&seen, &known).unwrap();
        assert!(
            (true_one.tau.value - 45.0).abs() < 0.5,
            "{:?}",
            true_one.tau
        );
        assert!(
            (true_one.drop.value - 40.0).abs() < 0.5,
            "{:?}",
            true_one.drop
        );
        assert!((true_one.reading(30.0).unwrap() - seen[2].1).abs() < 0.1);
    }

    #[test]
    fn lag_and_return_of_one_length_are_no_trouble() {
        let known = Surroundings {
            lag: 60.0,
            swing: None,
        };
        let got = recovery(&readings(60.0, 60.0, 30.0), &known).unwrap();
        assert!((got.tau.value - 60.0).abs() < 1.0, "{:?}", got.tau);
    }

    #[test]
    fn a_swing_of_known_length_does_not_disturb_the_return() {
        let seen: Vec<(f64, f64)> = (0..60)
            .map(|i| {
                let t = f64::from(i) * 20.0;
                (
                    t,
                    175.0 - 25.0 * (-t / 90.0).exp() + 4.0 * (TAU * t / 480.0 + 1.0).sin(),
                )
            })
            .collect();
        let known = Surroundings {
            lag: 0.0,
            swing: Some(Swing {
                cycle: 480.0,
                peak_to_peak: 8.0,
                noise: 0.1,
            }),
        };
        let blind = recovery(&seen, &Surroundings::default()).unwrap();
        let got = recovery(&seen, &known).unwrap();
        let miss = (got.tau.value - 90.0).abs();
        assert!(
            miss < 8.0 && miss < 0.5 * (blind.tau.value - 90.0).abs(),
            "{:?} {:?}",
            got.tau,
            blind.tau
        );
        let (lo, hi) = got.tau_interval(0.9);
        assert!(lo <= 90.0 && hi >= 90.0, "{lo} {hi}");
    }

    #[test]
    fn readings_without_a_return_are_refused() {
        let flat: Vec<(f64, f64)> = (0..20)
            .map(|i| (f64::from(i) * 30.0, 175.0 + 0.02 * f64::from(i)))
            .collect();
        assert!(recovery(&flat, &Surroundings::default()).is_err());
        assert!(recovery(&flat[..3], &Surroundings::default()).is_err());
        let mut unread = readings(45.0, 0.0, 30.0);
        unread[3].1 = f64::NAN;
        assert!(recovery(&unread, &Surroundings::default()).is_err());
        let falling: Vec<(f64, f64)> = (0..20)
            .map(f64::from)
            .map(|i| (i * 30.0, 150.0 + 30.0 * (-i / 4.0).exp()))
            .collect();
        assert_eq!(
            recovery(&falling, &Surroundings::default()),
            Err(CalibrationError::NoRecovery)
        );
    }
}
