//! The parts of the terminal around every screen; the same for drawing and for the mouse.

use ratatui::layout::{Constraint, Layout, Rect};

/// Narrowest terminal the screens are made for, columns.
pub const LEAST_COLUMNS: u16 = 80;
/// Lowest terminal the screens are made for, rows.
pub const LEAST_ROWS: u16 = 24;

/// The parts of the terminal around every screen; the same for drawing and for the mouse.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Chrome {
    /// Where the program and the screen are named.
    pub title: Rect,
    /// What to do next.
    pub guide: Rect,
    /// The screen's own.
    pub body: Rect,
    /// Messages.
    pub banner: Rect,
    /// Keys.
    pub hints: Rect,
}

impl Chrome {
    /// Divides a terminal of `size` (columns, rows); `None` when it is too small.
    pub fn of(size: (u16, u16)) -> Option<Self> {
        if size.0 < LEAST_COLUMNS || size.1 < LEAST_ROWS {
            return None;
        }
        let whole = Rect::new(0, 0, size.0, size.1);
        let [title, guide, body, banner, hints] = Layout::vertical([
            Constraint::Length(1),
            Constraint::Length(1),
            Constraint::Min(1),
            Constraint::Length(1),
            Constraint::Length(1),
        ])
        .areas(whole);
        Some(Self {
            title,
            guide,
            body,
            banner,
            hints,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_parts_of_the_terminal_fill_it_without_overlap() {
        assert_eq!(Chrome::of((79, 24)), None);
        assert_eq!(Chrome::of((80, 23)), None);
        for (columns, rows) in [(80, 24), (120, 40), (300, 100)] {
            let parts = Chrome::of((columns, rows)).unwrap();
            let all = [
                parts.title,
                parts.guide,
                parts.body,
                parts.banner,
                parts.hints,
            ];
            let area: u32 = all.iter().map(|r| r.area()).sum();
            assert_eq!(area, u32::from(columns) * u32::from(rows));
            assert!(all.windows(2).all(|two| two[0].bottom() == two[1].top()));
        }
    }
}
