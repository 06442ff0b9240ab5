//! Drawing of the recipes: one line each with more about the one under the cursor, and the form.

use super::{
    form::{Form, Row},
    state::RecipesScreen,
};
use crate::tui::prelude::*;
use crate::{
    model::Recipe,
    tui::widgets::form::{line, turned},
    units::LengthUnit,
    workflow::{
        catalogue::kind_name,
        recipe::{still_air, with_fan},
    },
};

/// Columns of the form's labels.
const LABEL: usize = 13;

pub(super) fn list(screen: &RecipesScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    let recipes = shared.kitchen.recipes();
    if recipes.is_empty() {
        let area = ListWithDetails::area(body);
        let words = "No recipe yet. A recipe keeps its temperature as it was written (without a fan, with one, or a gas mark), its time, tray and shade. Plans then take it as they take a kind of bake.";
        sentences::say([(Role::Plain, words)], "", area, frame.buffer_mut(), theme);
        return;
    }
    let heading = format!(
        "{:<26}{:<16}{:<10}{:<11}{}",
        "recipe", "as written", "time", "wanted", "browns like"
    );
    let row = list::step(screen.row, 0, recipes.len());
    let lengths = screen
        .oven(shared)
        .map_or(LengthUnit::Inches, |o| o.lengths);
    ListWithDetails {
        heading: &heading,
        count: recipes.len(),
        cursor: row,
        row: &|i| format!(" {}", one_line(&recipes[i])),
        details: recipes
            .get(row)
            .map_or_else(Vec::new, |recipe| details(recipe, lengths)),
    }
    .draw(theme, frame, body);
}

fn one_line(recipe: &Recipe) -> String {
    let wanted = recipe
        .wanted
        .map_or_else(|| "left open".to_owned(), |s| format!("shade {s}"));
    format!(
        "{:<26}{:<16}{:<10}{:<11}{}",
        list::shortened(&recipe.name, 25),
        recipe.written_words(),
        recipe.time.to_string(),
        wanted,
        kind_name(&recipe.kind)
    )
}

fn details(recipe: &Recipe, lengths: LengthUnit) -> Vec<String> {
    let unit = recipe.unit;
    let tray = recipe.tray;
    let mut words = vec![
        recipe.name.clone(),
        format!(
            "Without a fan {}, with one {} (by custom).",
            unit.show(still_air(recipe)),
            unit.show(with_fan(recipe))
        ),
        format!(
            "Tray of {} x {}, {} x {} pieces on it.",
            lengths.show(tray.width),
            lengths.show(tray.depth),
            tray.across,
            tray.deep
        ),
    ];
    words.extend(Some(recipe.note.clone()).filter(|note| !note.is_empty()));
    words
}

/// Finds the row of the form at `at`.
pub(super) fn form_row_at(body: Rect, at: Position) -> Option<usize> {
    let row = list::row_at(form_area(body), 1, 0, at)?;
    (row < Row::ALL.len()).then_some(row)
}

fn form_area(body: Rect) -> Rect {
    let rows = u16::try_from(Row::ALL.len()).unwrap_or(0);
    Rect {
        height: rows.min(body.height),
        ..body.inner(Margin::new(1, 0))
    }
}

pub(super) fn form(form: &Form, theme: &Theme, frame: &mut Frame<'_>, body: Rect) {
    let area = form_area(body);
    let lines: Vec<Line<'_>> = Row::ALL
        .iter()
        .map(|row| row_line(form, *row, theme))
        .collect();
    frame.render_widget(Paragraph::new(lines), area);
    let below = Rect {
        y: area.bottom() + 1,
        height: body.bottom().saturating_sub(area.bottom() + 1),
        ..area
    };
    sentences::say(
        [(Role::Quiet, form.help())],
        "",
        below,
        frame.buffer_mut(),
        theme,
    );
}

fn row_line(form: &Form, row: Row, theme: &Theme) -> Line<'static> {
    let chosen = form.row == row;
    let value = form.value(row);
    let shown = match (row, chosen) {
        (Row::Way | Row::Kind, _) => turned(&value, chosen),
        (Row::Save, _) | (_, false) => format!(" {value}"),
        (_, true) => format!(" {value}\u{2581}"),
    };
    line(form.label(row), LABEL, shown, chosen, theme)
}
