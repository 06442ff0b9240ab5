//! Whether a toast test of a pool was laid out, or scored, the other way round.

use super::observe::{exact_on, racks_of};
use crate::{
    compare::SAME_PLACE,
    field::Observation,
    geometry::{Point, nearest_pairs},
};
use statrs::distribution::{ContinuousCDF, FisherSnedecor};

/// Places that must be on record both ways before the two are set beside each other.
const FEWEST: usize = 6;
/// Chance with which slices alone would make the other way fit so much better; there are three ways.
const BY_CHANCE: f64 = 0.001;

/// Error that no reading is free of, B: under a tenth of a shade.
const UNTOLD: f64 = 0.01;

/// The ways a test may lie: left for right, back for front, and both.
const WAYS: [(bool, bool); 3] = [(true, false), (false, true), (true, true)];

/// Returns the tests, by their place in the pool, that fit the others far better the other way round.
///
/// The two ways are set beside each other by what each leaves of the differences, so neither scatter nor level counts.
pub(super) fn other_way_round(observations: &[Observation]) -> Vec<usize> {
    let batches = observations.iter().map(|o| o.batch + 1).max().unwrap_or(0);
    // Of two tests neither is the odd one: the later is named.
    let first = usize::from(batches == 2);
    let lies_wrong = |batch: &usize| {
        let mut ways = WAYS.into_iter();
        ways.any(|way| better(observations, *batch, way) > 1.0 - BY_CHANCE)
    };
    (first..batches).filter(lies_wrong).collect()
}

/// Returns how surely a test fits the others better mirrored along x, along y, or along both: 0 to 1, 0 where too little
/// is on record.
fn better(observations: &[Observation], batch: usize, along: (bool, bool)) -> f64 {
    let batches = observations.iter().map(|o| o.batch + 1).max().unwrap_or(0);
    let (mut laid, mut mirrored) = (Vec::new(), Vec::new());
    for rack in racks_of(observations) {
        let here = exact_on(observations, rack, batch);
        let places: Vec<Point> = here.iter().map(|o| Point::new(o.x, o.y)).collect();
        let there = nearest_pairs(&places, &flipped(&places, along), SAME_PLACE);
        for (i, j) in there {
            let others = (0..batches).filter(|b| *b != batch);
            let others: Vec<f64> = others
                .filter_map(|b| at(&exact_on(observations, rack, b), places[i]))
                .collect();
            if !others.is_empty() {
                let mean = others.iter().sum::<f64>() / others.len() as f64;
                laid.push(here[i].browning - mean);
                mirrored.push(here[j].browning - mean);
            }
        }
    }
    let free = laid.len() as f64 - 1.0;
    match FisherSnedecor::new(free, free) {
        Ok(by_chance) if laid.len() >= FEWEST => by_chance.cdf(squares(&laid) / squares(&mirrored)),
        Ok(_) | Err(_) => 0.0,
    }
}

/// Mirrors places about the middle of their extent.
fn flipped(places: &[Point], (x, y): (bool, bool)) -> Vec<Point> {
    let turned = |of: fn(&Point) -> f64, v: f64| {
        let low = places.iter().map(of).fold(f64::MAX, f64::min);
        let high = places.iter().map(of).fold(f64::MIN, f64::max);
        low + high - v
    };
    let flip = |p: &Point| {
        Point::new(
            if x { turned(|p| p.x, p.x) } else { p.x },
            if y { turned(|p| p.y, p.y) } else { p.y },
        )
    };
    places.iter().map(flip).collect()
}

/// Returns the browning of the slice that lies at a place.
fn at(slices: &[&Observation], place: Point) -> Option<f64> {
    let places: Vec<Point> = slices.iter().map(|o| Point::new(o.x, o.y)).collect();
    let (_, j) = *nearest_pairs(&[place], &places, SAME_PLACE).first()?;
    Some(slices[j].browning)
}

/// Sums the squares of what is left beside the mean, with what no reading can tell.
fn squares(values: &[f64]) -> f64 {
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    values
        .iter()
        .map(|v| (v - mean).powi(2) + UNTOLD * UNTOLD)
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{field::Bound, numeric::random::Stream};

    /// Tests of one rack of 4 x 3 places, slices scattering by 0.03 B and each test leaning; the last is mirrored or not.
    fn pool(tests: usize, mirrored: bool, lean: f64, stream: &mut Stream) -> Vec<Observation> {
        let leans: Vec<f64> = (0..tests).map(|_| lean * stream.normal()).collect();
        let mut slice = |batch: usize, i: usize| {
            let (col, row) = (i % 4, i / 4);
            let wrong = mirrored && batch == tests - 1;
            let lies_at = if wrong { 3 - col } else { col };
            Observation {
                rack: 2,
                x: 8.0 + 12.0 * col as f64,
                y: 8.0 + 12.0 * row as f64,
                width: 10.0,
                depth: 10.0,
                browning: 0.5
                    + 0.07 * lies_at as f64
                    + leans[batch] * (col as f64 - 1.5)
                    + 0.03 * stream.normal(),
                sd: 0.0,
                bound: Bound::Exact,
                batch,
                lean: None,
            }
        };
        (0..12 * tests).map(|i| slice(i / 12, i % 12)).collect()
    }

    #[test]
    fn a_mirrored_test_is_found_and_honest_ones_are_not() {
        let mut stream = Stream::new(5);
        // beside one other test alone the slices' own scatter hides half of them
        for (tests, least) in [(2, 90), (3, 180), (4, 190)] {
            let (mut found, mut wrongly) = (0, 0);
            for _ in 0..200 {
                let named = other_way_round(&pool(tests, true, 0.0, &mut stream));
                found += usize::from(named == [tests - 1]);
                // photos lean, and a lean is no mirror
                let honest = other_way_round(&pool(tests, false, 0.02, &mut stream));
                wrongly += usize::from(!honest.is_empty());
            }
            assert!(
                found >= least && wrongly <= 3,
                "{tests} tests: {found} {wrongly}"
            );
        }
    }
}
