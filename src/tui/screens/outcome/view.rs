//! Drawing of what came out: the tray as it went in, each piece's shade beside what was expected, and the sum of it.

use super::Outcome;
use crate::tui::prelude::*;
use crate::{
    tui::{theme::ink_on, widgets::shade_card::shade_colour},
    workflow::after::{After, Compared, What, compare, fold::counts},
};
use ratatui::style::Style;

/// Most columns a piece takes: `[4.5 (4.2)]` and a gap.
const WIDEST: u16 = 12;
/// Rows of the summary below the tray.
const SUMMARY_ROWS: u16 = 7;

fn parts(body: Rect) -> [Rect; 2] {
    let inner = body.inner(Margin::new(1, 0));
    Layout::vertical([Constraint::Min(5), Constraint::Length(SUMMARY_ROWS)]).areas(inner)
}

/// Columns and rows of one piece on screen.
fn cell(screen: &Outcome, area: Rect) -> (u16, u16) {
    let across = u16::try_from(screen.size.across).unwrap_or(1).max(1);
    let deep = u16::try_from(screen.size.deep).unwrap_or(1).max(1);
    let room = area.height.saturating_sub(2);
    (
        (area.width / across).min(WIDEST),
        if room >= 2 * deep { 2 } else { 1 },
    )
}

/// Finds the piece under the mouse.
pub(super) fn piece_at(screen: &Outcome, body: Rect, at: Position) -> Option<(usize, usize)> {
    let [area, _] = parts(body);
    let (width, height) = cell(screen, area);
    if !area.contains(at) || at.y == area.y || width == 0 {
        return None;
    }
    let col = usize::from((at.x - area.x) / width);
    let row = usize::from((at.y - area.y - 1) / height);
    (col < screen.size.across && row < screen.size.deep).then_some((row, col))
}

pub(super) fn draw(screen: &Outcome, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    let [area, below] = parts(body);
    let after = compare(&screen.bake);
    tray(screen, after.as_ref().ok(), theme, frame, area);
    let mut words: Vec<String> = Vec::new();
    match &after {
        Ok(after) => {
            words.push(after.level.words());
        }
        Err(why) => words.push(format!("{why}.")),
    }
    match (screen.verdict(), screen.bake.in_map) {
        (Some(verdict), _) => words.push(verdict),
        (None, true) => {
            words.push(format!("Noted: {} (f: no longer).", counts(&screen.bake)));
        }
        (None, false) => {}
    }
    let said = words.iter().map(|w| (Role::Plain, w));
    sentences::say(said, "  ", below, frame.buffer_mut(), theme);
}

fn tray(screen: &Outcome, after: Option<&After>, theme: &Theme, frame: &mut Frame<'_>, area: Rect) {
    let number = screen.tray_number();
    let heading = format!(
        "tray {number} of {}, back on top: shade (expected)  [ ] not as expected",
        screen.bake.trays().len()
    );
    let line = |y: u16| Rect::new(area.x, y, area.width, 1);
    frame.render_widget(
        Span::styled(heading, theme.style(Role::Heading)),
        line(area.y),
    );
    let (width, height) = cell(screen, area);
    let mut bottom = area.y + 1;
    for row in 0..screen.size.deep {
        for col in 0..screen.size.across {
            let (Ok(down), Ok(right)) = (u16::try_from(row), u16::try_from(col)) else {
                continue;
            };
            let place = Rect::new(
                area.x + right * width,
                area.y + 1 + down * height,
                width.saturating_sub(1),
                1,
            );
            if place.bottom() > area.bottom() {
                continue;
            }
            bottom = bottom.max(place.bottom());
            let here = (row, col) == (screen.row, screen.col);
            let score = screen.bake.piece(number, row, col);
            let style = match score {
                _ if here => theme.style(Role::Chosen),
                Some(score) if theme.is_shaded() => {
                    let ground = shade_colour(score.shade.value());
                    let (ground, ink) = (theme.colour(ground), theme.colour(ink_on(ground)));
                    Style::new().bg(ground).fg(ink)
                }
                Some(_) | None => theme.style(Role::Plain),
            };
            let words = words_of(screen, after, (number, row, col), place.width);
            let room = usize::from(place.width);
            frame.render_widget(Span::styled(format!("{words:<room$}"), style), place);
        }
    }
    if bottom < area.bottom() {
        let door = format!("{:\u{2500}^1$}", " door ", usize::from(area.width.min(40)));
        frame.render_widget(Span::styled(door, theme.style(Role::Quiet)), line(bottom));
    }
}

/// Writes one piece: its shade, what was expected, in brackets where neither map nor eye explains the difference.
fn words_of(
    screen: &Outcome,
    after: Option<&After>,
    (tray, row, col): (usize, usize, usize),
    width: u16,
) -> String {
    let score = screen.bake.piece(tray, row, col);
    let shade = score.map_or_else(|| "\u{b7}".to_owned(), |s| s.shade.to_string());
    let of_piece = |p: &&Compared| p.tray == tray && p.what == What::Piece(row, col);
    let compared = after.and_then(|a| a.places.iter().find(of_piece));
    let words = match compared {
        Some(p) if width >= 9 => format!("{shade} ({:.1})", p.expected.value),
        Some(_) | None => shade,
    };
    if compared.is_some_and(Compared::surprises) {
        format!("[{words}]")
    } else {
        format!(" {words}")
    }
}
