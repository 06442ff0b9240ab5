//! The yardsticks: a stock Gaussian process (linear detrend, Matern 5/2 + white noise, hyperparameters
//! by maximum likelihood, slices taken as points) and bilinear interpolation of the slice lattice.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

type Seen = [((f64, f64), f64)];

/// A fitted stock process.
pub(crate) struct Stock {
    trend: DVector<f64>,
    at: Vec<(f64, f64)>,
    alpha: DVector<f64>,
    factor: Cholesky<f64, Dyn>,
    amplitude: f64,
    noise: f64,
    length: f64,
}

fn matern(d: f64) -> f64 {
    let a = 5_f64.sqrt() * d;
    (1.0 + a + a * a / 3.0) * (-a).exp()
}

fn distance(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// Fits by a fine grid over length scale and noise share; the amplitude has its closed form.
pub(crate) fn fit(seen: &Seen) -> Stock {
    let n = seen.len();
    let h = DMatrix::from_fn(n, 3, |i, j| match j {
        0 => 1.0,
        1 => seen[i].0.0,
        _ => seen[i].0.1,
    });
    let y = DVector::from_iterator(n, seen.iter().map(|s| s.1));
    let trend = h
        .clone()
        .svd(true, true)
        .solve(&y, 1e-12)
        .expect("least squares");
    let rest = &y - &h * &trend;
    let mut best: Option<(f64, Stock)> = None;
    for step in 0..40 {
        let length = 3.0 * 1.1_f64.powi(step);
        for noise_step in 0..24 {
            let noise = 1e-4 * 1.8_f64.powi(noise_step);
            let k = DMatrix::from_fn(n, n, |i, j| {
                matern(distance(seen[i].0, seen[j].0) / length) + if i == j { noise } else { 0.0 }
            });
            let Some(factor) = Cholesky::new(k) else {
                continue;
            };
            let alpha = factor.solve(&rest);
            let amplitude = (rest.dot(&alpha) / n as f64).max(1e-9);
            let ln_det: f64 = factor
                .l_dirty()
                .diagonal()
                .iter()
                .map(|v| 2.0 * v.ln())
                .sum();
            let score = -0.5 * (n as f64 * amplitude.ln() + ln_det);
            if best.as_ref().is_none_or(|(s, _)| score > *s) {
                let at = seen.iter().map(|s| s.0).collect();
                best = Some((
                    score,
                    Stock {
                        trend: trend.clone(),
                        at,
                        alpha,
                        factor,
                        amplitude,
                        noise,
                        length,
                    },
                ));
            }
        }
    }
    best.expect("some grid point factorises").1
}

impl Stock {
    /// Mean and standard deviation at a point, as stock libraries give it.
    pub(crate) fn at(&self, x: f64, y: f64) -> (f64, f64) {
        let k = DVector::from_iterator(
            self.at.len(),
            self.at
                .iter()
                .map(|&p| matern(distance(p, (x, y)) / self.length)),
        );
        let mean = self.trend[0] + self.trend[1] * x + self.trend[2] * y + k.dot(&self.alpha);
        // stock libraries put the white noise into the interval they give
        let variance = self.amplitude * (1.0 + self.noise - k.dot(&self.factor.solve(&k)));
        (mean, variance.max(0.0).sqrt())
    }
}

/// Bilinear interpolation between slice centres, held constant beyond the outer ones.
pub(crate) fn bilinear(seen: &Seen, (cols, rows): (usize, usize), x: f64, y: f64) -> f64 {
    let column_x = |c: usize| (0..rows).map(|r| seen[r * cols + c].0.0).sum::<f64>() / rows as f64;
    let row_y = |r: usize| (0..cols).map(|c| seen[r * cols + c].0.1).sum::<f64>() / cols as f64;
    let place = |v: f64, n: usize, at: &dyn Fn(usize) -> f64| {
        let i = (0..n - 1).rev().find(|&i| at(i) <= v).unwrap_or(0);
        (i, ((v - at(i)) / (at(i + 1) - at(i))).clamp(0.0, 1.0))
    };
    let (c, u) = place(x, cols, &column_x);
    let (r, v) = place(y, rows, &row_y);
    let l = |r: usize, c: usize| seen[r * cols + c].1;
    (1.0 - v) * ((1.0 - u) * l(r, c) + u * l(r, c + 1))
        + v * ((1.0 - u) * l(r + 1, c) + u * l(r + 1, c + 1))
}
