//! A quick check: whether a few slices, laid where they tell most, agree with what is known of an oven.
//!
//! What is known is a fit of earlier tests: a mean browning over every slice that could be laid, and how sure that
//! is. A few new slices observe it again with a level of their own. A change is looked for as one part of a rack
//! position (a corner, a side, the middle) that became hotter or cooler, falling off from there as a normal curve with
//! either of two reaches. With V the covariance of what the new slices differ by where nothing changed and t the
//! share of a part's change that each of them sees, generalised least squares (Rasmussen and Williams 2006, eq. 2.41)
//! gives the part's change a = t' V^-1 r / t' V^-1 t with standard error 1 / sqrt(t' V^-1 t). The evidence for a change
//! is how much likelier the slices are with one, averaged over parts and over the systems of the fit (a Bayes factor,
//! Kass and Raftery 1995); how large it becomes by chance is found by drawing unchanged ovens from the fit
//! itself, system by system (parametric bootstrap, Davison and Hinkley 1997, section 4.2), so that looking at many
//! parts costs no false alarms.
//!
//! Places are chosen one by one, then exchanged while that helps, so that a change of [`TELLING`] shades is
//! most likely to be found wherever it is.

mod parts;

use super::{
    Fit, Lean, Spot, covariance::Meeting, kernel::Extent, problem::Component, target::Targets,
};
use crate::numeric::{
    linear::Factor,
    normal::{Z90, cdf},
    random::Stream,
};
use nalgebra::{DMatrix, DVector};
use parts::{Likely, parts_of};

pub use parts::Part;

/// Standard deviation of a new test's own level, B: bread and minutes differ, so only differences count.
const LEVEL: f64 = 2.0;
/// Systems of the fit that are averaged over.
const SYSTEMS: usize = 20;
/// What a map is further off than it says, as a share of its own spread (the study of maps; see RESULTS.md).
const MISFIT: f64 = 0.2;
/// Unchanged ovens that are drawn.
const DRAWS: usize = 2000;
/// Standard errors that a change must stand out by among so many parts, when places are chosen.
const STANDS_OUT: f64 = 2.6;
/// Rounds of exchange after the first choice.
const ROUNDS: usize = 4;
/// An unchanged oven is to look so less often than this: by the study, up to 5 in 100 do, for maps stray a little further
/// than they say.
const RARELY: f64 = 0.04;
/// The change that places are chosen to find, B: one and a half shades.
pub const TELLING: f64 = 0.2021;

/// One new slice: which spot it lay on, its browning, and the error of reading it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// Index among the spots of the check.
    pub spot: usize,
    /// Browning, B.
    pub browning: f64,
    /// Standard error of reading it, B.
    pub sd: f64,
    /// What it shares with the other slices of its photo, if it was read from one.
    pub lean: Option<Lean>,
}

/// What a check comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// No part changed by as much as [`TELLING`].
    AsBefore,
    /// A part changed.
    Changed,
    /// Neither can be said.
    CannotTell,
}

/// What a check says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// How likely an unchanged oven is to look at least as changed as this one.
    pub chance: f64,
    /// The part that changed most clearly.
    pub part: Part,
    /// How sure it is that this part changed, and not another, given that one did.
    pub sure: f64,
    /// How sure it is that this part became hotter or cooler, or the one across from it the other way: slices by
    /// themselves cannot always tell these apart, for their level is their own.
    pub sure_of_both: f64,
    /// By how much the slice that sees most of it browns more than before, beside the rest, B at the level of the earlier
    /// tests: what no slice saw is not told.
    pub change: f64,
    /// Standard error of `change`.
    pub sd: f64,
    /// No part changed by more than this (one-sided 95 % each), B.
    pub at_most: f64,
}

impl Judged {
    /// Returns what it comes to: changed where an unchanged oven would rarely look so, as before where every part
    /// has changed by less than [`TELLING`].
    pub fn verdict(&self) -> Verdict {
        if self.chance <= RARELY {
            Verdict::Changed
        } else if self.at_most <= TELLING {
            Verdict::AsBefore
        } else {
            Verdict::CannotTell
        }
    }
}

/// Spots that can be checked, what is known of them, and which parts may have changed.
#[derive(Debug, Clone)]
pub struct Check {
    spots: Vec<Spot>,
    mean: DVector<f64>,
    /// Variance of what the map is further off than it says, B squared.
    misfit: f64,
    /// Covariance of what is known, B squared.
    known: DMatrix<f64>,
    /// The same and the mean, of each system of the fit, with its weight and its scatter.
    systems: Vec<System>,
    /// Variance of one new slice, B squared.
    noise: f64,
    parts: Vec<Likely>,
    /// Width and depth of the cavity, cm.
    cavity: (f64, f64),
    /// Share of a part's change that a slice on a spot sees (spots x parts and reaches).
    shares: DMatrix<f64>,
}

#[derive(Debug, Clone)]
struct System {
    weight: f64,
    scatter: f64,
    mean: DVector<f64>,
    covariance: DMatrix<f64>,
}

impl Fit {
    /// Prepares a check of `racks` with slices on some of `spots`, each read with standard error `reading`.
    ///
    /// `None` where a spot's rack position does not exist, or there is none.
    pub fn check(&self, racks: &[u8], spots: Vec<Spot>, reading: f64) -> Option<Check> {
        if racks.is_empty() || spots.is_empty() {
            return None;
        }
        let mut targets = Targets::default();
        for spot in &spots {
            let extent = |middle, length| Extent { middle, length };
            let (x, y) = (extent(spot.x, spot.width), extent(spot.y, spot.depth));
            targets.push(x, y, self.rack_height(spot.rack)?);
        }
        let m = targets.len();
        let cross = Meeting::new(&self.domain, &self.targets, &targets);
        let own = Meeting::new(&self.domain, &targets, &targets);
        let trend = self.trend_at(m);
        let system = |(weight, c): (f64, &Component)| {
            let across = cross.covariance(&c.hyper);
            let within = own.covariance(&c.hyper);
            System {
                weight,
                scatter: c.hyper.scatter,
                mean: DVector::from_vec(c.kriging.mean(&across, &trend)),
                covariance: c.kriging.covariance(&across, &trend, &within),
            }
        };
        let systems: Vec<System> = self.heaviest(SYSTEMS).into_iter().map(system).collect();
        let mut mean = DVector::zeros(m);
        let mut noise = reading * reading;
        for s in &systems {
            mean += &s.mean * s.weight;
            noise += s.weight * s.scatter * s.scatter;
        }
        // A map is a little further off than it says where its oven has a pattern, by a share of that (MISFIT).
        let spread = mean.variance().sqrt();
        let mut known = DMatrix::from_diagonal_element(m, m, (MISFIT * spread).powi(2));
        for s in &systems {
            let off = &s.mean - &mean;
            known += &s.covariance * s.weight;
            known.ger(s.weight, &off, &off, 1.0);
        }
        let (width, depth) = (self.domain.width, self.domain.depth);
        let (parts, shares) = parts_of(racks, &spots, (width, depth));
        Some(Check {
            spots,
            mean,
            misfit: (MISFIT * spread).powi(2),
            known,
            systems,
            noise,
            parts,
            cavity: (width, depth),
            shares,
        })
    }
}

/// What a change of every part would show as on chosen slices.
struct Told {
    /// V, factored.
    factor: Factor,
    /// V^-1 t, slices x parts.
    weights: DMatrix<f64>,
    /// t' V^-1 t.
    information: Vec<f64>,
}

impl Told {
    /// Prepares differences of covariance `v`, of which slices see `shares` (slices x parts); `None` where `v` is not
    /// positive definite.
    fn new(v: DMatrix<f64>, shares: &DMatrix<f64>) -> Option<Self> {
        let factor = Factor::new(v).ok()?;
        let weights = factor.cholesky.solve(shares);
        let information = (0..shares.ncols())
            .map(|k| shares.column(k).dot(&weights.column(k)).max(0.0))
            .collect();
        Some(Self {
            factor,
            weights,
            information,
        })
    }

    /// Returns the logarithm of how likely `residual` is where nothing changed, up to a constant.
    fn unchanged(&self, residual: &DVector<f64>) -> f64 {
        let squares = self.factor.cholesky.solve(residual).dot(residual);
        let root = self.factor.cholesky.l_dirty();
        let half: f64 = (0..residual.len()).map(|i| root[(i, i)].ln()).sum();
        -0.5 * squares - half
    }

    /// Returns how much likelier `residual` is where part `k` changed than where nothing did, the change normal about
    /// 0 with a standard deviation of [`TELLING`]: a part that the slices hardly see weighs little.
    fn ratio(&self, k: usize, residual: &DVector<f64>) -> f64 {
        let information = self.information[k];
        let told = TELLING * TELLING * information;
        let z2 = self.weights.column(k).dot(residual).powi(2) / information.max(1e-12);
        (0.5 * (z2 * told / (1.0 + told) - (1.0 + told).ln())).exp()
    }
}

/// New slices as one system of the fit sees them.
struct View {
    weight: f64,
    /// How far its mean is off the mean of all systems, B.
    off: DVector<f64>,
    told: Told,
    /// Lower factor of what unchanged slices scatter by, the level left out.
    root: DMatrix<f64>,
}

impl Check {
    /// Returns the spots.
    pub fn spots(&self) -> &[Spot] {
        &self.spots
    }

    /// Chooses `count` spots that do not overlap, so that a change of [`TELLING`] B is most likely found wherever it is.
    pub fn choose(&self, count: usize) -> Vec<usize> {
        let mut chosen: Vec<usize> = Vec::new();
        while chosen.len() < count {
            let Some(best) = self.best(&chosen) else {
                break;
            };
            chosen.push(best);
        }
        for _ in 0..ROUNDS {
            let mut changed = false;
            for i in 0..chosen.len() {
                let spot = chosen.remove(i);
                let better = self.best(&chosen).unwrap_or(spot);
                changed |= better != spot;
                chosen.insert(i, better);
            }
            if !changed {
                break;
            }
        }
        Spot::in_reading_order(&self.spots, chosen)
    }

    /// Returns the spot that adds most to `chosen`.
    fn best(&self, chosen: &[usize]) -> Option<usize> {
        let free = |s: &usize| {
            !chosen
                .iter()
                .any(|&c| self.spots[c].overlaps(&self.spots[*s]))
        };
        let with = |s: usize| {
            let mut all = chosen.to_vec();
            all.push(s);
            (s, self.finds(&all, TELLING))
        };
        (0..self.spots.len())
            .filter(free)
            .map(with)
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(s, _)| s)
    }

    /// Returns the chance that slices on `chosen` find a change of `size` B, over all parts and reaches alike.
    pub fn finds(&self, chosen: &[usize], size: f64) -> f64 {
        let Some(told) = self.told(chosen, &self.alike(chosen.len())) else {
            return 0.0;
        };
        let found = |information: &f64| cdf(size * information.sqrt() - STANDS_OUT);
        told.information.iter().map(found).sum::<f64>() / told.information.len() as f64
    }

    /// Returns the change that an unchanged oven could hide from slices on `chosen`, B: what would be said as
    /// "no part changed by more than this".
    pub fn hides(&self, chosen: &[usize]) -> f64 {
        let told = self.told(chosen, &self.alike(chosen.len()));
        let least = told.map_or(0.0, |t| t.information.into_iter().fold(f64::MAX, f64::min));
        Z90 / least.max(1e-9).sqrt()
    }

    /// Returns the mean browning that is known of the chosen spots, B.
    pub fn level(&self, chosen: &[usize]) -> f64 {
        let sum: f64 = chosen.iter().map(|&s| self.mean[s]).sum();
        sum / chosen.len().max(1) as f64
    }

    /// Returns the covariance of `n` slices' own errors where each is read alike, B squared.
    fn alike(&self, n: usize) -> DMatrix<f64> {
        DMatrix::from_diagonal_element(n, n, self.noise)
    }

    /// Prepares slices on `chosen` whose own errors have the covariance `noise`.
    fn told(&self, chosen: &[usize], noise: &DMatrix<f64>) -> Option<Told> {
        let n = chosen.len();
        let v = DMatrix::from_fn(n, n, |i, j| {
            self.known[(chosen[i], chosen[j])] + LEVEL * LEVEL + noise[(i, j)]
        });
        Told::new(v, &self.shares.select_rows(chosen))
    }

    /// Judges new slices; `None` with fewer than three, or where they or the earlier ones hardly browned.
    pub fn judge(&self, seen: &[Seen], seed: u64) -> Option<Judged> {
        let chosen: Vec<usize> = seen.iter().map(|s| s.spot).collect();
        let n = chosen.len();
        let before = chosen.iter().map(|&s| self.mean[s]).sum::<f64>();
        let now = seen.iter().map(|s| s.browning).sum::<f64>();
        if n < 3 || before <= 0.0 || now <= 0.0 {
            return None;
        }
        // A test pulled later is darker all over, its differences larger in the same proportion.
        let scale = before / now;
        let extra = misread(seen) * (scale * scale);
        let scatter = DMatrix::from_diagonal_element(n, n, self.scatter());
        let told = self.told(&chosen, &(&extra + scatter))?;
        let residual = DVector::from_fn(n, |i, _| scale * seen[i].browning - self.mean[chosen[i]]);
        let views = self.views(&chosen, &extra);
        let found = self.evidence(&views, &residual);
        let beyond = unchanged(&views, seed)
            .filter(|r| self.evidence(&views, r).ratio >= found.ratio)
            .count();
        let best = found.best();
        let part = self.parts[best].part;
        let sure_of = |p: Part| self.sure(&found, |other| *other == p);
        let across = part.across(self.cavity);
        let sd = |k: usize| 1.0 / told.information[k].max(1e-12).sqrt();
        let change = |k: usize| told.weights.column(k).dot(&residual) * sd(k) * sd(k);
        // As believed of changes (see `ratio`), on the slice that sees most of the part.
        let believed = TELLING.powi(2) / (TELLING.powi(2) + sd(best).powi(2));
        let seen_most = chosen
            .iter()
            .map(|&s| self.shares[(s, best)])
            .fold(0.0, f64::max);
        let at_most = (0..self.parts.len())
            .map(|k| change(k).abs() + Z90 * sd(k))
            .fold(0.0, f64::max);
        Some(Judged {
            chance: (beyond as f64 + 1.0) / (DRAWS as f64 + 1.0),
            part,
            sure: sure_of(part),
            sure_of_both: self.sure(&found, |other| *other == part || *other == across),
            change: seen_most * believed * change(best),
            sd: seen_most * believed.sqrt() * sd(best),
            at_most,
        })
    }

    /// Returns the variance of slices beside one another, the reading left out.
    fn scatter(&self) -> f64 {
        self.systems
            .iter()
            .map(|s| s.weight * s.scatter.powi(2))
            .sum()
    }

    /// Returns how each system sees slices on `chosen` that are read with errors of covariance `extra`.
    fn views(&self, chosen: &[usize], extra: &DMatrix<f64>) -> Vec<View> {
        let n = chosen.len();
        let shares = self.shares.select_rows(chosen);
        let view = |s: &System| {
            let scattered = DMatrix::from_fn(n, n, |i, j| {
                let own = if i == j {
                    s.scatter * s.scatter + self.misfit
                } else {
                    0.0
                };
                s.covariance[(chosen[i], chosen[j])] + own + extra[(i, j)]
            });
            let with_level = scattered.add_scalar(LEVEL * LEVEL);
            Some(View {
                weight: s.weight,
                off: DVector::from_fn(n, |i, _| s.mean[chosen[i]] - self.mean[chosen[i]]),
                told: Told::new(with_level, &shares)?,
                root: Factor::new(scattered).ok()?.cholesky.l(),
            })
        };
        self.systems.iter().filter_map(view).collect()
    }

    /// Returns how much likelier `residual` is where some part changed than where none did, over all parts and views.
    fn evidence(&self, views: &[View], residual: &DVector<f64>) -> Evidence {
        let mut by_part = vec![0.0; self.parts.len()];
        let seen: Vec<(f64, DVector<f64>)> = views
            .iter()
            .map(|v| {
                let off = residual - &v.off;
                (v.told.unchanged(&off) + v.weight.ln(), off)
            })
            .collect();
        let most = seen.iter().map(|s| s.0).fold(f64::MIN, f64::max);
        let mut none = 0.0;
        for (view, (ln, off)) in views.iter().zip(&seen) {
            let likely = (ln - most).exp();
            none += likely;
            for (k, (sum, part)) in by_part.iter_mut().zip(&self.parts).enumerate() {
                *sum += likely * part.odds * view.told.ratio(k, off);
            }
        }
        let odds: f64 = self.parts.iter().map(|p| p.odds).sum();
        Evidence {
            ratio: by_part.iter().sum::<f64>() / (odds * none),
            by_part,
        }
    }

    /// Returns how sure it is that it was one of `those` parts that changed: by what is believed of corners, or with every
    /// part as likely as another, whichever says less.
    fn sure(&self, found: &Evidence, those: impl Fn(&Part) -> bool) -> f64 {
        let share = |weight: &dyn Fn(&Likely) -> f64| {
            let each = || found.by_part.iter().zip(&self.parts);
            let all: f64 = each().map(|(e, p)| e * weight(p)).sum();
            let some = each().filter(|(_, p)| those(&p.part));
            some.map(|(e, p)| e * weight(p)).sum::<f64>() / all
        };
        share(&|_| 1.0).min(share(&|p| 1.0 / p.odds))
    }
}

/// How much likelier slices are where something changed.
struct Evidence {
    /// Over all parts.
    ratio: f64,
    /// By each part and reach, odds counted in, up to a common factor.
    by_part: Vec<f64>,
}

impl Evidence {
    /// Returns the part and reach that says so most.
    fn best(&self) -> usize {
        let by = |a: &usize, b: &usize| self.by_part[*a].total_cmp(&self.by_part[*b]);
        (0..self.by_part.len()).max_by(by).unwrap_or(0)
    }
}

/// Returns the covariance of the errors of reading, B squared: each slice's own, and the lean of each photo.
fn misread(seen: &[Seen]) -> DMatrix<f64> {
    DMatrix::from_fn(seen.len(), seen.len(), |i, j| {
        let own = if i == j { seen[i].sd.powi(2) } else { 0.0 };
        own + Lean::covariance(seen[i].lean, seen[j].lean)
    })
}

/// Draws what new slices differ by in unchanged ovens, each from one view.
fn unchanged(views: &[View], seed: u64) -> impl Iterator<Item = DVector<f64>> {
    let whole: f64 = views.iter().map(|v| v.weight).sum();
    let mut stream = Stream::new(seed);
    (0..DRAWS).filter_map(move |_| {
        let mut at = whole * stream.uniform();
        let picked = views.iter().find(|v| {
            at -= v.weight;
            at <= 0.0
        });
        let view = picked.or(views.last())?;
        let standard = DVector::from_fn(view.off.len(), |_, _| stream.normal());
        Some(&view.off + &view.root * standard)
    })
}

#[cfg(test)]
mod tests;
