//! The toast in the oven, seen from any screen: which it is, and its bell.

use crate::{model::ToastTest, tui::shared::Shared, units::Minutes, workflow::toasting::Toasting};
use std::time::Duration;

/// A toast that was never said to be out counts as forgotten this long after it went in, or after the end that was set,
/// minutes.
const FORGOTTEN_MIN: f64 = 120.0;
/// The bell is repeated this often while everything is to come out and nothing is done.
const AGAIN: Duration = Duration::from_secs(20);

/// What the bell rings for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Rings {
    /// A look at the slices.
    Look,
    /// Everything comes out.
    Out,
}

/// Returns how long the slices of a test have been in the oven, by the instants; `None` while they are not.
pub(crate) fn toasted_for(test: &ToastTest, shared: &Shared) -> Option<Minutes> {
    let since = shared.moment.duration_since(test.toasting?).as_secs_f64() / 60.0;
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

/// Returns the test in the oven, the latest if there are several.
pub(crate) fn running(shared: &Shared) -> Option<&ToastTest> {
    let tests = shared.kitchen.tests().iter();
    tests
        .filter(|test| runs(test, shared))
        .max_by_key(|test| test.toasting)
}

impl Rings {
    /// Says what is to be done.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Look => "TOAST: look in now",
            Self::Out => "TOAST: take everything out now",
        }
    }
}

/// Tells what the bell rings for now, once for every look and again and again when everything is to come out.
pub(crate) fn rings(toasting: &Toasting, elapsed: Minutes, shared: &mut Shared) -> Option<Rings> {
    let due = toasting.looks_due(elapsed);
    let rang = &mut shared.toast_rang;
    if elapsed.0 >= toasting.out.0 {
        let lately = |at: Duration| shared.elapsed.saturating_sub(at) < AGAIN;
        if rang.out.is_some_and(lately) {
            return None;
        }
        rang.out = Some(shared.elapsed);
        return Some(Rings::Out);
    }
    rang.out = None;
    let new = due > rang.looks;
    rang.looks = due;
    new.then_some(Rings::Look)
}

/// Rings, and says what for, when something is due for the toast in the oven; its own clock has rung already.
pub(crate) fn ring_elsewhere(shared: &mut Shared) {
    let Some(test) = running(shared).cloned() else {
        return;
    };
    let toasting = Toasting::of(&shared.kitchen, &test);
    let elapsed = toasted_for(&test, shared).unwrap_or(Minutes(0.0));
    let words = match rings(&toasting, elapsed, shared) {
        Some(rings) => rings.words(),
        None => return,
    };
    // What is wrong stays in sight; the bell rings all the same.
    if shared.unsaved.is_empty() {
        shared.say(format!("{words}. Esc to Kitchen, Enter: its clock"));
    }
    shared.ring(words);
}
