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
    #[error(transparent)]
    Map(#[from] MapError),
    #[error(transparent)]
    Ground(#[from] GroundError),
    #[error(transparent)]
    Check(#[from] CheckError),
    #[error(transparent)]
    Next(#[from] NextError),
    #[error(transparent)]
    Plan(#[from] PlanError),
    #[error(transparent)]
    Day(#[from] DayError),
    #[error(transparent)]
    Compare(#[from] CompareTestsError),
    #[error(transparent)]
    Photo(#[from] PhotoTrouble),
    #[error(transparent)]
    Drawing(#[from] PngError),
    #[error(transparent)]
    Store(#[from] StoreError),
    #[error(transparent)]
    Kitchen(#[from] KitchenError),
    #[error(transparent)]
    Paper(#[from] NoPaper),
    #[error("this oven is no longer on the disk")]
    Gone,
    #[error(
        "this calculation broke off, which is a fault of the program; your scores are safe, please report it with the stored test"
    )]
    Bug,
}
