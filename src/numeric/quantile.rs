//! Sample quantiles by linear interpolation (Hyndman and Fan 1996, definition 7).

use super::whole;

/// Returns the `p`-quantile (0..=1) of `values`; NaN for an empty slice.
pub fn quantile(values: &[f64], p: f64) -> f64 {
    let mut values = values.to_vec();
    let Some(last) = values.len().checked_sub(1) else {
        return f64::NAN;
    };
    let (i, share) = rank(p, last);
    // two order statistics are wanted: no need to sort them all
    let (_, at, above) = values.select_nth_unstable_by(i, f64::total_cmp);
    let at = *at;
    let next = above.iter().copied().min_by(f64::total_cmp).unwrap_or(at);
    at + share * (next - at)
}

/// Returns the `p`-quantile (0..=1) of values already sorted upwards; NaN for an empty slice.
pub fn of_sorted(sorted: &[f64], p: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else {
        return f64::NAN;
    };
    let (i, share) = rank(p, last);
    let next = sorted[(i + 1).min(last)];
    sorted[i] + share * (next - sorted[i])
}

/// Returns the order statistic below the `p`-quantile of `last + 1` values, and the share of the
/// way to the next.
fn rank(p: f64, last: usize) -> (usize, f64) {
    let h = p.clamp(0.0, 1.0) * last as f64;
    let below = whole::floor(h);
    (below, h - below as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_interpolate_between_order_statistics() {
        let v = [4.0, 1.0, 3.0, 2.0];
        assert!((quantile(&v, 0.0) - 1.0).abs() < 1e-15);
        assert!((quantile(&v, 0.5) - 2.5).abs() < 1e-15);
        assert!((quantile(&v, 0.9) - 3.7).abs() < 1e-12);
        assert!(quantile(&[], 0.5).is_nan());
        let sorted = [1.0, 2.0, 3.0, 4.0];
        for p in [0.0, 0.1, 0.5, 0.77, 1.0] {
            assert!((quantile(&v, p) - of_sorted(&sorted, p)).abs() < 1e-15);
        }
    }
}
