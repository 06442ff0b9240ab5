//! Drawing of the ranked list: one line a way, and more about the one under the cursor.

use super::ChoiceScreen;
use crate::model::text::joined;
use crate::tui::prelude::*;
use crate::workflow::choice::{Basis, Choice, Choices};

pub(super) fn draw(screen: &ChoiceScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    let found = match screen.found() {
        Some(Ok(found)) => found,
        Some(Err(why)) => {
            frame.render_widget(
                Paragraph::new(why.to_string()).style(theme.style(Role::Wrong)),
                ListWithDetails::area(body),
            );
            return;
        }
        None => return,
    };
    let heading = format!(
        "{:<4}{:<18} {:<16} {:<6}{:<24}{}",
        "", "oven", "mode", "rack", "unevenness", "takes"
    );
    ListWithDetails {
        heading: &heading,
        count: found.ranked.len(),
        cursor: screen.row,
        row: &|i| format!(" {}", one_line(&found.ranked[i], i + 1, shared)),
        details: details(found, screen.row),
    }
    .draw(theme, frame, body);
}

fn one_line(choice: &Choice, rank: usize, shared: &Shared) -> String {
    let rank = match &choice.basis {
        Basis::Tests { .. } if choice.ties_with_first => "1 =".to_owned(),
        Basis::Tests { .. } => rank.to_string(),
        Basis::Custom => "-".to_owned(),
    };
    let name = list::shortened(shared.kitchen.name_of(&choice.oven), 17);
    format!(
        "{rank:<4}{name:<18} {:<16} {:<6}{:<24}{}",
        choice.mode.words(),
        joined(&choice.racks, "+"),
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
