//! The search over hyperparameters: best first, from the prior's middle outwards.
//!
//! Visits grid neighbours of the best point not yet opened until every point left is unlikely
//! compared with the best (as Rue and Martino 2009 explore a posterior on a grid). Shapes are tried from the
//! best point without one; where one takes over, the search goes on from there.

use super::{
    FieldError,
    covariance::{Drawn, Hyper, Meeting},
    kriging::ln_restricted,
    prior::Levels,
    problem::{Component, Problem},
};
use nalgebra::DMatrix;
use std::collections::BTreeMap;

/// Grid points this far below the best in log posterior are not opened.
const WORTH_OPENING: f64 = 3.0;
/// Likelihood work allowed before and after shapes are tried, in evaluations times observations squared.
const ALLOWANCE: usize = 100_000;
/// Most evaluations before, and after, shapes are tried.
const MOST_VISITS: usize = 320;
/// Fewest of either, however many observations.
const FEWEST_VISITS: usize = 40;
/// With more observations than this, each shape is tried at one setting only.
const MANY: usize = 120;
/// Where the axes of swing, scatter and reach stand among the prior's.
const ASPECT: usize = 1;
const SWING: usize = 2;
const TILT: usize = 3;
const SCATTER: usize = 4;
const REACH: usize = 5;
/// Prediction work allowed, in components times observations squared.
const PREDICTION_ALLOWANCE: usize = 50_000;
/// Fewest and most picks from the posterior for predictions.
const FEWEST_PICKS: usize = 10;
const MOST_PICKS: usize = 40;

/// Why the search over hyperparameters stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Termination {
    /// Every grid point worth a mention was visited.
    Explored,
    /// The allowance of evaluations ran out first; the average is over what was visited.
    Allowance,
}

/// A point of the search: what is drawn beside the smooth field (an index into the prior's drawings), and
/// the level of every axis.
type Point = (usize, Levels);

/// Log posteriors of points, with what neighbouring points have in common kept.
struct Scorer<'p> {
    problem: &'p Problem<'p>,
    meeting: Meeting<'p>,
    drawings: Vec<(Option<Drawn>, f64)>,
    /// Smooth factor by levels of length and aspect.
    smooth: BTreeMap<[usize; 2], DMatrix<f64>>,
    /// Covariance of a shape of strength 1, by drawing.
    shapes: BTreeMap<usize, DMatrix<f64>>,
}

impl<'p> Scorer<'p> {
    fn new(problem: &'p Problem<'p>) -> Self {
        Self {
            problem,
            meeting: Meeting::new(problem.domain, problem.targets, problem.targets),
            drawings: problem.priors.drawings(),
            smooth: BTreeMap::new(),
            shapes: BTreeMap::new(),
        }
    }

    fn hyper(&self, (drawing, levels): Point) -> Hyper {
        let p = self.problem;
        p.priors.hyper(p.domain, levels, self.drawings[drawing].0)
    }

    fn score(&mut self, point: Point) -> Result<f64, FieldError> {
        let hyper = self.hyper(point);
        let (drawing, levels) = point;
        let meeting = &self.meeting;
        let smooth = self
            .smooth
            .entry([levels[0], levels[1]])
            .or_insert_with(|| meeting.smooth(&hyper));
        let shape = hyper.drawn.map(|d| {
            &*self
                .shapes
                .entry(drawing)
                .or_insert_with(|| meeting.shape(d.shape, d.length))
        });
        let p = self.problem;
        let k = p.with_noise(meeting.total(&hyper, smooth, shape), &hyper);
        let ln = ln_restricted(k, p.trend, p.likelihood.values())?;
        let repeats = p.likelihood.ln_repeats(hyper.scatter);
        Ok(ln + repeats + p.priors.ln_density(levels) + self.drawings[drawing].1)
    }
}

/// What the search found.
pub(super) struct Found {
    visited: BTreeMap<Point, f64>,
    mode: Point,
    hyper: Hyper,
    termination: Termination,
    drawings: Vec<(Option<Drawn>, f64)>,
}

/// The state of a search.
struct Search<'p> {
    scorer: Scorer<'p>,
    visited: BTreeMap<Point, f64>,
    /// Points visited whose neighbours were not, with their log posterior.
    open: Vec<(f64, Point)>,
    mode: Point,
    best: f64,
}

impl Search<'_> {
    /// Visits a point, once.
    fn visit(&mut self, point: Point) -> Result<f64, FieldError> {
        if let Some(&value) = self.visited.get(&point) {
            return Ok(value);
        }
        let value = self.scorer.score(point)?;
        self.visited.insert(point, value);
        self.open.push((value, point));
        if value > self.best {
            (self.best, self.mode) = (value, point);
        }
        Ok(value)
    }

    /// Opens the best point left, as long as one is worth it and the allowance lasts.
    fn spread(&mut self, allowance: usize) -> Result<Termination, FieldError> {
        let problem = self.scorer.problem;
        let axes = problem.priors.axes();
        let single_height = problem.targets.heights.len() == 1;
        while let Some(at) =
            (0..self.open.len()).max_by(|&a, &b| self.open[a].0.total_cmp(&self.open[b].0))
        {
            let (value, (drawing, levels)) = self.open[at];
            if value < self.best - WORTH_OPENING {
                break;
            }
            if self.visited.len() >= allowance {
                return Ok(Termination::Allowance);
            }
            self.open.swap_remove(at);
            for (axis, a) in axes.iter().enumerate() {
                let settled = drawing > 0 && [ASPECT, TILT].contains(&axis);
                if settled || (axis == REACH && single_height) {
                    continue;
                }
                for level in [levels[axis].checked_sub(1), Some(levels[axis] + 1)]
                    .into_iter()
                    .flatten()
                    .filter(|&l| l < a.levels.len())
                {
                    let mut neighbour = levels;
                    neighbour[axis] = level;
                    self.visit((drawing, neighbour))?;
                }
            }
        }
        Ok(Termination::Explored)
    }

    /// Tries every drawing at the best point without one, and where it takes over from swing and scatter.
    fn try_drawings(&mut self) -> Result<(), FieldError> {
        let (_, levels) = self.mode;
        let less = |by: [usize; 2]| {
            let mut l = levels;
            l[SWING] = l[SWING].saturating_sub(by[0]);
            l[SCATTER] = l[SCATTER].saturating_sub(by[1]);
            l
        };
        let taken: &[[usize; 2]] = if self.scorer.problem.targets.len() > MANY {
            &[[1, 1]]
        } else {
            &[[0, 0], [1, 1], [2, 2]]
        };
        for drawing in 1..self.scorer.drawings.len() {
            for &by in taken {
                self.visit((drawing, less(by)))?;
            }
        }
        Ok(())
    }
}

/// Searches the grid: first without a shape, then from its best point with each.
pub(super) fn explore(problem: &Problem<'_>) -> Result<Found, FieldError> {
    let n = problem.targets.len();
    let allowance = (ALLOWANCE / (n * n)).clamp(FEWEST_VISITS, MOST_VISITS);
    let start: Point = (0, problem.priors.axes().map(super::prior::Axis::start));
    let mut search = Search {
        scorer: Scorer::new(problem),
        visited: BTreeMap::new(),
        open: Vec::new(),
        mode: start,
        best: f64::NEG_INFINITY,
    };
    search.visit(start)?;
    search.spread(allowance)?;
    search.try_drawings()?;
    let termination = search.spread(search.visited.len() + allowance)?;
    Ok(Found {
        hyper: search.scorer.hyper(search.mode),
        mode: search.mode,
        visited: search.visited,
        termination,
        drawings: search.scorer.drawings,
    })
}

impl Found {
    /// Returns the most likely setting.
    pub(super) fn mode(&self) -> Hyper {
        self.hyper
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
        let weighted: Vec<(f64, Point)> = self
            .visited
            .iter()
            .map(|(l, v)| ((v - best).exp(), *l))
            .collect();
        let whole: f64 = weighted.iter().map(|(w, _)| w).sum();
        let n = problem.targets.len();
        let picks = (PREDICTION_ALLOWANCE / (n * n)).clamp(FEWEST_PICKS, MOST_PICKS);
        let mut components: Vec<Component> = Vec::new();
        let (mut below, mut pick) = (0.0, 0);
        for (weight, (drawing, levels)) in weighted {
            below += weight / whole;
            let mut count = 0_u32;
            while pick < picks && (pick as f64 + 0.5) / picks as f64 <= below {
                (pick, count) = (pick + 1, count + 1);
            }
            if count > 0 {
                let drawn = self.drawings[drawing].0;
                let hyper = problem.priors.hyper(problem.domain, levels, drawn);
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
