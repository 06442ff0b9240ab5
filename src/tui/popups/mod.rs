//! Windows over the screen: the keys, and the cautions.

use super::{
    app::Shared,
    keys::{Binding, Scope},
    theme::Role,
};
use crate::{
    model::HeatSource,
    workflow::catalogue::{Occasion, cautions, cautions_at},
};
use ratatui::{
    Frame,
    layout::Rect,
    text::{Line, Span},
    widgets::{Block, Clear, Padding, Paragraph, Wrap},
};

/// A window over the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Popup {
    content: Content,
    /// Lines scrolled down.
    offset: u16,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Content {
    Help(Scope),
    Cautions(Occasion),
}

impl Popup {
    /// Returns the keys of a scope and those that hold everywhere.
    pub fn help(scope: Scope) -> Self {
        Self {
            content: Content::Help(scope),
            offset: 0,
        }
    }

    /// Returns the cautions for an occasion.
    pub fn cautions(occasion: Occasion) -> Self {
        Self {
            content: Content::Cautions(occasion),
            offset: 0,
        }
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
    fn len(self) -> usize {
        match self {
            Self::Help(scope) => scope.bindings().len() + Scope::Everywhere.bindings().len() + 2,
            // one more where gas burns
            Self::Cautions(occasion) => cautions(occasion).len() + 1,
        }
    }

    fn title(self) -> &'static str {
        match self {
            Self::Help(scope) => scope.words(),
            Self::Cautions(_) => "Before you start",
        }
    }
}

/// What to say in this kitchen: of gas too when one of its ovens burns it.
fn said_in(shared: &Shared, occasion: Occasion) -> Vec<String> {
    let ovens = shared.kitchen.ovens();
    ovens
        .iter()
        .find(|oven| oven.heat.contains(&HeatSource::GasBurner))
        .map_or_else(
            || cautions(occasion).to_vec(),
            |oven| cautions_at(occasion, oven),
        )
}

/// Draws a popup in the middle of `body`.
pub(crate) fn draw(popup: &Popup, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    let lines = match popup.content {
        Content::Help(scope) => help(scope, shared),
        Content::Cautions(occasion) => said_in(shared, occasion)
            .iter()
            .map(|words| Line::raw(format!("- {words}")))
            .collect(),
    };
    let width = body.width.saturating_sub(4).min(76);
    let text = Paragraph::new(lines).wrap(Wrap { trim: true });
    let inner = usize::from(width.saturating_sub(4));
    let rows = match popup.content {
        Content::Help(_) => popup.content.len(),
        // Prose wraps; words shorter than a line fill it to about nine tenths.
        Content::Cautions(occasion) => said_in(shared, occasion)
            .iter()
            .map(|words| (words.chars().count() + 2).div_ceil(inner.max(10) * 9 / 10))
            .sum(),
    };
    let height = u16::try_from(rows + 2).unwrap_or(u16::MAX).min(body.height);
    let foot = if rows + 2 > usize::from(body.height) {
        " \u{2193}: more   Enter: close "
    } else {
        " Enter: close "
    };
    let area = body.centered(
        ratatui::layout::Constraint::Length(width),
        ratatui::layout::Constraint::Length(height),
    );
    let block = Block::bordered()
        .title(Span::styled(
            format!(" {} ", popup.content.title()),
            theme.style(Role::Heading),
        ))
        .title_bottom(Line::styled(foot, theme.style(Role::Quiet)).right_aligned())
        .padding(Padding::horizontal(1));
    frame.render_widget(Clear, area);
    frame.render_widget(text.block(block).scroll((popup.offset, 0)), area);
}

fn help(scope: Scope, shared: &Shared) -> Vec<Line<'static>> {
    let row = |binding: &Binding| {
        Line::from(vec![
            Span::styled(
                format!("{:<17}", binding.key_words()),
                shared.theme.style(Role::Key),
            ),
            Span::raw(binding.help),
        ])
    };
    let mut lines: Vec<Line<'static>> = scope.bindings().iter().map(row).collect();
    lines.push(Line::raw(""));
    lines.push(Line::styled(
        Scope::Everywhere.words(),
        shared.theme.style(Role::Heading),
    ));
    lines.extend(Scope::Everywhere.bindings().iter().map(row));
    lines
}
