//! An estimate with its standard error, its degrees of freedom and its interval.

use crate::numeric::{normal::quantile, student};

/// A figure found from readings, and how sure it is.
///
/// Standard uncertainties are combined by root sum of squares and degrees of freedom by the formula
/// of Welch and Satterthwaite (JCGM 100:2008, GUM, 5.1.2 and G.4.1).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The figure.
    pub value: f64,
    /// Its standard uncertainty, in the same unit.
    pub sd: f64,
    /// Degrees of freedom of `sd`; infinite where it was not estimated from scatter.
    pub df: f64,
}

/// How often any two of instruments that keep their word are called contradicting.
const CONTRADICTS: f64 = 0.05;

impl Estimate {
    /// Makes an estimate: a figure, its standard error in the same unit, and the degrees of freedom behind that.
    pub const fn new(value: f64, sd: f64, df: f64) -> Self {
        Self { value, sd, df }
    }

    /// Returns both ends of the interval of `level` (0.95: 95 %).
    pub fn interval(&self, level: f64) -> (f64, f64) {
        let half = student::half_width(level, self.df) * self.sd;
        (self.value - half, self.value + half)
    }

    /// Adds an uncertainty that does not come from scatter (type B), such as a thermometer's accuracy.
    #[must_use]
    pub fn with_type_b(self, sd: f64) -> Self {
        let total = self.sd.hypot(sd);
        let df = if self.sd > 0.0 && self.df.is_finite() {
            self.df * (total / self.sd).powi(4)
        } else {
            f64::INFINITY
        };
        Self {
            value: self.value,
            sd: total,
            df,
        }
    }

    /// Returns the same estimate shifted by an exact figure.
    #[must_use]
    pub fn shifted(self, by: f64) -> Self {
        Self {
            value: self.value + by,
            ..self
        }
    }

    /// Combines estimates of one thing, each weighted by what it is worth, and by how far they disagree.
    ///
    /// Weights are 1 / (sd^2 + between^2), where `between` is the scatter from one to the next that
    /// their own errors do not explain (`DerSimonian` and Laird 1986, from memory). `None` without any.
    pub fn pooled(parts: &[Self]) -> Option<Self> {
        match parts {
            [] => return None,
            [only] => return Some(*only),
            _ => {}
        }
        let n = parts.len() as f64;
        let floor = parts.iter().map(|p| p.sd).fold(0.0, f64::max) * 1e-6 + 1e-12;
        let weigh = |between: f64| -> Vec<f64> {
            parts
                .iter()
                .map(|p| 1.0 / (p.sd.max(floor).powi(2) + between))
                .collect()
        };
        let mean = |w: &[f64]| {
            let sum: f64 = w.iter().sum();
            parts.iter().zip(w).map(|(p, w)| p.value * w).sum::<f64>() / sum
        };
        let w = weigh(0.0);
        let fixed = mean(&w);
        let q: f64 = parts
            .iter()
            .zip(&w)
            .map(|(p, w)| w * (p.value - fixed).powi(2))
            .sum();
        let sum: f64 = w.iter().sum();
        let spare = sum - w.iter().map(|w| w * w).sum::<f64>() / sum;
        let between = ((q - (n - 1.0)) / spare).max(0.0);
        let w = weigh(between);
        let sum: f64 = w.iter().sum();
        let (mut own, mut own_spare, mut shared) = (0.0, 0.0, 0.0);
        for (part, w) in parts.iter().zip(&w) {
            let share = w / sum;
            let variance = (share * part.sd.max(floor)).powi(2);
            own += variance;
            own_spare += variance * variance / part.df;
            shared += share * share * between;
        }
        let variance = own + shared;
        // Their number tells how well the disagreement is known, as far as it counts (Welch and Satterthwaite).
        Some(Self {
            value: mean(&w),
            sd: variance.sqrt(),
            df: variance * variance / (own_spare + shared * shared / (n - 1.0)),
        })
    }

    /// Combines estimates of one thing whose errors are believed, each by 1 / sd^2; with every one's share.
    ///
    /// For different instruments of known accuracy: two of them cannot tell how far instruments stray beyond it. Where
    /// they contradict each other, nobody knows which is right, and both are within the interval. `None` without any.
    pub fn believed(parts: &[Self]) -> Option<(Self, Vec<f64>)> {
        let floor = parts.iter().map(|p| p.sd).fold(0.0, f64::max) * 1e-6 + 1e-12;
        let weights: Vec<f64> = parts.iter().map(|p| p.sd.max(floor).powi(-2)).collect();
        let sum: f64 = weights.iter().sum();
        let shares: Vec<f64> = weights.iter().map(|w| w / sum).collect();
        let (mut value, mut variance, mut spare) = (0.0, 0.0, 0.0);
        for (part, share) in parts.iter().zip(&shares) {
            let own = (share * part.sd.max(floor)).powi(2);
            value += share * part.value;
            variance += own;
            spare += own * own / part.df;
        }
        let df = variance * variance / spare;
        let pairs = || {
            let after = |i: usize| parts[i + 1..].iter().map(move |b| (&parts[i], b));
            (0..parts.len()).flat_map(after)
        };
        let far = quantile(1.0 - 0.5 * CONTRADICTS / pairs().count().max(1) as f64);
        let contradicts =
            |(a, b): &(&Self, &Self)| (a.value - b.value).abs() > far * a.sd.hypot(b.sd);
        let apart = pairs().filter(contradicts);
        let apart = apart.map(|(a, b)| (a.value - b.value).abs());
        let sd = variance.sqrt().max(apart.fold(0.0, f64::max));
        (!parts.is_empty()).then_some((Self { value, sd, df }, shares))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn uncertainties_add_in_squares_and_soften_few_degrees_of_freedom() {
        let a = Estimate::new(1.0, 3.0, 2.0);
        let b = a.with_type_b(4.0);
        assert!((b.sd - 5.0).abs() < 1e-12);
        // Welch and Satterthwaite: 5^4 / (3^4 / 2).
        assert!((b.df - 2.0 * 625.0 / 81.0).abs() < 1e-9);
    }

    #[test]
    fn estimates_that_agree_are_sharper_together_and_ones_that_do_not_are_not() {
        let at = |value| Estimate::new(value, 1.0, 20.0);
        let agree = Estimate::pooled(&[at(5.0), at(5.2), at(4.8), at(5.1)]).unwrap();
        assert!((agree.sd - 0.5).abs() < 1e-9);
        let differ = Estimate::pooled(&[at(0.0), at(10.0)]).unwrap();
        assert!(
            (differ.value - 5.0).abs() < 1e-9 && differ.sd > 4.5,
            "{differ:?}"
        );
        assert_eq!(Estimate::pooled(&[]), None);
        assert_eq!(Estimate::believed(&[]), None);
    }

    #[test]
    fn the_interval_widens_by_no_jumps_as_two_estimates_part() {
        let half = |apart: f64| {
            let at = |value| Estimate::new(value, 1.0, 20.0);
            let (lo, hi) = Estimate::pooled(&[at(0.0), at(apart)])
                .unwrap()
                .interval(0.9);
            0.5 * (hi - lo)
        };
        let mut before = half(0.0);
        assert!((before - 1.19).abs() < 0.01, "two of one sd: {before}");
        for i in 1..=600 {
            let now = half(0.01 * f64::from(i));
            assert!(
                now >= before - 1e-9 && now < 1.03 * before,
                "{i}: {before} {now}"
            );
            before = now;
        }
        // Six standard deviations apart two values say little: half their distance, with one degree of freedom.
        assert!(before > 3.0 * 4.0, "{before}");
    }

    #[test]
    fn a_sure_instrument_is_not_unsettled_by_a_vague_one() {
        let of = |value, sd| Estimate::new(value, sd, f64::INFINITY);
        let (both, shares) = Estimate::believed(&[of(-3.0, 0.6), of(3.0, 4.6)]).unwrap();
        assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        // By hand: weights 2.7778 and 0.04726.
        assert!(
            (both.value + 2.8996).abs() < 1e-3 && (both.sd - 0.5950).abs() < 1e-3,
            "{both:?}"
        );
        assert!(both.df.is_infinite());
    }

    #[test]
    fn two_instruments_that_contradict_each_other_leave_room_for_both() {
        let of = |value| Estimate::new(value, 0.6, f64::INFINITY);
        let (both, _) = Estimate::believed(&[of(-11.0), of(-19.0)]).unwrap();
        let (lo, hi) = both.interval(0.9);
        assert!(lo < -19.0 && hi > -11.0, "{both:?}");
        let (agree, _) = Estimate::believed(&[of(-11.0), of(-12.0)]).unwrap();
        assert!(agree.sd < 0.6, "{agree:?}");
    }
}
