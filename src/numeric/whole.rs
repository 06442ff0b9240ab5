//! Whole counts of figures.

/// Returns the whole part of a figure as a count: truncated, 0 for NaN and below 0, and no more than the largest count.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a cast saturates, and makes 0 of NaN"
)]
#[inline]
pub fn floor(v: f64) -> usize {
    v as usize
}

#[cfg(test)]
mod tests {
    use super::floor;

    #[test]
    fn what_is_no_count_becomes_the_nearest_one() {
        let cases = [
            (2.99, 2),
            (-0.5, 0),
            (-3.0, 0),
            (f64::NAN, 0),
            (f64::INFINITY, usize::MAX),
        ];
        for (figure, count) in cases {
            assert_eq!(floor(figure), count, "{figure}");
        }
    }
}
