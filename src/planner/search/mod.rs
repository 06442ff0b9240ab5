//! The best few arrangements of the trays and how long to hold each: a global optimum.
//!
//! An arrangement puts every tray on a rack position of a pool, turned or not. The order of arrangements
//! does not matter to the browning a piece ends up with, so a plan with k openings is a mixture of at most
//! k + 1 arrangements with shares on a simplex, and the goal is the least variance over all pieces.
//!
//! Trays are alike, so naming them otherwise, or turning one of them in every arrangement alike, changes
//! nothing: every plan is equivalent to one that contains an arrangement with all trays unturned and in
//! rising order. Only sets with such a first member are searched. The same symmetry bounds a whole
//! configuration (a pool with one shift for each rack position) at once: variance is convex, so over all
//! mixtures of any size it is least at one that the symmetry leaves alone, which is a mixture of the
//! averages over each orbit. Configurations whose bound does not undercut the best plan are left out.

use super::{
    PlannerError,
    simplex::{Gram, LARGEST_SET, Mixture, best_mixtures},
    space::{MOST_TRAYS, Space, subsets},
};

/// Where one tray is in an arrangement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TrayAt {
    /// Index into the spots of the space.
    pub spot: usize,
    /// Turned front to back.
    pub turned: bool,
}

/// Where every tray is, tray 1 first.
pub type Arrangement = Vec<TrayAt>;

/// The best handling with a number of segments.
#[derive(Debug, Clone, PartialEq)]
pub struct Handling {
    /// Arrangements, each held for its share.
    pub arrangements: Vec<Arrangement>,
    /// Share of the browning of each; they sum to 1.
    pub shares: Vec<f64>,
    /// Variance of the browning over all pieces that is to be expected, B squared.
    pub variance: f64,
}

/// What is searched for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// Door openings allowed, 0..=4.
    pub openings: usize,
    /// A standard deviation (in B) that is not worth another rack position or a shift.
    pub negligible: f64,
    /// Most configurations with shifts to search in full.
    pub configurations: usize,
}

impl Effort {
    /// Configurations searched in full unless told otherwise; five rack positions stay below it.
    pub const CONFIGURATIONS: usize = 4096;

    /// Searches to the end and takes every improvement, however small.
    pub fn exhaustive(openings: usize) -> Self {
        Self {
            openings,
            negligible: 0.0,
            configurations: usize::MAX,
        }
    }
}

/// The outcome of a search.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The best handling for 0, 1, ... openings; entry k uses at most k.
    pub handlings: Vec<Handling>,
    /// For each entry, how much lower (standard deviation, B) a plan not looked at could possibly be.
    pub gap: Vec<f64>,
}

/// Finds the best handling for every number of openings up to `effort.openings`.
///
/// It is the best of what is searched, which is less than everything a baker could do: a tray stands centred or
/// shifted by the whole clearance to either side (0 or +-clearance along each wall), every rack position keeps
/// one shift for the whole bake, at most one rack position more than there are trays is used over a bake, and
/// rack positions far off the mean level are left out where others remain ([`Space::pools`]).
///
/// # Errors
/// [`PlannerError::Openings`] above four.
pub fn search(space: &Space, effort: &Effort) -> Result<Found, PlannerError> {
    let sizes = effort.openings + 1;
    if sizes > LARGEST_SET {
        return Err(PlannerError::Openings(effort.openings));
    }
    let mut hunt = Hunt {
        space,
        negligible: effort.negligible,
        best: vec![None; sizes],
        below: vec![f64::INFINITY; sizes],
    };
    let pools = space.pools();
    for pool in &pools {
        let centred: Vec<usize> = pool.iter().filter_map(|s| space.centred(*s)).collect();
        hunt.leave_alone(&centred);
        hunt.visit(&Configuration::new(space, centred));
    }
    let gap = hunt.visit_shifted(&pools, effort.configurations);
    hunt.move_what_stands();
    let mut handlings: Vec<Handling> = Vec::new();
    for found in hunt.best {
        // One more opening may be left unused.
        match (found, handlings.last()) {
            (Some(found), Some(last)) if last.variance <= found.variance + TIE => {
                handlings.push(last.clone());
            }
            (Some(found), _) => handlings.push(found),
            (None, Some(last)) => handlings.push(last.clone()),
            (None, None) => {}
        }
    }
    Ok(Found { handlings, gap })
}

/// Variances closer than this are the same, B squared.
const TIE: f64 = 1e-12;

/// A pool of rack positions with one shift for each.
#[derive(Debug, Clone)]
struct Configuration {
    /// One spot for each rack position of the pool, from the bottom.
    spots: Vec<usize>,
    /// No mixture of its arrangements has a lower variance, B squared.
    bound: f64,
}

impl Configuration {
    fn new(space: &Space, spots: Vec<usize>) -> Self {
        let bound = orbit_bound(space, &spots);
        Self { spots, bound }
    }
}

/// The least variance over all mixtures of orbit averages: what any number of openings could reach.
fn orbit_bound(space: &Space, spots: &[usize]) -> f64 {
    let n = space.trays as f64;
    let orbits = subsets(spots.len(), space.trays);
    let gram = Gram::from_fn(orbits.len(), |a, b| {
        let mut sum = 0.0;
        for i in &orbits[a] {
            for j in &orbits[b] {
                let (s, t) = (spots[*i], spots[*j]);
                sum += space.even(s, t) - space.levels(s, t);
            }
        }
        sum / (n * n)
    });
    if orbits.len() == 1 {
        return gram.at(0, 0).max(0.0);
    }
    let below = vec![f64::INFINITY; orbits.len()];
    best_mixtures(&gram, orbits.len(), &below)
        .into_iter()
        .flatten()
        .map(|m| m.variance)
        .fold(f64::INFINITY, f64::min)
}

/// Which slot of a pool each tray takes, and whether it is turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Pattern {
    slots: [usize; MOST_TRAYS],
    turned: [bool; MOST_TRAYS],
}

/// Returns every pattern of `trays` trays on `slots` slots, and how many in front represent the orbits.
fn patterns(trays: usize, slots: usize) -> (Vec<Pattern>, usize) {
    let representatives: Vec<Pattern> = subsets(slots, trays)
        .into_iter()
        .map(|set| {
            let mut pattern = Pattern {
                slots: [0; MOST_TRAYS],
                turned: [false; MOST_TRAYS],
            };
            pattern.slots[..trays].copy_from_slice(&set);
            pattern
        })
        .collect();
    let count = representatives.len();
    let mut all = representatives;
    for number in 0..slots.pow(u32::try_from(trays).unwrap_or(0)) << trays {
        let (mut places, turns) = (number >> trays, number & ((1 << trays) - 1));
        let mut pattern = Pattern {
            slots: [0; MOST_TRAYS],
            turned: [false; MOST_TRAYS],
        };
        for tray in 0..trays {
            pattern.slots[tray] = places % slots;
            places /= slots;
            pattern.turned[tray] = turns >> tray & 1 == 1;
        }
        let own = &pattern.slots[..trays];
        let injective = (1..trays).all(|i| !own[..i].contains(&own[i]));
        if injective && !all[..count].contains(&pattern) {
            all.push(pattern);
        }
    }
    (all, count)
}

/// Returns the Gram matrix of the centred browning of all pieces, one row for each pattern.
fn gram_of(space: &Space, spots: &[usize], patterns: &[Pattern]) -> Gram {
    let n = space.trays;
    let p = spots.len();
    let mut even = [[0.0; MOST_TRAYS]; MOST_TRAYS];
    let (mut odd, mut levels) = (even, even);
    for i in 0..p {
        for j in 0..p {
            even[i][j] = space.even(spots[i], spots[j]);
            odd[i][j] = space.odd(spots[i], spots[j]);
            levels[i][j] = space.levels(spots[i], spots[j]);
        }
    }
    Gram::from_fn(patterns.len(), |a, b| {
        let (x, y) = (&patterns[a], &patterns[b]);
        let mut sum = 0.0;
        for i in 0..n {
            let (s, t) = (x.slots[i], y.slots[i]);
            let sign = if x.turned[i] == y.turned[i] {
                1.0
            } else {
                -1.0
            };
            sum += even[s][t] + sign * odd[s][t];
        }
        let pairs = x.slots[..n]
            .iter()
            .flat_map(|s| y.slots[..n].iter().map(move |t| (*s, *t)));
        let level: f64 = pairs.map(|(s, t)| levels[s][t]).sum();
        sum / n as f64 - level / (n * n) as f64
    })
}

/// Returns the Gram matrix of the centred browning of all pieces, one row for each arrangement.
pub fn gram_between(space: &Space, arrangements: &[Arrangement]) -> Gram {
    let n = space.trays as f64;
    Gram::from_fn(arrangements.len(), |a, b| {
        let pairs = arrangements[a].iter().zip(&arrangements[b]);
        let sum: f64 = pairs
            .map(|(x, y)| {
                let odd = space.odd(x.spot, y.spot);
                space.even(x.spot, y.spot) + if x.turned == y.turned { odd } else { -odd }
            })
            .sum();
        let both = arrangements[a]
            .iter()
            .flat_map(|x| arrangements[b].iter().map(move |y| (x.spot, y.spot)));
        let level: f64 = both.map(|(s, t)| space.levels(s, t)).sum();
        sum / n - level / (n * n)
    })
}

struct Hunt<'s> {
    space: &'s Space,
    negligible: f64,
    best: Vec<Option<Handling>>,
    /// A variance must be below this to be taken, by number of segments less one.
    below: Vec<f64>,
}

impl Hunt<'_> {
    /// Returns the largest number of segments for which `bound` leaves room for something better.
    ///
    /// One segment is settled without a search where all shifts are known (`leave_alone`).
    fn worth(&self, bound: f64) -> Option<usize> {
        self.below
            .iter()
            .rposition(|b| bound < *b)
            .map(|i| i + 1)
            .filter(|size| *size > 1 || self.best[0].is_none())
    }

    fn visit(&mut self, configuration: &Configuration) {
        let Some(deepest) = self.worth(configuration.bound) else {
            return;
        };
        let spots = &configuration.spots;
        let (patterns, firsts) = patterns(self.space.trays, spots.len());
        let gram = gram_of(self.space, spots, &patterns);
        let found = best_mixtures(&gram, firsts, &self.below[..deepest]);
        for (size, mixture) in found.into_iter().enumerate() {
            if let Some(mixture) = mixture {
                let handling = self.handling(spots, &patterns, mixture);
                self.take(size, handling);
            }
        }
    }

    fn handling(&self, spots: &[usize], patterns: &[Pattern], mixture: Mixture) -> Handling {
        let arrangements = mixture
            .members
            .iter()
            .map(|m| {
                let pattern = &patterns[*m];
                (0..self.space.trays)
                    .map(|tray| TrayAt {
                        spot: spots[pattern.slots[tray]],
                        turned: pattern.turned[tray],
                    })
                    .collect()
            })
            .collect();
        Handling {
            arrangements,
            shares: mixture.shares,
            variance: mixture.variance,
        }
    }

    /// Visits the configurations with shifts in order of their bound; returns the gap left for each size.
    ///
    /// Bounds that differ negligibly are taken in the order of the pools, which is that of preference.
    fn visit_shifted(&mut self, pools: &[Vec<usize>], most: usize) -> Vec<f64> {
        let mut open: Vec<Configuration> = Vec::new();
        for pool in pools {
            self.each_shifted(pool, &mut open);
        }
        let step = (self.negligible / 4.0).max(f64::MIN_POSITIVE);
        let coarse = |c: &Configuration| (c.bound.sqrt() / step).floor();
        open.sort_by(|a, b| coarse(a).total_cmp(&coarse(b)));
        let mut visited = 0;
        let mut unvisited = f64::INFINITY;
        for configuration in &open {
            if self.worth(configuration.bound).is_none() {
                continue;
            }
            if visited < most {
                self.visit(configuration);
                visited += 1;
            } else {
                unvisited = unvisited.min(configuration.bound);
            }
        }
        self.gap_to(unvisited)
    }

    /// Lists the configurations of a pool in which at least one rack position is shifted and that could
    /// be worth a visit.
    fn each_shifted(&mut self, pool: &[usize], open: &mut Vec<Configuration>) {
        let options: Vec<Vec<usize>> = pool
            .iter()
            .map(|site| self.space.spots_of(*site).collect())
            .collect();
        let count: usize = options.iter().map(Vec::len).product();
        for number in 1..count {
            let mut rest = number;
            let mut spots = Vec::with_capacity(pool.len());
            for option in &options {
                spots.push(option[rest % option.len()]);
                rest /= option.len();
            }
            self.leave_alone(&spots);
            let configuration = Configuration::new(self.space, spots);
            if self.worth(configuration.bound).is_some() {
                open.push(configuration);
            }
        }
    }

    /// Tries a configuration without any opening: every arrangement of it on as many rack positions as trays
    /// is equivalent to the unturned one in rising order.
    fn leave_alone(&mut self, spots: &[usize]) {
        if spots.len() != self.space.trays {
            return;
        }
        let arrangement: Arrangement = spots
            .iter()
            .map(|spot| TrayAt {
                spot: *spot,
                turned: false,
            })
            .collect();
        let arrangements = vec![arrangement];
        let variance = gram_between(self.space, &arrangements).variance(&[0], &[1.0]);
        if variance < self.below[0] {
            self.take(
                0,
                Handling {
                    arrangements,
                    shares: vec![1.0],
                    variance,
                },
            );
        }
    }

    /// Moves the trays where the plan with fewer openings has them, unless it gains something to have them elsewhere.
    ///
    /// Each size alone leaves the rack positions preferred only where that gains something. A plan with an opening
    /// could so stay where the plan without it does not, and be no better for being opened.
    fn move_what_stands(&mut self) {
        for size in 1..self.best.len() {
            let fewer = self.best[..size].iter().flatten();
            let Some(fewer) = fewer.min_by(|a, b| a.variance.total_cmp(&b.variance)) else {
                continue;
            };
            let least = match &self.best[size] {
                Some(b) if fewer.variance.sqrt() - b.variance.sqrt() >= self.negligible => continue,
                Some(b) => b.variance,
                None => f64::INFINITY,
            };
            let mut spots: Vec<usize> = fewer
                .arrangements
                .iter()
                .flatten()
                .map(|at| at.spot)
                .collect();
            spots.sort_unstable();
            spots.dedup();
            let (patterns, firsts) = patterns(self.space.trays, spots.len());
            let gram = gram_of(self.space, &spots, &patterns);
            let found = best_mixtures(&gram, firsts, &vec![least; size + 1]).pop();
            if let Some(mixture) = found.flatten() {
                self.best[size] = Some(self.handling(&spots, &patterns, mixture));
            }
        }
    }

    /// Takes a handling as the best of its size.
    fn take(&mut self, size: usize, handling: Handling) {
        let sd = handling.variance.sqrt() - self.negligible;
        self.below[size] = sd.max(0.0).powi(2);
        self.best[size] = Some(handling);
    }

    /// How far below the best an unvisited configuration with this bound could be, by size.
    fn gap_to(&self, bound: f64) -> Vec<f64> {
        self.best
            .iter()
            .enumerate()
            .map(|(size, best)| {
                let sd = best.as_ref().map_or(0.0, |h| h.variance.sqrt());
                let open = if size == 0 { 0.0 } else { sd - bound.sqrt() };
                open.max(self.negligible)
            })
            .collect()
    }
}

#[cfg(test)]
mod tests;
