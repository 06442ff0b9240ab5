//! What lists share: moving the cursor, scrolling, and finding the row under the mouse.

use ratatui::layout::{Position, Rect};

/// Moves a cursor by rows and stops at the ends; 0 in an empty list.
pub fn step(cursor: usize, by: isize, len: usize) -> usize {
    cursor.saturating_add_signed(by).min(len.saturating_sub(1))
}

/// Moves through `len` choices and around at the ends.
pub fn turn(at: usize, by: i8, len: usize) -> usize {
    let len = len.max(1);
    let next = if by < 0 { at + len - 1 } else { at + 1 };
    next % len
}

/// Returns the one after `here` (1) or before it (-1), round and round; the first where `here` is none of them.
pub fn neighbour<T: Copy + PartialEq>(all: &[T], here: T, by: i8) -> Option<T> {
    let at = all.iter().position(|one| *one == here);
    let next = at.map_or(0, |at| turn(at, by, all.len()));
    all.get(next).copied()
}

/// Returns the sign before a row: an arrow where the cursor is, so that it is seen without colour.
pub fn mark(chosen: bool) -> &'static str {
    if chosen { "\u{25b8}" } else { " " }
}

/// Shortens words to a width, between two words and with a mark where something is left out.
pub fn shortened(words: &str, width: u16) -> String {
    let room = usize::from(width);
    if words.trim_end().chars().count() <= room {
        return words.to_owned();
    }
    let kept: String = words.chars().take(room.saturating_sub(1)).collect();
    let whole = kept.rfind(' ').map_or(kept.as_str(), |at| &kept[..at]);
    format!("{}\u{2026}", whole.trim_end_matches([',', ':', ' ']))
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
    fn long_words_are_shortened_between_two_words() {
        assert_eq!(shortened("a wall oven", 11), "a wall oven");
        assert_eq!(shortened("a wall oven", 10), "a wall\u{2026}");
        assert_eq!(shortened("done, still air", 8), "done\u{2026}");
    }

    #[test]
    fn the_cursor_stays_in_the_list_and_in_sight() {
        assert_eq!(step(0, -1, 5), 0);
        assert_eq!(step(4, 1, 5), 4);
        assert_eq!(step(3, 1, 0), 0);
        assert_eq!([turn(4, 1, 5), turn(0, -1, 5), turn(0, 1, 0)], [0, 4, 0]);
        assert_eq!(neighbour(&[3, 5, 8], 8, 1), Some(3));
        assert_eq!(neighbour(&[3, 5, 8], 3, -1), Some(8));
        assert_eq!(neighbour(&[3, 5, 8], 4, 1), Some(3), "none of them");
        assert_eq!(neighbour(&[], 4, 1), None);
        let area = Rect::new(0, 10, 20, 8);
        assert_eq!(first_row(area, 4, 1), 0);
        assert_eq!(first_row(area, 4, 5), 4);
        assert_eq!(row_at(area, 4, 5, Position::new(3, 14)), Some(5));
        assert_eq!(row_at(area, 4, 5, Position::new(3, 9)), None);
    }
}
