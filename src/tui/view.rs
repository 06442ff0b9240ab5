//! `view(&App, &mut Frame)`: draws the state and cannot change it.

use super::{
    app::App,
    chrome::{Chrome, LEAST_COLUMNS, LEAST_ROWS},
    hints, popups,
    shared::Banner,
    theme::{Role, Theme, ascii_for},
    widgets::photo_view::Painting,
};
use crate::{colour::Rgb, model::text::steers, report::text::wrap};
use ratatui::{
    Frame,
    buffer::CellDiffOption,
    layout::Rect,
    style::Color,
    text::{Line, Span},
    widgets::{Clear, Paragraph, Wrap},
};

/// Draws the whole terminal.
pub fn view(app: &App, frame: &mut Frame<'_>) {
    view_over(app, painting(app).as_ref(), frame);
}

/// Returns what the screen in sight shows in pixels, where the terminal takes them.
pub(crate) fn painting(app: &App) -> Option<Painting> {
    app.shared.theme.pixels?;
    let body = Chrome::of(app.shared.size)?.body;
    app.screen()?.painting(body)
}

/// Draws the whole terminal, `behind` the picture that goes behind the words.
pub(crate) fn view_over(app: &App, behind: Option<&Painting>, frame: &mut Frame<'_>) {
    draw(app, frame);
    if let Some(painting) = behind {
        ground(painting, &app.shared.theme, frame);
    }
    disarm(frame);
    if app.shared.theme.plain {
        in_ascii(frame);
    }
}

fn draw(app: &App, frame: &mut Frame<'_>) {
    let area = frame.area();
    let Some(chrome) = Chrome::of((area.width, area.height)) else {
        let drawn = app
            .screen()
            .is_some_and(|screen| screen.view_small(&app.shared, frame, area));
        if !drawn {
            too_small(app, frame, area);
        }
        return;
    };
    let Some(screen) = app.screen() else { return };
    let (shared, theme) = (&app.shared, &app.shared.theme);
    let title = Line::from(vec![
        Span::styled(" rackshade ", theme.style(Role::Chosen)),
        Span::styled(
            format!(" {}", screen.title(shared)),
            theme.style(Role::Heading),
        ),
        Span::styled(
            if shared.kitchen.is_looking() {
                "  (only looking)"
            } else {
                ""
            },
            theme.style(Role::Caution),
        ),
    ]);
    frame.render_widget(Paragraph::new(title), chrome.title);
    // What is so comes first; the next step then stands above the keys.
    let guide = screen.guide(shared);
    let next = |role: Role| {
        Line::from(vec![
            Span::styled(" Next \u{25b8} ", theme.style(Role::Quiet)),
            Span::styled(guide.clone(), theme.style(role)),
        ])
    };
    if let Some(verdict) = screen.verdict(shared) {
        let verdict = Line::styled(format!(" {verdict}"), theme.style(Role::Caution));
        frame.render_widget(Paragraph::new(verdict), chrome.guide);
        frame.render_widget(Paragraph::new(next(Role::Quiet)), chrome.banner);
    } else {
        frame.render_widget(Paragraph::new(next(Role::Caution)), chrome.guide);
    }
    screen.view(shared, frame, chrome.body);
    banner(app, frame, chrome.banner);
    hints::draw(app, frame, chrome.hints);
    if let Some(popup) = &shared.popup {
        popups::draw(popup, shared, frame, chrome.body);
    }
}

/// Gives words over a picture in pixels a ground of their own: the terminal's would let it shine through.
fn ground(painting: &Painting, theme: &Theme, frame: &mut Frame<'_>) {
    let area = frame.area();
    let buffer = frame.buffer_mut();
    for position in painting.area.intersection(area).positions() {
        let cell = &mut buffer[position];
        if cell.diff_option == CellDiffOption::None && cell.bg == Color::Reset {
            cell.bg = theme.colour(Rgb(20, 16, 12));
            if cell.fg == Color::Reset {
                cell.fg = theme.colour(Rgb(250, 246, 240));
            }
        }
    }
}

/// Draws with the characters of ASCII alone, where the terminal has no others.
fn in_ascii(frame: &mut Frame<'_>) {
    for cell in &mut frame.buffer_mut().content {
        if !cell.symbol().is_ascii() {
            let plain: String = cell.symbol().chars().take(1).map(ascii_for).collect();
            cell.set_symbol(&plain);
        }
    }
}

/// Takes out of every cell what would steer the terminal: names of files and words of old records hold anything.
fn disarm(frame: &mut Frame<'_>) {
    for cell in &mut frame.buffer_mut().content {
        if cell.symbol().len() > 1 && cell.symbol().chars().any(steers) {
            let kept: String = cell.symbol().chars().filter(|c| !steers(*c)).collect();
            cell.set_symbol(if kept.is_empty() { " " } else { &kept });
        }
    }
}

/// Most rows a message may take; it grows upwards over the screen.
const BANNER_ROWS: usize = 4;

/// Draws the message, on as many rows as its words need: what is wrong must be read to its end.
fn banner(app: &App, frame: &mut Frame<'_>, area: Rect) {
    let theme = &app.shared.theme;
    let (words, role) = match &app.shared.banner {
        None => return,
        Some(Banner::Done(words)) => (words.clone(), Role::Good),
        Some(Banner::Wrong(words)) if app.shared.unsaved.is_empty() => {
            (format!("! {words} (Esc closes this)"), Role::Wrong)
        }
        Some(Banner::Wrong(words)) => (format!("! {words}"), Role::Wrong),
    };
    let width = usize::from(area.width.saturating_sub(2)).max(1);
    let rows = wrap(&words, width, "", "");
    let shown = u16::try_from(rows.len().min(BANNER_ROWS)).unwrap_or(1);
    let place = Rect::new(area.x, area.bottom() - shown, area.width, shown);
    let lines: Vec<Line<'_>> = rows
        .into_iter()
        .map(|row| Line::styled(format!(" {row}"), theme.style(role)))
        .collect();
    frame.render_widget(Clear, place);
    frame.render_widget(Paragraph::new(lines), place);
}

fn too_small(app: &App, frame: &mut Frame<'_>, area: Rect) {
    let words = format!(
        "This window is {} x {}. rackshade needs {LEAST_COLUMNS} columns x {LEAST_ROWS} rows. \
         Make it larger; nothing is lost. q: quit",
        area.width, area.height
    );
    let text = Paragraph::new(words)
        .style(app.shared.theme.style(Role::Heading))
        .wrap(Wrap { trim: true });
    frame.render_widget(text, area);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cell_steers_the_terminal() {
        let backend = ratatui::backend::TestBackend::new(20, 1);
        let mut terminal = ratatui::Terminal::new(backend).unwrap();
        let drawn = terminal.draw(|frame| {
            let words = "o\u{202e}ven \u{2066}\u{e9}\u{301} ok";
            frame.render_widget(Paragraph::new(words), frame.area());
            disarm(frame);
        });
        let symbols: String = drawn
            .unwrap()
            .buffer
            .content
            .iter()
            .map(ratatui::buffer::Cell::symbol)
            .collect();
        assert!(!symbols.chars().any(steers), "{symbols:?}");
        assert!(symbols.starts_with("oven \u{e9}\u{301} ok"), "{symbols:?}");
    }

    #[test]
    fn a_long_message_is_broken_between_words_and_loses_none() {
        let words = "not saved: the disk is full; free some space and press any key";
        let rows = wrap(words, 20, "", "");
        assert!(rows.iter().all(|row| row.chars().count() <= 20), "{rows:?}");
        assert_eq!(rows.join(" "), words);
    }
}
