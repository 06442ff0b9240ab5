//! Drawing of the record: one line an entry, and more about the one under the cursor.

use super::state::{Draft, Entry, Record};
use crate::model::{BakeLog, Oven, ToastTest, text::joined};
use crate::tui::prelude::*;
use crate::{
    tui::{bell::runs, widgets::form},
    workflow::catalogue::bake_name,
};
use ratatui::widgets::{Block, Clear, Padding};

pub(super) fn draw(screen: &Record, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    let oven = shared.kitchen.oven(&screen.oven);
    let entries = screen.entries(shared);
    if entries.is_empty() {
        let words = Paragraph::new("nothing yet: no toast test, no bake, no service visit")
            .style(theme.style(Role::Quiet));
        frame.render_widget(words, ListWithDetails::area(body));
    }
    let row = |entry: &Entry<'_>| {
        let words = one_line(entry, oven, shared);
        format!("{} {:<16}  {words} ", marked(screen, entry), entry.moment())
    };
    ListWithDetails {
        heading: "",
        count: entries.len(),
        cursor: screen.row,
        row: &|i| row(&entries[i]),
        details: entries
            .get(screen.row)
            .map_or_else(Vec::new, |entry| details(entry, oven)),
    }
    .draw(theme, frame, body);
    if let Some(draft) = &screen.draft {
        draw_draft(draft, theme, frame, body);
    }
}

/// Returns the sign of a test that is marked for comparing.
fn marked(screen: &Record, entry: &Entry<'_>) -> &'static str {
    match entry {
        Entry::Test(test) if screen.marked.contains(&test.id) => "*",
        Entry::Test(_) | Entry::Bake(_) | Entry::Visit(..) => " ",
    }
}

fn one_line(entry: &Entry<'_>, oven: Option<&Oven>, shared: &Shared) -> String {
    match entry {
        Entry::Visit(_, visit) => format!("service visit: {}", visit.what),
        Entry::Test(test) => {
            let what = if test.is_check() {
                "quick check"
            } else {
                "toast test"
            };
            format!("{what}: {}", test_words(test, oven))
        }
        Entry::Bake(bake) => format!("bake: {}", bake_words(bake, runs(bake, shared))),
    }
}

fn test_words(test: &ToastTest, oven: Option<&Oven>) -> String {
    let dial = oven.map_or_else(
        || format!("{:.0} C", test.setup.dial.0),
        |o| o.dial.unit.show(test.setup.dial),
    );
    format!(
        "{} {dial}, rack {}, {} of {} slices done",
        test.setup.mode.words(),
        joined(&test.setup.racks, "+"),
        test.slices
            .iter()
            .filter(|s| s.reading.is_settled())
            .count(),
        test.slices.len()
    )
}

fn bake_words(bake: &BakeLog, runs: bool) -> String {
    let took = match bake.baked {
        Some(minutes) => minutes.to_string(),
        None if runs => "running now (Enter: its clock)".to_owned(),
        None => "not finished".to_owned(),
    };
    format!("{}, {}, {took}", bake_name(&bake.plan), bake.mode.words())
}

fn details(entry: &Entry<'_>, oven: Option<&Oven>) -> Vec<String> {
    match entry {
        Entry::Visit(_, visit) => vec![
            visit.what.clone(),
            "Tests before and after a visit make separate maps.".to_owned(),
        ],
        Entry::Test(test) => {
            let minutes = test
                .minutes
                .map_or_else(|| "time not noted".to_owned(), |m| m.to_string());
            let mut lines = vec![format!(
                "{minutes}, {}, {}",
                test.bread.loaf,
                test.bread.surface.words()
            )];
            if !test.note.is_empty() {
                lines.push(test.note.clone());
            }
            lines
        }
        Entry::Bake(bake) => {
            let dial = oven.map_or_else(
                || format!("{:.0} C", bake.plan.dial.0),
                |o| o.dial.unit.show(bake.plan.dial),
            );
            let mut lines = vec![format!(
                "dial {dial}, planned {}, {} door openings",
                bake.plan.bake,
                bake.openings.len()
            )];
            for opening in &bake.openings {
                lines.push(format!("at {}: {}", opening.at, opening.what.words()));
            }
            for (tray, shade) in &bake.outcome {
                lines.push(format!("tray {tray} came out at shade {shade}"));
            }
            if !bake.note.is_empty() {
                lines.push(bake.note.clone());
            }
            lines
        }
    }
}

fn draw_draft(draft: &Draft, theme: &Theme, frame: &mut Frame<'_>, body: Rect) {
    let height = 6;
    let area = Rect::new(
        body.x + 2,
        body.y + body.height.saturating_sub(height) / 2,
        body.width.saturating_sub(4),
        height.min(body.height),
    );
    let line = |label: &'static str, text: &str, here: bool| {
        let shown = if here {
            format!("{text}\u{2581}")
        } else {
            text.to_owned()
        };
        form::line(label, 10, shown, here, theme)
    };
    let lines = vec![
        line("What", draft.words.raw(), !draft.on_day),
        line("Day", draft.day.raw(), draft.on_day),
        Line::styled(
            "  year-month-day, and the time if bread was toasted that day",
            theme.style(Role::Quiet),
        ),
    ];
    let block = Block::bordered()
        .title(Span::styled(" Service visit ", theme.style(Role::Heading)))
        .padding(Padding::horizontal(1));
    frame.render_widget(Clear, area);
    frame.render_widget(Paragraph::new(lines).block(block), area);
}
