//! A function given by points, read between them by straight lines.

/// Returns y at `x` on the points `(x, y)`, joined by straight lines and held beyond both ends.
///
/// The points must have rising x; where two share one x the later counts. Without points the
/// answer is NaN.
pub fn read_polyline(points: &[(f64, f64)], x: f64) -> f64 {
    let after = points.partition_point(|p| p.0 <= x);
    match (points.get(after.wrapping_sub(1)), points.get(after)) {
        (Some(&(x0, y0)), Some(&(x1, y1))) => y0 + (y1 - y0) * (x - x0) / (x1 - x0),
        (Some(&(_, y)), None) | (None, Some(&(_, y))) => y,
        (None, None) => f64::NAN,
    }
}

#[cfg(test)]
#[expect(clippy::float_cmp, reason = "chosen so that every step is exact")]
mod tests {
    use super::*;

    #[test]
    fn points_are_read_between_and_held_beyond() {
        let points = [(0.0, 10.0), (1.0, 20.0), (3.0, 0.0)];
        assert_eq!(read_polyline(&points, -5.0), 10.0);
        assert_eq!(read_polyline(&points, 0.5), 15.0);
        assert_eq!(read_polyline(&points, 1.0), 20.0);
        assert_eq!(read_polyline(&points, 2.0), 10.0);
        assert_eq!(read_polyline(&points, 9.0), 0.0);
    }

    #[test]
    fn a_step_takes_the_later_value_and_nothing_gives_nothing() {
        let step = [(0.0, 1.0), (1.0, 1.0), (1.0, 5.0), (2.0, 5.0)];
        assert_eq!(read_polyline(&step, 1.0), 5.0);
        assert!((read_polyline(&step, 0.999) - 1.0).abs() < 1e-12);
        assert!(read_polyline(&[], 1.0).is_nan());
    }
}
