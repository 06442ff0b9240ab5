//! Repeats in one place as one figure, and bounded work however many samples come.
//!
//! The cost of a map grows with the third power of the places that were scored. Slices of one test in exactly
//! one place are merged without loss; where a file of samples still holds more than [`MOST`] places, neighbours
//! are merged too, in squares as small as that allows, and the report says so.

use super::map::{Bound, Observation};
use std::collections::BTreeMap;

/// Most places a map is made from.
pub const MOST: usize = 240;
/// Places closer than this are one, cm.
const SAME: f64 = 1e-4;
/// First side of the squares that neighbours are merged in, cm, and by how much it grows.
const FIRST_SIDE: f64 = 0.5;
const GROWTH: f64 = 1.25;

/// One figure: a slice, or the mean of several in one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Datum {
    /// Where, and what was seen there (the mean of the repeats).
    pub(super) seen: Observation,
    /// How many slices it stands for.
    pub(super) repeats: f64,
    /// Sum of the squares of their differences from their mean, B squared.
    pub(super) within: f64,
}

impl Datum {
    /// Returns the variance of one of its slices at slice-to-slice scatter `scatter`.
    pub(super) fn variance(&self, scatter: f64) -> f64 {
        self.seen.sd * self.seen.sd + scatter * scatter
    }
}

/// Merges repeats in one place, and neighbours where there are more than [`MOST`] places.
///
/// Also returns which datum each observation went into.
pub(super) fn merge(observations: &[Observation]) -> (Vec<Datum>, Vec<usize>) {
    let mut side = SAME;
    loop {
        let (data, into) = merged(observations, side);
        if data.len() <= MOST {
            return (data, into);
        }
        side = (side * GROWTH).max(FIRST_SIDE);
    }
}

fn merged(observations: &[Observation], side: f64) -> (Vec<Datum>, Vec<usize>) {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "places in a cavity in steps far larger than one in 2^63"
    )]
    let step = |v: f64| (v / side).round() as i64;
    let exactly = side <= SAME;
    let mut groups: BTreeMap<_, Vec<usize>> = BTreeMap::new();
    for (i, o) in observations.iter().enumerate() {
        // repeats are one figure only where their errors are alike
        let alike = if exactly {
            [o.sd, o.width, o.depth].map(f64::to_bits)
        } else {
            [0; 3]
        };
        let kind = match o.bound {
            Bound::Exact => 0,
            Bound::AtLeast => 1,
            Bound::AtMost => 2,
        };
        groups
            .entry((o.batch, o.rack, kind, step(o.y), step(o.x), alike))
            .or_default()
            .push(i);
    }
    let mut into = vec![0; observations.len()];
    let data = groups.into_values().enumerate().map(|(datum, group)| {
        for &i in &group {
            into[i] = datum;
        }
        let group: Vec<Observation> = group.into_iter().map(|i| observations[i]).collect();
        of(&group)
    });
    (data.collect(), into)
}

/// Makes one figure of a group; of bounds the one that says most.
fn of(group: &[Observation]) -> Datum {
    let n = group.len() as f64;
    let mean = |f: fn(&Observation) -> f64| group.iter().map(f).sum::<f64>() / n;
    let first = group[0];
    let fold = |f: fn(f64, f64) -> f64| group.iter().map(|o| o.browning).fold(first.browning, f);
    let (browning, repeats) = match first.bound {
        Bound::Exact => (mean(|o| o.browning), n),
        Bound::AtLeast => (fold(f64::max), 1.0),
        Bound::AtMost => (fold(f64::min), 1.0),
    };
    let within = match first.bound {
        Bound::Exact => group.iter().map(|o| (o.browning - browning).powi(2)).sum(),
        Bound::AtLeast | Bound::AtMost => 0.0,
    };
    Datum {
        seen: Observation {
            x: mean(|o| o.x),
            y: mean(|o| o.y),
            width: mean(|o| o.width),
            depth: mean(|o| o.depth),
            browning,
            sd: mean(|o| o.sd * o.sd).sqrt(),
            ..first
        },
        repeats,
        within,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: f64, browning: f64) -> Observation {
        Observation {
            rack: 1,
            x,
            y: 10.0,
            width: 10.0,
            depth: 10.0,
            browning,
            sd: 0.02,
            bound: Bound::Exact,
            batch: 0,
            lean: None,
        }
    }

    #[test]
    fn repeats_in_one_place_are_their_mean_and_keep_how_they_differ() {
        let (data, into) = merge(&[at(10.0, 0.5), at(20.0, 0.6), at(10.0, 0.7)]);
        assert_eq!((data.len(), into[0]), (2, into[2]));
        let both = data.iter().find(|d| d.repeats > 1.5).unwrap();
        assert!((both.seen.browning - 0.6).abs() < 1e-12);
        assert!((both.within - 0.02).abs() < 1e-12);
    }

    #[test]
    fn twenty_thousand_samples_become_some_hundred() {
        let many: Vec<Observation> = (0..20_000_u32)
            .map(|i| Observation {
                y: f64::from(i % 400) * 0.1,
                ..at(f64::from(i / 400), 0.5)
            })
            .collect();
        let (data, _) = merge(&many);
        assert!(
            data.len() <= MOST && data.len() > MOST / 3,
            "{}",
            data.len()
        );
        let whole: f64 = data.iter().map(|d| d.repeats).sum();
        assert!((whole - 20_000.0).abs() < 1e-9);
    }
}
