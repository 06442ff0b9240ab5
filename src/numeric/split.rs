//! Figures in two groups (Otsu 1979; from memory).

/// Returns how many of figures sorted upwards are in the lower group, by the split that explains most of their
/// variance; 0 where they are all alike.
pub fn lower_group(sorted: &[f64]) -> usize {
    let (n, total) = (sorted.len() as f64, sorted.iter().sum::<f64>());
    let (mut low, mut best) = (0.0, (0.0, 0));
    for (i, v) in (1..sorted.len()).zip(sorted) {
        low += v;
        let k = i as f64;
        let between = k * (n - k) * ((total - low) / (n - k) - low / k).powi(2);
        if between > best.0 {
            best = (between, i);
        }
    }
    best.1
}

#[cfg(test)]
mod tests {
    use super::lower_group;

    #[test]
    fn the_gap_parts_the_groups() {
        assert_eq!(lower_group(&[0.1, 0.2, 0.25, 3.0, 3.5]), 3);
        assert_eq!(lower_group(&[1.0, 7.0, 7.0]), 1);
        for alike in [&[][..], &[2.0], &[2.0, 2.0]] {
            assert_eq!(lower_group(alike), 0, "{alike:?}");
        }
    }
}
