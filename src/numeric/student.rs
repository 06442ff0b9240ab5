//! Student's t distribution, on `statrs`; a normal one where the degrees of freedom are infinite.

use super::normal;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// Beyond this many degrees of freedom t and the normal distribution agree to four figures.
const AS_GOOD_AS_NORMAL: f64 = 1e5;

/// Returns the t with P(T <= t) = p for 0 < p < 1 and `df` > 0, which may be infinite.
///
/// Not a number where `df` is not above 0: there is then no interval.
pub fn quantile(p: f64, df: f64) -> f64 {
    if df > AS_GOOD_AS_NORMAL {
        return normal::quantile(p);
    }
    StudentsT::new(0.0, 1.0, df).map_or(f64::NAN, |t| t.inverse_cdf(p))
}

/// Returns how many standard errors the interval of `level` (0.95: 95 %) reaches to either side.
pub fn half_width(level: f64, df: f64) -> f64 {
    quantile(0.5 + 0.5 * level, df)
}

/// Returns P(T <= t) for `df` > 0, which may be infinite.
pub fn cdf(t: f64, df: f64) -> f64 {
    if df > AS_GOOD_AS_NORMAL {
        return normal::cdf(t);
    }
    StudentsT::new(0.0, 1.0, df).map_or(f64::NAN, |d| d.cdf(t))
}

/// Returns P(|T| >= |t|): the two-sided probability of a difference as large as `t` by chance.
pub fn two_sided(t: f64, df: f64) -> f64 {
    2.0 * cdf(-t.abs(), df)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_degrees_of_freedom_reach_further_than_the_normal() {
        // Student t, 0.975, 3 degrees of freedom: 3.18244630528 (scipy 1.17.1).
        assert!((half_width(0.95, 3.0) - 3.182_446_305_28).abs() < 1e-8);
        assert!((half_width(0.95, f64::INFINITY) - 1.959_963_985).abs() < 1e-8);
        assert!((two_sided(3.182_446_305_28, 3.0) - 0.05).abs() < 1e-9);
        assert!((two_sided(1.959_963_985, f64::INFINITY) - 0.05).abs() < 1e-9);
        assert!(quantile(0.9, 0.0).is_nan());
        assert!((cdf(quantile(0.9, 3.0), 3.0) - 0.9).abs() < 1e-9);
    }
}
