//! Drawing of the home screen: ovens, their toast tests, and a welcome where there is none.

use super::{Home, OVEN_ROWS, Side};
use crate::tui::prelude::*;
use crate::{
    model::{
        Oven, ToastTest,
        text::{counted, joined},
    },
    tui::widgets::list::shortened,
};
use jiff::civil::Date;
use ratatui::widgets::{Block, Borders};

impl Home {
    pub(super) fn view_ovens(&self, shared: &Shared, frame: &mut Frame<'_>, area: Rect) {
        let theme = &shared.theme;
        frame.render_widget(heading("Ovens", self.side == Side::Ovens, theme), area);
        let area = inner(area);
        let first = list::first_row(area, OVEN_ROWS, self.oven);
        let rows = usize::from(area.height) / OVEN_ROWS;
        let mut lines = Vec::new();
        for (row, oven) in shared
            .kitchen
            .ovens()
            .iter()
            .enumerate()
            .skip(first)
            .take(rows)
        {
            let chosen = row == self.oven;
            let style = match (chosen, self.side) {
                (true, Side::Ovens) => theme.style(Role::Chosen),
                (true, Side::Tests) => theme.style(Role::Heading),
                (false, _) => theme.style(Role::Plain),
            };
            lines.push(Line::styled(
                format!("{} {} ", list::mark(chosen), oven.name),
                style,
            ));
            for (words, role) in self.about(oven, shared) {
                lines.push(Line::styled(format!("  {words}"), theme.style(role)));
            }
        }
        frame.render_widget(Paragraph::new(lines), area);
    }

    /// Returns three lines about an oven: what it is, its evidence, and what is due, or its last visit.
    fn about(&self, oven: &Oven, shared: &Shared) -> [(String, Role); OVEN_ROWS - 1] {
        let today = shared.now.date();
        let tests = shared.kitchen.tests_of(&oven.id);
        let racks = match oven.racks.len() {
            1 => "1 rack position".to_owned(),
            n => format!("{n} rack positions"),
        };
        let evidence = match tests.last() {
            None => "no toast test yet".to_owned(),
            Some(newest) => {
                let count = match tests.len() {
                    1 => "1 test".to_owned(),
                    n => format!("{n} tests"),
                };
                format!("{count}, newest {}", ago(newest.when.date(), today))
            }
        };
        let visit = oven.visits.last().map_or_else(
            || "no service visit noted".to_owned(),
            |v| format!("last visit {}", ago(v.when.date(), today)),
        );
        let again = self.line(oven).filter(|line| line.tested.is_some());
        let last = match again {
            Some(line) if line.again.due => ("! time to test it again".to_owned(), Role::Caution),
            Some(_) | None => (visit, Role::Quiet),
        };
        let first = format!("{racks}, {}", counted(oven.modes.len(), "mode"));
        [(first, Role::Quiet), (evidence, Role::Quiet), last]
    }

    /// Draws one line an oven: its name, how it bakes, when it was tested, and what is due.
    pub(super) fn view_class(&self, shared: &Shared, frame: &mut Frame<'_>, area: Rect) {
        /// Columns of how it bakes, when it was tested and what is due.
        const COLUMNS: usize = 26 + 15 + 12;
        let (theme, today) = (&shared.theme, shared.now.date());
        let order = self.order(shared);
        if order.is_empty() {
            let words = " no oven is named like that; Esc shows all of them";
            frame.render_widget(Paragraph::new(words).style(theme.style(Role::Quiet)), area);
            return;
        }
        let row = self.row_in(&order);
        let first = list::first_row(area, 1, row);
        let name_room = usize::from(area.width).saturating_sub(COLUMNS + 3).min(40);
        let rows = order.iter().enumerate().skip(first);
        for ((i, &index), y) in rows.zip(area.y..area.bottom()) {
            let Some(oven) = shared.kitchen.ovens().get(index) else {
                continue;
            };
            let style = theme.style(if i == row { Role::Chosen } else { Role::Plain });
            let name = shortened(&oven.name, u16::try_from(name_room).unwrap_or(u16::MAX));
            let line = self.line(oven);
            let bakes = line.and_then(|l| l.words.as_deref()).unwrap_or("...");
            let tested = line.and_then(|l| l.tested);
            let tested = tested.map_or_else(|| "never".to_owned(), |day| ago(day, today));
            let words = format!(
                "{} {name:<name_room$} {bakes:<26}{tested:<15}",
                list::mark(i == row)
            );
            let buf = frame.buffer_mut();
            buf.set_string(area.x, y, &words, style);
            let x = area.x + u16::try_from(words.chars().count()).unwrap_or(0);
            let (due, role) = match line.map(|l| &l.again) {
                Some(again) if again.due => ("test now".to_owned(), Role::Caution),
                Some(again) => (again.from.to_string(), Role::Quiet),
                None => (String::new(), Role::Quiet),
            };
            buf.set_string(x, y, due, theme.style(role));
        }
    }

    pub(super) fn view_tests(&self, shared: &Shared, frame: &mut Frame<'_>, area: Rect) {
        let theme = &shared.theme;
        let name = self.chosen(shared).map_or("", |o| o.name.as_str());
        let title = format!("Toast tests of {name}");
        frame.render_widget(heading(&title, self.side == Side::Tests, theme), area);
        let area = inner(area);
        let tests = self.tests(shared);
        if tests.is_empty() {
            let words = "none yet; a toast test shows where\nthis oven runs hot and cool";
            frame.render_widget(Paragraph::new(words).style(theme.style(Role::Quiet)), area);
            return;
        }
        let first = list::first_row(area, 1, self.test);
        let mut lines = Vec::new();
        for (row, test) in tests
            .iter()
            .enumerate()
            .skip(first)
            .take(usize::from(area.height))
        {
            let chosen = row == self.test && self.side == Side::Tests;
            let style = if chosen {
                theme.style(Role::Chosen)
            } else {
                theme.style(Role::Plain)
            };
            let words = format!(
                "{} {} ",
                list::mark(chosen),
                about_test(test, self.chosen(shared))
            );
            lines.push(Line::styled(shortened(&words, area.width), style));
        }
        frame.render_widget(Paragraph::new(lines), area);
    }
}

pub(super) fn parts(body: Rect) -> [Rect; 2] {
    Layout::horizontal([Constraint::Length(34), Constraint::Min(40)]).areas(body)
}

/// Returns what lies under the heading of a list.
pub(super) fn inner(area: Rect) -> Rect {
    below(area, 2).inner(Margin::new(1, 0))
}

pub(super) fn heading<'t>(words: &'t str, active: bool, theme: &Theme) -> Paragraph<'t> {
    let style = if active {
        theme.style(Role::Heading)
    } else {
        theme.style(Role::Quiet)
    };
    Paragraph::new(Line::styled(format!(" {words}"), style)).block(
        Block::new()
            .borders(Borders::TOP)
            .border_style(theme.style(Role::Quiet)),
    )
}

fn about_test(test: &ToastTest, oven: Option<&Oven>) -> String {
    let dial = oven.map_or_else(
        || format!("{:.0} C", test.setup.dial.0),
        |o| o.dial.unit.show(test.setup.dial),
    );
    let racks = &test.setup.racks;
    let rack_word = if racks.len() == 1 { "rack" } else { "racks" };
    let state = if test.is_complete() {
        "done".to_owned()
    } else {
        let settled = test.slices.iter().filter(|s| s.reading.is_settled());
        format!("{}/{} done", settled.count(), test.slices.len())
    };
    // What is left to do stands before what a narrow window may cut.
    format!(
        "{} {state}, {} {dial}, {rack_word} {}",
        test.when.date(),
        test.setup.mode.words(),
        joined(racks, "+"),
    )
}

/// Says how long ago a day was: `today`, `12 days ago`, `5 months ago`.
fn ago(day: Date, today: Date) -> String {
    let days = today.since(day).map_or(0, |span| span.get_days());
    match days {
        i32::MIN..=-1 => format!("on {day}"),
        0 => "today".to_owned(),
        1 => "yesterday".to_owned(),
        2..=60 => format!("{days} days ago"),
        61..=730 => format!("{} months ago", days / 30),
        731.. => format!("{} years ago", days / 365),
    }
}

pub(super) fn welcome(theme: &Theme, frame: &mut Frame<'_>, body: Rect) {
    let plain = |words: &'static str| Line::raw(words);
    let step = |n: &'static str, what: &'static str| {
        Line::from(vec![
            Span::styled(format!("   {n}  "), theme.style(Role::Key)),
            Span::raw(what),
        ])
    };
    let lines = vec![
        plain(""),
        Line::styled(
            " Welcome to a kitchen without ovens.",
            theme.style(Role::Heading),
        ),
        plain(""),
        plain(" Bread shows how an oven bakes. Lay slices over a rack, toast them, and score"),
        plain(" how brown each one is. Then place and turn every bake by what was seen."),
        plain(""),
        step("1", "describe the oven: size, rack positions, dial"),
        step(
            "2",
            "lay slices out and toast them: about 10 min, stay with the oven",
        ),
        step(
            "3",
            "score each slice with one digit, 0 untoasted to 9 burnt black",
        ),
        step(
            "4",
            "read the map: hot zones, cool zones, and how sure they are",
        ),
        step(
            "5",
            "plan the bake: which rack, when to turn, what to set the dial to",
        ),
        plain(""),
        Line::from(vec![
            Span::raw(" Press "),
            Span::styled(" n ", theme.style(Role::Chosen)),
            Span::raw(" to describe your oven."),
        ]),
    ];
    frame.render_widget(Paragraph::new(lines), body);
}
