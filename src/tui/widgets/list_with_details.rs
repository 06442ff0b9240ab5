//! A list of one line a row, and more about the row under the cursor below it.

use super::{list, sentences};
use crate::tui::theme::{Role, Theme};
use ratatui::{
    Frame,
    layout::{Position, Rect},
    text::Line,
    widgets::Paragraph,
};

/// Rows for the details.
const DETAIL_ROWS: u16 = 6;

pub(crate) struct ListWithDetails<'a> {
    /// Heads of the columns; empty for none.
    pub(crate) heading: &'a str,
    pub(crate) count: usize,
    pub(crate) cursor: usize,
    /// Writes a row as it stands behind the cursor's arrow; asked for those in sight alone.
    pub(crate) row: &'a dyn Fn(usize) -> String,
    /// Sentences about the row under the cursor.
    pub(crate) details: Vec<String>,
}

impl ListWithDetails<'_> {
    /// Returns where the rows are, below the heading.
    pub(crate) fn area(body: Rect) -> Rect {
        Rect::new(
            body.x + 1,
            body.y + 1,
            body.width.saturating_sub(2),
            body.height.saturating_sub(DETAIL_ROWS + 2),
        )
    }

    /// Returns the row drawn at `at`, which may lie beyond the list's end.
    pub(crate) fn row_at(body: Rect, cursor: usize, at: Position) -> Option<usize> {
        list::row_at(Self::area(body), 1, cursor, at)
    }

    pub(crate) fn draw(&self, theme: &Theme, frame: &mut Frame<'_>, body: Rect) {
        let area = Self::area(body);
        frame.render_widget(
            Paragraph::new(format!("  {}", self.heading)).style(theme.style(Role::Heading)),
            Rect::new(area.x, body.y, area.width, 1),
        );
        let first = list::first_row(area, 1, self.cursor);
        let lines: Vec<Line<'_>> = (first..self.count)
            .take(usize::from(area.height))
            .map(|i| {
                let chosen = i == self.cursor;
                let role = if chosen { Role::Chosen } else { Role::Plain };
                let words = format!("{}{}", list::mark(chosen), (self.row)(i));
                Line::styled(list::shortened(&words, area.width), theme.style(role))
            })
            .collect();
        frame.render_widget(Paragraph::new(lines), area);
        let below = Rect {
            y: area.bottom() + 1,
            height: body.bottom().saturating_sub(area.bottom() + 1),
            ..area
        };
        let said = self.details.iter().map(|words| (Role::Quiet, words));
        sentences::say(said, "  ", below, frame.buffer_mut(), theme);
    }
}
