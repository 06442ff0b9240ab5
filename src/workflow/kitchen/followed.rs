//! What becomes of a kitchen that another window has.

/// What looking again has found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Followed {
    /// All is as it was.
    Same,
    /// The other window has changed something, which is read now.
    Changed,
    /// The other window has ended, and this one may save.
    TookOver,
}
