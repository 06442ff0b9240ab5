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
    #[error(transparent)]
    Oven(#[from] OvenError),
    #[error(transparent)]
    Thermometer(#[from] ThermometerError),
    #[error(transparent)]
    Recipe(#[from] RecipeError),
    #[error("the name cannot be kept: {0}")]
    Name(#[from] WordsError),
    #[error("there is no thermometer '{wanted}'; {known}")]
    NoSuchThermometer { wanted: String, known: String },
    #[error("there is no recipe '{wanted}'; {known}")]
    NoSuchRecipe { wanted: String, known: String },
    #[error("there is no dough '{wanted}'; {known}")]
    NoSuchDough { wanted: String, known: String },
    #[error("there is no oven '{wanted}'; {known}")]
    NoSuchOven { wanted: String, known: String },
    #[error("there is no toast test '{wanted}'; {known}")]
    NoSuchTest { wanted: String, known: String },
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
