//! Sample quantiles by linear interpolation (Hyndman and Fan 1996, definition 7).

/// Returns the `p`-quantile (0..=1) of `values`; NaN for an empty slice.
pub fn quantile(values: &[f64], p: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    of_sorted(&sorted, p)
}

/// Returns the `p`-quantile (0..=1) of values already sorted upwards; NaN for an empty slice.
pub fn of_sorted(sorted: &[f64], p: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else {
        return f64::NAN;
    };
    let h = p.clamp(0.0, 1.0) * last as f64;
    let below = h.floor();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0 <= below <= last"
    )]
    let i = below as usize;
    let next = sorted[(i + 1).min(last)];
    sorted[i] + (h - below) * (next - sorted[i])
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
    }
}
