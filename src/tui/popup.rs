//! A window over the screen: the keys, the cautions, or why and how sure.

use super::{keys::Keys, widgets::Sentence};
use crate::workflow::catalogue::Occasion;

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

    /// Scrolls by lines, up when negative, and no further than so many lines are out of sight.
    pub(crate) fn scroll(&mut self, lines: i16, hidden: u16) {
        self.offset = self.offset.saturating_add_signed(lines).min(hidden);
    }
}

impl Content {
    pub(crate) fn title(&self) -> &'static str {
        match self {
            Self::Help(here, _) => here.title,
            Self::Cautions(_) => "Before you start",
            Self::Why(_) => "Why, and how sure",
        }
    }
}
