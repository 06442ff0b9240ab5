//! Drawing of the photo screen, and what lies under the mouse.

use super::{
    place::{parts, projection},
    state::{FileAct, PhotoAction, PhotoScreen, Sheet, Step},
    way::Way,
    words,
};
use crate::report::text::wrap;
use crate::tui::prelude::*;
use crate::{
    geometry::Point,
    tui::widgets::{
        PhotoView,
        photo_view::{Lattice, Painting, Projection, size_of},
    },
    workflow::catalogue::cautions_at,
};
use ratatui::widgets::{Block, Clear, Padding};
use std::sync::Arc;

/// Columns a slice needs so that a word fits under its score.
const ROOMY_COLUMNS: f64 = 9.0;
/// Rows of the window that says what is wrong, beside its words.
const TROUBLE_ROWS: usize = 3;

/// Returns the place of the photo under the mouse; beside it, the nearest.
fn photo_at(screen: &PhotoScreen, body: Rect, at: Position) -> Option<Point> {
    let sheet = screen.sheet.as_ref()?;
    let area = parts(body).photo;
    let inside = Position::new(
        at.x.clamp(area.left(), area.right().saturating_sub(1)),
        at.y.clamp(area.top(), area.bottom().saturating_sub(1)),
    );
    Some(projection(sheet, body).photo_at(inside))
}

/// Finds what the mouse stands for.
pub(super) fn hit(
    screen: &PhotoScreen,
    body: Rect,
    at: Position,
    act: MouseAct,
) -> Option<PhotoAction> {
    let in_file = matches!(screen.step, Step::File { .. });
    let place = || photo_at(screen, body, at);
    Some(match act {
        MouseAct::Drag => PhotoAction::Pull(place()?),
        MouseAct::Release => PhotoAction::Release,
        MouseAct::WheelUp if in_file => PhotoAction::Move(Way::Up),
        MouseAct::WheelDown if in_file => PhotoAction::Move(Way::Down),
        MouseAct::Press if in_file => {
            let [_, _, names, _] = file_parts(body);
            let row = list::row_at(names, 1, screen.file.row.unwrap_or(0), at)?;
            return (row < screen.file.found.len())
                .then_some(PhotoAction::File(FileAct::ToName(row)));
        }
        _ if !parts(body).photo.contains(at) => return None,
        MouseAct::WheelUp => PhotoAction::ZoomAt(1, place()?),
        MouseAct::WheelDown => PhotoAction::ZoomAt(-1, place()?),
        MouseAct::Press => PhotoAction::Press(place()?),
    })
}

pub(super) fn draw(screen: &PhotoScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    match (&screen.step, &screen.sheet) {
        (Step::File { turned }, _) => choose(screen, *turned, theme, frame, body),
        (Step::Corners | Step::References | Step::Scores | Step::Rack, Some(sheet)) => {
            let parts = parts(body);
            photo(screen, sheet, (theme, frame, parts.photo));
            let said = words::panel(screen, sheet);
            frame.render_widget(paragraph(said, theme), parts.panel);
        }
        // A step beyond the file has a photo.
        (Step::Corners | Step::References | Step::Scores | Step::Rack, None) => {}
    }
    if let Some(wrong) = &screen.trouble {
        trouble(screen, wrong, (theme, frame, body));
    }
}

fn paragraph(said: Vec<words::Said>, theme: &Theme) -> Paragraph<'static> {
    let lines: Vec<Line<'static>> = said
        .into_iter()
        .map(|(words, role)| Line::styled(words, theme.style(role)))
        .collect();
    Paragraph::new(lines).wrap(Wrap { trim: false })
}

fn photo(
    screen: &PhotoScreen,
    sheet: &Sheet,
    (theme, frame, area): (&Theme, &mut Frame<'_>, Rect),
) {
    let fit = &sheet.fit;
    let projection = Projection::new(area, size_of(&sheet.shot.photo.picture), fit.window);
    let width = fit.corners[0].distance(fit.corners[1]) / fit.cols.max(1) as f64;
    let roomy = width / projection.step() >= ROOMY_COLUMNS;
    let marks = words::marks(sheet, screen.step, (2.0 * projection.step(), roomy));
    let patches = patches(screen, sheet);
    let (lattice, corner) = lattice(screen, sheet);
    let view = PhotoView {
        picture: &sheet.shot.photo.picture,
        window: fit.window,
        lattice,
        corner,
        patches: &patches,
        marks: &marks,
    };
    view.draw(area, frame.buffer_mut(), theme);
}

/// Returns what is shown in pixels, where the terminal takes them.
pub(super) fn painting(screen: &PhotoScreen, body: Rect) -> Option<Painting> {
    let sheet = screen.sheet.as_ref()?;
    let seen = !matches!(screen.step, Step::File { .. });
    let (lattice, corner) = lattice(screen, sheet);
    seen.then(|| Painting {
        shot: Arc::clone(&sheet.shot),
        area: parts(body).photo,
        window: sheet.fit.window,
        lattice,
        corner,
        patches: patches(screen, sheet),
    })
}

/// Returns the grid, where it is shown, and which of its corners is in hand.
fn lattice(screen: &PhotoScreen, sheet: &Sheet) -> (Option<Lattice>, Option<usize>) {
    let over_scores = matches!(screen.step, Step::Scores | Step::Rack);
    let on_corners = screen.step == Step::Corners;
    (
        (!over_scores).then(|| sheet.fit.lattice()),
        on_corners.then_some(sheet.fit.corner),
    )
}

/// Returns the outlines of the references and of the patch in hand.
fn patches(screen: &PhotoScreen, sheet: &Sheet) -> Vec<[Point; 4]> {
    let mut patches: Vec<[Point; 4]> = Vec::new();
    if matches!(screen.step, Step::References | Step::Scores)
        && let Some((_, scores)) = &sheet.scores
    {
        patches.extend(
            scores
                .references
                .iter()
                .filter_map(|r| words::outline(&r.kind)),
        );
    }
    if screen.step == Step::References {
        patches.extend(sheet.references.iter().filter_map(words::outline));
        patches.extend(sheet.patch.map(|p| p.place.corners()));
    }
    patches
}

/// Path, heading, names and cautions while a file is chosen.
fn file_parts(body: Rect) -> [Rect; 4] {
    let [_, path, _, heading, names, _, cautions] = Layout::vertical([
        Constraint::Length(1),
        Constraint::Length(2),
        Constraint::Length(1),
        Constraint::Length(1),
        Constraint::Min(4),
        Constraint::Length(1),
        // at 80 columns the cautions take five lines, and none of them may be cut
        Constraint::Length(5),
    ])
    .areas(body.inner(Margin::new(2, 0)));
    [path, heading, names, cautions]
}

fn choose(screen: &PhotoScreen, turned: bool, theme: &Theme, frame: &mut Frame<'_>, body: Rect) {
    let [path, heading, listed, below] = file_parts(body);
    let what = if turned {
        "Photo of the same tray turned end for end, the light as it was"
    } else {
        "Photo of the toasted slices"
    };
    // the end of a long path is what is being written
    let room = usize::from(path.width.saturating_sub(3));
    let typed: Vec<char> = screen.file.field.raw().chars().collect();
    let tail: String = typed[typed.len().saturating_sub(room)..].iter().collect();
    let cursor = if screen.file.row.is_none() {
        "\u{258f}"
    } else {
        ""
    };
    let field = vec![
        Line::styled(what, theme.style(Role::Heading)),
        Line::from(vec![
            Span::styled(
                list::mark(screen.file.row.is_none()).to_owned() + " ",
                theme.style(Role::Key),
            ),
            Span::raw(tail + cursor),
        ]),
    ];
    frame.render_widget(Paragraph::new(field), path);
    let words = match screen.file.found.len() {
        0 => "No picture or folder has a name like this.".to_owned(),
        1 => "1 name fits:".to_owned(),
        n => format!("{n} names fit, the newest pictures first:"),
    };
    frame.render_widget(Line::styled(words, theme.style(Role::Quiet)), heading);
    names(screen, theme, frame, listed);
    cautions(screen, theme, frame, below);
}

fn names(screen: &PhotoScreen, theme: &Theme, frame: &mut Frame<'_>, area: Rect) {
    let first = list::first_row(area, 1, screen.file.row.unwrap_or(0));
    let rows = screen.file.found.iter().enumerate().skip(first);
    for ((i, candidate), y) in rows.zip(area.top()..area.bottom()) {
        let chosen = screen.file.row == Some(i);
        let role = match (chosen, candidate.is_folder) {
            (true, _) => Role::Chosen,
            (false, true) => Role::Quiet,
            (false, false) => Role::Plain,
        };
        let line = Line::from(vec![
            Span::styled(list::mark(chosen).to_owned() + " ", theme.style(Role::Key)),
            Span::styled(candidate.name.clone(), theme.style(role)),
        ]);
        frame.render_widget(line, Rect::new(area.x, y, area.width, 1));
    }
}

/// How to take the photo, and what burns while it is taken.
fn cautions(screen: &PhotoScreen, theme: &Theme, frame: &mut Frame<'_>, area: Rect) {
    let burns = cautions_at(
        crate::workflow::catalogue::Occasion::ToastTest,
        &screen.oven,
    )
    .into_iter()
    .find(|words| words.contains("burn"))
    .unwrap_or_default();
    let said = vec![
        (
            "From above, the whole tray with a hand's width around it, even light, no flash; \
             an untoasted slice or a white card in the picture makes the shades sure."
                .to_owned(),
            Role::Quiet,
        ),
        (burns, Role::Caution),
    ];
    frame.render_widget(paragraph(said, theme), area);
}

fn trouble(
    screen: &PhotoScreen,
    wrong: &str,
    (theme, frame, body): (&Theme, &mut Frame<'_>, Rect),
) {
    let width = body.width.saturating_sub(6).min(92);
    let said = words::trouble(screen, wrong).to_vec();
    // A path may be longer than a line, and is broken anywhere.
    let inner = usize::from(width.saturating_sub(4)).max(1);
    let rows = |(words, _): &words::Said| {
        let broken = words.chars().count().div_ceil(inner);
        wrap(words, inner, "", "").len().max(broken)
    };
    let rows = said.iter().map(rows).sum::<usize>() + TROUBLE_ROWS;
    let height = u16::try_from(rows).unwrap_or(u16::MAX).min(body.height);
    let area = body.centered(Constraint::Length(width), Constraint::Length(height));
    let block = Block::bordered()
        .title(Span::styled(
            " The photo cannot be read like this ",
            theme.style(Role::Wrong),
        ))
        .title_bottom(Line::styled(" Esc: close ", theme.style(Role::Quiet)).right_aligned())
        .padding(Padding::horizontal(1));
    frame.render_widget(Clear, area);
    frame.render_widget(paragraph(said, theme).block(block), area);
}
