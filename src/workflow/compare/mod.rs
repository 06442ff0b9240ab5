//! Before and after: two groups of toast tests, or two files of samples, set against each other.

mod findings;
mod standing;
#[cfg(test)]
mod tests;

pub use findings::{is_of_rack, more_even_words};

use super::{
    map::{
        MIDDLING, MapError, check_group, domain_of, domain_of_samples, priors_of, read_by_eye,
        reading_of,
    },
    observe::{LEAST_LEVEL_SHADE, observations_of, to_one_level},
    pool::nearest_to,
    samples::Samples,
    sensitivity::sensitivity_of,
};
use crate::{
    compare::{Basis, CompareError, Comparison, RackComparison, Side, compare},
    field::{Domain, Observation, Priors, Reading as MapReading},
    model::{Oven, Sensitivity, ToastTest, Warning, shade::browning_per_shade},
    units::{Celsius, TemperatureUnit},
};

/// One side: tests of one oven in one mode, pooled.
#[derive(Debug, Clone, Copy)]
pub struct TestGroup<'t> {
    /// Their oven.
    pub oven: &'t Oven,
    /// The tests.
    pub tests: &'t [&'t ToastTest],
}

/// Why two groups cannot be compared.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CompareTestsError {
    /// The tests of one side do not belong together.
    #[error(transparent)]
    Group(#[from] MapError),
    /// A test stands on both sides.
    #[error("test '{0}' stands on both sides; name each test once")]
    BothSides(String),
    /// The engine refused.
    #[error(transparent)]
    Engine(#[from] CompareError),
}

/// Everything that can be said of before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct CompareView {
    /// The figures, maps and verdicts.
    pub comparison: Comparison,
    /// What a browning ratio is worth in degrees, and what that rests on.
    pub sensitivity: Sensitivity,
    /// The unit of degrees in sentences.
    pub unit: TemperatureUnit,
    /// Plain sentences: verdicts first.
    pub findings: Vec<String>,
    /// What stands against comparing.
    pub warnings: Vec<Warning>,
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
    // All tests of one oven in one mode together say more of this bread's own sensitivity.
    let together: Vec<&ToastTest> = before
        .tests
        .iter()
        .chain(after.tests.iter().filter(|_| one_oven))
        .copied()
        .collect();
    let basis = SideBasis {
        sensitivity: sensitivity_of(&together, Celsius(dial)),
        unit: before.oven.dial.unit,
    };
    let sides = [before, after].map(Prepared::of_tests);
    let mut view = basis.view(&sides, grid)?;
    let told = standing::warnings(before, after, &view.comparison);
    view.warnings.splice(0..0, told);
    view.warnings.extend(left_out);
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
        sensitivity: Sensitivity::default_at(MIDDLING),
        unit: TemperatureUnit::Celsius,
    };
    let sides = [before, after].map(|samples| Prepared {
        observations: samples.observations.clone(),
        domain: domain_of_samples(samples, width, depth),
        priors: priors_of(samples.by_eye),
    });
    let mut view = basis.view(&sides, grid)?;
    view.warnings
        .extend(standing::of_comparison(&view.comparison, None));
    Ok(view)
}

/// One side, ready for the engine.
struct Prepared {
    observations: Vec<Observation>,
    domain: Domain,
    priors: Priors,
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
    sensitivity: Sensitivity,
    unit: TemperatureUnit,
}

impl SideBasis {
    fn view(
        &self,
        [before, after]: &[Prepared; 2],
        grid: (usize, usize),
    ) -> Result<CompareView, CompareTestsError> {
        let reading = reading_of(&self.sensitivity);
        let comparison = compare(&before.side(), &after.side(), grid, &reading)?;
        let mut view = CompareView {
            comparison,
            sensitivity: self.sensitivity,
            unit: self.unit,
            findings: Vec::new(),
            warnings: Vec::new(),
        };
        view.findings = findings::findings(&view);
        for (side, prepared) in [("before", before), ("after", after)] {
            view.warnings
                .extend(standing::of_slices(side, &prepared.observations));
        }
        Ok(view)
    }
}

impl CompareView {
    /// Returns how browning is read as shades and degrees here.
    pub fn reading(&self) -> MapReading {
        reading_of(&self.sensitivity)
    }

    /// Returns what is told of rack position `number`.
    pub fn rack(&self, number: u8) -> Option<&RackComparison> {
        self.comparison.racks.iter().find(|r| r.rack == number)
    }

    /// Tells whether each side was mapped by itself, because slices lay in different places.
    pub fn is_apart(&self) -> bool {
        match self.comparison.basis {
            Basis::SamePlaces => false,
            Basis::Apart => true,
        }
    }
}
