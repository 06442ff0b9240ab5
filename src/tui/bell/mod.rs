//! The bake that runs, seen from any other screen: which it is, and its bell.

pub(crate) mod run;

use super::shared::Shared;
use crate::{model::BakeLog, workflow::catalogue::kind_name};
use run::{Next, Run};
use std::time::Duration;

/// A bake counts as running this long past its plan's end, minutes.
const FORGOTTEN_MIN: f64 = 120.0;
/// The bell is repeated this often while something is due and nothing is done.
const AGAIN: Duration = Duration::from_secs(20);
/// How often the other screens look at the clock.
pub(crate) const WATCH_TICK: Duration = Duration::from_secs(1);

/// Returns the bake that runs by the wall clock, the latest if there are several.
///
/// A bake without an end counts as running until two hours past its plan's end: later it was
/// given up without a word.
pub(crate) fn running(shared: &Shared) -> Option<&BakeLog> {
    let bakes = shared.kitchen.bakes().iter();
    bakes
        .filter(|bake| runs(bake, shared))
        .max_by_key(|bake| bake.started)
}

/// Tells whether a bake runs by the wall clock.
pub(crate) fn runs(bake: &BakeLog, shared: &Shared) -> bool {
    let since = shared.now.duration_since(bake.started);
    let most = (bake.plan.bake.0 + FORGOTTEN_MIN) * 60.0;
    bake.baked.is_none() && !since.is_negative() && since.as_secs_f64() <= most
}

/// Rings, and says what for, when the running bake's next step is due while another screen is in sight.
pub(crate) fn ring_elsewhere(shared: &mut Shared) {
    let Some(bake) = running(shared) else {
        shared.rang = None;
        return;
    };
    let before = shared.now.duration_since(bake.started).unsigned_abs();
    let run = Run::resume(bake, before, shared.elapsed);
    if !run.is_due(shared.elapsed) {
        shared.rang = None;
        return;
    }
    let lately = |rang: Duration| shared.elapsed.saturating_sub(rang) < AGAIN;
    if shared.rang.is_some_and(lately) {
        return;
    }
    let what = match run.next().0 {
        Next::Move(number) => format!("move {number} is due"),
        Next::End => "take everything out".to_owned(),
    };
    let words = format!(
        "BAKE CLOCK, {}: {what} now; Esc to Kitchen, Enter: its clock",
        kind_name(&bake.kind)
    );
    shared.rang = Some(shared.elapsed);
    // What is wrong stays in sight; the bell rings all the same.
    if shared.unsaved.is_empty() {
        shared.say(words);
    }
    shared.ring();
}
