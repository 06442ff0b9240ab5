//! A window over the screen: the keys, the cautions, or why and how sure.

use super::{keys::Keys, widgets::Sentence};
use crate::workflow::catalogue::{Occasion, cautions};

/// A window over the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Popup {
    /// What it shows.
    pub(crate) content: Content,
    /// Lines scrolled down.
    pub(crate) offset: u16,
}

/// What a window shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Content {
    /// The keys that hold now, and those that hold everywhere.
    Help(Keys, Keys),
    /// Cautions.
    Cautions(Occasion),
    /// Why, and how sure.
    Why(Vec<Sentence>),
}

impl Popup {
    /// Makes a window, not scrolled yet.
    pub(crate) fn of(content: Content) -> Self {
        Self { content, offset: 0 }
    }

    /// Scrolls by lines, up when negative; stops at the last line.
    pub(crate) fn scroll(&mut self, lines: i16) {
        let last = u16::try_from(self.content.len()).unwrap_or(u16::MAX);
        self.offset = self
            .offset
            .saturating_add_signed(lines)
            .min(last.saturating_sub(1));
    }
}

impl Content {
    pub(crate) fn len(&self) -> usize {
        match self {
            Self::Help(here, everywhere) => here.lines.len() + everywhere.lines.len() + 2,
            // one more where gas burns
            Self::Cautions(occasion) => cautions(*occasion).len() + 1,
            // broken into lines of about sixty characters
            Self::Why(sentences) => sentences.iter().map(|s| s.words.len() / 60 + 1).sum(),
        }
    }

    pub(crate) fn title(&self) -> &'static str {
        match self {
            Self::Help(here, _) => here.title,
            Self::Cautions(_) => "Before you start",
            Self::Why(_) => "Why, and how sure",
        }
    }
}
