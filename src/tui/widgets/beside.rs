//! Pictures of racks, and a column of words beside them.

use super::legend::LEGEND_ROWS;
use ratatui::layout::{Constraint, Layout, Rect};

/// Columns of the words beside the pictures.
const SIDE: u16 = 27;
/// Rows of the read-out, a blank line above it included.
const READ_OUT: u16 = 4;

/// Returns what lies below the first `rows` of an area.
pub(crate) fn below(area: Rect, rows: u16) -> Rect {
    Rect {
        y: area.y + rows,
        height: area.height.saturating_sub(rows),
        ..area
    }
}

pub(crate) struct Beside {
    pub(crate) picture: Rect,
    pub(crate) tabs: Rect,
    pub(crate) words: Rect,
    pub(crate) read_out: Rect,
    pub(crate) legend: Rect,
}

/// Divides the screen: the picture takes what the words leave, and the words stand close to it.
pub(crate) fn beside(body: Rect, racks: usize) -> Beside {
    let tabs = u16::try_from(racks)
        .unwrap_or(u16::MAX)
        .min(body.height / 3);
    let [picture, side] =
        Layout::horizontal([Constraint::Min(30), Constraint::Length(SIDE)]).areas(body);
    let side = Rect {
        width: side.width.saturating_sub(1),
        ..side
    };
    let [tabs, _, words, read_out, _, legend] = Layout::vertical([
        Constraint::Length(tabs),
        Constraint::Length(1),
        Constraint::Min(3),
        Constraint::Length(READ_OUT),
        Constraint::Length(1),
        Constraint::Length(LEGEND_ROWS),
    ])
    .areas(side);
    Beside {
        picture,
        tabs,
        words,
        read_out,
        legend,
    }
}
