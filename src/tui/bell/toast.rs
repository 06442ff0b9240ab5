//! The toasts in the ovens, seen from any screen, and what their bell rings for.

use super::going::{AGAIN, Going, oven_where};
use crate::{
    model::ToastTest,
    tui::shared::{Call, Shared, Timed},
    units::Minutes,
    workflow::toasting::Toasting,
};

/// A toast that was never said to be out counts as forgotten this long after it went in, or after the end that was set,
/// minutes.
const FORGOTTEN_MIN: f64 = 120.0;

/// Returns how long the slices of a test have been in the oven; `None` while they are not.
pub(crate) fn toasted_for(test: &ToastTest, shared: &Shared) -> Option<Minutes> {
    let since = shared.since(test.toasting?).as_secs_f64() / 60.0;
    // Before it began: the clock was set back since.
    Some(Minutes(since.max(0.0)))
}

/// Tells whether a test is in the oven.
pub(crate) fn runs(test: &ToastTest, shared: &Shared) -> bool {
    toasted_for(test, shared).is_some_and(|m| !is_forgotten(test, m))
}

/// Tells whether a test that went in so long ago was forgotten: when it came out, nobody knows.
pub(crate) fn is_forgotten(test: &ToastTest, elapsed: Minutes) -> bool {
    elapsed.0 > FORGOTTEN_MIN + test.minutes.map_or(0.0, |set| set.0)
}

/// Tells whether any test is in an oven.
pub(crate) fn is_running(shared: &Shared) -> bool {
    shared.kitchen.tests().iter().any(|test| runs(test, shared))
}

/// Returns what the bell is to ring for, and what is to be done: a look, or everything comes out.
pub(crate) fn due(times: &Toasting, elapsed: Minutes) -> Option<(Call, &'static str)> {
    if elapsed.0 >= times.out.0 {
        return Some((Call::Due(AGAIN), "take everything out now"));
    }
    match times.looks_due(elapsed) {
        0 => None,
        look => Some((Call::Look(look), "look in now")),
    }
}

/// Returns every test that is in an oven.
pub(super) fn going(shared: &Shared) -> Vec<Going> {
    let tests = shared.kitchen.tests().iter();
    let all: Vec<_> = tests.filter(|test| runs(test, shared)).collect();
    let going = all.iter().filter_map(|test| {
        let elapsed = toasted_for(test, shared)?;
        let times = Toasting::of(&shared.kitchen, test);
        let due = due(&times, elapsed);
        let next = times.next_look(elapsed).unwrap_or(times.out);
        let oven = oven_where(all.len() > 1, &test.setup.oven, shared);
        Some(Going {
            of: Timed::Toast(test.id.clone()),
            left: Minutes(next.0 - elapsed.0),
            call: due.map(|(call, _)| call),
            words: due.map_or_else(String::new, |(_, what)| format!("TOAST{oven}: {what}")),
        })
    });
    going.collect()
}
