//! What becomes of a kitchen that another window has.

use crate::model::Warning;

/// What looking again has found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Followed {
    /// All is as it was.
    Same,
    /// The other window has changed something, which is read now, with what there is to say of the files.
    Changed(Vec<Warning>),
    /// The other window has ended, and this one may save; with what there is to say of the files.
    TookOver(Vec<Warning>),
}
