//! Whether each toast test of a pool shows the pattern that the others show.

use super::observe::{exact_on, racks_of};
use crate::{compare::SAME_PLACE, field::Observation, geometry::nearest_pairs};
use statrs::distribution::{ChiSquared, ContinuousCDF};

/// Places two tests must share before their patterns are set beside each other.
const FEWEST: usize = 6;
/// A test is said to be unlike the others where slices alone would make them differ so once in so many tests.
const BY_CHANCE: f64 = 0.001;

/// Returns the tests, by their place in the pool, whose pattern differs from that of all the others together by more than
/// slices scatter, `scatter` B each; levels do not count, nor do places that the others left out.
pub(super) fn unlike_others(observations: &[Observation], scatter: f64) -> Vec<usize> {
    let batches = observations.iter().map(|o| o.batch + 1).max().unwrap_or(0);
    let unlike = |batch: &usize| {
        let apart = apart(observations, *batch, scatter);
        let n = apart.len() as f64;
        let weight: f64 = apart.iter().map(|(_, variance)| variance.recip()).sum();
        let mean = apart.iter().map(|(d, v)| d / v).sum::<f64>() / weight;
        let squares: f64 = apart.iter().map(|(d, v)| (d - mean).powi(2) / v).sum();
        let chance = ChiSquared::new(n - 1.0).map(|chi| chi.sf(squares));
        apart.len() >= FEWEST && chance.is_ok_and(|p| p < BY_CHANCE)
    };
    // Of two tests neither is the odd one: the later is named.
    let first = if batches == 2 { 1 } else { 0 };
    (first..batches).filter(unlike).collect()
}

/// Returns for every place of a test that others share how much darker it is than their mean there, B, with the variance.
fn apart(observations: &[Observation], batch: usize, scatter: f64) -> Vec<(f64, f64)> {
    let batches = observations.iter().map(|o| o.batch + 1).max().unwrap_or(0);
    let mut out = Vec::new();
    for rack in racks_of(observations) {
        let here = exact_on(observations, rack, batch);
        let mut others: Vec<Vec<&Observation>> = vec![Vec::new(); here.len()];
        for other in (0..batches).filter(|b| *b != batch) {
            let there = exact_on(observations, rack, other);
            let at = |o: &&Observation| crate::geometry::Point::new(o.x, o.y);
            let (a, b): (Vec<_>, Vec<_>) = (
                here.iter().map(at).collect(),
                there.iter().map(at).collect(),
            );
            for (i, j) in nearest_pairs(&a, &b, SAME_PLACE) {
                others[i].push(there[j]);
            }
        }
        let variance = |o: &Observation| o.sd * o.sd + scatter * scatter;
        for (o, others) in here
            .iter()
            .zip(others)
            .filter(|(_, others)| !others.is_empty())
        {
            let n = others.len() as f64;
            let mean = others.iter().map(|o| o.browning).sum::<f64>() / n;
            let of_mean = others.iter().map(|o| variance(o)).sum::<f64>() / (n * n);
            out.push((o.browning - mean, variance(o) + of_mean));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{field::Bound, numeric::random::Stream};

    /// Three tests of one rack of 4 x 3 places, slices scattering by `sd` B; the last is laid out mirrored or not.
    fn pool(sd: f64, mirrored: bool, stream: &mut Stream) -> Vec<Observation> {
        let mut slice = |batch: usize, i: usize| {
            let (col, row) = (i % 4, i / 4);
            let lies_at = if mirrored && batch == 2 { 3 - col } else { col };
            Observation {
                rack: 2,
                x: 8.0 + 12.0 * col as f64,
                y: 8.0 + 12.0 * row as f64,
                width: 10.0,
                depth: 10.0,
                browning: 0.5 + 0.07 * lies_at as f64 + sd * stream.normal(),
                sd: 0.0,
                bound: Bound::Exact,
                batch,
                lean: None,
            }
        };
        (0..36).map(|i| slice(i / 12, i % 12)).collect()
    }

    #[test]
    fn a_mirrored_test_is_found_and_repeats_are_not() {
        let mut stream = Stream::new(5);
        let sd = 0.03;
        let (mut found, mut wrongly) = (0, 0);
        for _ in 0..200 {
            found += usize::from(unlike_others(&pool(sd, true, &mut stream), sd).contains(&2));
            wrongly += usize::from(!unlike_others(&pool(sd, false, &mut stream), sd).is_empty());
        }
        assert!(found >= 195 && wrongly <= 4, "{found} {wrongly}");
    }
}
