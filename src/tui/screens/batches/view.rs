//! Drawing of a baking day: every load in one line, and the one under the cursor; on the clock, what is due, large.

use super::state::{BatchesScreen, lengths_of, words_of};
use crate::tui::prelude::*;
use crate::{
    model::OvenId,
    report::{
        text::wrap,
        words::{move_words, placement_words},
    },
    tui::widgets::{
        big,
        rack_raster::{cells, whole},
    },
    units::Minutes,
    workflow::batches::{Batch, Day},
};

/// What becomes of a day that runs, said under its verdict.
const KEPT: &str = "Once begun, this day is kept and goes on at the next start.";

/// Draws the screen.
pub(super) fn draw(screen: &BatchesScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let body = body.inner(Margin::new(1, 0));
    let theme = &shared.theme;
    let day = match screen.day(shared) {
        Some(Ok(day)) => day,
        Some(Err(why)) => {
            let words = format!("There is no such day: {why}");
            say(&words, Role::Wrong, shared, frame, body);
            return;
        }
        None => {
            let words = if screen.is_clock() {
                "Every tray is out."
            } else {
                "Planning the day ..."
            };
            say(words, Role::Quiet, shared, frame, body);
            return;
        }
    };
    let body = if screen.is_clock() {
        let [top, below] =
            Layout::vertical([Constraint::Length(big::BIG_ROWS + 3), Constraint::Min(1)])
                .areas(body);
        clock(shared, frame, top);
        below
    } else {
        body
    };
    let ovens = ovens_of(day);
    let [head, table, _, time, _, below] = Layout::vertical([
        Constraint::Length(1 + u16::from(screen.is_clock())),
        Constraint::Length(cells(day.batches.len() + 1)),
        Constraint::Length(1),
        Constraint::Length(cells(ovens.len() + 1)),
        Constraint::Length(1),
        Constraint::Min(3),
    ])
    .areas(body);
    let first = if screen.is_clock() {
        verdict_of(day)
    } else {
        evenness_of(day)
    };
    let first = Line::styled(first, theme.style(Role::Heading));
    let kept = Line::styled(KEPT, theme.style(Role::Quiet));
    frame.render_widget(Paragraph::new(vec![first, kept]), head);
    draw_table(screen, day, shared, frame, table);
    draw_time(screen, (day, &ovens), shared, frame.buffer_mut(), time);
    let lines = in_room(said(screen, day, shared), (below.width, below.height));
    let lines = lines.into_iter();
    let lines: Vec<Line<'_>> = lines
        .map(|(line, role)| Line::styled(line, theme.style(role)))
        .collect();
    frame.render_widget(Paragraph::new(lines), below);
}

/// Returns what is said below the loads: the steps of the one under the cursor, then what is to be known of the day.
pub(super) fn said(screen: &BatchesScreen, day: &Day, shared: &Shared) -> Vec<(String, Role)> {
    let mut words = Vec::new();
    if let Some(batch) = day.batches.get(screen.row) {
        words.extend(steps(batch, shared).into_iter().map(|w| (w, Role::Plain)));
    }
    if !screen.is_clock() {
        let warnings = day.warnings.iter();
        words.extend(warnings.map(|w| (format!("! {w}"), Role::Caution)));
        words.extend(day.advice.iter().map(|w| (w.clone(), Role::Quiet)));
        let left_out = day.left_out.iter();
        words.extend(left_out.map(|why| (format!("Left out: {why}."), Role::Quiet)));
    }
    words
}

/// Returns the lines that fit: all of them, else the cautions first and whole sentences after them, and where the rest is.
pub(super) fn in_room(
    mut words: Vec<(String, Role)>,
    (width, height): (u16, u16),
) -> Vec<(String, Role)> {
    let lines_of = |(words, role): &(String, Role)| -> Vec<(String, Role)> {
        let lines = wrap(words, usize::from(width), "", "  ").into_iter();
        lines.map(|line| (line, *role)).collect()
    };
    let all: Vec<_> = words.iter().flat_map(lines_of).collect();
    let room = usize::from(height);
    if all.len() <= room {
        return all;
    }
    words.sort_by_key(|(_, role)| *role != Role::Caution);
    let cautions = words
        .iter()
        .filter(|(_, role)| *role == Role::Caution)
        .count();
    let last = match cautions {
        0 => ("i: more".to_owned(), Role::Quiet),
        1 => ("i: more, with 1 caution".to_owned(), Role::Caution),
        n => (format!("i: more, with {n} cautions"), Role::Caution),
    };
    let mut shown: Vec<(String, Role)> = Vec::new();
    for sentence in &words {
        let lines = lines_of(sentence);
        if shown.len() + lines.len() < room {
            shown.extend(lines);
        }
    }
    shown.push(last);
    shown
}

/// Returns the ovens in use, by their first load.
fn ovens_of(day: &Day) -> Vec<&OvenId> {
    let mut ovens: Vec<&OvenId> = Vec::new();
    for batch in &day.batches {
        if !ovens.contains(&&batch.oven) {
            ovens.push(&batch.oven);
        }
    }
    ovens
}

/// Draws when each oven is in use: a line an oven, its loads by number, over the minutes of the day.
fn draw_time(
    screen: &BatchesScreen,
    (day, ovens): (&Day, &[&OvenId]),
    shared: &Shared,
    buf: &mut Buffer,
    area: Rect,
) {
    /// Columns before the time.
    const NAME: u16 = 22;
    let theme = &shared.theme;
    let room = area.width.saturating_sub(NAME);
    if room < 20 || usize::from(area.height) <= ovens.len() || day.total.0 <= 0.0 {
        return;
    }
    let column = |minutes: Minutes| {
        let share = (minutes.0 / day.total.0).clamp(0.0, 1.0);
        area.x + NAME + whole(share * f64::from(room))
    };
    for (oven, y) in ovens.iter().zip(area.y..) {
        let name = shared.kitchen.name_of(oven);
        let name = format!("  {}", list::shortened(name, NAME - 3));
        buf.set_string(area.x, y, name, theme.style(Role::Quiet));
        for (i, batch) in day.batches.iter().enumerate() {
            if batch.oven != **oven {
                continue;
            }
            let (from, to) = (column(batch.start), column(batch.end));
            let width = usize::from(to.saturating_sub(from).max(1));
            let role = if i == screen.row {
                Role::Chosen
            } else {
                Role::Heading
            };
            let bar = format!("{:\u{2501}^width$}", batch.number);
            buf.set_stringn(from, y, bar, width, theme.style(role));
        }
    }
    let y = area.y + cells(ovens.len());
    let end = format!("{:.0} min", day.total.0);
    buf.set_string(area.x + NAME, y, "0", theme.style(Role::Quiet));
    let x = area.right().saturating_sub(cells(end.len()));
    buf.set_string(x, y, end, theme.style(Role::Quiet));
}

fn say(words: &str, role: Role, shared: &Shared, frame: &mut Frame<'_>, area: Rect) {
    sentences::say([(role, words)], "", area, frame.buffer_mut(), &shared.theme);
}

/// Says when all is done.
pub(super) fn verdict_of(day: &Day) -> String {
    let loads = day.batches.len();
    let plural = if loads == 1 { "" } else { "s" };
    let total = day.total.0;
    format!("All done after {total:.0} min, in {loads} load{plural}.")
}

fn evenness_of(day: &Day) -> String {
    day.least_even().map_or_else(
        || "How even it comes out is not known.".to_owned(),
        |apart| format!("Least even load: {apart} from lightest to darkest."),
    )
}

fn draw_table(
    screen: &BatchesScreen,
    day: &Day,
    shared: &Shared,
    frame: &mut Frame<'_>,
    area: Rect,
) {
    let theme = &shared.theme;
    let head = format!(
        "  {:<6}{:<20}{:<12}{:<11}{:>8}{:>9}{:>9}",
        "load", "oven", "mode", "trays", "dial", "in", "out"
    );
    let mut lines = vec![Line::styled(head, theme.style(Role::Quiet))];
    // Where not every load fits, the one under the cursor stays in sight.
    let rows = usize::from(area.height.saturating_sub(1)).max(1);
    let first = (screen.row + 1).saturating_sub(rows);
    for (i, batch) in day.batches.iter().enumerate().skip(first) {
        let chosen = i == screen.row;
        let words = format!("{} {}", list::mark(chosen), row(batch, shared));
        let role = if chosen { Role::Chosen } else { Role::Plain };
        lines.push(Line::styled(words, theme.style(role)));
    }
    frame.render_widget(Paragraph::new(lines), area);
}

/// Returns the figures of a load in the columns of the table.
pub(super) fn row(batch: &Batch, shared: &Shared) -> String {
    let (unit, _) = shared.kitchen.units_of(&batch.oven);
    let name = list::shortened(shared.kitchen.name_of(&batch.oven), 19);
    let trays: Vec<String> = batch.trays.iter().map(usize::to_string).collect();
    format!(
        "{:<6}{name:<20}{:<12}{:<11}{:>8}{:>5.0} min{:>5.0} min",
        batch.number,
        batch.mode.short_words(),
        trays.join(", "),
        unit.show(batch.plan.dial),
        batch.start.0,
        batch.end.0
    )
}

/// Says every opening of the door for a load.
fn steps(batch: &Batch, shared: &Shared) -> Vec<String> {
    let lengths = lengths_of(batch, shared);
    let mut said = Vec::new();
    let segments = &batch.plan.segments;
    for (i, segment) in segments.iter().enumerate() {
        let at = batch.start.0 + segment.from.0;
        let before = i.checked_sub(1).and_then(|i| segments.get(i));
        let words = match before {
            None => {
                let places = segment.trays.iter().map(|t| placement_words(t, lengths));
                format!("in: {}", places.collect::<Vec<_>>().join("; "))
            }
            Some(before) => move_words(before, segment, lengths),
        };
        said.push(format!("{at:.0} min  {words}"));
    }
    said.push(format!("{:.0} min  out", batch.end.0));
    said
}

/// Shows what is due next, whatever the oven.
fn clock(shared: &Shared, frame: &mut Frame<'_>, area: Rect) {
    let theme = &shared.theme;
    let Some(running) = &shared.day else { return };
    let Some((due, left)) = running.next(shared.elapsed) else {
        say(
            "Every tray is out. All is noted.",
            Role::Good,
            shared,
            frame,
            area,
        );
        return;
    };
    let overdue = running.is_begun() && left.0 <= 0.0;
    let role = if overdue { Role::Wrong } else { Role::Heading };
    let [figures, words] =
        Layout::vertical([Constraint::Length(big::BIG_ROWS), Constraint::Min(1)]).areas(area);
    let Some(batch) = running.run.batch(due.batch) else {
        let buf = frame.buffer_mut();
        big::draw(&big::clock(left), figures, buf, theme, role);
        return;
    };
    let (unit, lengths) = shared.kitchen.units_of(&batch.oven);
    let name = shared.kitchen.name_of(&batch.oven);
    let what = words_of(due, batch, lengths);
    let (out, of) = running.run.out();
    let lines = [
        format!("{out} of {of} loads out"),
        format!("dial at {}", unit.show(batch.plan.dial)),
    ];
    let buf = frame.buffer_mut();
    big::countdown(left, overdue, &lines, figures, (buf, theme));
    let now = if left.0 <= 0.0 { "NOW" } else { "Next" };
    let said = format!("{now}, {name}: {what}");
    say(&said, role, shared, frame, words);
}
