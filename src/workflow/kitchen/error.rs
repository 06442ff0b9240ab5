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
    /// Another thing of the kind goes by that name; nothing was taken.
    #[error(
        "there is {} {word} '{name}' already ({id}); choose another name",
        article(word)
    )]
    NameTaken {
        /// What is named.
        word: &'static str,
        /// The name.
        name: String,
        /// Id of the one that goes by it.
        id: String,
    },
    /// One of that id is there, so none can be taken back.
    #[error(
        "there is {} {word} '{wanted}' already; to have the other, remove this one and move {wanted}.json from 'removed' to '{folder}' in your data",
        article(word)
    )]
    There {
        /// The folder of its kind.
        folder: &'static str,
        /// What was to be taken back.
        word: &'static str,
        /// Its id.
        wanted: String,
    },
    /// None of that id was set aside.
    #[error("no {word} '{wanted}' was set aside; the folder 'removed' of your data holds what was")]
    NotRemoved {
        /// What was to be taken back.
        word: &'static str,
        /// Its id.
        wanted: String,
    },
    /// Nothing of the kind goes by that name.
    #[error("there is no {word} '{wanted}'; {known}")]
    NoSuch {
        /// What was looked for.
        word: &'static str,
        /// The id asked for.
        wanted: String,
        /// What there is.
        known: String,
    },
}

/// Says what ids there are, a few of them, or how to get one.
pub(super) fn known(word: &str, ids: &[&str]) -> String {
    const SHOWN: usize = 12;
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

fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    }
}
