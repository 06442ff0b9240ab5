//! What is asked of a plan, and why there is none.

use super::words::plural;
use crate::{
    model::{BakeKind, Mode, Oven, OvenError, Tray, text::listed},
    planner::PlannerError,
    units::{Celsius, Minutes},
};

/// Most openings of the door where nobody says how many.
pub const USUAL_OPENINGS: u8 = 1;

/// What is to be baked, and how it may be handled.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanRequest {
    /// Kind of bake.
    pub kind: BakeKind,
    /// How many trays, 1 to 3.
    pub trays: usize,
    /// Every tray; all are alike.
    pub tray: Tray,
    /// Most openings of the door, 0 to 4.
    pub max_openings: usize,
    /// Rack positions that are free, by number; empty for all of the oven's.
    pub racks: Vec<u8>,
    /// How the oven heats.
    pub mode: Mode,
    /// The recipe's still-air temperature; the kind's own when `None`.
    pub recipe: Option<Celsius>,
    /// The recipe's time; the kind's own when `None`.
    pub time: Option<Minutes>,
    /// Seed of the joint samples.
    pub seed: u64,
}

impl PlanRequest {
    /// Asks for one tray, with the usual openings, on any rack position and as the kind itself is baked.
    pub fn of(kind: BakeKind, mode: Mode, tray: Tray) -> Self {
        Self {
            kind,
            trays: 1,
            tray,
            max_openings: usize::from(USUAL_OPENINGS),
            racks: Vec::new(),
            mode,
            recipe: None,
            time: None,
            seed: 1,
        }
    }

    /// Returns `oven` with the rack positions that are free.
    ///
    /// # Errors
    /// [`PlanError::Oven`] names one that the oven has not.
    pub fn free_in(&self, oven: &Oven) -> Result<Oven, PlanError> {
        let mut free = oven.clone();
        if !self.racks.is_empty() {
            for rack in &self.racks {
                oven.rack(*rack)?;
            }
            free.racks.retain(|r| self.racks.contains(&r.number));
        }
        Ok(free)
    }
}

/// Why no plan can be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// The trays, openings, time or dial cannot be.
    #[error(transparent)]
    Planner(#[from] PlannerError),
    /// A mode or rack position the oven has not.
    #[error(transparent)]
    Oven(#[from] OvenError),
    /// More trays than the rack positions that are free take.
    #[error(
        "{trays} trays do not go on the rack positions that are free ({}), which take {usable} at a time; free others or bake {usable} at a time",
        listed(racks)
    )]
    Free {
        /// The rack positions that are free.
        racks: Vec<u8>,
        /// Trays to bake.
        trays: usize,
        /// Trays that go in at once.
        usable: usize,
    },
    /// None of the rack positions that are free is in the map.
    #[error(
        "rack position{} {} {} not tested, nor between tested ones; toast-test there or give rack positions that were tested",
        plural(racks.len()), listed(racks), if racks.len() == 1 { "was" } else { "were" }
    )]
    Untested {
        /// The rack positions that are free.
        racks: Vec<u8>,
    },
    /// A mode that bakes nothing.
    #[error("proofing browns nothing, so there is nothing to plan; choose a mode that bakes")]
    Proofing,
    /// A temperature at which nothing browns.
    #[error(
        "at {recipe} the surface of {kind} gets no hotter than {surface}, and nothing browns below {starts}; {hint}"
    )]
    TooCool {
        /// The recipe's temperature.
        recipe: String,
        /// The kind's name.
        kind: String,
        /// The hottest its surface gets.
        surface: String,
        /// Where browning starts.
        starts: String,
        /// What to do.
        hint: String,
    },
    /// A bake that ends before anything browns.
    #[error(
        "after {time} at {recipe} nothing of {kind} has browned yet; give a longer time, it usually takes {usual}"
    )]
    TooShort {
        /// The recipe's time.
        time: Minutes,
        /// The recipe's temperature.
        recipe: String,
        /// The kind's name.
        kind: String,
        /// The kind's own time.
        usual: Minutes,
    },
}
