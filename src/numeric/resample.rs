//! Cubic interpolation of evenly spaced values (Catmull and Rom 1974: exact for quadratics inside).

use super::whole;

/// Four neighbouring samples and their weights for one place.
#[derive(Debug, Clone, Copy)]
pub struct Taps {
    /// Indices of the samples.
    pub index: [usize; 4],
    /// Their weights; they sum to 1.
    pub weight: [f64; 4],
}

/// Returns the taps for place `t` (in sample steps from the first) among `n >= 4` samples.
///
/// Near an end the cubic through the four outermost samples is used, so no sample is made up.
pub fn taps(t: f64, n: usize) -> Taps {
    let first = whole::floor((t.floor() - 1.0).clamp(0.0, (n - 4) as f64));
    let u = t - first as f64;
    let inside = (1.0..=2.0).contains(&u);
    let weight = if inside {
        catmull_rom(u - 1.0)
    } else {
        lagrange(u)
    };
    Taps {
        index: [first, first + 1, first + 2, first + 3],
        weight,
    }
}

fn catmull_rom(u: f64) -> [f64; 4] {
    let (u2, u3) = (u * u, u * u * u);
    [
        0.5 * (-u3 + 2.0 * u2 - u),
        0.5 * (3.0 * u3 - 5.0 * u2 + 2.0),
        0.5 * (-3.0 * u3 + 4.0 * u2 + u),
        0.5 * (u3 - u2),
    ]
}

/// Cubic through samples at 0, 1, 2, 3.
fn lagrange(u: f64) -> [f64; 4] {
    let (a, b, c) = (u - 1.0, u - 2.0, u - 3.0);
    [
        -a * b * c / 6.0,
        u * b * c / 2.0,
        -u * a * c / 2.0,
        u * a * b / 6.0,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quadratic_is_reproduced_everywhere() {
        let f = |t: f64| 0.3 * t * t - 2.0 * t + 1.0;
        for step in 0..=70 {
            let t = f64::from(step) / 10.0;
            let taps = taps(t, 8);
            let got: f64 = taps
                .index
                .iter()
                .zip(taps.weight)
                .map(|(&i, w)| w * f(i as f64))
                .sum();
            assert!((got - f(t)).abs() < 1e-12, "at {t}: {got} against {}", f(t));
        }
    }
}
