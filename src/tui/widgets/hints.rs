//! The hint bar: the keys of the screen in sight, read from the action table; each can be clicked.

use crate::tui::{
    action::Action,
    app::App,
    keys::{Binding, Scope},
    theme::Role,
    update::scope_of,
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
    text::Span,
    widgets::Paragraph,
};

struct Hint {
    area: Rect,
    key: String,
    binding: &'static Binding,
}

/// Places the hints of the scope from the left, those that hold everywhere from the right.
fn place(app: &App, area: Rect) -> Vec<Hint> {
    let Some((scope, takes_text)) = scope_of(app) else {
        return Vec::new();
    };
    let everywhere = Scope::Everywhere
        .bindings()
        .iter()
        .filter(|b| scope != Scope::Popup && is_home_or(app, b));
    let mut right = area.right();
    let mut hints = Vec::new();
    let mut tail: Vec<&'static Binding> = everywhere.collect();
    tail.reverse();
    for binding in tail {
        let Some(key) = binding.hint_key(takes_text) else {
            continue;
        };
        let width = width_of(&key, binding);
        if right < area.left() + width {
            break;
        }
        right -= width;
        hints.push(Hint {
            area: Rect::new(right, area.y, width, 1),
            key,
            binding,
        });
    }
    let mut left = area.left() + 1;
    for binding in scope.bindings().iter().filter(|b| !b.hint.is_empty()) {
        let Some(key) = binding.hint_key(takes_text) else {
            continue;
        };
        let width = width_of(&key, binding);
        if left + width > right {
            break;
        }
        hints.push(Hint {
            area: Rect::new(left, area.y, width, 1),
            key,
            binding,
        });
        left += width;
    }
    hints
}

/// Leaves out "back" where nothing lies behind.
fn is_home_or(app: &App, binding: &Binding) -> bool {
    !matches!(binding.action, Action::Back) || app.screens.len() > 1
}

fn width_of(key: &str, binding: &Binding) -> u16 {
    let columns = key.chars().count() + 1 + binding.hint.chars().count() + 2;
    u16::try_from(columns).unwrap_or(u16::MAX)
}

/// Draws the hint bar.
pub(crate) fn draw(app: &App, frame: &mut Frame<'_>, area: Rect) {
    let theme = &app.shared.theme;
    for hint in place(app, area) {
        let text = ratatui::text::Line::from(vec![
            Span::styled(hint.key, theme.style(Role::Key)),
            Span::raw(" "),
            Span::styled(hint.binding.hint, theme.style(Role::Quiet)),
        ]);
        frame.render_widget(Paragraph::new(text), hint.area);
    }
}

/// Finds the action of the hint at `at`.
pub(crate) fn at(app: &App, area: Rect, at: Position) -> Option<Action> {
    place(app, area)
        .into_iter()
        .find(|hint| hint.area.contains(at))
        .map(|hint| hint.binding.action.clone())
}
