//! Drawing of the plan screen: the form, the line of time, the moves, and what other ways would give.

use super::{
    Page, PlanScreen, Row,
    form::Form,
    state::{TALL, sources},
};
use crate::workflow::plan::Measured;
use crate::{
    model::{Oven, Plan, Segment, Yardstick},
    report::{
        text::wrap,
        words::{move_words, placement_words},
    },
    tui::{
        shared::Shared,
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
    match screen.plan() {
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
        Some(Ok(planned)) => {
            Sheet {
                plan: &planned.plan,
                sentences: &planned.sentences(),
                oven,
                page: screen.page,
                move_shown: screen.move_shown,
                first_advice: screen.advice.first(planned.sentences().len()),
            }
            .draw(body, buf, theme);
            draw_sources(&planned.measured, parts(body).dial, buf, theme);
        }
    }
}

/// Says under the dial whether its figures were read in this oven or are typical ones.
fn draw_sources(measured: &Measured, area: Rect, buf: &mut Buffer, theme: &Theme) {
    let rows = area.bottom().saturating_sub(2).max(area.y)..area.bottom();
    for (words, y) in sources(measured).iter().zip(rows) {
        let words = format!(" {words}");
        let width = usize::from(area.width);
        buf.set_stringn(area.x, y, words, width, theme.style(Role::Quiet));
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
    /// What is said beside it.
    pub(super) sentences: &'a [String],
    pub(super) oven: &'a Oven,
    pub(super) page: Page,
    pub(super) move_shown: usize,
    /// The first sentence of the advice in sight.
    pub(super) first_advice: usize,
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
        let second = if e.is_known() {
            format!(
                "spread {:.1} shades ({:.1} to {:.1}); never moved {:.1}",
                e.spread, e.spread_range.0, e.spread_range.1, plan.unturned.spread
            )
        } else {
            "spread not known: not tested in this mode".to_owned()
        };
        let lines = vec![
            Line::styled(first, theme.style(Role::Heading)),
            Line::styled(second, theme.style(Role::Plain)),
        ];
        Paragraph::new(lines).render(area, buf);
    }

    /// Writes every move and draws the one in sight.
    ///
    /// Where words and picture do not both fit, the other moves keep one line each.
    fn draw_moves(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let room = area.height.saturating_sub(self.picture_rows());
        let whole = self.move_lines(area.width, false, theme);
        let lines = if whole.len() <= usize::from(room) {
            whole
        } else {
            self.move_lines(area.width, true, theme)
        };
        let height = u16::try_from(lines.len())
            .unwrap_or(u16::MAX)
            .min(area.height);
        Paragraph::new(lines).render(Rect { height, ..area }, buf);
        let below = Rect {
            y: area.y + height,
            height: area.height - height,
            ..area
        };
        if let Some(picture) = self.picture(&self.racks()) {
            picture.draw(below, buf, theme);
        }
    }

    /// Says every move in order; with `short`, all but the one in sight in one line each.
    fn move_lines(&self, width: u16, short: bool, theme: &Theme) -> Vec<Line<'static>> {
        let mut lines = Vec::new();
        for (i, segment) in self.plan.segments.iter().enumerate() {
            let chosen = i == self.move_shown;
            let role = if chosen { Role::Heading } else { Role::Plain };
            let first = format!("{} ", list::mark(chosen));
            let mut said = wrap(
                &self.words_of(i, segment),
                usize::from(width),
                &first,
                "    ",
            );
            if short && !chosen && said.len() > 1 {
                said.truncate(1);
                let cut = usize::from(width).saturating_sub(2);
                said = said
                    .iter()
                    .map(|l| l.chars().take(cut).collect::<String>() + " \u{2026}")
                    .collect();
            }
            lines.extend(said.into_iter().map(|l| Line::styled(l, theme.style(role))));
        }
        lines
    }

    fn words_of(&self, i: usize, segment: &Segment) -> String {
        let lengths = self.oven.lengths;
        match i.checked_sub(1).and_then(|i| self.plan.segments.get(i)) {
            None => {
                let places: Vec<String> = segment
                    .trays
                    .iter()
                    .map(|t| placement_words(t, lengths))
                    .collect();
                format!("load: {}", places.join("; "))
            }
            Some(before) => format!("{}: {}", segment.from, move_words(before, segment, lengths)),
        }
    }

    fn racks(&self) -> Vec<u8> {
        self.oven.racks.iter().map(|r| r.number).collect()
    }

    fn picture_rows(&self) -> u16 {
        self.picture(&self.racks()).map_or(0, |p| p.least_rows())
    }

    fn picture<'p>(&'p self, racks: &'p [u8]) -> Option<MovePicture<'p>> {
        let after = self.plan.segments.get(self.move_shown)?;
        let before = self
            .move_shown
            .checked_sub(1)
            .and_then(|i| self.plan.segments.get(i));
        Some(MovePicture {
            racks,
            before,
            after,
        })
    }

    /// Shows evenness against minutes for every number of openings, beside custom, then the advice.
    fn draw_ways(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let lines = if self.plan.evenness.is_known() {
            self.way_lines(theme)
        } else {
            let words = "How even each way comes out is not known: not tested in this mode.";
            wrap(words, usize::from(area.width), "", "")
                .into_iter()
                .map(|l| Line::styled(l, theme.style(Role::Caution)))
                .collect()
        };
        let height = u16::try_from(lines.len())
            .unwrap_or(u16::MAX)
            .min(area.height);
        Paragraph::new(lines).render(Rect { height, ..area }, buf);
        let below = Rect {
            y: area.y + height,
            height: area.height - height,
            ..area
        };
        self.draw_advice(below, buf, theme);
    }

    fn way_lines(&self, theme: &Theme) -> Vec<Line<'static>> {
        let plan = self.plan;
        let head = format!(
            "  {:<19}{:>6} {:>11} {:>8}",
            "way", "shades", "90 %", "bake"
        );
        let mut lines = vec![Line::styled(head, theme.style(Role::Quiet))];
        let mut row = |name: String, y: &Yardstick, chosen: bool| {
            let range = format!("{:.1} to {:.1}", y.spread_range.0, y.spread_range.1);
            let minutes = y.minutes.to_string();
            let text = format!(
                "{} {name:<19}{:>6.1} {range:>11} {minutes:>8}",
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
        lines
    }

    /// Writes the advice from the sentence scrolled to; a mark tells when not all of it is in sight.
    fn draw_advice(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let width = usize::from(area.width);
        let count = self.sentences.len();
        let said = |from: usize| -> Vec<String> {
            let sentences = self.sentences.iter().skip(from);
            sentences.flat_map(|s| wrap(s, width, "* ", "  ")).collect()
        };
        let rows = usize::from(area.height);
        let all = said(0);
        let (lines, marked) = if all.len() <= rows {
            (all, false)
        } else {
            (said(self.first_advice.min(count.saturating_sub(1))), true)
        };
        // The mark has a line of its own: it must not cover a sentence.
        let kept = rows.saturating_sub(usize::from(marked));
        let text: Vec<Line> = lines.into_iter().take(kept).map(Line::raw).collect();
        Paragraph::new(text).render(area, buf);
        if marked && rows > 0 {
            let from = self.first_advice.min(count.saturating_sub(1)) + 1;
            let more = format!("advice {from}/{count} PgUp PgDn");
            let at = area
                .right()
                .saturating_sub(u16::try_from(more.len()).unwrap_or(0));
            buf.set_string(
                at.max(area.x),
                area.bottom() - 1,
                more,
                theme.style(Role::Quiet),
            );
        }
    }
}
