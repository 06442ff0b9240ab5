//! Drawing of a dough: what is told of it beside the answer; while it rises, what is left, large.

use super::{Rising, form::Row};
use crate::tui::prelude::*;
use crate::{
    model::{Moment, rising::Grown},
    tui::widgets::{big, rack_raster::whole},
    units::Minutes,
    workflow::{
        rise::span,
        rising::{ReadyPlan, RisingNow, elapsed},
    },
};

/// Columns of the rows.
const ROWS: u16 = 34;
/// Columns of a row's name.
const LABELS: usize = 12;
/// Cells of the bar that shows how far it has risen.
const BAR: usize = 40;

pub(super) fn draw(screen: &Rising, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let inner = body.inner(Margin::new(1, 0));
    if screen.is_rising() {
        clock(screen, shared, frame, inner);
    } else {
        form(screen, shared, frame, inner);
    }
}

fn form(screen: &Rising, shared: &Shared, frame: &mut Frame<'_>, area: Rect) {
    let theme = &shared.theme;
    let [rows, words] =
        Layout::horizontal([Constraint::Length(ROWS), Constraint::Min(20)]).areas(area);
    let lines: Vec<Line<'_>> = Row::ALL
        .iter()
        .map(|row| {
            let chosen = screen.row() == *row;
            let role = if chosen { Role::Heading } else { Role::Plain };
            let label = format!("{} {:<LABELS$}", list::mark(chosen), row.label());
            let value = screen.form.words(*row);
            let value = match (chosen, *row) {
                (true, Row::Name) => format!("{value}_"),
                (true, _) => format!("\u{2039} {value} \u{203a}"),
                (false, _) => format!("  {value}"),
            };
            let role_of_value = if chosen { Role::Chosen } else { Role::Plain };
            Line::from(vec![
                Span::styled(label, theme.style(role)),
                Span::styled(value, theme.style(role_of_value)),
            ])
        })
        .collect();
    frame.render_widget(Paragraph::new(lines), rows);
    sentences::say(
        told(screen, shared.moment),
        "  ",
        words,
        frame.buffer_mut(),
        theme,
    );
}

/// What is said of the dough before it goes in: the time first, then what it rests on, then the cautions.
fn told(screen: &Rising, now: Moment) -> Vec<(Role, String)> {
    let told = match screen.told.held() {
        Some(Ok(told)) => told,
        Some(Err(why)) => return vec![(Role::Wrong, why.to_string())],
        None => return vec![(Role::Quiet, "reckoning".to_owned())],
    };
    let answer = match &told.answer {
        Ok(answer) => answer,
        Err(why) => return vec![(Role::Wrong, format!("! {why}"))],
    };
    let rise = &answer.rise;
    let range = rise.hi.map_or_else(
        || format!("{} or more", span(rise.lo)),
        |hi| format!("between {} and {}", span(rise.lo), span(hi)),
    );
    let mut said = vec![
        (
            Role::Heading,
            format!("Doubled in about {}.", span(rise.time)),
        ),
        (Role::Plain, format!("It takes {range}.")),
    ];
    if let Some(plan) = &told.ready {
        said.extend(ready_lines(plan, now));
    } else if screen.form.ready_in.is_some() {
        said.push((
            Role::Caution,
            "It cannot be ready so by heating alone.".to_owned(),
        ));
    }
    if let Some(held) = answer.held {
        let words = held.words(screen.form.set, screen.form.unit);
        said.push((Role::Plain, words));
        if let Some(swing) = held.swing {
            let figure = screen.form.unit.delta_figure(swing);
            let letter = screen.form.unit.letter();
            said.push((
                Role::Quiet,
                format!("Its air swings by {figure:.0} {letter}."),
            ));
        }
    }
    said.extend(
        answer
            .warnings
            .iter()
            .map(|w| (Role::Caution, format!("! {w}"))),
    );
    said
}

fn ready_lines(plan: &ReadyPlan, now: Moment) -> Vec<(Role, String)> {
    let [first, rest] = plan.says(now);
    vec![(Role::Heading, first), (Role::Plain, rest)]
}

fn clock(screen: &Rising, shared: &Shared, frame: &mut Frame<'_>, area: Rect) {
    let theme = &shared.theme;
    let [figures, words] =
        Layout::vertical([Constraint::Length(big::BIG_ROWS), Constraint::Min(3)]).areas(area);
    let Some(now) = screen.now(shared) else {
        let rising = screen.dough().rising();
        let since = rising.map(|log| span(elapsed(log, shared.now_since(log.started))));
        let why = [
            (
                Role::Wrong,
                format!(
                    "Rising for {}. Can't tell at this warmth when it is ready: look at it.",
                    since.unwrap_or_default()
                ),
            ),
            (Role::Caution, TAKE_OUT.to_owned()),
        ];
        sentences::say(why, "  ", words, frame.buffer_mut(), theme);
        return;
    };
    let due = now.left.0 <= 0.0;
    let role = if due { Role::Wrong } else { Role::Heading };
    let text = hours_minutes(now.left);
    big::draw(&text, figures, frame.buffer_mut(), theme, role);
    let beside = big::width_of(&text) + 2;
    if beside + 30 < figures.width {
        let lines = [
            if due {
                "past its time"
            } else {
                "until it has doubled"
            }
            .to_owned(),
            format!("rising for {}", span(now.elapsed)),
            format!("ready after {} to {}", span(now.total.1), span(now.total.2)),
            pace_words(&now),
        ];
        for (line, y) in lines.iter().zip(figures.y..figures.bottom()) {
            let width = usize::from(figures.width - beside);
            let style = theme.style(Role::Plain);
            frame
                .buffer_mut()
                .set_stringn(figures.x + beside, y, line, width, style);
        }
    }
    let said = while_rising(screen, &now);
    sentences::say(said, "  ", words, frame.buffer_mut(), theme);
}

/// Says how this dough keeps to its known time.
fn pace_words(now: &RisingNow) -> String {
    let percent = (now.pace.factor - 1.0) * 100.0;
    if now.untold {
        "the last look tells no pace".to_owned()
    } else if percent.abs() < 5.0 {
        "it keeps to its known time".to_owned()
    } else if percent > 0.0 {
        format!("about {percent:.0} % faster than known")
    } else {
        format!("about {:.0} % slower than known", -percent)
    }
}

const TAKE_OUT: &str = "! Take the dough out before you heat the oven. Mark the dial.";

fn while_rising(screen: &Rising, now: &RisingNow) -> Vec<(Role, String)> {
    let filled = usize::from(whole(now.share.clamp(0.0, 1.0) * BAR as f64));
    let bar = format!(
        "{}{}",
        "\u{2588}".repeat(filled),
        "\u{2591}".repeat(BAR - filled)
    );
    let log = screen.dough().rising();
    let looks = log.map_or(&[][..], |l| &l.looks);
    let verdict = if looks.iter().any(|l| l.grown == Grown::Doubled) {
        (Role::Chosen, "It has doubled: take it out.".to_owned())
    } else if now.left.0 <= 0.0 {
        (Role::Chosen, "Look now: it should have doubled.".to_owned())
    } else {
        (Role::Heading, format!("Ready in about {}.", span(now.left)))
    };
    let mut said = vec![
        (Role::Plain, String::new()),
        verdict,
        (Role::Plain, format!("{bar} doubled")),
        (Role::Plain, String::new()),
        (
            Role::Plain,
            "A look corrects the rest: 1 grown by a quarter, 2 by half, 3 by three quarters, 4 doubled."
                .to_owned(),
        ),
    ];
    for look in looks {
        said.push((
            Role::Quiet,
            format!("after {}: {}", span(look.after), look.grown.words()),
        ));
    }
    said.push((Role::Plain, String::new()));
    said.push((Role::Caution, TAKE_OUT.to_owned()));
    said
}

/// Writes a time as a clock does, in hours from an hour on: `45:10`, `2:05:00`.
fn hours_minutes(time: Minutes) -> String {
    let seconds = time.seconds().abs().ceil();
    let (hours, rest) = ((seconds / 3600.0).floor(), seconds % 3600.0);
    let (minutes, seconds) = ((rest / 60.0).floor(), rest % 60.0);
    if hours > 0.5 {
        format!("{hours:.0}:{minutes:02.0}:{seconds:02.0}")
    } else {
        format!("{minutes:.0}:{seconds:02.0}")
    }
}
