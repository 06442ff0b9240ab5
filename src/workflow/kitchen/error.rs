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
    #[error("there is no {word} '{wanted}'; {known}")]
    NoSuch {
        word: &'static str,
        wanted: String,
        known: String,
    },
}

/// Says what ids there are, a few of them, or how to get one.
pub(super) fn known(word: &str, ids: &[&str]) -> String {
    const SHOWN: usize = 8;
    match ids {
        [] => format!("there is no {word} yet, add one first"),
        few if few.len() <= SHOWN => format!("there are: {}", few.join(", ")),
        many => format!(
            "there are {}, among them {}",
            many.len(),
            many[..SHOWN].join(", ")
        ),
    }
}
