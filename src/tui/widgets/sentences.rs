//! Sentences that scroll one at a time, each with what it is for; a mark tells that there are more.

use crate::tui::theme::{Role, Theme};
use ratatui::{
    buffer::Buffer,
    layout::Rect,
    text::Line,
    widgets::{Paragraph, Widget, Wrap},
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

/// Which of several sentences is the first in sight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Scroll {
    first: usize,
}

impl Scroll {
    /// Returns the first in sight of `count`.
    pub fn first(self, count: usize) -> usize {
        self.first.min(count.saturating_sub(1))
    }

    /// Goes on (1) or back (-1) by one of `count`, and stops at the ends.
    pub fn step(&mut self, by: i8, count: usize) {
        let next = self.first.saturating_add_signed(isize::from(by));
        self.first = next.min(count.saturating_sub(1));
    }

    /// Draws sentences from the first in sight on; `none` where there is nothing to say.
    pub fn draw(
        self,
        sentences: &[Sentence],
        none: &str,
        area: Rect,
        (buf, theme): (&mut Buffer, &Theme),
    ) {
        let from = self.first(sentences.len());
        let mut lines: Vec<Line<'_>> = sentences
            .iter()
            .skip(from)
            .map(|s| Line::styled(s.marked(), theme.style(s.role())))
            .collect();
        if lines.is_empty() {
            lines.push(Line::raw(none));
        }
        let more = format!(" {}/{} PgUp PgDn", from + 1, sentences.len());
        let marked = sentences.len() > 1 && area.width > 24;
        // The mark has columns of its own: it must not cover a sentence.
        let width = if marked {
            u16::try_from(more.len()).unwrap_or(0)
        } else {
            0
        };
        let left = Rect {
            width: area.width - width,
            ..area
        };
        Paragraph::new(lines)
            .wrap(Wrap { trim: true })
            .render(left, buf);
        if marked {
            let y = area.bottom().saturating_sub(1);
            buf.set_string(left.right(), y, more, theme.style(Role::Quiet));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::{theme::Depth, widgets::synthetic::plain};

    #[test]
    fn one_sentence_a_step_stops_at_the_ends_and_a_warning_is_told_without_colour() {
        let all = [Sentence::finding("Even."), Sentence::warning("Old test")];
        let mut scroll = Scroll::default();
        scroll.step(-1, 2);
        assert_eq!(scroll.first(2), 0);
        for _ in 0..5 {
            scroll.step(1, 2);
        }
        assert_eq!((scroll.first(2), scroll.first(0)), (1, 0));
        let area = Rect::new(0, 0, 40, 1);
        let mut buf = Buffer::empty(area);
        let theme = Theme::new(Depth::NoColour);
        scroll.draw(&all, "Nothing.", area, (&mut buf, &theme));
        let drawn = plain(&buf);
        assert!(
            drawn.contains("! Old test") && drawn.contains("2/2"),
            "{drawn}"
        );
    }
}
