//! Drawing of the toasting clock: large figures, the next look, and the caution always in sight.

use super::Toasting;
use crate::tui::prelude::*;
use crate::{
    tui::widgets::{
        big,
        rack::{self, RackPicture},
    },
    units::Minutes,
    workflow::catalogue::{Occasion, cautions},
};

/// Rows of the large figures and the words under them.
pub(super) const FIGURES: u16 = big::BIG_ROWS + WORDS;
const WORDS: u16 = 3;
/// Columns beside the figures that words need.
const BESIDE: u16 = 30;

pub(super) fn draw(screen: &Toasting, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let inner = body.inner(Margin::new(1, 0));
    let [figures, words, caution, picture] = Layout::vertical([
        Constraint::Length(big::BIG_ROWS),
        Constraint::Length(WORDS),
        Constraint::Length(2),
        Constraint::Min(1),
    ])
    .areas(inner);
    let theme = &shared.theme;
    let now = screen.elapsed(shared);
    draw_figures(screen, now, figures, (frame.buffer_mut(), theme));
    draw_words(screen, now, words, (frame.buffer_mut(), theme));
    draw_caution(caution, frame.buffer_mut(), theme);
    draw_slices(screen, theme, frame, picture);
}

/// What the large figures count down to.
fn counts_to(screen: &Toasting, now: Minutes) -> Minutes {
    let times = &screen.times;
    times.next_look(now).unwrap_or(times.out)
}

fn draw_figures(
    screen: &Toasting,
    now: Option<Minutes>,
    area: Rect,
    (buf, theme): (&mut Buffer, &Theme),
) {
    let times = &screen.times;
    let so_far = now.unwrap_or(Minutes(0.0));
    let left = counts_to(screen, so_far).0 - so_far.0;
    let overdue = now.is_some() && left <= 0.0;
    let role = if overdue { Role::Wrong } else { Role::Heading };
    let text = minutes_seconds(left);
    big::draw(&text, area, buf, theme, role);
    let beside = big::width_of(&text) + 2;
    if beside + BESIDE > area.width {
        return;
    }
    let counted = match (overdue, now.and_then(|now| times.next_look(now))) {
        (true, _) => "overdue",
        (false, None) if now.is_some() => "until everything comes out",
        (false, _) => "until the next look",
    };
    let lines = [
        (Role::Plain, counted.to_owned()),
        (
            Role::Plain,
            now.map_or_else(
                || "not started".to_owned(),
                |now| format!("in the oven {}", Minutes(now.0.floor())),
            ),
        ),
        (Role::Plain, format!("looks from {} on", times.first_look)),
        (Role::Plain, format!("out by {} at the latest", times.out)),
        (Role::Quiet, times.known.words().to_owned()),
    ];
    for ((role, line), y) in lines.iter().zip(area.y..area.bottom()) {
        let width = usize::from(area.width - beside);
        buf.set_stringn(area.x + beside, y, line, width, theme.style(*role));
    }
}

fn draw_words(
    screen: &Toasting,
    now: Option<Minutes>,
    area: Rect,
    (buf, theme): (&mut Buffer, &Theme),
) {
    let times = &screen.times;
    let (role, words) = match now {
        None => (
            Role::Heading,
            "Oven hot and settled? Slices in as drawn, door shut, press Space.".to_owned(),
        ),
        Some(now) if now.0 >= times.out.0 => (
            Role::Chosen,
            "NOW: take everything out, then press Space.".to_owned(),
        ),
        Some(now) if times.looks_due(now) > 0 => (
            Role::Chosen,
            "LOOK IN: is the lightest slice golden? Then all come out, and Space.".to_owned(),
        ),
        Some(_) => (
            Role::Heading,
            format!("First look at {}, then every minute.", times.first_look),
        ),
    };
    sentences::say([(role, words)], "", below(area, 1), buf, theme);
}

/// Keeps the first caution, that of fire, in sight; all of them are a key away.
fn draw_caution(area: Rect, buf: &mut Buffer, theme: &Theme) {
    let Some(first) = cautions(Occasion::ToastTest).first() else {
        return;
    };
    let words = format!("{first} c: all");
    sentences::say([(Role::Caution, words)], "", area, buf, theme);
}

/// Draws where the slices lie, one picture for each loaded rack position that finds room.
fn draw_slices(screen: &Toasting, theme: &Theme, frame: &mut Frame<'_>, area: Rect) {
    let racks = &screen.test.setup.racks;
    if racks.is_empty() || area.height < 4 {
        return;
    }
    let like = RackPicture {
        cavity: screen.oven.cavity,
        size: screen.test.bread.slice,
        slices: &[],
        cursor: None,
        untoasted: screen.test.untoasted(),
        heading: "",
    };
    rack::side_by_side(&like, racks, &screen.test.slices, (theme, frame), area);
}

/// Writes a time as a clock does: `8:05`.
fn minutes_seconds(minutes: f64) -> String {
    let seconds = (minutes * 60.0).abs().ceil();
    format!("{:.0}:{:02.0}", (seconds / 60.0).floor(), seconds % 60.0)
}
