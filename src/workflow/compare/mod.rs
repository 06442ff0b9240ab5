//! Before and after: two groups of toast tests, or two files of samples, set against each other.

mod findings;
mod standing;
#[cfg(test)]
mod tests;
mod view;

pub use findings::{is_of_rack, more_even_words, state_words};
pub use view::{CompareView, TestGroup};

use super::{
    findings::slice_warnings,
    kitchen::Records,
    map::{MIDDLING, domain_of_samples},
    observe::{
        LEAST_LEVEL_SHADE, domain_of, observations_of, priors_of, read_by_eye, to_one_level,
        unscored_racks,
    },
    pool::{PoolError, check_group, nearest_to, same_side, tests_beside},
    samples::Samples,
    sensitivity::sensitivity_of,
    view::reading_of,
};
use crate::{
    compare::{CompareError, Side, compare},
    field::{Domain, Observation, Priors},
    model::{Sensitivity, TestId, ToastTest, Warning, shade::browning_per_shade},
    units::{Celsius, TemperatureUnit},
};

/// Why two groups cannot be compared.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CompareTestsError {
    /// The tests of one side do not belong together.
    #[error(transparent)]
    Group(#[from] PoolError),
    /// A test stands on both sides.
    #[error("test '{0}' stands on both sides; name each test once")]
    BothSides(String),
    /// The engine refused.
    #[error(transparent)]
    Engine(#[from] CompareError),
}

/// Whether the tests that were named stand for others beside them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pooling {
    /// Each stands for all tests on its side of the service visit between them, where there is one.
    Beside,
    /// Just the tests named.
    Alone,
}

/// Returns the tests that stand before and after where `before` and `after` are named.
///
/// Every face chooses here. One test named on each side stands for every test in its mode on its side of the
/// service visit that lies between them; without a visit between, or where several are named, just those count.
pub fn sides<'k>(
    records: &'k Records,
    (before, after): (&[TestId], &[TestId]),
    pooling: Pooling,
) -> (Vec<&'k ToastTest>, Vec<&'k ToastTest>) {
    let named = |ids: &[TestId]| -> Vec<&ToastTest> {
        ids.iter().filter_map(|id| records.test(id)).collect()
    };
    let (before, after) = (named(before), named(after));
    match (pooling, before.as_slice(), after.as_slice()) {
        (Pooling::Beside, [b], [a]) => {
            let (all_before, all_after) = (tests_beside(records, b), tests_beside(records, a));
            let one_oven = b.setup.oven == a.setup.oven;
            let oven = records.oven(&b.setup.oven).filter(|_| one_oven);
            let visited = oven.is_some_and(|oven| !same_side(&oven.visits, b.when, a.when));
            if visited && !all_before.is_empty() && !all_after.is_empty() {
                (all_before, all_after)
            } else {
                (before, after)
            }
        }
        (Pooling::Beside | Pooling::Alone, _, _) => (before, after),
    }
}

/// Compares two groups of tests on a grid of (columns, rows) cells.
///
/// Repeated tests of a group are pooled; degrees are on the dial's scale of the first oven.
///
/// # Errors
/// [`CompareTestsError`] when a group does not belong together, or nothing can be compared.
pub fn compare_tests(
    before: TestGroup<'_>,
    after: TestGroup<'_>,
    grid: (usize, usize),
) -> Result<CompareView, CompareTestsError> {
    check_group(before.oven, before.tests)?;
    check_group(after.oven, after.tests)?;
    if let Some(test) = before
        .tests
        .iter()
        .find(|t| after.tests.iter().any(|other| other.id == t.id))
    {
        return Err(CompareTestsError::BothSides(test.id.to_string()));
    }
    let (few_before, few_after) = (
        nearest_to(after.tests[0], before.tests.to_vec()),
        nearest_to(before.tests[0], after.tests.to_vec()),
    );
    let left_out = standing::left_out((before.tests, &few_before), (after.tests, &few_after));
    let before = TestGroup {
        tests: &few_before,
        ..before
    };
    let after = TestGroup {
        tests: &few_after,
        ..after
    };
    let dial = before.tests.iter().map(|t| t.setup.dial.0).sum::<f64>() / before.tests.len() as f64;
    let one_oven =
        before.oven.id == after.oven.id && before.tests[0].setup.mode == after.tests[0].setup.mode;
    let together = before
        .tests
        .iter()
        .chain(after.tests.iter().filter(|_| one_oven));
    // A visit may change the air at a dial setting: only tests with none between tell this bread's own sensitivity.
    let told = together.clone().map(|test| {
        let with = together.clone().copied();
        let with = with.filter(|t| same_side(&before.oven.visits, t.when, test.when));
        sensitivity_of(&with.collect::<Vec<_>>(), Celsius(dial))
    });
    // By the energy's own error: what the published one is known to is never less.
    let error = |s: &Sensitivity| s.energy * s.relative_sd;
    let surest = told.min_by(|a, b| error(a).total_cmp(&error(b)));
    let ids = |group: TestGroup<'_>| group.tests.iter().map(|t| t.id.clone()).collect();
    let basis = SideBasis {
        tests: (ids(before), ids(after)),
        sensitivity: surest.unwrap_or_else(|| Sensitivity::default_at(Celsius(dial))),
        unit: before.oven.dial.unit,
    };
    let sides = [before, after].map(Prepared::of_tests);
    let mut view = basis.view(&sides, grid)?;
    let told = standing::warnings(before, after, &view.comparison);
    view.warnings.splice(0..0, told);
    view.warnings.extend(left_out);
    Warning::gravest_first(&mut view.warnings);
    Ok(view)
}

/// Compares two files of samples of one cavity `width` x `depth` cm, on a grid of (columns, rows) cells.
///
/// # Errors
/// [`CompareTestsError`] names the sample that cannot be used, or says that nothing can be compared.
pub fn compare_samples(
    before: &Samples,
    after: &Samples,
    (width, depth): (f64, f64),
    grid: (usize, usize),
) -> Result<CompareView, CompareTestsError> {
    let basis = SideBasis {
        tests: (Vec::new(), Vec::new()),
        sensitivity: Sensitivity::default_at(MIDDLING),
        unit: TemperatureUnit::Celsius,
    };
    let sides = [before, after].map(|samples| Prepared {
        observations: samples.observations.clone(),
        domain: domain_of_samples(samples, width, depth),
        priors: priors_of(samples.by_eye),
        unscored: Vec::new(),
    });
    let mut view = basis.view(&sides, grid)?;
    view.warnings
        .extend(standing::of_comparison(&view.comparison, None));
    Warning::gravest_first(&mut view.warnings);
    Ok(view)
}

/// One side, ready for the engine.
struct Prepared {
    observations: Vec<Observation>,
    domain: Domain,
    priors: Priors,
    /// Rack positions that have slices left to score.
    unscored: Vec<u8>,
}

impl Prepared {
    fn of_tests(group: TestGroup<'_>) -> Self {
        let mut observations: Vec<Observation> = group
            .tests
            .iter()
            .enumerate()
            .flat_map(|(i, t)| observations_of(t, i))
            .map(|(_, o)| o)
            .collect();
        to_one_level(&mut observations);
        Self {
            observations,
            domain: domain_of(group.oven),
            priors: priors_of(read_by_eye(group.tests)),
            unscored: unscored_racks(group.tests),
        }
    }

    fn side(&self) -> Side<'_> {
        Side {
            observations: &self.observations,
            domain: &self.domain,
            priors: &self.priors,
            least_level: LEAST_LEVEL_SHADE * browning_per_shade(),
        }
    }
}

/// What a comparison rests on beside the slices.
struct SideBasis {
    /// The tests of before and after; none where they are bare samples.
    tests: (Vec<TestId>, Vec<TestId>),
    sensitivity: Sensitivity,
    unit: TemperatureUnit,
}

impl SideBasis {
    fn view(
        self,
        [before, after]: &[Prepared; 2],
        grid: (usize, usize),
    ) -> Result<CompareView, CompareTestsError> {
        let reading = reading_of(&self.sensitivity);
        let comparison = compare(&before.side(), &after.side(), grid, &reading)?;
        let mut view = CompareView {
            tests: self.tests,
            comparison,
            sensitivity: self.sensitivity,
            unit: self.unit,
            findings: Vec::new(),
            warnings: Vec::new(),
        };
        view.findings = findings::findings(&view);
        let warned = [before, after].map(|p| slice_warnings(&p.observations, &p.unscored));
        view.warnings.extend(standing::of_slices(warned));
        Ok(view)
    }
}
