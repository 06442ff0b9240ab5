//! Drawing of the ranked list: one line a way, and more about the one under the cursor.

use super::ChoiceScreen;
use crate::tui::prelude::*;
use crate::{
    report::text::wrap,
    workflow::choice::{Basis, Choice, Choices},
};

/// Rows under the list for the way under the cursor.
const DETAIL_ROWS: u16 = 6;

/// Returns where the list is drawn, below its heading.
pub(super) fn list_area(body: Rect) -> Rect {
    Rect::new(
        body.x + 1,
        body.y + 1,
        body.width.saturating_sub(2),
        body.height.saturating_sub(DETAIL_ROWS + 2),
    )
}

pub(super) fn draw(screen: &ChoiceScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    let area = list_area(body);
    let found = match screen.found() {
        Some(Ok(found)) => found,
        Some(Err(why)) => {
            frame.render_widget(
                Paragraph::new(why.to_string()).style(theme.style(Role::Wrong)),
                area,
            );
            return;
        }
        None => return,
    };
    let head = format!(
        "  {:<4}{:<18} {:<12} {:<6}{:<24}{}",
        "", "oven", "mode", "rack", "unevenness", "takes"
    );
    let heading = Rect::new(area.x, body.y, area.width, 1);
    frame.render_widget(
        Paragraph::new(head).style(theme.style(Role::Heading)),
        heading,
    );
    let first = list::first_row(area, 1, screen.row);
    let lines: Vec<Line<'_>> = found
        .ranked
        .iter()
        .enumerate()
        .skip(first)
        .take(usize::from(area.height))
        .map(|(i, choice)| {
            let chosen = i == screen.row;
            let role = if chosen { Role::Chosen } else { Role::Plain };
            let words = format!("{} {}", list::mark(chosen), one_line(choice, i + 1, shared));
            Line::styled(words, theme.style(role))
        })
        .collect();
    frame.render_widget(Paragraph::new(lines), area);
    let below = Rect::new(
        area.x,
        area.bottom() + 1,
        area.width,
        body.bottom().saturating_sub(area.bottom() + 1),
    );
    let lines: Vec<Line<'_>> = details(found, screen.row)
        .iter()
        .flat_map(|w| wrap(w, usize::from(below.width), "", "  "))
        .map(Line::raw)
        .collect();
    frame.render_widget(Paragraph::new(lines).style(theme.style(Role::Quiet)), below);
}

fn one_line(choice: &Choice, rank: usize, shared: &Shared) -> String {
    let rank = match &choice.basis {
        Basis::Tests { .. } if choice.ties_with_first => "1 =".to_owned(),
        Basis::Tests { .. } => rank.to_string(),
        Basis::Custom => "-".to_owned(),
    };
    let oven = shared.kitchen.oven(&choice.oven);
    let name = list::shortened(oven.map_or("", |o| &o.name), 17);
    let racks: Vec<String> = choice.racks.iter().map(u8::to_string).collect();
    format!(
        "{rank:<4}{name:<18} {:<12} {:<6}{:<24}{}",
        choice.mode.words(),
        racks.join("+"),
        choice.evenness_words(),
        choice.planned.plan.bake
    )
}

fn details(found: &Choices, row: usize) -> Vec<String> {
    let mut words = Vec::new();
    if let Some(choice) = found.ranked.get(row) {
        words.push(format!("Rests on: {}.", choice.basis.words()));
        words.push(match (&choice.basis, choice.ties_with_first) {
            (Basis::Custom, _) => {
                "Nothing was tested here, so how even it comes out is not known; not ranked by merit."
                    .to_owned()
            }
            (Basis::Tests { .. }, true) => {
                "1 =: too close to call, so the quickest comes first."
                    .to_owned()
            }
            (Basis::Tests { .. }, false) if row == 0 => {
                "The most even choice.".to_owned()
            }
            (Basis::Tests { .. }, false) => "Less even than the first.".to_owned(),
        });
    }
    if let Some(choice) = found.ranked.get(row) {
        let careful = choice.planned.warnings.iter();
        words.extend(careful.map(|w| format!("Careful: {w}.")));
    }
    words.extend(found.refused.iter().map(|why| format!("Left out: {why}.")));
    words
}
