//! The doughs that rise, seen from any screen, and what their bell rings for.

use super::going::Going;
use crate::{
    model::rising::OwnDough,
    tui::shared::{Call, Shared, Timed},
    units::Minutes,
    workflow::rising::{RisingNow, rising_now},
};
use std::time::Duration;

/// The bell is repeated this often while the dough is past its time and nothing is done.
const AGAIN: Duration = Duration::from_mins(1);
/// It rings no longer than this past the time, minutes: then it was forgotten, or taken out without a word.
const RINGS_MIN: f64 = 60.0;
/// A look is worth it from here on, share of the rise.
const LOOK_AT: f64 = 0.5;

/// Tells how far a dough that rises is; `None` where it never does.
pub(crate) fn now(dough: &OwnDough, shared: &Shared) -> Option<RisingNow> {
    let log = dough.rising()?;
    rising_now(dough, log, shared.now_since(log.started))
}

/// Returns the doughs that rise, the one due first at the front; one that never rises where it is comes last.
fn rising(shared: &Shared) -> Vec<(&OwnDough, Option<RisingNow>)> {
    let doughs = shared.kitchen.doughs().iter();
    let mut all: Vec<_> = doughs
        .filter(|d| d.rising().is_some())
        .map(|d| (d, now(d, shared)))
        .collect();
    let left = |now: &Option<RisingNow>| now.map_or(f64::INFINITY, |n| n.left.0);
    all.sort_by(|a, b| left(&a.1).total_cmp(&left(&b.1)));
    all
}

/// Returns the dough that rises, the one due first if there are several.
pub(crate) fn running(shared: &Shared) -> Option<&OwnDough> {
    rising(shared).first().map(|(dough, _)| *dough)
}

/// Returns what the bell is to ring for, and says it: once when a look is worth it, again and again when the dough
/// should be ready.
pub(crate) fn due(dough: &OwnDough, now: &RisingNow) -> Option<(Call, String)> {
    let looked = dough.rising().is_some_and(|l| !l.looks.is_empty());
    let (call, what) = if now.left.0 <= 0.0 {
        (Call::Due(AGAIN), "it should be ready, look now")
    } else {
        (Call::Look(1), "about half grown, have a look")
    };
    let is_due = match call {
        Call::Due(_) => now.left.0 >= -RINGS_MIN,
        Call::Look(_) => now.share >= LOOK_AT && !looked,
    };
    is_due.then(|| (call, format!("DOUGH, {}: {what}", dough.name)))
}

/// Returns every dough that rises.
pub(super) fn going(shared: &Shared) -> Vec<Going> {
    let doughs = rising(shared).into_iter();
    let going = doughs.filter_map(|(dough, now)| {
        let now = now?;
        let (call, words) = due(dough, &now).unzip();
        Some(Going {
            of: Timed::Dough(dough.id.clone()),
            left: Minutes(now.left.0),
            call,
            words: words.unwrap_or_default(),
        })
    });
    going.collect()
}
