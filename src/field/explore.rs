//! The search over hyperparameters: best first, from the prior's middle outwards.
//!
//! Visits grid neighbours of the best point not yet opened until every point left is unlikely
//! compared with the best (as Rue and Martino 2009 explore a posterior on a grid).

use super::{
    Domain, FieldError, Termination,
    censor::Likelihood,
    covariance::{Frame, Hyper, covariance, shared, smooth},
    fit::Component,
    kriging::Kriging,
    prior::{Levels, Priors},
    target::Targets,
};
use nalgebra::DMatrix;
use std::collections::BTreeMap;

/// Grid points this far below the best in log posterior are not opened.
const WORTH_OPENING: f64 = 3.5;
/// Likelihood work allowed, in evaluations times observations squared.
const ALLOWANCE: usize = 800_000;
/// Prediction work allowed, in components times observations squared.
const PREDICTION_ALLOWANCE: usize = 50_000;
/// Fewest and most picks from the posterior for predictions.
const FEWEST_PICKS: usize = 10;
const MOST_PICKS: usize = 40;

/// Everything a likelihood depends on.
pub(super) struct Problem<'a> {
    pub(super) domain: &'a Domain,
    pub(super) priors: &'a Priors,
    pub(super) targets: &'a Targets,
    pub(super) trend: &'a DMatrix<f64>,
    pub(super) likelihood: Likelihood,
}

impl Problem<'_> {
    /// Solves the kriging system at `hyper`.
    pub(super) fn solve(&self, hyper: &Hyper) -> Result<Kriging, FieldError> {
        self.solve_with(hyper, self.signal(hyper))
    }

    /// Returns the covariance of the observations without their noise.
    pub(super) fn signal(&self, hyper: &Hyper) -> DMatrix<f64> {
        covariance(self.domain, hyper, self.targets, self.targets)
    }

    fn solve_with(&self, hyper: &Hyper, signal: DMatrix<f64>) -> Result<Kriging, FieldError> {
        let mut k = signal;
        for (i, v) in self.likelihood.variances(hyper.scatter).enumerate() {
            k[(i, i)] += v;
        }
        Ok(Kriging::solve(k, self.trend, self.likelihood.values())?)
    }
}

/// Log posteriors of grid points, with what neighbouring points have in common kept.
struct Scorer<'p> {
    problem: &'p Problem<'p>,
    frame: Frame,
    /// Smooth factor by levels of length and aspect.
    smooth: BTreeMap<[usize; 2], DMatrix<f64>>,
    /// Shared factor by level of reach.
    shared: BTreeMap<usize, DMatrix<f64>>,
}

impl<'p> Scorer<'p> {
    fn new(problem: &'p Problem<'p>) -> Self {
        Self {
            problem,
            frame: Frame::between(problem.domain, problem.targets, problem.targets),
            smooth: BTreeMap::new(),
            shared: BTreeMap::new(),
        }
    }

    fn score(&mut self, levels: Levels) -> Result<f64, FieldError> {
        let p = self.problem;
        let hyper = p.priors.hyper(p.domain, levels);
        let smooth = self
            .smooth
            .entry([levels[0], levels[1]])
            .or_insert_with(|| smooth(&hyper, p.targets, p.targets));
        let shared = self
            .shared
            .entry(levels[5])
            .or_insert_with(|| shared(&hyper, p.targets, p.targets));
        let kriging = p.solve_with(&hyper, self.frame.total(&hyper, smooth, shared))?;
        Ok(kriging.ln_restricted() + p.priors.ln_density(levels))
    }
}

/// What the search found.
pub(super) struct Found {
    visited: BTreeMap<Levels, f64>,
    mode: Levels,
    termination: Termination,
}

/// Searches the grid.
pub(super) fn explore(problem: &Problem<'_>) -> Result<Found, FieldError> {
    let axes = problem.priors.axes();
    let single_height = problem.targets.heights.len() == 1;
    let n = problem.targets.len();
    let allowance = (ALLOWANCE / (n * n)).max(60);
    let mut scorer = Scorer::new(problem);
    let mode: Levels = axes.map(super::prior::Axis::start);
    let value = scorer.score(mode)?;
    let mut found = Found {
        visited: BTreeMap::from([(mode, value)]),
        mode,
        termination: Termination::Explored,
    };
    let mut open = vec![(value, mode)];
    let mut best = value;
    while let Some(at) = (0..open.len()).max_by(|&a, &b| open[a].0.total_cmp(&open[b].0)) {
        let (value, levels) = open.swap_remove(at);
        if value < best - WORTH_OPENING {
            break;
        }
        for (axis, a) in axes.iter().enumerate() {
            if axis == 5 && single_height {
                continue;
            }
            for next in [levels[axis].checked_sub(1), Some(levels[axis] + 1)] {
                let Some(level) = next.filter(|&l| l < a.levels.len()) else {
                    continue;
                };
                let mut neighbour = levels;
                neighbour[axis] = level;
                if found.visited.contains_key(&neighbour) {
                    continue;
                }
                let value = scorer.score(neighbour)?;
                found.visited.insert(neighbour, value);
                open.push((value, neighbour));
                if value > best {
                    (best, found.mode) = (value, neighbour);
                }
            }
        }
        if found.visited.len() >= allowance {
            found.termination = Termination::Allowance;
            break;
        }
    }
    Ok(found)
}

impl Found {
    pub(super) fn mode(&self) -> Levels {
        self.mode
    }

    pub(super) fn termination(&self) -> Termination {
        self.termination
    }

    pub(super) fn evaluations(&self) -> usize {
        self.visited.len()
    }

    pub(super) fn best(&self) -> f64 {
        self.visited[&self.mode]
    }

    /// Solves the grid points that stand for the whole posterior; returns them and the mass of the
    /// points they were drawn from.
    ///
    /// Systematic resampling (Kitagawa 1996) of the weighted points in grid order: each pick stands
    /// for an equal share, and neighbours on the grid stand in for one another.
    pub(super) fn components(&self, problem: &Problem<'_>) -> Result<Vec<Component>, FieldError> {
        let best = self.best();
        let weighted: Vec<(f64, Levels)> = self
            .visited
            .iter()
            .map(|(l, v)| ((v - best).exp(), *l))
            .collect();
        let whole: f64 = weighted.iter().map(|(w, _)| w).sum();
        let n = problem.targets.len();
        let picks = (PREDICTION_ALLOWANCE / (n * n)).clamp(FEWEST_PICKS, MOST_PICKS);
        let mut components: Vec<Component> = Vec::new();
        let (mut below, mut pick) = (0.0, 0);
        for (weight, levels) in weighted {
            below += weight / whole;
            let mut count = 0_u32;
            while pick < picks && (pick as f64 + 0.5) / picks as f64 <= below {
                (pick, count) = (pick + 1, count + 1);
            }
            if count > 0 {
                let hyper = problem.priors.hyper(problem.domain, levels);
                let kriging = problem.solve(&hyper)?;
                let weight = f64::from(count) / picks as f64;
                components.push(Component {
                    weight,
                    hyper,
                    kriging,
                });
            }
        }
        Ok(components)
    }
}
