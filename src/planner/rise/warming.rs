//! How a ball of dough follows the temperature around it.
//!
//! Conduction in a sphere with a film of air at its surface: the mean over the sphere by the series of Crank 1975 (The
//! Mathematics of Diffusion, 2nd edition, eq. 6.43). The film matters: it, not the dough, is the larger half of
//! what keeps half a kilogram cool.

use std::f64::consts::{PI, TAU};

/// How well dough carries warmth, m2/s (from memory).
pub const DIFFUSIVITY: f64 = 1.1e-7;
/// Density of dough before it rises, kg/m3 (from memory).
const DENSITY: f64 = 1100.0;
/// Conductivity of dough, W/(m K) (from memory).
const CONDUCTIVITY: f64 = 0.4;
/// What still air and the warm walls bring to a surface, W/(m2 K): about 4 and 6 (from memory).
pub const FILM: f64 = 10.0;
/// Terms of the series; they fall off with the fourth power.
const TERMS: u32 = 30;

/// A ball of dough put into a warm box.
#[derive(Debug, Clone, PartialEq)]
pub struct Ball {
    /// For each term: its share of the difference at the start, and how fast it goes, per second.
    terms: Vec<(f64, f64)>,
}

impl Ball {
    /// Makes a ball of `grams`, with [`DIFFUSIVITY`] and [`FILM`] times `diffusivity` and `film`.
    pub fn new(grams: f64, diffusivity: f64, film: f64) -> Self {
        let radius = (grams / 1000.0 / DENSITY * 3.0 / (2.0 * TAU)).cbrt();
        let biot = FILM * film * radius / (CONDUCTIVITY * diffusivity);
        Self::of_sphere(biot, DIFFUSIVITY * diffusivity / radius.powi(2))
    }

    /// Makes a sphere by its Biot number and its diffusivity over the square of its radius, per second.
    fn of_sphere(biot: f64, pace: f64) -> Self {
        let terms = (0..TERMS)
            .map(|k| {
                let root = root(biot, f64::from(k));
                let squared = root * root;
                let share = 6.0 * biot * biot / (squared * (squared + biot * (biot - 1.0)));
                (share, squared * pace)
            })
            .collect();
        Self { terms }
    }

    /// Returns the time constant of the slowest term, seconds.
    pub fn lag(&self) -> f64 {
        self.terms.first().map_or(0.0, |(_, pace)| 1.0 / pace)
    }

    /// Returns what is left of the difference between dough and box after `seconds`, mean over the dough, 0 to 1.
    pub fn left(&self, seconds: f64) -> f64 {
        let sum: f64 = self
            .terms
            .iter()
            .map(|(share, pace)| share * (-pace * seconds).exp())
            .sum();
        sum.clamp(0.0, 1.0)
    }
}

/// Finds the root of x cos x + (biot - 1) sin x between k pi and (k + 1) pi, where there is just one.
fn root(biot: f64, k: f64) -> f64 {
    let f = |x: f64| x * x.cos() + (biot - 1.0) * x.sin();
    let (mut lo, mut hi) = (k * PI, (k + 1.0) * PI);
    // Positive below the first root, and then in turns.
    let sign = if k % 2.0 > 0.5 { -1.0 } else { 1.0 };
    for _ in 0..60 {
        let mid = f64::midpoint(lo, hi);
        if sign * f(mid) > 0.0 {
            lo = mid;
        } else {
            hi = mid;
        }
    }
    f64::midpoint(lo, hi)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Crank 1975, eq. 6.20, a surface that is at once at the box's temperature: 6/pi2 sum of exp(-n2 pi2 Fo) / n2,
    /// here with 2000 terms; within 1 % of what has gone and of what is left.
    #[test]
    fn a_surface_at_once_warm_follows_the_textbook() {
        let ball = Ball::of_sphere(1e7, 1.0);
        for fourier in [0.003, 0.01, 0.03, 0.1, 0.3] {
            let exact: f64 = (1..2000)
                .map(|n| f64::from(n).powi(2))
                .map(|n| 6.0 / (PI * PI * n) * (-n * PI * PI * fourier).exp())
                .sum();
            let left = ball.left(fourier);
            assert!(
                (left - exact).abs() < 0.01 * exact,
                "{fourier}: {left} {exact}"
            );
            let gone = 1.0 - exact;
            assert!(
                (left - exact).abs() < 0.05 * gone,
                "{fourier}: {left} {exact}"
            );
        }
    }

    /// An independent way: shells that exchange heat, explicit steps in time, no series.
    fn by_shells(biot: f64, fourier: f64) -> f64 {
        const SHELLS: usize = 100;
        let dr = 1.0 / SHELLS as f64;
        let edge = |i: usize| i as f64 * dr;
        let volume: Vec<f64> = (0..SHELLS)
            .map(|i| (edge(i + 1).powi(3) - edge(i).powi(3)) / 3.0)
            .collect();
        let steps = (fourier / (0.2 * dr * dr)).ceil();
        let dt = fourier / steps;
        let mut t = vec![1.0; SHELLS];
        let mut done = 0.0;
        while done < steps {
            done += 1.0;
            let mut flow = vec![0.0; SHELLS + 1];
            for i in 1..SHELLS {
                flow[i] = edge(i).powi(2) * (t[i - 1] - t[i]) / dr;
            }
            // Half a shell of dough and the film, one after the other.
            flow[SHELLS] = t[SHELLS - 1] / (dr / 2.0 + 1.0 / biot);
            for i in 0..SHELLS {
                t[i] += dt * (flow[i] - flow[i + 1]) / volume[i];
            }
        }
        3.0 * t.iter().zip(&volume).map(|(t, v)| t * v).sum::<f64>()
    }

    /// Within 1 % of a solution by shells, from a thick film to none worth the name.
    #[test]
    fn a_film_of_air_follows_a_solution_without_a_series() {
        for biot in [0.3, 1.0, 1.2, 5.0, 50.0] {
            let ball = Ball::of_sphere(biot, 1.0);
            assert!(
                (ball.left(0.0) - 1.0).abs() < 0.002,
                "{biot}: {}",
                ball.left(0.0)
            );
            for fourier in [0.02, 0.1, 0.4] {
                let (left, shells) = (ball.left(fourier), by_shells(biot, fourier));
                assert!(
                    (left - shells).abs() < 0.01 * shells,
                    "{biot}, {fourier}: {left} {shells}"
                );
            }
        }
    }

    /// From memory: half a kilogram takes on the order of an hour, more takes longer.
    #[test]
    fn half_a_kilogram_takes_on_the_order_of_an_hour() {
        let half = |grams| {
            let ball = Ball::new(grams, 1.0, 1.0);
            (1..2000)
                .map(f64::from)
                .find(|minute| ball.left(60.0 * minute) < 0.5)
        };
        let (small, middle, large) = (half(50.0), half(500.0), half(2000.0));
        assert!(
            middle.is_some_and(|m| (30.0..120.0).contains(&m)),
            "{middle:?}"
        );
        assert!(small < middle && middle < large, "{small:?} {large:?}");
    }
}
