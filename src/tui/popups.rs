//! Drawing of the windows over the screen: the keys, and the cautions.

use super::{
    keys::{Keys, Line as KeyLine},
    popup::{Content, Popup},
    shared::Shared,
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
    let lines = match &popup.content {
        Content::Help(here, everywhere) => help(here, everywhere, shared),
        Content::Cautions(occasion) => said_in(shared, *occasion)
            .iter()
            .map(|words| Line::raw(format!("- {words}")))
            .collect(),
    };
    let width = body.width.saturating_sub(4).min(76);
    let text = Paragraph::new(lines).wrap(Wrap { trim: true });
    let inner = usize::from(width.saturating_sub(4));
    let rows = match &popup.content {
        Content::Help(..) => popup.content.len(),
        // Prose wraps; words shorter than a line fill it to about nine tenths.
        Content::Cautions(occasion) => said_in(shared, *occasion)
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

fn help(here: &Keys, everywhere: &Keys, shared: &Shared) -> Vec<Line<'static>> {
    let row = |line: &KeyLine| {
        let keys = format!("{:<17}", line.key_words());
        Line::from(vec![
            Span::styled(keys, shared.theme.style(Role::Key)),
            Span::raw(line.help),
        ])
    };
    let mut lines: Vec<Line<'static>> = here.lines.iter().map(row).collect();
    let heading = shared.theme.style(Role::Heading);
    lines.push(Line::raw(""));
    lines.push(Line::styled(everywhere.title, heading));
    lines.extend(everywhere.lines.iter().map(row));
    lines
}
