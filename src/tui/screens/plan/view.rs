//! Drawing of the plan screen: the form, the line of time, the moves, and what other ways would give.

use super::{Page, PlanScreen, Row, form::Form};
use crate::{
    model::{Oven, Plan, Yardstick},
    report::{
        text::wrap,
        words::{move_words, placement_words},
    },
    tui::{
        app::Shared,
        theme::{Role, Theme},
        widgets::{MovePicture, PlanTimeline, list, plan_timeline::TIMELINE_ROWS},
    },
};
use ratatui::{
    Frame,
    buffer::Buffer,
    layout::{Constraint, Layout, Position, Rect},
    text::{Line, Span},
    widgets::{Paragraph, Widget, Wrap},
};

/// Columns of the form.
const FORM: u16 = 28;
/// Columns of its labels.
const LABEL: usize = 8;
/// From this many rows on, both pages are shown at once.
const TALL: u16 = 32;

struct Parts {
    form: Rect,
    dial: Rect,
    summary: Rect,
    timeline: Rect,
    page: Rect,
}

fn parts(body: Rect) -> Parts {
    let [left, _, right] = Layout::horizontal([
        Constraint::Length(FORM),
        Constraint::Length(1),
        Constraint::Min(40),
    ])
    .areas(body);
    let rows = u16::try_from(Row::ALL.len()).unwrap_or(0);
    let [form, _, dial] = Layout::vertical([
        Constraint::Length(rows),
        Constraint::Length(1),
        Constraint::Min(1),
    ])
    .areas(left);
    let [summary, timeline, _, page] = Layout::vertical([
        Constraint::Length(2),
        Constraint::Length(TIMELINE_ROWS),
        Constraint::Length(1),
        Constraint::Min(1),
    ])
    .areas(right);
    Parts {
        form,
        dial,
        summary,
        timeline,
        page,
    }
}

/// Finds the line of the form at `at`.
pub(super) fn row_at(body: Rect, at: Position) -> Option<Row> {
    let form = parts(body).form;
    list::row_at(form, 1, 0, at).and_then(|i| Row::ALL.get(i).copied())
}

/// Draws the screen.
pub(super) fn draw(screen: &PlanScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let (Some(oven), Some(form)) = (screen.oven(shared), &screen.form) else {
        return;
    };
    let theme = &shared.theme;
    let buf = frame.buffer_mut();
    draw_form(form, screen.row, oven, parts(body).form, (buf, theme));
    match screen.plan(shared) {
        None => {
            let text = Paragraph::new("Making the plan ...").style(theme.style(Role::Quiet));
            text.render(parts(body).summary, buf);
        }
        Some(Err(reason)) => {
            let text = Paragraph::new(format!("There is no plan: {reason}"));
            let area = Rect {
                height: 6.min(body.height),
                ..parts(body).summary
            };
            text.style(theme.style(Role::Wrong))
                .wrap(Wrap { trim: true })
                .render(area, buf);
        }
        Some(Ok(plan)) => {
            Sheet {
                plan,
                oven,
                page: screen.page,
                move_shown: screen.move_shown,
            }
            .draw(body, buf, theme);
        }
    }
}

fn draw_form(form: &Form, row: Row, oven: &Oven, area: Rect, (buf, theme): (&mut Buffer, &Theme)) {
    for (line, y) in Row::ALL.into_iter().zip(area.y..area.bottom()) {
        let chosen = line == row;
        let role = if chosen { Role::Heading } else { Role::Plain };
        let value = form.words(line, oven);
        let value = if chosen {
            format!("\u{2039}{value}\u{203a}")
        } else {
            format!(" {value}")
        };
        let text = Line::from(vec![
            Span::styled(
                format!("{} {:<LABEL$}", list::mark(chosen), line.label()),
                theme.style(role),
            ),
            Span::styled(
                value,
                theme.style(if chosen { Role::Chosen } else { Role::Plain }),
            ),
        ]);
        buf.set_line(area.x, y, &text, area.width);
    }
    // The line the form leaves free says how large that tray is.
    let size = format!("  a tray is {}", form.size_words(oven));
    buf.set_stringn(
        area.x,
        area.bottom(),
        size,
        usize::from(area.width),
        theme.style(Role::Quiet),
    );
}

/// What is drawn of a plan.
pub(super) struct Sheet<'a> {
    pub(super) plan: &'a Plan,
    pub(super) oven: &'a Oven,
    pub(super) page: Page,
    pub(super) move_shown: usize,
}

impl Sheet<'_> {
    /// Draws everything but the form.
    pub(super) fn draw(&self, body: Rect, buf: &mut Buffer, theme: &Theme) {
        let parts = parts(body);
        self.draw_dial(parts.dial, buf, theme);
        self.draw_summary(parts.summary, buf, theme);
        PlanTimeline {
            plan: self.plan,
            now: None,
        }
        .draw(parts.timeline, buf, theme);
        if body.height >= TALL {
            let [moves, ways] =
                Layout::vertical([Constraint::Fill(1), Constraint::Fill(1)]).areas(parts.page);
            self.draw_moves(moves, buf, theme);
            self.draw_ways(ways, buf, theme);
        } else {
            match self.page {
                Page::Moves => self.draw_moves(parts.page, buf, theme),
                Page::Ways => self.draw_ways(parts.page, buf, theme),
            }
        }
    }

    /// Shows how the recipe's temperature becomes the dial's.
    fn draw_dial(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let unit = self.oven.dial.unit;
        let mut lines = vec![Line::styled(
            " From the recipe to the dial",
            theme.style(Role::Heading),
        )];
        for step in &self.plan.steps_to_dial {
            let first = format!("  {:>5}  ", unit.show(step.to));
            let rest = " ".repeat(first.len());
            for line in wrap(&step.what, usize::from(area.width), &first, &rest) {
                lines.push(Line::raw(line));
            }
        }
        let set = format!(" Set the dial to {}", unit.show(self.plan.dial));
        lines.push(Line::styled(set, theme.style(Role::Good)));
        Paragraph::new(lines)
            .wrap(Wrap { trim: false })
            .render(area, buf);
    }

    fn draw_summary(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let plan = self.plan;
        let first = format!("{} at {}", plan.bake, self.oven.dial.unit.show(plan.dial));
        let e = &plan.evenness;
        let second = format!(
            "spread {:.1} shades ({:.1} to {:.1}); never moved {:.1}",
            e.spread, e.spread_range.0, e.spread_range.1, plan.unturned.spread
        );
        let lines = vec![
            Line::styled(first, theme.style(Role::Heading)),
            Line::styled(second, theme.style(Role::Plain)),
        ];
        Paragraph::new(lines).render(area, buf);
    }

    /// Writes every move and draws the one in sight.
    fn draw_moves(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let mut lines = Vec::new();
        for (i, segment) in self.plan.segments.iter().enumerate() {
            let words = match i.checked_sub(1).and_then(|i| self.plan.segments.get(i)) {
                None => {
                    let places: Vec<String> = segment
                        .trays
                        .iter()
                        .map(|t| placement_words(t, self.oven.lengths))
                        .collect();
                    format!("load: {}", places.join("; "))
                }
                Some(before) => {
                    format!(
                        "{}: {}",
                        segment.from,
                        move_words(before, segment, self.oven.lengths)
                    )
                }
            };
            let chosen = i == self.move_shown;
            let role = if chosen { Role::Heading } else { Role::Plain };
            let first = format!("{} ", list::mark(chosen));
            for line in wrap(&words, usize::from(area.width), &first, "    ") {
                lines.push(Line::styled(line, theme.style(role)));
            }
        }
        let height = u16::try_from(lines.len())
            .unwrap_or(u16::MAX)
            .min(area.height);
        Paragraph::new(lines).render(Rect { height, ..area }, buf);
        let below = Rect {
            y: area.y + height,
            height: area.height - height,
            ..area
        };
        self.draw_picture(below, buf, theme);
    }

    fn draw_picture(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let racks: Vec<u8> = self.oven.racks.iter().map(|r| r.number).collect();
        let Some(after) = self.plan.segments.get(self.move_shown) else {
            return;
        };
        let before = self
            .move_shown
            .checked_sub(1)
            .and_then(|i| self.plan.segments.get(i));
        MovePicture {
            racks: &racks,
            before,
            after,
        }
        .draw(area, buf, theme);
    }

    /// Shows evenness against minutes for every number of openings, beside custom, then the advice.
    fn draw_ways(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let plan = self.plan;
        let head = format!(
            "  {:<18}{:>6} {:>11} {:>8}",
            "way", "shades", "90 %", "bake"
        );
        let mut lines = vec![Line::styled(head, theme.style(Role::Quiet))];
        let mut row = |name: String, y: &Yardstick, chosen: bool| {
            let range = format!("{:.1} to {:.1}", y.spread_range.0, y.spread_range.1);
            let minutes = y.minutes.to_string();
            let text = format!(
                "{} {name:<18}{:>6.1} {range:>11} {minutes:>8}",
                list::mark(chosen),
                y.spread,
            );
            let role = if chosen { Role::Heading } else { Role::Plain };
            lines.push(Line::styled(text, theme.style(role)));
        };
        let openings = plan.segments.len().saturating_sub(1);
        for way in &plan.alternatives {
            let name = match way.openings {
                0 => "door stays shut".to_owned(),
                1 => "1 opening".to_owned(),
                n => format!("{n} openings"),
            };
            row(name, &way.evenness, way.openings == openings);
        }
        row("turned at half-time".to_owned(), &plan.halfway, false);
        for sentence in &plan.advice {
            for line in wrap(sentence, usize::from(area.width), "* ", "  ") {
                lines.push(Line::raw(line));
            }
        }
        Paragraph::new(lines).render(area, buf);
    }
}
