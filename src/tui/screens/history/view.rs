//! Drawing of the history screen: a chart above, the time line under it, the last words below.

use super::{Act, HistoryScreen, charts};
use crate::tui::prelude::*;
use crate::{
    model::Oven,
    tui::widgets::list::shortened,
    workflow::history::{History, Moment},
};

/// Rows of the last words: when to test again, and why.
const LAST: u16 = 2;

/// The chart, the time line, and the last words.
fn parts(body: Rect) -> [Rect; 3] {
    let body = body.inner(Margin::new(1, 0));
    let rows = (body.height * 3 / 5).max(11);
    Layout::vertical([
        Constraint::Length(rows),
        Constraint::Min(1),
        Constraint::Length(LAST),
    ])
    .areas(body)
}

/// Draws the screen.
pub(super) fn draw(screen: &HistoryScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let Some(oven) = screen.oven(shared) else {
        return;
    };
    let theme = &shared.theme;
    let [above, middle, below] = parts(body);
    let buf = frame.buffer_mut();
    match screen.answer() {
        None => sentences::say([(Role::Quiet, "...")], "", above, buf, theme),
        Some(Err(why)) => {
            sentences::say([(Role::Caution, why.to_string())], "", above, buf, theme);
        }
        Some(Ok(life)) => {
            draw_chart(screen, life, oven, (above, theme), buf);
            draw_time_line(screen, life, (middle, theme), buf);
            let role = if life.again.due {
                Role::Caution
            } else {
                Role::Plain
            };
            sentences::say([(role, life.again.sentence())], "", below, buf, theme);
        }
    }
}

/// Finds what a press stands for: the chart, or a row of the time line.
pub(super) fn hit(
    screen: &HistoryScreen,
    _shared: &Shared,
    body: Rect,
    at: Position,
) -> Option<Act> {
    let [above, middle, _] = parts(body);
    if above.contains(at) {
        return Some(Act::Chart);
    }
    let row = list::row_at(middle, 1, screen.row, at)?;
    let count = screen.ready().map_or(0, |l| l.moments.len());
    (row < count).then_some(Act::To(row))
}

fn draw_chart(
    screen: &HistoryScreen,
    life: &History,
    oven: &Oven,
    (area, theme): (Rect, &Theme),
    buf: &mut Buffer,
) {
    let Some(mode) = screen.mode(oven, life) else {
        return;
    };
    let marked = newest_first(life).nth(screen.row).map(|m| m.when);
    if let Some(drawn) = charts::drawn(screen.chart, life, oven, mode, marked) {
        drawn.draw(screen.chart.place(), area, buf, theme);
    } else {
        let words = format!("{}{}", screen.chart.place(), screen.chart.nothing(mode));
        sentences::say([(Role::Plain, words)], "", area, buf, theme);
    }
}

fn newest_first(life: &History) -> impl Iterator<Item = &Moment> {
    life.moments.iter().rev()
}

fn draw_time_line(
    screen: &HistoryScreen,
    life: &History,
    (area, theme): (Rect, &Theme),
    buf: &mut Buffer,
) {
    let first = list::first_row(area, 1, screen.row);
    let rows = newest_first(life).enumerate().skip(first);
    for ((i, moment), y) in rows.zip(area.y..area.bottom()) {
        let chosen = i == screen.row;
        let role = if chosen { Role::Chosen } else { Role::Plain };
        let words = format!(
            "{} {}  {}: {}",
            list::mark(chosen),
            moment.when.date(),
            moment.what.words(),
            moment.words
        );
        let words = shortened(&words, area.width);
        buf.set_string(area.x, y, words, theme.style(role));
    }
}
