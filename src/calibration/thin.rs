//! Very many readings made fewer.

/// Averages neighbours where there are more than `most` readings `(seconds, C)`; returns how many went into each mean.
pub(super) fn thin(readings: &[(f64, f64)], most: usize) -> (usize, Vec<(f64, f64)>) {
    let per_bin = readings.len().div_ceil(most).max(1);
    let mean = |bin: &[(f64, f64)]| {
        let n = bin.len() as f64;
        let (t, c) = bin.iter().fold((0.0, 0.0), |s, r| (s.0 + r.0, s.1 + r.1));
        (t / n, c / n)
    };
    (per_bin, readings.chunks(per_bin).map(mean).collect())
}
