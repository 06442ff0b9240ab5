//! Chance and noise of the painter.

/// Numbers by a 64-bit xorshift (Marsaglia 2003).
pub(super) struct Dice(pub(super) u64);

impl Dice {
    pub(super) fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 12) as f64 / (1_u64 << 52) as f64
    }

    pub(super) fn between(&mut self, a: f64, b: f64) -> f64 {
        a + (b - a) * self.next()
    }

    /// Near a normal deviate: the sum of three, scaled.
    pub(super) fn bell(&mut self) -> f64 {
        2.0 * (self.next() + self.next() + self.next() - 1.5)
    }

    pub(super) fn whole(&mut self, n: usize) -> usize {
        ((self.next() * n as f64) as usize).min(n - 1)
    }
}

/// A plane of noise, smoothed by repeated running means `reach` pixels wide, of standard deviation 1.
pub(super) fn fog(
    dice: &mut Dice,
    (w, h): (usize, usize),
    reach: usize,
    across: usize,
) -> Vec<f32> {
    let mut plane: Vec<f32> = (0..w * h).map(|_| dice.next() as f32 - 0.5).collect();
    for _ in 0..2 {
        plane = means(&plane, w, h, across.max(1));
        plane = turned(&means(&turned(&plane, w, h), h, w, reach.max(1)), h, w);
    }
    let n = plane.len() as f32;
    let mean = plane.iter().sum::<f32>() / n;
    let sd = (plane.iter().map(|v| (v - mean).powi(2)).sum::<f32>() / n)
        .sqrt()
        .max(1e-9);
    plane.iter().map(|v| (v - mean) / sd).collect()
}

fn means(plane: &[f32], w: usize, h: usize, reach: usize) -> Vec<f32> {
    let mut out = vec![0.0; w * h];
    for y in 0..h {
        let row = &plane[y * w..(y + 1) * w];
        let mut sum: f32 = 0.0;
        for x in 0..w + reach {
            if x < w {
                sum += row[x];
            }
            if x > 2 * reach {
                sum -= row[x - 2 * reach - 1];
            }
            if x >= reach {
                out[y * w + x - reach] = sum / (2 * reach + 1) as f32;
            }
        }
    }
    out
}

fn turned(plane: &[f32], w: usize, h: usize) -> Vec<f32> {
    (0..w * h).map(|i| plane[(i % h) * w + i / h]).collect()
}
