//! Why work that a screen asked for has no answer.

use crate::{
    report::png::PngError,
    workflow::{
        advised::NextError,
        batches::DayError,
        check::CheckError,
        compare::CompareTestsError,
        ground::GroundError,
        kitchen::{KitchenError, StoreError},
        map::MapError,
        paper::NoPaper,
        photo::PhotoTrouble,
        plan::PlanError,
    },
};

/// Why a job has no answer.
#[derive(Debug, thiserror::Error)]
pub enum Trouble {
    /// No map.
    #[error(transparent)]
    Map(#[from] MapError),
    /// No map for a plan to rest on.
    #[error(transparent)]
    Ground(#[from] GroundError),
    /// No quick check.
    #[error(transparent)]
    Check(#[from] CheckError),
    /// No place for the next slices.
    #[error(transparent)]
    Next(#[from] NextError),
    /// No plan.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// No baking day.
    #[error(transparent)]
    Day(#[from] DayError),
    /// No comparison.
    #[error(transparent)]
    Compare(#[from] CompareTestsError),
    /// The photo was refused.
    #[error(transparent)]
    Photo(#[from] PhotoTrouble),
    /// The picture of a tray could not be drawn.
    #[error(transparent)]
    Drawing(#[from] PngError),
    /// The picture could not be written.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The data folder made trouble.
    #[error(transparent)]
    Kitchen(#[from] KitchenError),
    /// The papers could not be written.
    #[error(transparent)]
    Paper(#[from] NoPaper),
    /// What the job is about was removed meanwhile.
    #[error("this oven is no longer on the disk")]
    Gone,
    /// An engine broke off: our bug, which must not take the scores on screen with it.
    #[error(
        "this calculation broke off, which is a fault of the program; your scores are safe, please report it with the stored test"
    )]
    Bug,
}
