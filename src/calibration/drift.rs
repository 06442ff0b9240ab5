//! Drift over months: a slope that no outlier moves, a test whether there is one, and jumps at visits.
//!
//! Slope: median of all slopes between two points (Theil 1950), its interval after Sen 1968. Test:
//! Mann 1945 and Kendall 1955, variance with ties, normal with continuity correction; exact for short
//! series without ties. Held to scipy and to published small examples in
//! `tests/reference_calibration.rs`.

use super::{
    error::{CalibrationError, finite},
    estimate::Estimate,
};
use crate::numeric::{normal, quantile::of_sorted, student, whole};

/// Up to this many points without ties the test is exact.
const MOST_EXACT: usize = 30;

/// A slope by the median of all slopes between two points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// The slope.
    pub value: f64,
    /// Lower end of its interval.
    pub lo: f64,
    /// Upper end of its interval.
    pub hi: f64,
    /// The line through the medians at x = 0.
    pub intercept: f64,
}

/// Returns the slope of points `(x, y)` with its interval of `level`.
///
/// # Errors
/// [`CalibrationError`] for fewer than three points, or points at one x.
pub fn slope(points: &[(f64, f64)], level: f64) -> Result<Slope, CalibrationError> {
    const NEED: usize = 3;
    if points.len() < NEED {
        return Err(CalibrationError::TooFew {
            what: "dated offsets",
            have: points.len(),
            answer: "a drift",
            need: NEED,
        });
    }
    let mut slopes = Vec::new();
    for (i, a) in points.iter().enumerate() {
        finite("a date", a.0)?;
        finite("an offset", a.1)?;
        for b in &points[..i] {
            let dx = a.0 - b.0;
            if dx.abs() > 0.0 {
                slopes.push((a.1 - b.1) / dx);
            }
        }
    }
    if slopes.is_empty() {
        return Err(CalibrationError::OnePlace(points[0].0));
    }
    slopes.sort_by(f64::total_cmp);
    let column = |pick: fn(&(f64, f64)) -> f64| {
        let mut values: Vec<f64> = points.iter().map(pick).collect();
        values.sort_by(f64::total_cmp);
        values
    };
    let (xs, ys) = (column(|p| p.0), column(|p| p.1));
    let value = of_sorted(&slopes, 0.5);
    let pairs = slopes.len() as f64;
    let reach = normal::quantile(0.5 + 0.5 * level) * variance(&[&xs, &ys]).sqrt();
    // Ranks as in scipy: halves go to the even neighbour.
    let upper = f64::midpoint(pairs, reach)
        .round_ties_even()
        .min(pairs - 1.0);
    let lower = (((pairs - reach) / 2.0).round_ties_even() - 1.0).max(0.0);
    Ok(Slope {
        value,
        lo: slopes[whole::floor(lower)],
        hi: slopes[whole::floor(upper)],
        intercept: of_sorted(&ys, 0.5) - value * of_sorted(&xs, 0.5),
    })
}

/// Variance of the score S of sorted columns of one length: [n(n-1)(2n+5) - sum t(t-1)(2t+5)] / 18.
fn variance(sorted: &[&[f64]]) -> f64 {
    let term = |n: usize| {
        let n = n as f64;
        n * (n - 1.0) * (2.0 * n + 5.0)
    };
    let n = sorted.first().map_or(0, |c| c.len());
    let ties: f64 = sorted
        .iter()
        .flat_map(|column| column.chunk_by(|a, b| a.total_cmp(b).is_eq()))
        .map(|alike| term(alike.len()))
        .sum();
    (term(n) - ties) / 18.0
}

/// Whether values rise or fall with time, by the order alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend {
    /// Pairs that rise less pairs that fall.
    pub score: i64,
    /// Variance of the score without a trend, ties counted.
    pub variance: f64,
    /// Score less one, in standard deviations.
    pub z: f64,
    /// Two-sided probability by the normal approximation.
    pub p_normal: f64,
    /// Two-sided probability, exact for a short series without ties.
    pub p: f64,
    /// Kendall's tau (b where there are ties), -1..1.
    pub tau: f64,
}

/// Tests whether `(x, y)` has a trend in y along x.
///
/// # Errors
/// [`CalibrationError`] for fewer than three points.
pub fn trend(points: &[(f64, f64)]) -> Result<Trend, CalibrationError> {
    const NEED: usize = 3;
    let n = points.len();
    if n < NEED {
        return Err(CalibrationError::TooFew {
            what: "dated offsets",
            have: n,
            answer: "a trend",
            need: NEED,
        });
    }
    let (mut score, mut tied_x, mut tied_y) = (0_i64, 0.0, 0.0);
    for (i, a) in points.iter().enumerate() {
        for b in &points[..i] {
            let (dx, dy) = (a.0.total_cmp(&b.0) as i64, a.1.total_cmp(&b.1) as i64);
            score += dx * dy;
            tied_x += f64::from(u8::from(dx == 0));
            tied_y += f64::from(u8::from(dy == 0));
        }
    }
    let sorted = |pick: fn(&(f64, f64)) -> f64| {
        let mut values: Vec<f64> = points.iter().map(pick).collect();
        values.sort_by(f64::total_cmp);
        values
    };
    let variance = variance(&[&sorted(|p| p.0), &sorted(|p| p.1)]);
    #[expect(clippy::cast_precision_loss, reason = "a count of pairs")]
    let s = score as f64;
    let z = if score == 0 || variance <= 0.0 {
        0.0
    } else {
        (s - s.signum()) / variance.sqrt()
    };
    let p_normal = (2.0 * normal::cdf(-z.abs())).min(1.0);
    let pairs = (n * (n - 1)) as f64 / 2.0;
    let whole = ((pairs - tied_x) * (pairs - tied_y)).sqrt();
    let ties = tied_x + tied_y > 0.0;
    Ok(Trend {
        score,
        variance,
        z,
        p_normal,
        p: if ties || n > MOST_EXACT {
            p_normal
        } else {
            exact(n, score)
        },
        tau: if whole > 0.0 { s / whole } else { 0.0 },
    })
}

/// Two-sided probability of a score at least as far from 0 by chance, over all orders of `n` values.
///
/// Counts orders by their number of falling pairs: `c_n(k)` = sum of c_(n-1)(k - j) for j = 0..n-1
/// (Kendall 1955).
fn exact(n: usize, score: i64) -> f64 {
    let mut shares = vec![1.0_f64];
    for size in 2..=n {
        let mut next = vec![0.0; shares.len() + size - 1];
        for (k, share) in shares.iter().enumerate() {
            for slot in &mut next[k..k + size] {
                *slot += share / size as f64;
            }
        }
        shares = next;
    }
    let most = shares.len() - 1;
    let far = usize::try_from(score.unsigned_abs()).unwrap_or(most);
    let falling = most.saturating_sub(far) / 2;
    let tail: f64 = shares[..=falling].iter().sum();
    (2.0 * tail).min(1.0)
}

/// A change from before to after a visit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jump {
    /// After less before.
    pub change: Estimate,
    /// Two-sided probability of as large a change by chance.
    pub p: f64,
}

impl Jump {
    /// Tells how likely chance makes as large a change.
    pub fn of(change: Estimate) -> Self {
        Self {
            change,
            p: student::two_sided(change.value / change.sd, change.df),
        }
    }

    /// Tells whether a change shows: its 95 % interval does not hold 0.
    pub fn shows(&self) -> bool {
        self.p < 0.05
    }
}

/// Compares offsets before and after a visit; each side's are pooled with the scatter among them.
///
/// `None` where a side has none.
pub fn jump(before: &[Estimate], after: &[Estimate]) -> Option<Jump> {
    let (a, b) = (Estimate::pooled(before)?, Estimate::pooled(after)?);
    let sd = a.sd.hypot(b.sd);
    // Welch 1947
    let parts = a.sd.powi(4) / a.df + b.sd.powi(4) / b.df;
    let df = if parts > 0.0 {
        sd.powi(4) / parts
    } else {
        f64::INFINITY
    };
    let value = b.value - a.value;
    Some(Jump::of(Estimate { value, sd, df }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_wild_value_hardly_moves_the_slope() {
        let mut points: Vec<(f64, f64)> = (0..12)
            .map(|i| (f64::from(i), f64::from(i) * 0.5))
            .collect();
        let clean = slope(&points, 0.95).unwrap();
        assert!((clean.value - 0.5).abs() < 1e-12 && clean.lo <= 0.5 && clean.hi >= 0.5);
        points[6].1 = 100.0;
        assert!((slope(&points, 0.95).unwrap().value - 0.5).abs() < 0.05);
        assert!(slope(&points[..2], 0.95).is_err());
        assert!(slope(&[(1.0, 2.0), (1.0, 3.0), (1.0, 4.0)], 0.95).is_err());
    }

    /// All 24 orders of four values: one of them rises throughout.
    #[test]
    fn the_exact_probability_counts_orders() {
        assert!((exact(4, 6) - 2.0 / 24.0).abs() < 1e-12);
        // Three of 24 orders have one falling pair, so 4 of 24 reach a score of 4 or more.
        assert!((exact(4, 4) - 8.0 / 24.0).abs() < 1e-12);
        assert!((exact(5, 0) - 1.0).abs() < 1e-12);
        let flat = trend(&[(0.0, 1.0), (1.0, 1.0), (2.0, 1.0)]).unwrap();
        assert_eq!((flat.score, flat.z.abs() < 1e-12), (0, true));
        assert!((flat.p - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_jump_is_told_only_where_the_scatter_allows() {
        let at = |value: f64, sd: f64| Estimate::new(value, sd, 30.0);
        let sure = jump(
            &[at(-10.0, 1.0), at(-11.0, 1.0)],
            &[at(-1.0, 1.0), at(0.0, 1.0)],
        )
        .unwrap();
        assert!((sure.change.value - 10.0).abs() < 1e-9 && sure.p < 1e-6);
        let unsure = jump(&[at(-10.0, 9.0)], &[at(-1.0, 9.0)]).unwrap();
        assert!(unsure.p > 0.3);
        assert_eq!(jump(&[], &[at(0.0, 1.0)]), None);
    }
}
