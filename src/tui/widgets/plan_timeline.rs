//! A plan on a line of time: what happens when, and how much of the browning falls between.

use super::rack_raster::{cells, whole};
use crate::{
    model::Plan,
    tui::theme::{Role, Theme},
    units::Minutes,
};
use ratatui::{buffer::Buffer, layout::Rect};

/// The line of time of a bake.
#[derive(Debug, Clone, Copy)]
pub struct PlanTimeline<'a> {
    /// The plan, whose moves are marked.
    pub plan: &'a Plan,
    /// The same as it went so far: its stretches make the bar, its end the scale.
    pub went: &'a Plan,
    /// How far the bake has come; `None` before it begins.
    pub now: Option<Minutes>,
    /// When the door was really opened for a move.
    pub done: &'a [Minutes],
}

/// Lines the timeline takes.
pub const TIMELINE_ROWS: u16 = 4;

impl PlanTimeline<'_> {
    /// Draws openings, the bar with each stretch's share of the browning, the minutes, and where custom turns.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        if area.height < TIMELINE_ROWS || area.width < 20 || self.went.bake.0 <= 0.0 {
            return;
        }
        self.openings(area, buf, theme);
        self.bar(area, buf, theme);
        self.minutes(area, buf, theme);
        if self.done.is_empty() {
            self.custom(area, buf, theme);
        } else {
            self.really_done(area, buf, theme);
        }
    }

    /// Line 4, once something was moved: when that really was.
    fn really_done(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let mut free = area.x;
        for at in self.done {
            let text = format!("▲ done at {at}");
            let width = cells(text.chars().count());
            let from = self
                .column(*at, area)
                .min(area.right() - width.min(area.width));
            if from >= free {
                buf.set_string(from, area.y + 3, text, theme.style(Role::Good));
                free = from + width + 1;
            }
        }
    }

    /// Returns the column of a time.
    fn column(&self, at: Minutes, area: Rect) -> u16 {
        let share = (at.0 / self.went.bake.0).clamp(0.0, 1.0);
        area.x + whole(share * f64::from(area.width - 1))
    }

    /// Line 1: the openings of the door, by number, and the times they come at.
    fn openings(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let labels = self.labels(area.width);
        let widths: Vec<u16> = labels.iter().map(|l| cells(l.chars().count())).collect();
        let mut columns: Vec<u16> = self
            .plan
            .segments
            .iter()
            .skip(1)
            .map(|s| self.column(s.from, area))
            .collect();
        // Labels make room for each other: to the right first, then back from the end.
        let mut free = area.x;
        for (at, width) in columns.iter_mut().zip(&widths) {
            *at = (*at).max(free);
            free = at.saturating_add(width + 1);
        }
        let mut end = area.right();
        for (at, width) in columns.iter_mut().zip(&widths).rev() {
            *at = (*at).min(end.saturating_sub(*width)).max(area.x);
            end = at.saturating_sub(1);
        }
        for (at, label) in columns.iter().zip(&labels) {
            let room = usize::from(area.right().saturating_sub(*at));
            buf.set_stringn(*at, area.y, label, room, theme.style(Role::Key));
        }
    }

    /// Writes the moves' labels in the longest form of which all fit side by side.
    fn labels(&self, width: u16) -> Vec<String> {
        let moves = || self.plan.segments.iter().skip(1).enumerate();
        let long = moves().map(|(i, s)| format!("▼ move {} at {}", i + 1, s.from));
        let short = moves().map(|(i, s)| format!("▼{} {}", i + 1, s.from));
        let least = moves().map(|(i, _)| format!("▼{}", i + 1));
        let taken = |labels: &[String]| labels.iter().map(|l| l.chars().count() + 1).sum::<usize>();
        let forms: [Vec<String>; 2] = [long.collect(), short.collect()];
        forms
            .into_iter()
            .find(|labels| taken(labels) <= usize::from(width) + 1)
            .unwrap_or_else(|| least.collect())
    }

    /// Line 2: the stretches, with the share of all browning that falls in each.
    fn bar(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let y = area.y + 1;
        let done = self.now.map(|now| self.column(now, area));
        for (i, segment) in self.went.segments.iter().enumerate() {
            let (from, to) = (
                self.column(segment.from, area),
                self.column(segment.to, area),
            );
            let fill = if i.is_multiple_of(2) { "━" } else { "─" };
            for x in from..=to {
                let passed = done.is_some_and(|done| x <= done);
                let role = if passed { Role::Good } else { Role::Plain };
                buf.set_string(x, y, if passed { "█" } else { fill }, theme.style(role));
            }
            let share = format!(" {:.0} % of browning ", segment.share * 100.0);
            let short = format!(" {:.0} % ", segment.share * 100.0);
            let room = usize::from((to - from).saturating_sub(2));
            let text = [share, short].into_iter().find(|t| t.len() <= room);
            if let Some(text) = text {
                let at = from + cells((usize::from(to - from) + 1 - text.len()) / 2);
                buf.set_string(at, y, text, theme.style(Role::Plain));
            }
            if i > 0 {
                buf.set_string(from, y, "┃", theme.style(Role::Key));
            }
        }
        if let Some(done) = done {
            buf.set_string(done, y, "◆", theme.style(Role::Chosen));
        }
    }

    /// Line 3: minutes.
    fn minutes(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let bake = self.went.bake.0;
        let most = f64::from(area.width) / 6.0;
        let step = [1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0]
            .into_iter()
            .find(|s| bake / s <= most)
            .unwrap_or(120.0);
        let style = theme.style(Role::Quiet);
        let last = format!("{bake:.0} min");
        let end = area.right() - cells(last.len()).min(area.width);
        let mut t = 0.0;
        while t < bake {
            let text = format!("{t:.0}");
            let x = self
                .column(Minutes(t), area)
                .min(area.right() - cells(text.len()));
            if x + cells(text.len()) < end {
                buf.set_string(x, area.y + 2, text, style);
            }
            t += step;
        }
        buf.set_string(end, area.y + 2, last, style);
    }

    /// Line 4: where custom would turn, and how little of the browning is done by then.
    fn custom(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let half = self.column(Minutes(self.went.bake.0 / 2.0), area);
        let text = "△ half the time, where custom turns";
        let style = theme.style(Role::Quiet);
        if usize::from(area.right() - half) >= text.chars().count() {
            buf.set_string(half, area.y + 3, text, style);
        } else {
            let text = "half the time △";
            let from = half
                .saturating_sub(cells(text.chars().count() - 1))
                .max(area.x);
            buf.set_stringn(
                from,
                area.y + 3,
                text,
                usize::from(area.right() - from),
                style,
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::Segment,
        tui::widgets::synthetic::{plain, plan},
    };

    fn drawn(now: Option<Minutes>, width: u16) -> String {
        let plan = plan();
        let mut buf = Buffer::empty(Rect::new(0, 0, width, TIMELINE_ROWS));
        PlanTimeline {
            plan: &plan,
            went: &plan,
            now,
            done: &[],
        }
        .draw(buf.area, &mut buf, &Theme::default());
        plain(&buf)
    }

    #[test]
    fn every_move_keeps_its_label_however_close_they_are() {
        let mut plan = plan();
        let stretch = plan.segments[0].clone();
        let times = [0.0, 39.5, 40.5, 41.5, 42.5, 43.0].map(Minutes);
        plan.segments = times
            .windows(2)
            .map(|two| Segment {
                from: two[0],
                to: two[1],
                ..stretch.clone()
            })
            .collect();
        plan.bake = Minutes(43.0);
        for width in [51, 78, 118] {
            let mut buf = Buffer::empty(Rect::new(0, 0, width, TIMELINE_ROWS));
            PlanTimeline {
                plan: &plan,
                went: &plan,
                now: None,
                done: &[],
            }
            .draw(buf.area, &mut buf, &Theme::default());
            let text = plain(&buf);
            for (number, at) in [(1, "39:30"), (2, "40:30"), (3, "41:30"), (4, "42:30")] {
                let long = text.contains(&format!("▼ move {number} at {at} min"));
                assert!(
                    long || text.contains(&format!("▼{number} {at} min")),
                    "{text}"
                );
            }
        }
    }

    #[test]
    fn what_was_really_done_stands_under_the_line() {
        let plan = plan();
        let mut buf = Buffer::empty(Rect::new(0, 0, 78, TIMELINE_ROWS));
        PlanTimeline {
            plan: &plan,
            went: &plan,
            now: Some(Minutes(11.0)),
            done: &[Minutes(9.5)],
        }
        .draw(buf.area, &mut buf, &Theme::default());
        let text = plain(&buf);
        assert!(
            text.contains("▼ move 1 at 9 min") && text.contains("▲ done at 9:30 min"),
            "{text}"
        );
    }

    #[test]
    fn the_bar_shows_what_was_done_up_to_the_end_that_is_due() {
        let (plan, mut went) = (plan(), plan());
        went.bake = Minutes(14.0);
        (went.segments[0].to, went.segments[1].from) = (Minutes(3.0), Minutes(3.0));
        (went.segments[0].share, went.segments[1].share) = (0.04, 0.96);
        went.segments[1].to = went.bake;
        let mut buf = Buffer::empty(Rect::new(0, 0, 78, TIMELINE_ROWS));
        PlanTimeline {
            plan: &plan,
            went: &went,
            now: Some(Minutes(3.0)),
            done: &[Minutes(3.0)],
        }
        .draw(buf.area, &mut buf, &Theme::default());
        let text = plain(&buf);
        for words in ["move 1 at 9 min", "4 %", "96 % of browning", "14 min"] {
            assert!(text.contains(words), "{words}: {text}");
        }
    }

    #[test]
    fn openings_stand_at_their_time_with_the_browning_between() {
        insta::assert_snapshot!(format!(
            "{}{}{}",
            drawn(None, 78),
            drawn(Some(Minutes(5.0)), 78),
            drawn(Some(Minutes(12.0)), 40)
        ));
    }
}
