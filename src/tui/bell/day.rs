//! The baking day as the kitchen keeps it, taken up again at the next start.

use super::FORGOTTEN_MIN;
use crate::tui::{day::RunningDay, shared::Shared};

/// Takes the last baking day up again, unless it is done or was given up without a word.
///
/// A window that only looks leaves it to the one that has the kitchen.
pub(crate) fn take_up(shared: &mut Shared) {
    if shared.day.is_some() || shared.kitchen.is_looking() {
        return;
    }
    let last = shared.kitchen.days().last();
    let Some(kept) = last.filter(|day| !day.given_up) else {
        return;
    };
    let before = shared.since(kept.begun).try_into().unwrap_or_default();
    let bakes = shared.kitchen.bakes().iter();
    let bake = |id: &_| bakes.clone().find(|b| b.id == *id).cloned();
    let day = RunningDay::resume(kept, bake, (before, shared.elapsed));
    let next = day.next(shared.elapsed);
    if next.is_some_and(|(_, left)| left.0 > -FORGOTTEN_MIN) {
        shared.day = Some(day);
    }
}
