//! "Sure?": asked once, and answered by the same key again.

use crate::tui::shared::Shared;
use std::time::Duration;

/// A key pressed again sooner than this bounced or was held; it answers no question that matters.
const BOUNCE: Duration = Duration::from_millis(400);

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
        let first = earlier.map(|(_, at)| at);
        if first.is_some_and(|at| now.saturating_sub(at) >= wait) {
            return true;
        }
        self.asked = Some((question, first.unwrap_or(now)));
        shared.say(words);
        false
    }
}
