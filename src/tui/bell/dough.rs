//! The dough that rises, seen from any screen, and its bell.

use crate::{model::rising::OwnDough, tui::shared::Shared, workflow::rising::rising_now};
use std::time::Duration;

/// The bell is repeated this often while the dough is past its time and nothing is done.
const AGAIN: Duration = Duration::from_mins(1);
/// It rings no longer than this past the time, minutes: then it was forgotten, or taken out without a word.
const RINGS_MIN: f64 = 60.0;
/// A look is worth it from here on, share of the rise.
const LOOK_AT: f64 = 0.5;

/// Returns the dough that rises, the latest if there are several.
pub(crate) fn running(shared: &Shared) -> Option<&OwnDough> {
    let doughs = shared.kitchen.doughs().iter();
    doughs
        .filter(|d| d.rising().is_some())
        .max_by_key(|d| d.rising().map(|r| r.started))
}

/// Rings, and says what for: once when a look is worth it, again and again when the dough should be ready.
pub(crate) fn ring_elsewhere(shared: &mut Shared) {
    let Some(dough) = running(shared) else {
        return;
    };
    let (name, log) = (dough.name.clone(), dough.rising());
    let Some(now) = log.and_then(|log| rising_now(dough, log, shared.moment)) else {
        return;
    };
    let looked = log.is_some_and(|l| !l.looks.is_empty());
    let rang = shared.dough_rang;
    let words = if now.left.0 <= 0.0 {
        let lately = |at: Duration| shared.elapsed.saturating_sub(at) < AGAIN;
        if now.left.0 < -RINGS_MIN || rang.out.is_some_and(lately) {
            return;
        }
        shared.dough_rang.out = Some(shared.elapsed);
        format!("DOUGH, {name}: it should be ready, look now")
    } else if now.share >= LOOK_AT && !rang.look && !looked {
        shared.dough_rang.look = true;
        format!("DOUGH, {name}: about half grown, have a look")
    } else {
        return;
    };
    // What is wrong stays in sight; the bell rings all the same.
    if shared.unsaved.is_empty() {
        shared.say(format!("{words}. Kitchen, y: its clock"));
    }
    shared.ring(words);
}
