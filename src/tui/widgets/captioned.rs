//! A plot with the words above and below it, and the figures and dates along its axes.

use super::Plot;
use crate::{
    tui::theme::{Role, Theme},
    units::no_negative_zero,
};
use jiff::{ToSpan, civil::DateTime};
use ratatui::{
    buffer::Buffer,
    layout::{Constraint, Layout, Rect},
};

use super::plot::round_marks;

/// A plot with a heading above and what its signs mean below.
#[derive(Debug, Clone, PartialEq)]
pub struct Captioned {
    /// What is drawn, in which unit.
    pub heading: String,
    /// The plot.
    pub plot: Plot,
    /// What the signs mean.
    pub legend: String,
}

impl Captioned {
    /// Draws heading, plot and legend into `area`, with `before` in front of the heading.
    pub fn draw(&self, before: &str, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let [heading, plot, legend] = Layout::vertical([
            Constraint::Length(1),
            Constraint::Min(1),
            Constraint::Length(1),
        ])
        .areas(area);
        let width = usize::from(area.width);
        let words = format!("{before}{}", self.heading);
        buf.set_stringn(
            heading.x,
            heading.y,
            words,
            width,
            theme.style(Role::Heading),
        );
        self.plot.draw(plot, buf, theme);
        buf.set_stringn(
            legend.x,
            legend.y,
            &self.legend,
            width,
            theme.style(Role::Quiet),
        );
    }
}

/// Writes round figures; the last carries the unit.
pub fn figures_at(marks: Vec<f64>, sign: &str, behind: &str) -> Vec<(f64, String)> {
    let last = marks.len().saturating_sub(1);
    marks
        .into_iter()
        .enumerate()
        .map(|(i, v)| {
            let shown = no_negative_zero(v, 6);
            let figure = if sign.is_empty() || shown.abs() < 1e-9 {
                format!("{shown}")
            } else {
                format!("{shown:+}")
            };
            let unit = if i == last { behind } else { "" };
            (v, format!("{figure}{unit}"))
        })
        .collect()
}

/// Writes dates along an axis in days from `first`, as many as stand beside each other.
pub fn dates_at(first: DateTime, x: (f64, f64)) -> Vec<(f64, String)> {
    round_marks(x, 5)
        .into_iter()
        .filter_map(|day| {
            #[expect(clippy::cast_possible_truncation, reason = "days of a few years")]
            let later = (day.round() as i64).days();
            let date = first.date().checked_add(later).ok()?;
            Some((day, date.to_string()))
        })
        .collect()
}

/// Returns how many days `at` is after `first`, with their fraction.
pub fn days_from(first: DateTime, at: DateTime) -> f64 {
    at.duration_since(first).as_secs_f64() / 86400.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn figures_carry_signs_and_the_last_one_its_unit() {
        let words = |marks: Vec<f64>, sign| -> Vec<String> {
            let all = figures_at(marks, sign, " F");
            all.into_iter().map(|(_, w)| w).collect()
        };
        assert_eq!(words(vec![-10.0, 0.0, 10.0], "+"), ["-10", "0", "+10 F"]);
        assert_eq!(words(vec![0.5, 1.0], ""), ["0.5", "1 F"]);
        assert!(words(Vec::new(), "").is_empty());
    }

    #[test]
    fn days_become_dates_and_back() {
        let first = date(2026, 3, 6).at(12, 0, 0, 0);
        let all = dates_at(first, (0.0, 40.0));
        assert_eq!(all.first().map(|d| d.1.as_str()), Some("2026-03-06"));
        assert!(all.iter().any(|d| d.1 == "2026-03-26"), "{all:?}");
        let later = date(2026, 3, 26).at(18, 0, 0, 0);
        assert!((days_from(first, later) - 20.25).abs() < 1e-12);
    }
}
