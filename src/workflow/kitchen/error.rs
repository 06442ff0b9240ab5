//! What keeps something from being found, taken or saved.

use crate::model::text::WordsError;
use crate::{
    model::{OvenError, RecipeError, ThermometerError},
    store::StoreError,
};

/// What keeps something from being found, taken or saved.
#[derive(Debug, thiserror::Error)]
pub enum KitchenError {
    /// Trouble with the data folder. What was to be saved is still in memory.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// An oven's description is wrong; it was not taken.
    #[error(transparent)]
    Oven(#[from] OvenError),
    /// A thermometer's description is wrong; it was not taken.
    #[error(transparent)]
    Thermometer(#[from] ThermometerError),
    /// A recipe is wrong; it was not taken.
    #[error(transparent)]
    Recipe(#[from] RecipeError),
    /// A name is too long, or not one line; nothing was taken.
    #[error("the name cannot be kept: {0}")]
    Name(#[from] WordsError),
    /// No thermometer has that id.
    #[error("there is no thermometer '{wanted}'; {known}")]
    NoSuchThermometer {
        /// The id asked for.
        wanted: String,
        /// A sentence that lists what there is.
        known: String,
    },
    /// No recipe has that name.
    #[error("there is no recipe '{wanted}'; {known}")]
    NoSuchRecipe {
        /// The name asked for.
        wanted: String,
        /// A sentence that lists what there is.
        known: String,
    },
    /// No dough has that id.
    #[error("there is no dough '{wanted}'; {known}")]
    NoSuchDough {
        /// The id asked for.
        wanted: String,
        /// A sentence that lists what there is.
        known: String,
    },
    /// No oven has that id.
    #[error("there is no oven '{wanted}'; {known}")]
    NoSuchOven {
        /// The id asked for.
        wanted: String,
        /// A sentence that lists what there is.
        known: String,
    },
    /// No toast test has that id.
    #[error("there is no toast test '{wanted}'; {known}")]
    NoSuchTest {
        /// The id asked for.
        wanted: String,
        /// A sentence that lists what there is.
        known: String,
    },
}

/// Says what ids there are, a few of them, or how to get one.
pub(super) fn known<'i>(word: &str, ids: impl Iterator<Item = &'i str>) -> String {
    const SHOWN: usize = 8;
    let ids: Vec<_> = ids.collect();
    match ids.as_slice() {
        [] => format!("there is no {word} yet, add one first"),
        few if few.len() <= SHOWN => format!("there are: {}", few.join(", ")),
        many => format!(
            "there are {}, among them {}",
            many.len(),
            many[..SHOWN].join(", ")
        ),
    }
}
