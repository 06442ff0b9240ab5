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
    layout::{Constraint, Rect},
    style::Style,
    text::{Line, Span},
    widgets::{Block, Clear, Padding, Paragraph},
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

/// Columns of the keys in a table of keys.
const KEY_COLUMNS: usize = 18;

/// Returns the window inside `body` that shows a popup, and its lines.
fn laid(content: &Content, shared: &Shared, body: Rect) -> (Rect, Vec<Line<'static>>) {
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
    let lines: Vec<Line<'static>> = match content {
        Content::Help(here, everywhere) => help(here, everywhere, inner, shared),
        Content::Cautions(occasion) => said_in(shared, *occasion)
            .iter()
            .flat_map(|words| broken(&format!("- {words}"), Style::new()))
            .collect(),
        Content::Why(sentences) => sentences
            .iter()
            .flat_map(|s| broken(&s.marked(), theme.style(s.role())))
            .collect(),
    };
    let height = u16::try_from(lines.len() + 2).unwrap_or(u16::MAX);
    let area = body.centered(
        Constraint::Length(width),
        Constraint::Length(height.min(body.height)),
    );
    (area, lines)
}

/// Returns how many lines of a window inside `body` are out of sight, and so how far it can be scrolled.
pub(crate) fn hidden(content: &Content, shared: &Shared, body: Rect) -> u16 {
    let (area, lines) = laid(content, shared, body);
    let rows = u16::try_from(lines.len() + 2).unwrap_or(u16::MAX);
    rows.saturating_sub(area.height)
}

/// Draws a popup in the middle of `body`.
pub(crate) fn draw(popup: &Popup, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    let (area, lines) = laid(&popup.content, shared, body);
    let hidden = hidden(&popup.content, shared, body);
    let foot = if hidden > popup.offset {
        " \u{2193}: more   Enter: close "
    } else {
        " Enter: close "
    };
    let text = Paragraph::new(lines);
    let block = Block::bordered()
        .title(Span::styled(
            format!(" {} ", popup.content.title()),
            theme.style(Role::Heading),
        ))
        .title_bottom(Line::styled(foot, theme.style(Role::Quiet)).right_aligned())
        .padding(Padding::horizontal(1));
    frame.render_widget(Clear, area);
    frame.render_widget(
        text.block(block).scroll((popup.offset.min(hidden), 0)),
        area,
    );
}

fn help(here: &Keys, everywhere: &Keys, inner: usize, shared: &Shared) -> Vec<Line<'static>> {
    let rows = |line: &KeyLine| -> Vec<Line<'static>> {
        let words = wrap(line.help, inner.saturating_sub(KEY_COLUMNS), "", "");
        let keys = std::iter::once(line.key_words()).chain(std::iter::repeat(String::new()));
        let row = |(keys, words): (String, String)| {
            let keys = format!("{keys:<KEY_COLUMNS$}");
            let keys = Span::styled(keys, shared.theme.style(Role::Key));
            Line::from(vec![keys, Span::raw(words)])
        };
        keys.zip(words).map(row).collect()
    };
    let mut lines: Vec<Line<'static>> = here.lines.iter().flat_map(rows).collect();
    let heading = shared.theme.style(Role::Heading);
    lines.push(Line::raw(""));
    lines.push(Line::styled(everywhere.title, heading));
    lines.extend(everywhere.lines.iter().flat_map(rows));
    lines
}
