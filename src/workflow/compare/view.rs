//! What a comparison says, and of what.

use crate::{
    compare::{Basis, Comparison, RackComparison},
    field::Reading as MapReading,
    model::{Oven, Sensitivity, TestId, ToastTest, Warning},
    units::TemperatureUnit,
    workflow::view::reading_of,
};

/// One side: tests of one oven in one mode, pooled.
#[derive(Debug, Clone, Copy)]
pub struct TestGroup<'t> {
    /// Their oven.
    pub oven: &'t Oven,
    /// The tests.
    pub tests: &'t [&'t ToastTest],
}

/// Everything that can be said of before and after.
#[derive(Debug, Clone, PartialEq)]
pub struct CompareView {
    /// The tests that count before and after; none where they are bare samples.
    pub tests: (Vec<TestId>, Vec<TestId>),
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
