//! Drawing of the windows over the screen: the keys, the cautions, and why and how sure.

use super::{
    keys::{Keys, Line as KeyLine},
    popup::{Content, Popup},
    shared::Shared,
    theme::Role,
};
use crate::report::text::wrap;
use crate::{
    model::HeatSource,
    workflow::catalogue::{Occasion, cautions, cautions_at},
};
use ratatui::{
    Frame,
    layout::Rect,
    style::Style,
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
    let width = body.width.saturating_sub(4).min(76);
    let inner = usize::from(width.saturating_sub(4));
    // A row of a table fits as it is; prose is broken between words.
    let broken = |words: &str, style: Style| -> Vec<Line<'static>> {
        if words.chars().count() <= inner {
            return vec![Line::styled(words.to_owned(), style)];
        }
        wrap(words, inner, "", "  ")
            .into_iter()
            .map(|line| Line::styled(line, style))
            .collect()
    };
    let lines: Vec<Line<'static>> = match &popup.content {
        Content::Help(here, everywhere) => help(here, everywhere, shared),
        Content::Cautions(occasion) => said_in(shared, *occasion)
            .iter()
            .flat_map(|words| broken(&format!("- {words}"), Style::new()))
            .collect(),
        Content::Why(sentences) => sentences
            .iter()
            .flat_map(|s| broken(&s.marked(), theme.style(s.role())))
            .collect(),
    };
    let rows = lines.len();
    let text = Paragraph::new(lines).wrap(Wrap { trim: false });
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
