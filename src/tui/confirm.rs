//! "Sure?": asked once, and answered by the same key again.

use crate::tui::shared::Shared;
use std::time::Duration;

/// A key pressed again sooner than this bounced or was held; it answers no question that matters. A key that is held
/// repeats after two thirds of a second at the latest, as systems come (from memory).
const BOUNCE: Duration = Duration::from_millis(700);

/// What was asked back about; any other key drops the question.
#[derive(Debug)]
pub(crate) struct Confirm<Q> {
    asked: Option<(Q, Duration)>,
    earlier: Option<(Q, Duration)>,
}

impl<Q> Default for Confirm<Q> {
    fn default() -> Self {
        Self {
            asked: None,
            earlier: None,
        }
    }
}

impl<Q: PartialEq> Confirm<Q> {
    /// Is told that something was pressed: what was asked before holds for this one key.
    pub(crate) fn pressed(&mut self) {
        self.earlier = self.asked.take();
    }

    /// Asks, and tells whether just this was asked before.
    pub(crate) fn is_sure(
        &mut self,
        question: Q,
        words: impl Into<String>,
        shared: &mut Shared,
    ) -> bool {
        self.is_sure_after(Duration::ZERO, question, words, shared)
    }

    /// The same for what cannot be taken back: a key that bounced or is held down does not answer.
    pub(crate) fn is_quite_sure(
        &mut self,
        question: Q,
        words: impl Into<String>,
        shared: &mut Shared,
    ) -> bool {
        self.is_sure_after(BOUNCE, question, words, shared)
    }

    fn is_sure_after(
        &mut self,
        wait: Duration,
        question: Q,
        words: impl Into<String>,
        shared: &mut Shared,
    ) -> bool {
        let now = shared.elapsed;
        let earlier = self.earlier.take().filter(|(q, _)| *q == question);
        if earlier.is_some_and(|(_, at)| now.saturating_sub(at) >= wait) {
            return true;
        }
        // From the last press, not the first: a held key goes on asking.
        self.asked = Some((question, now));
        shared.say(words);
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::fixture::Fixture;

    #[test]
    fn a_held_key_never_answers_and_a_second_press_does() {
        let mut fixture = Fixture::working();
        let shared = &mut fixture.app.shared;
        let mut confirm = Confirm::default();
        let mut press = |ms: u64| {
            shared.elapsed = Duration::from_millis(ms);
            confirm.pressed();
            confirm.is_quite_sure((), "sure?", shared)
        };
        assert!(!press(0));
        // the system's delay, then thirty a second
        let held = (0..100).map(|k| 500 + 33 * k);
        assert!(!held.into_iter().any(&mut press));
        assert!(press(500 + 33 * 99 + 900));
    }
}
