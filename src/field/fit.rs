//! From observations to a fitted field: a weighted handful of kriging systems.

use super::{
    FieldError, censor,
    domain::{Domain, Spot},
    explore::{self, Termination},
    kernel::Extent,
    likelihood::Likelihood,
    map::{Bound, Evidence, Observation},
    merge::{Datum, merge},
    prior::Priors,
    problem::{Component, Problem},
    target::Targets,
};
use nalgebra::DMatrix;

/// Most places of a last test that another could repeat.
const MOST_LAIN: usize = 200;
/// Fewest scored slices a map is made from.
pub const FEWEST: usize = 3;

/// How a fit ended.
#[derive(Debug, Clone, PartialEq)]
pub struct FitReport {
    /// Why the search stopped.
    pub termination: Termination,
    /// Likelihood evaluations spent.
    pub evaluations: usize,
    /// Kriging systems kept for predictions.
    pub components: usize,
    /// Largest log posterior met (up to a constant).
    pub ln_posterior: f64,
    /// Slices that were given.
    pub slices: usize,
    /// Places they were merged into: slices of one test in one place are one figure.
    pub places: usize,
}

/// A fitted field.
#[derive(Debug, Clone)]
pub struct Fit {
    pub(super) domain: Domain,
    pub(super) targets: Targets,
    /// Trend columns: one for the level, one more for each further test of the pool (n x p).
    pub(super) trend: DMatrix<f64>,
    pub(super) likelihood: Likelihood,
    pub(super) components: Vec<Component>,
    /// Browning of every observation, and which value of the likelihood it went into.
    seen: Vec<(f64, usize)>,
    tested: Vec<u8>,
    /// What the field cannot be below, B.
    pub(super) least: f64,
    /// Where the slices of the last test of each rack position lay.
    lain: Vec<Spot>,
    report: FitReport,
}

/// Fits the field to observations of slices.
///
/// Slices read as "at least" or "at most" enter by expectation propagation; several tests (batches)
/// each have a level of their own and share the pattern.
///
/// # Errors
/// [`FieldError`] names the first slice or figure that cannot be used.
pub fn fit(
    observations: &[Observation],
    domain: &Domain,
    priors: &Priors,
) -> Result<Fit, FieldError> {
    check(observations, domain)?;
    let (data, into) = merge(observations);
    let targets = targets_of(&data, domain);
    let trend = trend_of(&data);
    let mut problem = Problem {
        domain,
        priors,
        targets: &targets,
        trend: &trend,
        likelihood: Likelihood::new(&data),
    };
    let mut found = explore::explore(&problem)?;
    if problem.likelihood.has_bounds() {
        problem.likelihood = censor::resolve(&problem, &found.mode())?;
        found = explore::explore(&problem)?;
    }
    let components = found.components(&problem)?;
    let report = FitReport {
        termination: found.termination(),
        evaluations: found.evaluations(),
        components: components.len(),
        ln_posterior: found.best(),
        slices: observations.len(),
        places: data.len(),
    };
    let mut tested: Vec<u8> = observations.iter().map(|o| o.rack).collect();
    tested.sort_unstable();
    tested.dedup();
    let likelihood = problem.likelihood;
    Ok(Fit {
        domain: domain.clone(),
        targets,
        trend,
        likelihood,
        components,
        seen: observations.iter().map(|o| o.browning).zip(into).collect(),
        tested,
        least: priors.least,
        lain: last_lain(observations),
        report,
    })
}

impl Fit {
    /// Returns how the fit ended.
    pub fn report(&self) -> &FitReport {
        &self.report
    }

    /// Returns the cavity and rack positions the field was fitted in.
    pub fn domain(&self) -> &Domain {
        &self.domain
    }

    /// Returns the fitted slice-to-slice scatter, B (posterior mean).
    pub fn noise_sd(&self) -> f64 {
        self.components
            .iter()
            .map(|c| c.weight * c.hyper.scatter)
            .sum()
    }

    /// Returns what a map of rack position `number` rests on; `None` outside the tested range.
    pub fn evidence(&self, number: u8) -> Option<Evidence> {
        if self.tested.contains(&number) {
            return Some(Evidence::Tested);
        }
        let z = self.rack_height(number)?;
        let heights = || self.tested.iter().filter_map(|&n| self.rack_height(n));
        (heights().any(|h| h < z) && heights().any(|h| h > z)).then_some(Evidence::Interpolated)
    }

    /// Returns where the slices of the last test of rack position `number` lay.
    pub fn lain(&self, number: u8) -> Vec<Spot> {
        let own = self.lain.iter().filter(|s| s.rack == number);
        own.copied().collect()
    }

    /// Returns the height of rack position `number` where it can be mapped.
    pub(super) fn height(&self, number: u8) -> Option<f64> {
        self.evidence(number)?;
        self.rack_height(number)
    }

    /// Returns the height of rack position `number`, mapped or not.
    pub(super) fn rack_height(&self, number: u8) -> Option<f64> {
        self.domain
            .racks
            .iter()
            .find(|r| r.number == number)
            .map(|r| r.height)
    }

    /// Returns the rectangle (x from, x to, y from, y to; cm) that slices covered on rack position
    /// `number`, or on all tested ones where it was not tested itself.
    pub fn covered(&self, number: u8) -> (f64, f64, f64, f64) {
        let t = &self.targets;
        let height = self.height(number);
        let own = |z: usize| height.is_some_and(|h| (t.heights[z] - h).abs() < 1e-9);
        let on_own = t.items.iter().any(|i| own(i[1]));
        let span = |lo: f64, hi: f64, e: Extent| {
            (
                lo.min(e.middle - e.length / 2.0),
                hi.max(e.middle + e.length / 2.0),
            )
        };
        let empty = (f64::INFINITY, f64::NEG_INFINITY);
        let (mut x, mut y) = (empty, empty);
        for &[place, _] in t.items.iter().filter(|i| !on_own || own(i[1])) {
            let (ex, ey) = t.place(place);
            x = span(x.0, x.1, ex);
            y = span(y.0, y.1, ey);
        }
        (x.0, x.1, y.0, y.1)
    }

    /// Returns leave-one-out residuals in standard deviations, one for each observation.
    ///
    /// A slice far from 0 disagrees with all its neighbours: look at it again.
    pub fn disagreement(&self) -> Vec<f64> {
        let mut out = vec![0.0; self.seen.len()];
        for c in &self.components {
            let alone = c.kriging.leave_one_out();
            for (o, &(browning, datum)) in out.iter_mut().zip(&self.seen) {
                let (residual, sd) = alone[datum];
                let (beside, variance) =
                    self.likelihood
                        .beside_repeats(datum, browning, c.hyper.scatter);
                *o += c.weight * (residual + beside) / (sd * sd + variance).sqrt();
            }
        }
        out
    }
}

fn check(observations: &[Observation], domain: &Domain) -> Result<(), FieldError> {
    let (width, depth, racks) = (domain.width, domain.depth, domain.racks.len());
    let sized = |v: f64| v.is_finite() && v > 0.0;
    if !sized(width) || !sized(depth) || racks == 0 {
        return Err(FieldError::Domain {
            width,
            depth,
            racks,
        });
    }
    if observations.len() < FEWEST {
        return Err(FieldError::TooFew {
            scored: observations.len(),
            needed: FEWEST,
        });
    }
    check_bounds(observations)?;
    for (i, o) in observations.iter().enumerate() {
        let number = i + 1;
        if !domain.racks.iter().any(|r| r.number == o.rack) {
            return Err(FieldError::UnknownRack {
                number,
                rack: o.rack,
            });
        }
        let figures = [
            ("x", o.x, f64::NEG_INFINITY),
            ("y", o.y, f64::NEG_INFINITY),
            ("width", o.width, 0.0),
            ("depth", o.depth, 0.0),
            ("browning", o.browning, f64::NEG_INFINITY),
            ("standard error", o.sd, 0.0),
        ];
        for (what, value, least) in figures {
            if !value.is_finite() || value < least {
                return Err(FieldError::Figure {
                    number,
                    what,
                    value,
                });
            }
        }
        if !(0.0..=width).contains(&o.x) || !(0.0..=depth).contains(&o.y) {
            return Err(FieldError::Outside {
                number,
                x: o.x,
                y: o.y,
                width,
                depth,
            });
        }
    }
    Ok(())
}

/// Bounds alone leave the level open: a few slices must carry a figure.
fn check_bounds(observations: &[Observation]) -> Result<(), FieldError> {
    let count = |bound: Bound| observations.iter().filter(|o| o.bound == bound).count();
    let (exact, dark, pale) = (
        count(Bound::Exact),
        count(Bound::AtLeast),
        count(Bound::AtMost),
    );
    let batches = observations.iter().map(|o| o.batch).max().unwrap_or(0);
    let each_told = (0..=batches).all(|b| {
        let mut of_test = observations.iter().filter(|o| o.batch == b).peekable();
        of_test.peek().is_none() || of_test.any(|o| o.bound == Bound::Exact)
    });
    if exact >= FEWEST && each_told {
        return Ok(());
    }
    let advice = if dark >= pale {
        "toast again and pull earlier, when the thinnest light slice is golden"
    } else {
        "toast again and pull later, when the thinnest light slice is golden"
    };
    Err(FieldError::NothingTold {
        exact,
        scored: observations.len(),
        pale,
        dark,
        advice,
    })
}

fn targets_of(data: &[Datum], domain: &Domain) -> Targets {
    let mut targets = Targets::default();
    for o in data.iter().map(|d| &d.seen) {
        let height = domain
            .racks
            .iter()
            .find(|r| r.number == o.rack)
            .map_or(0.0, |rack| rack.height);
        targets.push(Extent::new(o.x, o.width), Extent::new(o.y, o.depth), height);
    }
    targets.leans = data.iter().map(|d| d.seen.lean).collect();
    targets
}

/// Returns where the slices of the last test of each rack position lay, each place once.
fn last_lain(observations: &[Observation]) -> Vec<Spot> {
    let mut out: Vec<Spot> = Vec::new();
    for o in observations {
        let newer = |other: &Observation| other.rack == o.rack && other.batch > o.batch;
        let here = |s: &Spot| s.rack == o.rack && (s.x - o.x).hypot(s.y - o.y) < 1e-6;
        if out.len() < MOST_LAIN && !observations.iter().any(newer) && !out.iter().any(here) {
            out.push(Spot::new(o.rack, o.x, o.y, o.width, o.depth));
        }
    }
    out
}

/// A column of ones, and a column for each test after the first: tests differ in level.
fn trend_of(data: &[Datum]) -> DMatrix<f64> {
    let mut batches: Vec<usize> = data.iter().map(|d| d.seen.batch).collect();
    batches.sort_unstable();
    batches.dedup();
    DMatrix::from_fn(data.len(), batches.len(), |i, j| {
        if j == 0 || data[i].seen.batch == batches[j] {
            1.0
        } else {
            0.0
        }
    })
}
