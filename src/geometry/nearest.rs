//! Which points of two sets belong together: each with the nearest of the other, and with one alone.

use super::Point;

/// Pairs the points of two sets that lie less than `within` apart, the nearest first and each once.
///
/// Gives indices (into `ones`, into `others`) in the order of `ones`; points without a partner are left out.
pub fn nearest_pairs(ones: &[Point], others: &[Point], within: f64) -> Vec<(usize, usize)> {
    let mut close: Vec<(f64, usize, usize)> = Vec::new();
    for (i, one) in ones.iter().enumerate() {
        for (j, other) in others.iter().enumerate() {
            let distance = one.distance(*other);
            if distance < within {
                close.push((distance, i, j));
            }
        }
    }
    close.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut taken_one, mut taken_other) = (vec![false; ones.len()], vec![false; others.len()]);
    let mut pairs = Vec::new();
    for (_, i, j) in close {
        if !taken_one[i] && !taken_other[j] {
            (taken_one[i], taken_other[j]) = (true, true);
            pairs.push((i, j));
        }
    }
    pairs.sort_unstable();
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_are_paired_whatever_their_order_and_nobody_twice() {
        let row: Vec<Point> = (0..6)
            .map(|i| Point::new(1.5 * f64::from(i), 0.0))
            .collect();
        let turned: Vec<Point> = row.iter().rev().copied().collect();
        let pairs = nearest_pairs(&row, &turned, 2.0);
        assert_eq!(pairs, (0..6).map(|i| (i, 5 - i)).collect::<Vec<_>>());

        let one = [Point::new(0.0, 0.0), Point::new(1.0, 0.0)];
        let other = [Point::new(0.9, 0.0)];
        assert_eq!(nearest_pairs(&one, &other, 2.0), [(1, 0)]);
        assert_eq!(nearest_pairs(&one, &[Point::new(3.5, 0.0)], 2.0), []);
    }
}
