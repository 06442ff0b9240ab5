//! Evenness of a rack position: spread, standard deviation and the share that is about right.
//!
//! Every figure is taken over joint samples of the map, so its interval carries what the slices
//! leave open; quantiles of the area stand for lightest and darkest, so adding slices does not widen
//! the spread (as published browning-evenness tests for household ovens compare lightest and
//! darkest: IEC 60350-1, from memory; this is not a conformity test).

use super::{
    Fit,
    map::{Evenness, FieldMap, RackMap, Range, UNSEEN},
    zones::{Reading, lattice},
};
use crate::numeric::{normal::Z90, quantile::of_sorted};

/// Joint samples behind each figure.
const SAMPLES: usize = 300;

/// A contrast this many standard deviations from nothing is told; the largest of many cells strays
/// further than one does.
const TOLD: f64 = 2.6;

/// Computes the evenness of every mapped rack position.
///
/// A draw of a map is never quite flat, so where no part surely differs from the rack's mean the lower
/// ends are set to what an even rack has.
pub fn evenness(fit: &Fit, map: &FieldMap, reading: &Reading) -> Vec<Evenness> {
    map.racks
        .iter()
        .map(|rack| evenness_of(fit, rack, reading))
        .collect()
}

/// Computes the evenness of one mapped rack position, as [`evenness`] does.
pub fn evenness_of(fit: &Fit, rack: &RackMap, reading: &Reading) -> Evenness {
    let points = lattice(rack.rack, &rack.grid);
    let samples = fit.samples(&points, SAMPLES, reading.seed);
    let figures: Vec<[f64; 4]> = samples.iter().map(|s| figures(s, reading)).collect();
    let column = |k: usize| Range::of_samples(&figures.iter().map(|f| f[k]).collect::<Vec<_>>());
    let told = rack
        .contrast
        .iter()
        .zip(&rack.contrast_sd)
        .any(|(c, sd)| c.abs() > TOLD * sd);
    let from_even = |r: Range| Range {
        lo: if told { r.lo } else { 0.0 },
        hi: r.value + UNSEEN * (r.hi - r.value),
        ..r
    };
    let sd_c = column(3);
    let scale = Z90 * reading.per_c_relative_sd * sd_c.value;
    let (below, above) = (
        (sd_c.value - sd_c.lo).hypot(scale),
        (sd_c.hi - sd_c.value).hypot(scale),
    );
    let within = column(2);
    Evenness {
        rack: rack.rack,
        spread: from_even(column(0)),
        sd: from_even(column(1)),
        sd_c: from_even(Range {
            value: sd_c.value,
            lo: (sd_c.value - below).max(0.0),
            hi: sd_c.value + above,
        }),
        within_half: Range {
            hi: if told { within.hi } else { 1.0 },
            ..within
        },
        relative_sd: column(1).value * reading.per_shade / rack.rack_mean.max(reading.per_shade),
    }
}

/// Spread (shades), sd (shades), share within half a shade, sd as degrees (C) of one sample.
fn figures(sample: &[f64], reading: &Reading) -> [f64; 4] {
    let n = sample.len() as f64;
    let mean = sample.iter().sum::<f64>() / n;
    let sd_of = |f: &dyn Fn(f64) -> f64| {
        let m = sample.iter().map(|&b| f(b)).sum::<f64>() / n;
        (sample.iter().map(|&b| (f(b) - m).powi(2)).sum::<f64>() / n).sqrt()
    };
    let mut sorted = sample.to_vec();
    sorted.sort_by(f64::total_cmp);
    let spread = of_sorted(&sorted, 0.95) - of_sorted(&sorted, 0.05);
    let near = sample
        .iter()
        .filter(|&&b| (b - mean).abs() <= 0.5 * reading.per_shade)
        .count();
    let level = mean.max(reading.per_shade);
    [
        spread / reading.per_shade,
        sd_of(&|b| b) / reading.per_shade,
        near as f64 / n,
        sd_of(&|b| (b / level).max(0.05).ln()) / reading.per_c,
    ]
}
