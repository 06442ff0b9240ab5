//! Sentences, each with what it is for.

use crate::{
    report::text::wrap,
    tui::theme::{Role, Theme},
};
use ratatui::{
    buffer::Buffer,
    layout::Rect,
    text::Line,
    widgets::{Paragraph, Widget},
};

/// What a sentence is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Severity {
    /// It says what was found.
    Finding,
    /// It says what speaks against trusting it.
    Warning,
}

/// A sentence with what it is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sentence {
    /// What is said.
    pub words: String,
    /// What it is for.
    pub severity: Severity,
}

impl Sentence {
    /// Makes a finding.
    pub fn finding(words: impl Into<String>) -> Self {
        Self {
            words: words.into(),
            severity: Severity::Finding,
        }
    }

    /// Returns the words; a warning is marked, so that it is told without colour.
    pub fn marked(&self) -> String {
        match self.severity {
            Severity::Finding => self.words.clone(),
            Severity::Warning => format!("! {}", self.words),
        }
    }

    /// Returns the role it is drawn in.
    pub fn role(&self) -> Role {
        match self.severity {
            Severity::Finding => Role::Plain,
            Severity::Warning => Role::Caution,
        }
    }

    /// Makes a warning.
    pub fn warning(words: &(impl ToString + ?Sized)) -> Self {
        Self {
            words: words.to_string(),
            severity: Severity::Warning,
        }
    }
}

/// Writes sentences below one another, each in its role; the lines after a sentence's first are led by `rest`.
pub(crate) fn say<W: AsRef<str>>(
    said: impl IntoIterator<Item = (Role, W)>,
    rest: &str,
    area: Rect,
    buf: &mut Buffer,
    theme: &Theme,
) {
    let lines: Vec<Line<'_>> = said
        .into_iter()
        .flat_map(|(role, words)| {
            let lines = wrap(words.as_ref(), usize::from(area.width), "", rest);
            lines
                .into_iter()
                .map(move |line| Line::styled(line, theme.style(role)))
        })
        .collect();
    Paragraph::new(lines).render(area, buf);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_warning_is_told_without_colour() {
        assert_eq!(Sentence::finding("Even.").marked(), "Even.");
        assert_eq!(Sentence::warning("Old test").marked(), "! Old test");
    }
}
