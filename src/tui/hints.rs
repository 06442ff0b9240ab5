//! The hint bar: the keys of the screen in sight, read from its table; each can be clicked.

use super::{
    app::App,
    everywhere::{EVERYWHERE, is_why, keys_now},
    keys::{Key, Line},
    theme::Role,
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
    text::Span,
    widgets::Paragraph,
};

/// What a click on a hint does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Click {
    /// It presses the key.
    Press(Key),
    /// It says what the keys do: which digit of a row is meant, a click cannot tell.
    Say(&'static str),
}

struct Hint {
    area: Rect,
    click: Click,
    words: String,
    what: &'static str,
}

/// Places the hints of the screen from the left, those that hold everywhere from the right.
fn place(app: &App, area: Rect) -> Vec<Hint> {
    let Some((here, takes_text)) = keys_now(app) else {
        return Vec::new();
    };
    let hint_of = |line: &Line, area: Rect| {
        let words = line.hint_key(takes_text)?;
        let key = line.first_key(takes_text)?;
        Some(Hint {
            area,
            click: if line.is_digits() {
                Click::Say(line.help)
            } else {
                Click::Press(key)
            },
            words,
            what: line.hint,
        })
    };
    let mut right = area.right();
    let mut hints = Vec::new();
    let everywhere = EVERYWHERE.keys();
    // "back" is left out where nothing lies behind, and all of them where a window lies over the screen
    let has_why = app
        .screen()
        .is_some_and(|screen| !screen.why(&app.shared).is_empty());
    let shown = |line: &&Line| {
        app.shared.popup.is_none()
            && (app.screens.len() > 1 || line.keys != [Key::Escape])
            && (has_why || !is_why(line))
    };
    for line in everywhere.lines.iter().rev().filter(shown) {
        let Some(mut hint) = hint_of(line, area) else {
            continue;
        };
        let width = width_of(&hint);
        if right < area.left() + width {
            break;
        }
        right -= width;
        hint.area = Rect::new(right, area.y, width, 1);
        hints.push(hint);
    }
    let mut left = area.left() + 1;
    for line in here.lines.iter().filter(|line| !line.hint.is_empty()) {
        let Some(mut hint) = hint_of(line, area) else {
            continue;
        };
        let width = width_of(&hint);
        // A shorter one further on may still have room.
        if left + width > right {
            continue;
        }
        hint.area = Rect::new(left, area.y, width, 1);
        hints.push(hint);
        left += width;
    }
    hints
}

fn width_of(hint: &Hint) -> u16 {
    let columns = hint.words.chars().count() + 1 + hint.what.chars().count() + 2;
    u16::try_from(columns).unwrap_or(u16::MAX)
}

/// Draws the hint bar.
pub(crate) fn draw(app: &App, frame: &mut Frame<'_>, area: Rect) {
    let theme = &app.shared.theme;
    for hint in place(app, area) {
        let text = ratatui::text::Line::from(vec![
            Span::styled(hint.words, theme.style(Role::Key)),
            Span::raw(" "),
            Span::styled(hint.what, theme.style(Role::Quiet)),
        ]);
        frame.render_widget(Paragraph::new(text), hint.area);
    }
}

/// Finds what a click on the hint at `at` does.
pub(crate) fn at(app: &App, area: Rect, at: Position) -> Option<Click> {
    place(app, area)
        .into_iter()
        .find(|hint| hint.area.contains(at))
        .map(|hint| hint.click)
}
