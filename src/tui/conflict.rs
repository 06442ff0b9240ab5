//! Two versions of one thing, of which one is to be chosen.

use super::effect::Save;
use crate::model::text::counted;
use crate::workflow::kitchen::{Kitchen, KitchenError, StoreError};
use std::path::PathBuf;

/// The keys that choose, and what they do.
pub(crate) const CHOICE: &str = "m: mine counts  t: the other counts";

/// Two versions of one thing: one on the disk, and one that was to be saved over an older state of it.
#[derive(Debug)]
pub(crate) struct Conflict {
    /// What was to be saved.
    pub(crate) save: Save,
    /// Its file, which something else has changed.
    pub(crate) path: PathBuf,
    /// Where it is kept meanwhile.
    pub(crate) mine: PathBuf,
    /// How the two differ, where that can be counted: `yours has 7 scores, the other 12`.
    differ: Option<String>,
}

impl Conflict {
    /// Tells whether a save failed because something else had changed the file.
    pub(crate) fn of(save: &Save, error: &KitchenError, kitchen: &Kitchen) -> Option<Self> {
        let KitchenError::Store(StoreError::Changed { path, mine }) = error else {
            return None;
        };
        Some(Self {
            save: save.clone(),
            path: path.clone(),
            mine: mine.clone(),
            differ: differ(save, kitchen),
        })
    }

    /// Asks which version counts.
    pub(crate) fn question(&self) -> String {
        let differ = self.differ.as_ref();
        let differ = differ.map_or_else(String::new, |words| format!(": {words}"));
        format!(
            "Something else has changed {}{differ}. Both versions are kept. {CHOICE}",
            self.save.name()
        )
    }
}

/// Says how much each of the two versions has.
fn differ(save: &Save, kitchen: &Kitchen) -> Option<String> {
    let (mine, theirs) = if let Save::Test(test) = save {
        let theirs = kitchen.scored_on_disk(&test.id)?;
        (counted(test.scored(), "score"), theirs)
    } else if let Save::Round(round) = save {
        let theirs = kitchen.read_on_disk(&round.id)?;
        (counted(round.readings.len(), "reading"), theirs)
    } else {
        return None;
    };
    Some(format!("yours has {mine}, the other {theirs}"))
}
