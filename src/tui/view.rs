//! `view(&App, &mut Frame)`: draws the state and cannot change it.

use super::{
    app::{App, Banner},
    popups,
    theme::Role,
    widgets::hints,
};
use ratatui::{
    Frame,
    layout::{Constraint, Layout, Rect},
    text::{Line, Span},
    widgets::{Paragraph, Wrap},
};

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

/// Draws the whole terminal.
pub fn view(app: &App, frame: &mut Frame<'_>) {
    let area = frame.area();
    let Some(chrome) = Chrome::of((area.width, area.height)) else {
        too_small(app, frame, area);
        return;
    };
    let Some(screen) = app.screen() else { return };
    let (state, shared, theme) = (screen.state(), &app.shared, &app.shared.theme);
    let title = Line::from(vec![
        Span::styled(" rackshade ", theme.style(Role::Chosen)),
        Span::styled(
            format!(" {}", state.title(shared)),
            theme.style(Role::Heading),
        ),
    ]);
    frame.render_widget(Paragraph::new(title), chrome.title);
    let guide = Line::from(vec![
        Span::styled(" Next \u{25b8} ", theme.style(Role::Quiet)),
        Span::styled(state.guide(shared), theme.style(Role::Caution)),
    ]);
    frame.render_widget(Paragraph::new(guide), chrome.guide);
    state.view(shared, frame, chrome.body);
    banner(app, frame, chrome.banner);
    hints::draw(app, frame, chrome.hints);
    if let Some(popup) = &shared.popup {
        popups::draw(popup, shared, frame, chrome.body);
    }
}

fn banner(app: &App, frame: &mut Frame<'_>, area: Rect) {
    let theme = &app.shared.theme;
    let line = match &app.shared.banner {
        None => return,
        Some(Banner::Done(words)) => Line::styled(format!(" {words}"), theme.style(Role::Good)),
        Some(Banner::Wrong(words)) => {
            Line::styled(format!(" ! {words} "), theme.style(Role::Wrong))
        }
    };
    frame.render_widget(Paragraph::new(line), area);
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
