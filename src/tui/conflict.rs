//! Two versions of one thing, of which one is to be chosen.

use super::effect::Save;
use crate::workflow::kitchen::{KitchenError, StoreError};
use std::path::PathBuf;

/// Two versions of one thing: one on the disk, and one that was to be saved over an older state of it.
#[derive(Debug)]
pub(crate) struct Conflict {
    /// What was to be saved.
    pub(crate) save: Save,
    /// Its file, which something else has changed.
    pub(crate) path: PathBuf,
    /// Where it is kept meanwhile.
    pub(crate) mine: PathBuf,
}

impl Conflict {
    /// Tells whether a save failed because something else had changed the file.
    pub(crate) fn of(save: &Save, error: &KitchenError) -> Option<Self> {
        let KitchenError::Store(StoreError::Changed { path, mine }) = error else {
            return None;
        };
        Some(Self {
            save: save.clone(),
            path: path.clone(),
            mine: mine.clone(),
        })
    }

    /// Asks which version counts.
    pub(crate) fn question(&self) -> String {
        format!(
            "Something else has changed {}. Both versions are kept. m: mine counts  t: the other counts",
            self.save.words()
        )
    }
}
