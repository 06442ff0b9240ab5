//! The plain check that needs no model: paired t and Wilcoxon's signed ranks over same places.
//!
//! Student 1908 for t; Wilcoxon 1945 for signed ranks, differences of nothing left out and ties given
//! their middle rank. Up to 50 pairs the distribution of the rank sum is counted out over all patterns
//! of signs, with ties as they are (half steps tie often, and a normal approximation is then rough);
//! beyond, it is taken as normal with the tie correction and without continuity correction.
//! `tests/reference_compare.rs` holds both to published and computed figures.

use crate::numeric::{normal, student};

/// Most pairs for which the rank sum is counted out.
const EXACT: usize = 50;

/// Paired t and Wilcoxon signed rank of the differences before minus after, both two-sided.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairedTests {
    /// Pairs.
    pub n: usize,
    /// Mean difference, in the unit of the values.
    pub mean: f64,
    /// Standard error of `mean`.
    pub standard_error: f64,
    /// Student's t with n - 1 degrees of freedom; 0 where no pair differs, `None` (beyond all bounds)
    /// where every pair differs by the same.
    pub t: Option<f64>,
    /// Two-sided probability of a t as large.
    pub p: f64,
    /// The smaller of the two sums of signed ranks.
    pub w: f64,
    /// Two-sided probability of a rank sum as small.
    pub p_w: f64,
}

/// Tests pairs (before, after); `None` with fewer than two of them.
pub fn paired_tests(pairs: &[(f64, f64)]) -> Option<PairedTests> {
    let n = pairs.len();
    if n < 2 {
        return None;
    }
    let differences: Vec<f64> = pairs.iter().map(|(b, a)| b - a).collect();
    let mean = differences.iter().sum::<f64>() / n as f64;
    let squares: f64 = differences.iter().map(|d| (d - mean).powi(2)).sum();
    let standard_error = (squares / (n - 1) as f64 / n as f64).sqrt();
    // Equal figures differ by rounding alone; a t of that says nothing.
    let nothing = 1e-12 * pairs.iter().fold(0.0_f64, |m, p| m.max(p.0.abs()));
    let t = if standard_error > nothing {
        Some(mean / standard_error)
    } else {
        (mean.abs() <= nothing).then_some(0.0)
    };
    let (w, p_w) = signed_ranks(&differences, nothing);
    Some(PairedTests {
        n,
        mean,
        standard_error,
        t,
        p: t.map_or(0.0, |t| student::two_sided(t, (n - 1) as f64).min(1.0)),
        w,
        p_w,
    })
}

/// Returns the smaller rank sum and its two-sided probability.
fn signed_ranks(differences: &[f64], nothing: f64) -> (f64, f64) {
    let mut kept: Vec<f64> = differences
        .iter()
        .copied()
        .filter(|d| d.abs() > nothing)
        .collect();
    if kept.is_empty() {
        return (0.0, 1.0);
    }
    kept.sort_by(|a, b| a.abs().total_cmp(&b.abs()));
    let groups = groups(&kept, nothing);
    let mut plus = 0.0;
    // Twice each rank: middle ranks are halves.
    let mut doubled = Vec::with_capacity(kept.len());
    for &(from, to) in &groups {
        let rank2 = from + to + 1;
        for d in &kept[from..to] {
            doubled.push(rank2);
            if *d > 0.0 {
                plus += rank2 as f64 / 2.0;
            }
        }
    }
    let n = kept.len() as f64;
    let all = n * (n + 1.0) / 2.0;
    let w = plus.min(all - plus);
    let p = if kept.len() <= EXACT {
        counted_out(&doubled, w)
    } else {
        let ties: f64 = groups
            .iter()
            .map(|(from, to)| ((to - from) as f64).powi(3) - (to - from) as f64)
            .sum();
        let variance = n * (n + 1.0) * (2.0 * n + 1.0) / 24.0 - ties / 48.0;
        2.0 * normal::cdf((w - all / 2.0) / variance.sqrt())
    };
    (w, p.min(1.0))
}

/// Runs of equal size (from, to) in differences sorted by size.
fn groups(sorted: &[f64], nothing: f64) -> Vec<(usize, usize)> {
    let mut out: Vec<(usize, usize)> = Vec::new();
    for (i, d) in sorted.iter().enumerate() {
        match out.last_mut() {
            Some((from, to)) if d.abs() - sorted[*from].abs() <= nothing => *to = i + 1,
            _ => out.push((i, i + 1)),
        }
    }
    out
}

/// Twice the share of all sign patterns whose positive rank sum is at most `w`.
fn counted_out(doubled_ranks: &[usize], w: f64) -> f64 {
    let whole: usize = doubled_ranks.iter().sum();
    let mut ways = vec![0.0_f64; whole + 1];
    ways[0] = 1.0;
    for &rank in doubled_ranks {
        for sum in (rank..=whole).rev() {
            ways[sum] += ways[sum - rank];
        }
    }
    let at_most: f64 = ways
        .iter()
        .enumerate()
        .take_while(|(sum, _)| *sum as f64 <= 2.0 * w + 1e-9)
        .map(|(_, ways)| ways)
        .sum();
    2.0 * at_most / 2_f64.powf(doubled_ranks.len() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn nothing_to_test_and_no_difference_are_told_apart() {
        assert_eq!(paired_tests(&[(1.0, 2.0)]), None);
        let same = paired_tests(&[(0.1, 0.1), (0.2, 0.2), (0.3, 0.3)]).unwrap();
        assert!(same.t.unwrap().abs() < 1e-12 && same.p > 0.999 && same.p_w > 0.999);
    }

    #[test]
    fn pairs_that_all_differ_by_the_same_have_no_t_and_no_chance() {
        let pairs: Vec<(f64, f64)> = (0..8).map(|i| (f64::from(i), f64::from(i) + 0.5)).collect();
        let step = paired_tests(&pairs).unwrap();
        assert_eq!((step.t, step.p, step.w), (None, 0.0, 0.0));
        // Two of the 256 patterns of signs have a rank sum of nothing.
        assert!((step.p_w - 2.0 / 256.0).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn swapping_before_and_after_turns_t_alone(
            pairs in proptest::collection::vec((0.0..9.0_f64, 0.0..9.0_f64), 3..30)
        ) {
            let here = paired_tests(&pairs).unwrap();
            let swapped: Vec<_> = pairs.iter().map(|&(b, a)| (a, b)).collect();
            let there = paired_tests(&swapped).unwrap();
            prop_assert!((here.t.unwrap() + there.t.unwrap()).abs() < 1e-9);
            prop_assert!((here.p - there.p).abs() < 1e-12);
            prop_assert!((here.w - there.w).abs() < 1e-9 && (here.p_w - there.p_w).abs() < 1e-12);
            prop_assert!((0.0..=1.0).contains(&here.p) && (0.0..=1.0).contains(&here.p_w));
        }
    }
}
