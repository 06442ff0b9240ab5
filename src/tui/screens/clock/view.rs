//! Drawing of the bake clock: large, for a glance from across the kitchen.

use super::state::{Clock, Phase};
use crate::tui::bell::run::{Next, Run};
use crate::tui::prelude::*;
use crate::{
    model::Segment,
    report::text::wrap,
    tui::widgets::{MovePicture, PlanTimeline, big, plan_timeline::TIMELINE_ROWS},
    units::{LengthUnit, Minutes},
    workflow::{
        after::as_done,
        catalogue::{Occasion, cautions},
    },
};
use ratatui::widgets::Widget;
use std::time::Duration;

struct Parts {
    timeline: Rect,
    figures: Rect,
    words: Rect,
    below: Rect,
}

fn parts(body: Rect) -> Parts {
    let inner = body.inner(Margin::new(1, 0));
    let [timeline, _, figures, words, below] = Layout::vertical([
        Constraint::Length(TIMELINE_ROWS),
        Constraint::Length(1),
        Constraint::Length(big::BIG_ROWS),
        Constraint::Length(3),
        Constraint::Min(1),
    ])
    .areas(inner);
    Parts {
        timeline,
        figures,
        words,
        below,
    }
}

/// Draws the screen.
pub(super) fn draw(clock: &Clock, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let racks: Vec<u8> = clock
        .oven(shared)
        .map(|o| o.racks.iter().map(|r| r.number).collect())
        .unwrap_or_default();
    let (unit, _) = shared.kitchen.units_of(&clock.bake.oven);
    let sheet = Sheet {
        clock,
        racks: &racks,
        lengths: clock.lengths(shared),
        dial: unit.show(clock.bake.plan.dial),
        now: shared.elapsed,
    };
    sheet.draw(body, frame.buffer_mut(), &shared.theme);
}

/// Draws the countdown and the next move in a window of 20 x 4 or more; tells whether there is a bake to count down.
pub(super) fn draw_small(
    clock: &Clock,
    shared: &Shared,
    frame: &mut Frame<'_>,
    area: Rect,
) -> bool {
    let Phase::Baking(run) = &clock.phase else {
        return false;
    };
    let (theme, now) = (&shared.theme, shared.elapsed);
    let (left, due) = (run.left(now), run.is_due(now));
    let (next, at) = run.next(now);
    let what = match next {
        Next::Move(segment) => clock.words_of(segment, clock.lengths(shared)),
        Next::End => "take everything out".to_owned(),
    };
    let role = if due { Role::Wrong } else { Role::Heading };
    let words = if run.is_open() {
        "DOOR OPEN: shut it, same key".to_owned()
    } else if due {
        format!("NOW: {what}")
    } else {
        format!("At {at}: {what}")
    };
    let buf = frame.buffer_mut();
    let time = big::clock(left);
    let time = if due { format!("{time} over") } else { time };
    let large = area.height >= big::BIG_ROWS + 4 && big::width_of(&time) <= area.width;
    let rows = if large { big::BIG_ROWS } else { 1 };
    let figures = Rect {
        height: rows,
        ..area
    };
    big::draw(&time, figures, buf, theme, role);
    let below = below(area, rows);
    let width = usize::from(below.width);
    let lines = wrap(&words, width, "", "");
    let room = usize::from(below.height);
    for ((i, line), y) in lines.iter().enumerate().zip(below.y..below.bottom()) {
        let more = i + 1 == room && lines.len() > room;
        let kept = width.saturating_sub(4);
        let line = if more && line.chars().count() > kept {
            let short: Vec<&str> = line.split(' ').collect();
            short[..short.len().saturating_sub(1)].join(" ") + " ..."
        } else if more {
            format!("{line} ...")
        } else {
            line.clone()
        };
        buf.set_stringn(below.x, y, line, width, theme.style(role));
    }
    true
}

/// What the clock is drawn from.
pub(super) struct Sheet<'a> {
    pub(super) clock: &'a Clock,
    pub(super) racks: &'a [u8],
    pub(super) lengths: LengthUnit,
    /// The dial setting with its unit.
    pub(super) dial: String,
    /// Time since the program started.
    pub(super) now: Duration,
}

/// Keeps the first sentence of the first caution in sight; all of them are a key away.
fn draw_caution(parts: &Parts, buf: &mut Buffer, theme: &Theme) {
    if let Some(caution) = cautions(Occasion::Bake).first() {
        let first = caution.split_inclusive(". ").next().unwrap_or(caution);
        buf.set_stringn(
            parts.words.x,
            parts.words.bottom().saturating_sub(1),
            format!("{} c: all", first.trim_end()),
            usize::from(parts.words.width),
            theme.style(Role::Caution),
        );
    }
}

impl Sheet<'_> {
    /// Draws everything.
    pub(super) fn draw(&self, body: Rect, buf: &mut Buffer, theme: &Theme) {
        let parts = parts(body);
        let plan = &self.clock.bake.plan;
        let now = match &self.clock.phase {
            Phase::Loading => None,
            Phase::Baking(run) => Some(run.elapsed(self.now)),
            Phase::Scoring(_) | Phase::Done => self.clock.bake.baked,
        };
        let openings = self.clock.bake.openings.iter();
        let done: Vec<Minutes> = openings.filter(|o| o.is_move()).map(|o| o.at).collect();
        let begun = self.clock.phase != Phase::Loading;
        let went = begun.then(|| as_done(&self.clock.bake));
        PlanTimeline {
            plan,
            went: went.as_ref().unwrap_or(plan),
            now,
            done: &done,
        }
        .draw(parts.timeline, buf, theme);
        match &self.clock.phase {
            Phase::Loading => self.draw_loading(&parts, buf, theme),
            Phase::Baking(run) => self.draw_baking(run, &parts, buf, theme),
            Phase::Scoring(_) | Phase::Done => self.draw_after(&parts, buf, theme),
        }
    }

    fn draw_loading(&self, parts: &Parts, buf: &mut Buffer, theme: &Theme) {
        let plan = &self.clock.bake.plan;
        let time = big::clock(plan.bake);
        big::draw(&time, parts.figures, buf, theme, Role::Heading);
        let words = format!(
            "Dial at {}. Oven hot? Load as drawn, shut the door, press Space.",
            self.dial
        );
        say(&words, parts.words, buf, theme, Role::Heading);
        draw_caution(parts, buf, theme);
        if let Some(first) = plan.segments.first() {
            self.picture(None, first, parts.below, (buf, theme));
        }
    }

    fn draw_baking(&self, run: &Run, parts: &Parts, buf: &mut Buffer, theme: &Theme) {
        let left = run.left(self.now);
        let due = run.is_due(self.now);
        let lines = [
            format!("{} baked", Minutes(run.elapsed(self.now).0.floor())),
            format!("out at {}", run.end()),
            format!("dial at {}", self.dial),
        ];
        big::countdown(left, due, &lines, parts.figures, (buf, theme));
        let (next, at) = run.next(self.now);
        let what = match next {
            Next::Move(segment) => self.clock.words_of(segment, self.lengths),
            Next::End => "take everything out".to_owned(),
        };
        let words = if run.is_looking() {
            "DOOR OPEN for a look: leave everything in, shut it, press o".to_owned()
        } else if run.is_open() {
            format!("DOOR OPEN: {what}, shut it, press Space")
        } else if due {
            format!("NOW: {what}")
        } else {
            format!("At {at}: {what}")
        };
        let role = if due || run.is_open() {
            Role::Chosen
        } else {
            Role::Heading
        };
        say(&words, parts.words, buf, theme, role);
        let segments = &self.clock.bake.plan.segments;
        let pair = match next {
            Next::Move(i) => i
                .checked_sub(1)
                .and_then(|b| Some((segments.get(b)?, segments.get(i)?))),
            Next::End => None,
        };
        match (pair, segments.last()) {
            (Some((before, after)), _) => {
                self.picture(Some(before), after, parts.below, (buf, theme));
            }
            (None, Some(last)) => self.picture(None, last, parts.below, (buf, theme)),
            (None, None) => {}
        }
    }

    fn draw_after(&self, parts: &Parts, buf: &mut Buffer, theme: &Theme) {
        let bake = &self.clock.bake;
        let baked = bake.baked.unwrap_or(Minutes(0.0));
        big::draw(&big::clock(baked), parts.figures, buf, theme, Role::Good);
        let words = match &self.clock.phase {
            Phase::Scoring(at) => match self.clock.bake.trays().get(*at) {
                Some(tray) => format!(
                    "How did tray {tray} come out? Shade 0 to 9, + half, s to skip, u undo."
                ),
                None => String::new(),
            },
            Phase::Loading | Phase::Baking(_) | Phase::Done => "All is noted.".to_owned(),
        };
        say(&words, parts.words, buf, theme, Role::Heading);
        let width = usize::from(parts.below.width);
        let shades = bake.outcome.iter();
        let mut lines: Vec<String> = shades
            .map(|(tray, shade)| format!("tray {tray}: shade {shade}"))
            .collect();
        let mut room = usize::from(parts.below.height).saturating_sub(lines.len());
        for (i, o) in bake.openings.iter().enumerate() {
            let open_for = o
                .open_for
                .map_or_else(String::new, |m| format!(", open for {m}"));
            let words = format!("{}: {}{open_for}", o.at, o.what.words());
            let opening = wrap(&words, width, "", "  ");
            let more = bake.openings.len() - i;
            // All but the last leave a line to say how many there are more.
            if opening.len() + usize::from(more > 1) > room {
                lines.push(format!("{more} more"));
                break;
            }
            room -= opening.len();
            lines.extend(opening);
        }
        let lines: Vec<Line> = lines.into_iter().map(Line::raw).collect();
        Paragraph::new(lines)
            .style(theme.style(Role::Plain))
            .render(parts.below, buf);
    }

    fn picture(
        &self,
        before: Option<&Segment>,
        after: &Segment,
        area: Rect,
        (buf, theme): (&mut Buffer, &Theme),
    ) {
        MovePicture {
            racks: self.racks,
            before,
            after,
        }
        .draw(area, buf, theme);
    }
}

fn say(words: &str, area: Rect, buf: &mut Buffer, theme: &Theme, role: Role) {
    sentences::say([(role, words)], "", below(area, 1), buf, theme);
}
