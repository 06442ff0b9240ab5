//! What lists share: moving the cursor, scrolling, and finding the row under the mouse.

use ratatui::layout::{Position, Rect};

/// Moves a cursor by rows and stops at the ends; 0 in an empty list.
pub fn step(cursor: usize, by: isize, len: usize) -> usize {
    cursor.saturating_add_signed(by).min(len.saturating_sub(1))
}

/// Returns the sign before a row: an arrow where the cursor is, so that it is seen without colour.
pub fn mark(chosen: bool) -> &'static str {
    if chosen { "\u{25b8}" } else { " " }
}

/// Returns the first row in sight, for items of `item_rows` lines, so that the cursor is in sight.
pub fn first_row(area: Rect, item_rows: usize, cursor: usize) -> usize {
    let fitting = (usize::from(area.height) / item_rows.max(1)).max(1);
    (cursor + 1).saturating_sub(fitting)
}

/// Returns the item drawn at `at`, which may lie beyond the list's end.
pub fn row_at(area: Rect, item_rows: usize, cursor: usize, at: Position) -> Option<usize> {
    area.contains(at)
        .then(|| first_row(area, item_rows, cursor) + usize::from(at.y - area.y) / item_rows.max(1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cursor_stays_in_the_list_and_in_sight() {
        assert_eq!(step(0, -1, 5), 0);
        assert_eq!(step(4, 1, 5), 4);
        assert_eq!(step(3, 1, 0), 0);
        let area = Rect::new(0, 10, 20, 8);
        assert_eq!(first_row(area, 4, 1), 0);
        assert_eq!(first_row(area, 4, 5), 4);
        assert_eq!(row_at(area, 4, 5, Position::new(3, 14)), Some(5));
        assert_eq!(row_at(area, 4, 5, Position::new(3, 9)), None);
    }
}
