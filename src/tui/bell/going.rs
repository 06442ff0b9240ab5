//! Something timed as the bell sees it: what is due of it, and when.

use crate::{
    model::OvenId,
    tui::shared::{Call, Shared, Timed},
    units::Minutes,
};
use std::time::Duration;

/// The bell is repeated this often while something is due and nothing is done.
pub(crate) const AGAIN: Duration = Duration::from_secs(20);

/// Something timed as it is now.
#[derive(Debug)]
pub(super) struct Going {
    pub(super) of: Timed,
    /// Minutes until something is due of it; negative when it is overdue.
    pub(super) left: Minutes,
    /// What to ring for now.
    pub(super) call: Option<Call>,
    /// What is due, where something is.
    pub(super) words: String,
}

/// Names the oven, where there are several that something is due in.
pub(super) fn oven_where(several: bool, oven: &OvenId, shared: &Shared) -> String {
    let oven = shared.kitchen.oven(oven).filter(|_| several);
    oven.map_or_else(String::new, |oven| format!(", {}", oven.name))
}
