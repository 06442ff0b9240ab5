//! One thing that an import took in.

use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct JournalEntry {
    pub(super) kind: String,
    pub(super) id: String,
    /// The text that was taken in.
    pub(super) taken: String,
    /// The text it replaced.
    pub(super) before: Option<String>,
}
