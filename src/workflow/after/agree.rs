//! Whether several bakes agree that the map is off.
//!
//! Each bake's scores are held against the map, its level fitted, and standardised. The statistic is the mean
//! product of the residuals of two bakes at the same place: scatter of single pieces cancels in it, an error of
//! the map does not. What it may be while the map is right *within its own uncertainty* is told by joint samples
//! of the map with the eye's error added (parametric bootstrap; Davison and Hinkley 1997, ch. 4, from memory).

use super::stays::{Stay, stays_of, went_otherwise};
use crate::{
    field::Fit,
    model::{
        BakeLog, Oven, PlaceName,
        shade::{SATURATED_SHADE, score_sd_shade},
    },
    numeric::random::Stream,
};
use std::collections::BTreeMap;

/// Bakes needed before anything is said of the map.
pub const FEWEST_BAKES: usize = 3;
/// Pairs of scores at the same place needed.
const FEWEST_PAIRS: usize = 12;
/// Places closer than this are the same, cm: about a piece of food.
const SAME_PLACE: f64 = 8.0;
/// Level of the test: how often a right map is called off.
pub const LEVEL: f64 = 0.05;
/// Joint samples of the map.
const SAMPLES: usize = 400;

/// What several bakes say of the map.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// Too few bakes were scored, or too few of the same places.
    TooLittle {
        /// Bakes with at least two places scored.
        bakes: usize,
        /// Pairs of scores at the same place.
        pairs: usize,
    },
    /// They do not contradict the map.
    Fits {
        /// Bakes that count.
        bakes: usize,
        /// Chance of as much agreement while the map is right.
        p: f64,
    },
    /// They agree that the map is off.
    Off {
        /// Bakes that count.
        bakes: usize,
        /// Chance of as much agreement while the map is right.
        p: f64,
        /// Rack position and place that is furthest off.
        place: (u8, PlaceName),
        /// How much darker (lighter below 0) it comes out there, shades.
        by: f64,
    },
}

struct Piece {
    bake: usize,
    stays: Vec<Stay>,
    /// Indices of the stays' places among the points.
    points: Vec<usize>,
    shade: f64,
}

impl Piece {
    /// The stay in which it browned most.
    fn main(&self) -> Option<&Stay> {
        self.stays.iter().max_by(|a, b| a.share.total_cmp(&b.share))
    }
}

/// Asks bakes of one oven in one mode whether its map is off; bakes that are in the map already are left out, and those
/// scored from photos: what the light leaves in them passes for an agreement. One that cannot be held against its plan
/// tells nothing here either.
pub fn agree(oven: &Oven, fit: &Fit, bakes: &[&BakeLog], seed: u64) -> Verdict {
    let (pieces, points) = gather(oven, bakes);
    let mut of: Vec<usize> = pieces.iter().map(|p| p.bake).collect();
    of.dedup();
    let pairs = pairs(&pieces);
    if of.len() < FEWEST_BAKES || pairs.len() < FEWEST_PAIRS {
        return Verdict::TooLittle {
            bakes: of.len(),
            pairs: pairs.len(),
        };
    }
    let samples = fit.samples(&points, SAMPLES, seed);
    let exposure = |sample: &[f64]| -> Vec<f64> {
        pieces
            .iter()
            .map(|p| {
                let parts = p.stays.iter().zip(&p.points);
                parts.map(|(s, i)| s.share * sample[*i]).sum()
            })
            .collect()
    };
    let exposures: Vec<Vec<f64>> = samples
        .iter()
        .filter(|s| s.iter().all(|v| v.is_finite()))
        .map(|s| exposure(s))
        .collect();
    if exposures.is_empty() {
        return Verdict::TooLittle {
            bakes: of.len(),
            pairs: 0,
        };
    }
    let count = exposures.len() as f64;
    let mean: Vec<f64> = (0..pieces.len())
        .map(|i| exposures.iter().map(|e| e[i]).sum::<f64>() / count)
        .collect();
    let statistic =
        |r: &[f64]| pairs.iter().map(|(i, j)| r[*i] * r[*j]).sum::<f64>() / pairs.len() as f64;
    let shades: Vec<f64> = pieces.iter().map(|p| p.shade).collect();
    let residuals = off_level(&pieces, &mean, &shades);
    let seen = statistic(&residuals);
    let levels = levels(&pieces, &mean, &shades);
    let mut stream = Stream::new(seed);
    let as_much = exposures
        .iter()
        .filter(|e| {
            let made: Vec<f64> = pieces
                .iter()
                .zip(e.iter())
                .map(|(p, e)| levels[p.bake] * e + score_sd_shade() * stream.normal())
                .collect();
            statistic(&off_level(&pieces, &mean, &made)) >= seen
        })
        .count();
    let p = (as_much as f64 + 1.0) / (count + 1.0);
    match worst(oven, &pieces, &residuals) {
        Some((place, by)) if p <= LEVEL => Verdict::Off {
            bakes: of.len(),
            p,
            place,
            by,
        },
        Some(_) | None => Verdict::Fits { bakes: of.len(), p },
    }
}

/// The pieces scored at the end of each bake, and every place they were in.
fn gather(oven: &Oven, bakes: &[&BakeLog]) -> (Vec<Piece>, Vec<(u8, f64, f64)>) {
    let mut known: BTreeMap<(u8, i64, i64), usize> = BTreeMap::new();
    let (mut pieces, mut points) = (Vec::new(), Vec::new());
    for (bake, log) in bakes
        .iter()
        .enumerate()
        .filter(|(_, b)| !b.in_map && b.photos.is_empty() && went_otherwise(b).is_none())
    {
        let usable = log
            .pieces
            .iter()
            .filter(|p| p.pulled.is_none() && p.shade.value() < SATURATED_SHADE);
        let stays = stays_of(log, oven);
        let scored: Vec<_> = usable
            .map(|p| (p, stays((p.tray, p.row, p.col))))
            .filter(|(_, stays)| !stays.is_empty())
            .collect();
        if scored.len() < 2 {
            continue;
        }
        for (piece, stays) in scored {
            let at = stays
                .iter()
                .map(|s| {
                    *known
                        .entry((s.rack, tenths(s.x), tenths(s.y)))
                        .or_insert_with(|| {
                            points.push((s.rack, s.x, s.y));
                            points.len() - 1
                        })
                })
                .collect();
            pieces.push(Piece {
                bake,
                stays,
                points: at,
                shade: piece.shade.value(),
            });
        }
    }
    (pieces, points)
}

#[expect(clippy::cast_possible_truncation, reason = "a place inside an oven")]
fn tenths(cm: f64) -> i64 {
    (cm * 10.0).round() as i64
}

/// Pairs of pieces of two bakes that browned mostly in the same place.
fn pairs(pieces: &[Piece]) -> Vec<(usize, usize)> {
    let near = |a: &Stay, b: &Stay| a.rack == b.rack && (a.x - b.x).hypot(a.y - b.y) < SAME_PLACE;
    let mut out = Vec::new();
    for (i, a) in pieces.iter().enumerate() {
        for (j, b) in pieces.iter().enumerate().skip(i + 1) {
            if let (true, Some(at), Some(bt)) = (a.bake != b.bake, a.main(), b.main())
                && near(at, bt)
            {
                out.push((i, j));
            }
        }
    }
    out
}

/// Shades per unit of exposure of each bake, by least squares.
fn levels(pieces: &[Piece], exposure: &[f64], shades: &[f64]) -> Vec<f64> {
    let bakes = pieces.iter().map(|p| p.bake + 1).max().unwrap_or(0);
    let mut sums = vec![(0.0, 0.0); bakes];
    for ((p, e), s) in pieces.iter().zip(exposure).zip(shades) {
        sums[p.bake].0 += e * s;
        sums[p.bake].1 += e * e;
    }
    let level = |(xy, xx): (f64, f64)| if xx > 0.0 { xy / xx } else { 0.0 };
    sums.into_iter().map(level).collect()
}

/// Shades less what the map expects at each bake's own level.
fn off_level(pieces: &[Piece], exposure: &[f64], shades: &[f64]) -> Vec<f64> {
    let levels = levels(pieces, exposure, shades);
    let rows = pieces.iter().zip(exposure).zip(shades);
    rows.map(|((p, e), s)| s - levels[p.bake] * e).collect()
}

/// The place with the largest mean residual over at least two scores.
fn worst(oven: &Oven, pieces: &[Piece], residuals: &[f64]) -> Option<((u8, PlaceName), f64)> {
    let mut places: Vec<((u8, PlaceName), Vec<f64>)> = Vec::new();
    for (piece, residual) in pieces.iter().zip(residuals) {
        let at = piece.main()?;
        let name = PlaceName::of(at.x, at.y, oven.cavity.width.0, oven.cavity.depth.0);
        match places.iter_mut().find(|(p, _)| *p == (at.rack, name)) {
            Some((_, all)) => all.push(*residual),
            None => places.push(((at.rack, name), vec![*residual])),
        }
    }
    places
        .into_iter()
        .filter(|(_, all)| all.len() >= 2)
        .map(|(place, all)| (place, all.iter().sum::<f64>() / all.len() as f64))
        .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
}
