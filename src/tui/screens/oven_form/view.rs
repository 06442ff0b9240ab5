//! Drawing of the template list and of the form.

use super::{
    Form,
    rows::{Kind, Row},
};
use crate::tui::prelude::*;
use crate::tui::widgets::form::Rows as _;
use crate::workflow::catalogue::oven_templates;
use crate::{
    model::{HeatSource, Mode, Oven},
    tui::widgets::field::Field,
    units::{LengthUnit, TemperatureUnit},
};

/// Columns of the labels, with the mark before them.
const LABELS: usize = 18;

/// Returns where the template list is drawn.
pub(super) fn template_list(body: Rect) -> Rect {
    Rect::new(
        body.x + 1,
        body.y + 2,
        body.width.saturating_sub(2),
        body.height.saturating_sub(8),
    )
}

pub(super) fn templates(row: usize, theme: &Theme, frame: &mut Frame<'_>, body: Rect) {
    let heading = Line::styled(
        " Which oven is most like yours?",
        theme.style(Role::Heading),
    );
    frame.render_widget(heading, Rect::new(body.x, body.y, body.width, 1));
    let area = template_list(body);
    let first = list::first_row(area, 1, row);
    let lines: Vec<Line<'_>> = oven_templates()
        .iter()
        .enumerate()
        .skip(first)
        .take(usize::from(area.height))
        .map(|(i, template)| {
            let chosen = i == row;
            let style = theme.style(if chosen { Role::Chosen } else { Role::Plain });
            Line::from(vec![
                Span::styled(
                    format!("{} {:<40} ", list::mark(chosen), template.name),
                    style,
                ),
                Span::styled(size_words(&template.oven), theme.style(Role::Quiet)),
            ])
        })
        .collect();
    frame.render_widget(Paragraph::new(lines), area);
    let Some(template) = oven_templates().get(row) else {
        return;
    };
    let below = Rect::new(
        body.x + 1,
        area.bottom() + 1,
        body.width.saturating_sub(2),
        body.bottom().saturating_sub(area.bottom() + 1),
    );
    let words = Paragraph::new(template.reason.as_str())
        .style(theme.style(Role::Quiet))
        .wrap(Wrap { trim: true });
    frame.render_widget(words, below);
}

fn size_words(oven: &Oven) -> String {
    let figure = |v| oven.lengths.figure(v);
    let c = oven.cavity;
    format!(
        "{:.0} x {:.0} x {:.0} {}, {} racks",
        figure(c.width),
        figure(c.depth),
        figure(c.height),
        oven.lengths.name(),
        oven.racks.len()
    )
}

/// Lines under the rows: a scroll mark, what is wrong, and help.
const BELOW: u16 = 4;

/// Returns the first row in sight and how many there is room for: the cursor never leaves the window.
fn window(row: Row, body: Rect) -> (usize, usize) {
    let room = usize::from(body.height.saturating_sub(BELOW)).clamp(1, Row::ALL.len());
    // The row after the cursor is in sight too.
    let last = (row.index() + 2).min(Row::ALL.len());
    (last.saturating_sub(room), room)
}

/// Finds the row of the form at `at`.
pub(super) fn row_at(form: &Form, body: Rect, at: Position) -> Option<usize> {
    let (first, room) = window(form.row, body);
    let line = usize::from(at.y.checked_sub(body.y)?);
    (body.contains(at) && line < room).then_some(first + line)
}

pub(super) fn form(form: &Form, theme: &Theme, frame: &mut Frame<'_>, body: Rect) {
    let (first, room) = window(form.row, body);
    let mut lines: Vec<Line<'_>> = Row::ALL
        .iter()
        .skip(first)
        .take(room)
        .map(|row| row_line(form, *row, theme))
        .collect();
    let hidden = Row::ALL.len() - room;
    if hidden > 0 {
        let mark = match (first, hidden - first) {
            (0, below) => format!("   \u{2193} {below} more rows"),
            (above, 0) => format!("   \u{2191} {above} more rows"),
            (above, below) => format!("   \u{2191} {above}, \u{2193} {below} more rows"),
        };
        lines.push(Line::styled(mark, theme.style(Role::Quiet)));
    }
    frame.render_widget(Paragraph::new(lines), body);
    let count = u16::try_from(room).unwrap_or(0);
    let below = Rect::new(
        body.x + 1,
        body.y + count + 1,
        body.width.saturating_sub(2),
        body.height.saturating_sub(count + 1),
    );
    let mut words = vec![Line::styled(form.row.help(), theme.style(Role::Quiet))];
    let here = form.draft.problem_on(form.row);
    let problem = here.or_else(|| {
        let (row, words) = form.draft.build().err()?;
        Some(format!("{}: {words}", row.label()))
    });
    if let Some(problem) = problem {
        words.insert(
            0,
            Line::styled(format!("! {problem}"), theme.style(Role::Wrong)),
        );
    }
    frame.render_widget(Paragraph::new(words).wrap(Wrap { trim: true }), below);
}

fn row_line<'f>(form: &'f Form, row: Row, theme: &Theme) -> Line<'f> {
    let chosen = form.row == row;
    let wrong = row != Row::Save && form.draft.problem_on(row).is_some();
    let sign = if wrong { "!" } else { list::mark(chosen) };
    let label_role = match (wrong, chosen) {
        (true, _) => Role::Wrong,
        (false, true) => Role::Heading,
        (false, false) => Role::Plain,
    };
    let label = format!(" {sign} {:<LABELS$}", row.label());
    let mut spans = vec![Span::styled(label, theme.style(label_role))];
    match row.kind() {
        Kind::Text => {
            let text = form.draft.field(row).map_or("", Field::raw);
            let shown = if chosen {
                format!("{text}\u{2581}")
            } else {
                text.to_owned()
            };
            let role = if chosen { Role::Chosen } else { Role::Plain };
            spans.push(Span::styled(shown, theme.style(role)));
            spans.push(Span::styled(unit_of(form, row), theme.style(Role::Quiet)));
        }
        Kind::Choice => spans.extend(choices(form, row, chosen, theme)),
        Kind::Switches => spans.extend(switches(form, row, chosen, theme)),
        Kind::Button => {
            let role = if chosen { Role::Chosen } else { Role::Key };
            spans.push(Span::styled(" Enter or F2 ", theme.style(role)));
        }
    }
    Line::from(spans)
}

fn unit_of(form: &Form, row: Row) -> String {
    match row {
        Row::Width | Row::Depth | Row::Height | Row::Lowest | Row::Spacing | Row::Heights => {
            format!(" {}", form.draft.lengths.name())
        }
        Row::DialStep | Row::DialLowest | Row::DialHighest => {
            format!(" {}", form.draft.unit.letter())
        }
        Row::Count => " rack positions, counted from the bottom".to_owned(),
        Row::Name
        | Row::Lengths
        | Row::Heat
        | Row::Modes
        | Row::DialUnit
        | Row::Make
        | Row::Model
        | Row::Serial
        | Row::Contact
        | Row::Save => String::new(),
    }
}

fn choices(form: &Form, row: Row, chosen: bool, theme: &Theme) -> Vec<Span<'static>> {
    let both: [(&'static str, bool); 2] = if row == Row::Lengths {
        [
            ("inches", form.draft.lengths == LengthUnit::Inches),
            ("centimetres", form.draft.lengths == LengthUnit::Centimetres),
        ]
    } else {
        [
            ("Fahrenheit", form.draft.unit == TemperatureUnit::Fahrenheit),
            ("Celsius", form.draft.unit == TemperatureUnit::Celsius),
        ]
    };
    both.into_iter()
        .flat_map(|(words, on)| {
            let role = match (on, chosen) {
                (true, true) => Role::Chosen,
                (true, false) => Role::Plain,
                (false, _) => Role::Quiet,
            };
            let sign = if on { "(\u{2022})" } else { "( )" };
            [
                Span::styled(format!("{sign} {words}"), theme.style(role)),
                Span::raw("  "),
            ]
        })
        .collect()
}

fn switches(form: &Form, row: Row, chosen: bool, theme: &Theme) -> Vec<Span<'static>> {
    let all: Vec<(&'static str, bool)> = if row == Row::Heat {
        HeatSource::ALL
            .iter()
            .map(|h| (short(*h), form.draft.heat.contains(h)))
            .collect()
    } else {
        Mode::ALL
            .iter()
            .map(|m| (m.short_words(), form.draft.modes.contains(m)))
            .collect()
    };
    all.into_iter()
        .enumerate()
        .flat_map(|(i, (words, on))| {
            let role = match (chosen && i == form.switch, on) {
                (true, _) => Role::Chosen,
                (false, true) => Role::Plain,
                (false, false) => Role::Quiet,
            };
            let sign = if on { "x" } else { " " };
            [
                Span::styled(format!("[{sign}]{words}"), theme.style(role)),
                Span::raw(" "),
            ]
        })
        .collect()
}

/// Returns words for a heat source that let all five stand on one line of 80 columns.
fn short(source: HeatSource) -> &'static str {
    match source {
        HeatSource::BottomElement => "bottom",
        HeatSource::TopElement => "top",
        HeatSource::GasBurner => "gas",
        HeatSource::RearFan => "rear fan",
        HeatSource::RearFanElement => "fan+element",
    }
}
