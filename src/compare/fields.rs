//! The fitted fields behind a comparison, their maps, and joint samples of both sides.

use super::{
    pairs::{RackPairs, expected_scatter},
    side::Side,
    verdict::Slope,
};
use crate::{
    field::{self, Axis, Domain, FieldError, Fit, Observation, Priors, RackMap, lattice},
    geometry::Grid,
    numeric::random::Stream,
};

/// Median strength and tilt believed of a change beside that of the pattern's own strength, B.
const REMAINDER: f64 = 0.02;
/// Joint samples of each field.
const SAMPLES: usize = 400;

/// One rack position as sampled jointly over a lattice: before and after at the level of before, in B.
pub(super) struct Samples {
    /// Each before and after.
    pub(super) both: Vec<(Vec<f64>, Vec<f64>)>,
}

/// The maps of one rack position.
pub(super) struct Maps {
    pub(super) before: RackMap,
    pub(super) after: RackMap,
    pub(super) difference: RackMap,
}

/// Pattern in common, and the change of it: a share of the pattern itself, and a remainder that is a
/// field of its own.
pub(super) struct Joined {
    common: Fit,
    remainder: Fit,
    /// How much of the pattern went or came on each rack position.
    pub(super) slopes: Vec<Slope>,
}

impl Joined {
    /// Fits pattern and change to the pairs of every rack position.
    pub(super) fn fit(racks: &[RackPairs], side: &Side<'_>) -> Result<Self, FieldError> {
        let (common, along) = along_pattern(racks, side)?;
        let mut left = Vec::new();
        for (on, (slope, pattern)) in racks.iter().zip(&along) {
            left.extend(on.pairs.iter().zip(pattern).filter_map(|(pair, &at)| {
                let change = pair.change?;
                Some(Observation {
                    browning: change.browning - slope.of_pattern(at),
                    ..change
                })
            }));
        }
        let priors = Priors {
            least: f64::NEG_INFINITY,
            scatter: scatter(side, expected_scatter(racks).1),
            swing: Axis::new(REMAINDER, 0.9, REMAINDER, 2.0, 6),
            tilt: Axis::new(REMAINDER, 1.0, REMAINDER, 2.6, 4),
            ..side.priors.clone()
        };
        Ok(Self {
            remainder: field::fit(&left, side.domain, &priors)?,
            common,
            slopes: along.into_iter().map(|(slope, _)| slope).collect(),
        })
    }

    /// Draws both sides: the common field less or plus its share of the change.
    pub(super) fn samples(
        &self,
        (on, slope): (&RackPairs, &Slope),
        domain: &Domain,
        seed: u64,
    ) -> Samples {
        let points = lattice(on.rack, &cavity(domain));
        let common = self.common.samples(&points, SAMPLES, seed);
        let remainder = self
            .remainder
            .samples(&points, SAMPLES, seed.wrapping_add(1));
        let mut stream = Stream::new(seed.wrapping_add(2));
        // A draw's place in the list tells which hyperparameters it is of: the second field is read
        // backwards so that the two are not in step.
        let both = common
            .iter()
            .zip(remainder.iter().rev())
            .map(|(c, r)| {
                let drawn = slope.drawn(&mut stream);
                let side = |share: f64| -> Vec<f64> {
                    let change = |c: f64, r: f64| drawn.of_pattern(c) + r;
                    c.iter()
                        .zip(r)
                        .map(|(&c, &r)| c + share * change(c, r))
                        .collect()
                };
                (side(on.share_before - 1.0), side(on.share_before))
            })
            .collect();
        Samples { both }
    }

    /// Maps every rack position of the pairs.
    pub(super) fn maps(&self, racks: &[RackPairs], (cols, rows): (usize, usize)) -> Vec<Maps> {
        let (common, remainder) = (self.common.map(cols, rows), self.remainder.map(cols, rows));
        racks
            .iter()
            .zip(&self.slopes)
            .filter_map(|(on, slope)| {
                let c = common.racks.iter().find(|m| m.rack == on.rack)?;
                let r = remainder.racks.iter().find(|m| m.rack == on.rack)?;
                Some(Maps {
                    before: joined(c, r, slope, (1.0, on.share_before - 1.0)),
                    after: joined(c, r, slope, (1.0, on.share_before)),
                    difference: joined(c, r, slope, (0.0, 1.0)),
                })
            })
            .collect()
    }
}

/// The change along the common pattern on a rack position, and that pattern at the place of every pair.
type Along = (Slope, Vec<f64>);

/// Returns the change along the common pattern on every rack position.
pub(super) fn slopes(racks: &[RackPairs], side: &Side<'_>) -> Result<Vec<Slope>, FieldError> {
    let (_, along) = along_pattern(racks, side)?;
    Ok(along.into_iter().map(|(slope, _)| slope).collect())
}

/// Fits the common pattern, and on every rack position the change along it.
fn along_pattern(racks: &[RackPairs], side: &Side<'_>) -> Result<(Fit, Vec<Along>), FieldError> {
    let (of_common, of_change) = expected_scatter(racks);
    let priors = Priors {
        scatter: scatter(side, of_common),
        ..side.priors.clone()
    };
    let commons: Vec<Observation> = racks
        .iter()
        .flat_map(|r| &r.pairs)
        .map(|p| p.common)
        .collect();
    let common = field::fit(&commons, side.domain, &priors)?;
    let noise = common.noise_sd() * of_change / of_common;
    let along = racks
        .iter()
        .map(|on| {
            let pattern = pattern(&common, on);
            (Slope::fit(&pattern, on, noise), pattern)
        })
        .collect();
    Ok((common, along))
}

/// What is believed of a scatter around `median`.
fn scatter(side: &Side<'_>, median: f64) -> Axis {
    Axis::new(median, side.priors.scatter.width, median, 1.4, 6)
}

/// Returns the pattern in common at the place of every pair.
fn pattern(common: &Fit, on: &RackPairs) -> Vec<f64> {
    let places: Vec<(f64, f64)> = on.pairs.iter().map(|p| (p.common.x, p.common.y)).collect();
    let read = || on.pairs.iter().map(|p| p.common.browning).collect();
    common.means(on.rack, &places).unwrap_or_else(read)
}

/// Returns `p` times the common field plus `q` times its change, of one rack position.
fn joined(common: &RackMap, remainder: &RackMap, slope: &Slope, (p, q): (f64, f64)) -> RackMap {
    let own = p + q * slope.rise;
    let mean = |c: f64, r: f64| p * c + q * (slope.of_pattern(c) + r);
    // a side is browning, which is never below zero; a difference (p = 0) may be
    let at_least = |v: f64| if p > 0.0 { v.max(0.0) } else { v };
    // The pattern's own doubt, that of the slope (as wide as Student's interval), the remainder's.
    let doubt = q * slope.doubt();
    let sd = |c_sd: f64, from_centre: f64, r_sd: f64| {
        (own.hypot(doubt) * c_sd)
            .hypot(doubt * from_centre)
            .hypot(q * r_sd)
    };
    let zip = |f: &dyn Fn(usize) -> f64| (0..common.mean.len()).map(f).collect();
    RackMap {
        rack: common.rack,
        evidence: common.evidence,
        grid: common.grid,
        mean: zip(&|i| at_least(mean(common.mean[i], remainder.mean[i]))),
        sd: zip(&|i| {
            let from_centre = common.mean[i] - slope.centre;
            sd(common.sd[i], from_centre, remainder.sd[i])
        }),
        contrast: zip(&|i| own * common.contrast[i] + q * remainder.contrast[i]),
        contrast_sd: zip(&|i| {
            sd(
                common.contrast_sd[i],
                common.contrast[i],
                remainder.contrast_sd[i],
            )
        }),
        rack_mean: at_least(mean(common.rack_mean, remainder.rack_mean)),
        rack_mean_sd: sd(
            common.rack_mean_sd,
            common.rack_mean - slope.centre,
            remainder.rack_mean_sd,
        ),
    }
}

/// Both sides, each fitted by itself.
pub(super) struct Separate<'s> {
    before: Fit,
    after: Fit,
    domains: (&'s Domain, &'s Domain),
}

impl<'s> Separate<'s> {
    /// Fits each side.
    pub(super) fn fit(before: &Side<'s>, after: &Side<'s>) -> Result<Self, FieldError> {
        let of = |side: &Side<'_>| field::fit(side.observations, side.domain, side.priors);
        Ok(Self {
            before: of(before)?,
            after: of(after)?,
            domains: (before.domain, after.domain),
        })
    }

    /// Draws both sides; after as toasted, at its own level.
    pub(super) fn samples(&self, rack: u8, seed: u64) -> Samples {
        let draw = |fit: &Fit, domain: &Domain, seed: u64| {
            fit.samples(&lattice(rack, &cavity(domain)), SAMPLES, seed)
        };
        let before = draw(&self.before, self.domains.0, seed);
        let after = draw(&self.after, self.domains.1, seed.wrapping_add(1));
        Samples {
            both: before.into_iter().zip(after.into_iter().rev()).collect(),
        }
    }

    /// Maps the rack positions `racks`; after as toasted. Cavities of different size are laid over
    /// each other wall to wall.
    pub(super) fn maps(
        &self,
        racks: &[u8],
        (cols, rows): (usize, usize),
    ) -> Vec<(RackMap, RackMap)> {
        let (before, after) = (self.before.map(cols, rows), self.after.map(cols, rows));
        racks
            .iter()
            .filter_map(|&rack| {
                let b = before.racks.iter().find(|m| m.rack == rack)?;
                let a = after.racks.iter().find(|m| m.rack == rack)?;
                Some((b.clone(), a.clone()))
            })
            .collect()
    }
}

fn cavity(domain: &Domain) -> Grid {
    Grid::new(1, 1, domain.width, domain.depth)
}

/// Returns p times `one` plus q times `other`, two independent fields of one rack position.
pub(super) fn combined(one: &RackMap, other: &RackMap, (p, q): (f64, f64)) -> RackMap {
    let sum = |a: &[f64], b: &[f64]| -> Vec<f64> {
        a.iter().zip(b).map(|(a, b)| p * a + q * b).collect()
    };
    let spread = |a: &[f64], b: &[f64]| -> Vec<f64> {
        a.iter().zip(b).map(|(a, b)| (p * a).hypot(q * b)).collect()
    };
    RackMap {
        rack: one.rack,
        evidence: one.evidence,
        grid: one.grid,
        mean: sum(&one.mean, &other.mean),
        sd: spread(&one.sd, &other.sd),
        contrast: sum(&one.contrast, &other.contrast),
        contrast_sd: spread(&one.contrast_sd, &other.contrast_sd),
        rack_mean: p * one.rack_mean + q * other.rack_mean,
        rack_mean_sd: (p * one.rack_mean_sd).hypot(q * other.rack_mean_sd),
    }
}
