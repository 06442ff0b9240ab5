//! The shade card: digit, plain word and true colour of every shade.

use crate::{
    colour::{Lab, lab_to_srgb, toast_colour},
    model::Reading,
    tui::{
        kit::shade_card,
        theme::{Role, Theme, ink_on},
    },
};
use ratatui::{
    Frame,
    layout::Rect,
    style::Style,
    text::{Line, Span},
    widgets::Paragraph,
};

/// Rows the card needs: one a shade.
pub const ROWS: u16 = 10;
/// Columns the card needs.
pub const COLUMNS: u16 = 24;

/// Signs that darken with the shade, for terminals that cannot show its colour.
const SIGNS: [&str; 10] = [
    "    ", ".   ", "..  ", "... ", "....", ":::.", "::::", "###:", "####", "@@@@",
];

/// Returns the colours of a lightness L*: the toast behind, a readable ink on it.
fn toast_style(theme: &Theme, lab: Lab) -> Style {
    if !theme.is_shaded() {
        return Style::new();
    }
    let ground = lab_to_srgb(lab);
    Style::new()
        .bg(theme.colour(ground))
        .fg(theme.colour(ink_on(ground)))
}

/// Returns the style a slice with this reading is drawn in.
pub fn reading_style(theme: &Theme, reading: Reading, untoasted: f64) -> Style {
    match reading.browning(untoasted) {
        None => theme.style(Role::Quiet),
        Some((browning, _)) => toast_style(theme, toast_colour(browning.lightness(untoasted))),
    }
}

/// Draws the card, one line a shade.
pub fn draw(theme: &Theme, frame: &mut Frame<'_>, area: Rect) {
    let lines: Vec<Line<'_>> = shade_card()
        .iter()
        .zip(SIGNS)
        .map(|(card, sign)| {
            let (l, a, b) = card.lab;
            let patch = if theme.is_shaded() { "    " } else { sign };
            Line::from(vec![
                Span::styled(format!("{} ", card.shade), theme.style(Role::Key)),
                Span::styled(patch, toast_style(theme, Lab { l, a, b })),
                Span::raw(format!(" {}", card.words)),
            ])
        })
        .collect();
    frame.render_widget(Paragraph::new(lines), area);
}
