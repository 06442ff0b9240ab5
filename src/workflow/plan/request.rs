//! What is asked of a plan, and why there is none.

use crate::{
    model::{BakeKind, Mode, Tray},
    planner::PlannerError,
    units::{Celsius, Minutes},
};

/// Most openings of the door where nobody says how many.
pub const USUAL_OPENINGS: u8 = 1;

/// What is to be baked, and how it may be handled.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanRequest {
    pub kind: BakeKind,
    /// How many trays, 1 to 3.
    pub trays: usize,
    /// Every tray; all are alike.
    pub tray: Tray,
    /// Most openings of the door, 0 to 4.
    pub max_openings: usize,
    /// How the oven heats.
    pub mode: Mode,
    /// The recipe's still-air temperature; the kind's own when `None`.
    pub recipe: Option<Celsius>,
    /// The recipe's time; the kind's own when `None`.
    pub time: Option<Minutes>,
    /// Seed of the joint samples.
    pub seed: u64,
}

/// Why no plan can be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanError {
    #[error(transparent)]
    Planner(#[from] PlannerError),
    #[error("'{oven}' has no mode '{mode}'; it has {has}")]
    Mode {
        oven: String,
        mode: &'static str,
        has: String,
    },
    #[error("proofing browns nothing, so there is nothing to plan; choose a mode that bakes")]
    Proofing,
    #[error(
        "at {recipe} the surface of {kind} gets no hotter than {surface}, and nothing browns below {starts}; {hint}"
    )]
    TooCool {
        recipe: String,
        kind: String,
        surface: String,
        starts: String,
        hint: String,
    },
    #[error(
        "after {time} at {recipe} nothing of {kind} has browned yet; give a longer time, it usually takes {usual}"
    )]
    TooShort {
        time: Minutes,
        recipe: String,
        kind: String,
        usual: Minutes,
    },
}
