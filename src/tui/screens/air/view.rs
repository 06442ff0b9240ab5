//! Drawing of the thermometer screen: the record with its charts, the form before a round, the round itself.

use super::{
    Act, AirScreen, Chart,
    charts::{OverTime, against_dial, over_months},
    describe::Description,
    figures::of_round,
    round::{Session, shown},
    setup::{Line as FormLine, Setup, place_words},
};
use crate::tui::prelude::*;
use crate::{
    model::Oven,
    report::text::wrap,
    tui::widgets::{Captioned, big, field::Field, form},
    units::Minutes,
    workflow::{
        catalogue::{Occasion, cautions},
        round::Stage,
    },
};

/// Columns of the form's labels.
const LABEL: usize = 11;
/// Rows of the guidance in a round.
const GUIDANCE: u16 = 2;

fn inner(body: Rect) -> Rect {
    body.inner(Margin::new(1, 0))
}

/// The chart above, what it says below; the answer for a wanted temperature needs more lines.
fn record_parts(body: Rect, answers: bool) -> [Rect; 2] {
    let share = if answers { 12 } else { 15 };
    let rows = (body.height * share / 20).max(11);
    Layout::vertical([Constraint::Length(rows), Constraint::Min(1)]).areas(inner(body))
}

/// The lines of the form.
fn form_area(body: Rect) -> Rect {
    let body = inner(body);
    Rect {
        y: body.y + 1,
        height: 5,
        ..body
    }
}

/// Draws the screen.
pub(super) fn draw(screen: &AirScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let Some(oven) = screen.oven(shared) else {
        return;
    };
    let buf = frame.buffer_mut();
    let sheet = Sheet {
        screen,
        shared,
        oven,
        theme: &shared.theme,
    };
    match (&screen.session, &screen.setup) {
        (Some(session), _) => sheet.draw_round(session, body, buf),
        (None, Some(setup)) => match &screen.description {
            Some(description) => description.draw(shared, body, buf),
            None => sheet.draw_setup(setup, body, buf),
        },
        (None, None) => sheet.draw_record(body, buf),
    }
}

/// Finds what a mouse act stands for.
pub(super) fn hit(screen: &AirScreen, body: Rect, at: Position, act: MouseAct) -> Option<Act> {
    if screen.takes_line() {
        return None;
    }
    match (&screen.session, &screen.setup, act) {
        (Some(_), _, _) | (None, _, MouseAct::Drag | MouseAct::Release) => None,
        (None, Some(_), MouseAct::WheelUp) if screen.description.is_some() => Some(Act::Part(-1)),
        (None, Some(_), MouseAct::WheelDown) if screen.description.is_some() => Some(Act::Part(1)),
        (None, Some(_), MouseAct::WheelUp) => Some(Act::Line(-1)),
        (None, Some(_), MouseAct::WheelDown) => Some(Act::Line(1)),
        (None, Some(_), MouseAct::Press) if screen.description.is_some() => {
            Description::part_at(body, at).map(Act::ToPart)
        }
        (None, Some(_), MouseAct::Press) => {
            let row = list::row_at(form_area(body), 1, 0, at)?;
            let line = FormLine::ALL.get(row).copied()?;
            Some(Act::Choose(line))
        }
        (None, None, MouseAct::WheelUp) => Some(Act::Scroll(-1)),
        (None, None, MouseAct::WheelDown) => Some(Act::Scroll(1)),
        (None, None, MouseAct::Press) => record_parts(body, screen.wanted.is_some())[0]
            .contains(at)
            .then_some(Act::Chart),
    }
}

/// What the screen is drawn from.
struct Sheet<'a> {
    screen: &'a AirScreen,
    shared: &'a Shared,
    oven: &'a Oven,
    theme: &'a Theme,
}

impl Sheet<'_> {
    fn say(&self, lines: &[String], area: Rect, buf: &mut Buffer, role: Role) {
        for (line, y) in lines.iter().zip(area.y..area.bottom()) {
            let width = usize::from(area.width);
            buf.set_stringn(area.x, y, line, width, self.theme.style(role));
        }
    }

    fn draw_record(&self, body: Rect, buf: &mut Buffer) {
        let [above, below] = record_parts(body, self.screen.wanted.is_some());
        match self.chart() {
            Some(drawn) => self.draw_chart(&drawn, above, buf),
            None => self.draw_nothing(above, buf),
        }
        if let Some(field) = &self.screen.wanted {
            self.draw_wanted(field, below, buf);
            return;
        }
        let width = usize::from(below.width);
        let said: Vec<Vec<String>> = self
            .screen
            .plain_lines(self.shared)
            .iter()
            .map(|l| wrap(l, width, "", "  "))
            .collect();
        let rows: usize = said.iter().map(Vec::len).sum();
        let count = said.len();
        let room = usize::from(below.height);
        // All of it when it fits; else from the line scrolled to, with a mark on a line of its own.
        let first = if rows <= room { 0 } else { self.screen.first };
        let lines: Vec<String> = said.into_iter().skip(first).flatten().collect();
        if rows <= room {
            self.say(&lines, below, buf, Role::Plain);
            return;
        }
        let kept = &lines[..lines.len().min(room.saturating_sub(1))];
        self.say(kept, below, buf, Role::Plain);
        let more = format!("{}/{count} PgUp PgDn", first + 1);
        let x = below
            .right()
            .saturating_sub(u16::try_from(more.len()).unwrap_or(0));
        buf.set_string(
            x.max(below.x),
            below.bottom().saturating_sub(1),
            more,
            self.theme.style(Role::Quiet),
        );
    }

    fn chart(&self) -> Option<Captioned> {
        let found = self.screen.found()?;
        match self.screen.chart {
            Chart::Dial => against_dial(&found.summary, self.oven),
            Chart::Months => over_months(&found.summary, self.oven),
            Chart::Time => {
                let rounds = self.screen.rounds(self.shared);
                let round = rounds.get(self.screen.back)?;
                round.readings.first()?;
                let said = found.round(&round.id)?;
                OverTime {
                    round,
                    place: said.place,
                    figures: said.figures.last(),
                    marks: None,
                    oven: self.oven,
                    until: 0.0,
                }
                .drawn()
            }
        }
    }

    fn draw_chart(&self, drawn: &Captioned, area: Rect, buf: &mut Buffer) {
        let runs = self.screen.session.is_some();
        let place = if runs { "" } else { self.screen.chart.place() };
        drawn.draw(place, area, buf, self.theme);
    }

    fn draw_nothing(&self, area: Rect, buf: &mut Buffer) {
        let mode = self.screen.mode.phrase();
        if self.screen.found().is_none() {
            let words = match self.screen.said.fresh() {
                Some(Err(why)) => why.to_string(),
                _ => "The readings are being gone through ...".to_owned(),
            };
            self.say(&[words], area, buf, Role::Quiet);
            return;
        }
        let words = match self.screen.chart {
            Chart::Time => format!("No reading of {} {mode} yet.", self.oven.name),
            Chart::Dial => format!(
                "No settled readings {mode} since the last service visit: the dial is assumed right."
            ),
            Chart::Months => format!("No hold at baking heat was read {mode} yet."),
        };
        let how = "A round takes about an hour: set the dial, put the thermometer in the middle of the oven, and read it every minute through the window. The bell says when. From three whole cycles the program tells how far the air is from the dial, how it swings, and what to set instead.";
        let said = [&words, "", how].map(|words| (Role::Plain, words));
        sentences::say(said, "", area, buf, self.theme);
    }

    fn draw_wanted(&self, field: &Field, area: Rect, buf: &mut Buffer) {
        let unit = self.oven.dial.unit;
        let line = format!(
            "Wanted in the oven: {}\u{2588} {}",
            field.raw(),
            unit.letter()
        );
        self.say(&[line], area, buf, Role::Chosen);
        let said = match self.screen.answer(self.oven) {
            None => Vec::new(),
            Some(Err(why)) => vec![(Role::Caution, why.to_string())],
            Some(Ok(answer)) => {
                let offset = answer.offset;
                let setting = format!("SET THE DIAL TO {}", answer.setting_words(unit));
                let air = format!(
                    "There the air is {} from the dial ({} to {}).",
                    unit.show_delta(offset.value),
                    unit.show_delta(offset.lo),
                    unit.show_delta(offset.hi)
                );
                let evidence = format!("It rests on {}.", answer.evidence);
                let mut said = vec![
                    (Role::Heading, setting),
                    (Role::Plain, air),
                    (Role::Plain, evidence),
                ];
                said.extend(answer.doubt().map(|doubt| (Role::Plain, doubt.to_owned())));
                said
            }
        };
        sentences::say(said, "", below(area, 1), buf, self.theme);
    }

    fn draw_setup(&self, setup: &Setup, body: Rect, buf: &mut Buffer) {
        let area = form_area(body);
        for (line, y) in FormLine::ALL.iter().copied().zip(area.y..area.bottom()) {
            let chosen = line == setup.line;
            let value = form::turned(&setup.words(line, self.oven), chosen);
            let role = if chosen { Role::Chosen } else { Role::Plain };
            let label = format!("{} {:<LABEL$}", list::mark(chosen), line.label());
            buf.set_string(area.x, y, label, self.theme.style(Role::Plain));
            let x = area.x + u16::try_from(LABEL + 2).unwrap_or(0);
            let width = usize::from(area.right().saturating_sub(x));
            buf.set_stringn(x, y, value, width, self.theme.style(role));
        }
        let width = usize::from(area.width);
        let mut lines = wrap(
            "Put the thermometer where it can be read through the window, away from walls and elements. Switch the oven on as you press Enter; every reading is saved as it is kept.",
            width,
            "",
            "",
        );
        if setup.thermometer().is_due(self.shared.now.date()) {
            lines.extend(wrap(
                "This thermometer has served its years; check it against another, or replace it (common practice).",
                width,
                "! ",
                "  ",
            ));
        }
        if setup.thermometer().lag_s.is_none() {
            lines.extend(wrap(
                "Where its lag is not known, what an opened door does is told less well; F3 describes the thermometer that you read with.",
                width,
                "",
                "",
            ));
        }
        lines.push(String::new());
        let text = Rect {
            y: area.bottom() + 1,
            height: body.bottom().saturating_sub(area.bottom() + 1),
            ..area
        };
        let used = u16::try_from(lines.len()).unwrap_or(0).min(text.height);
        self.say(&lines, text, buf, Role::Quiet);
        let warned: Vec<String> = cautions(Occasion::Thermometer)
            .iter()
            .flat_map(|c| wrap(c, width, "! ", "  "))
            .collect();
        self.say(&warned, below(text, used), buf, Role::Caution);
    }

    fn draw_round(&self, session: &Session, body: Rect, buf: &mut Buffer) {
        let [top, _, guidance, below] = Layout::vertical([
            Constraint::Length(big::BIG_ROWS),
            Constraint::Length(1),
            Constraint::Length(GUIDANCE),
            Constraint::Min(1),
        ])
        .areas(inner(body));
        let (figure, role) = if session.entry.is_empty() {
            ("---", Role::Quiet)
        } else {
            (session.entry.as_str(), Role::Heading)
        };
        big::draw(figure, top, buf, self.theme, role);
        let beside = Rect {
            x: top.x + big::width_of("00000"),
            width: top.width.saturating_sub(big::width_of("00000")),
            ..top
        };
        self.draw_watch(session, beside, buf);
        let said = [(Role::Heading, &session.guidance)];
        sentences::say(said, "", guidance, buf, self.theme);
        if self.screen.chart == Chart::Time {
            let [chart, said] =
                Layout::vertical([Constraint::Min(1), Constraint::Length(2)]).areas(below);
            let until = whole_seconds(session, self.shared);
            let over_time = OverTime {
                round: session.round(),
                place: session.live.place(),
                figures: session.figures.as_ref(),
                marks: Some(session.live.marks()),
                oven: self.oven,
                until,
            };
            if let Some(drawn) = over_time.drawn() {
                self.draw_chart(&drawn, chart, buf);
            }
            self.draw_figures(session, said, buf);
        } else {
            self.draw_figures(session, below, buf);
        }
    }

    fn draw_figures(&self, session: &Session, area: Rect, buf: &mut Buffer) {
        let Some(found) = &session.figures else {
            return;
        };
        let width = usize::from(area.width);
        let lines: Vec<String> = of_round(found, &session.thermometer, self.oven)
            .iter()
            .chain(
                &found
                    .warnings
                    .iter()
                    .map(|w| format!("! {w}"))
                    .collect::<Vec<_>>(),
            )
            .flat_map(|l| wrap(l, width, "", "  "))
            .collect();
        self.say(&lines, area, buf, Role::Plain);
    }

    /// The stop-watch and what it asks for.
    fn draw_watch(&self, session: &Session, area: Rect, buf: &mut Buffer) {
        let unit = self.oven.dial.unit;
        let now = session.now(self.shared);
        let stage = match session.live.stage(now) {
            Stage::Heating => "heating up",
            Stage::Settling(_) => "signal came, settling",
            Stage::Holding => "holding",
            Stage::DoorOpen(_) => "DOOR OPEN: it burns, dry mitts",
            Stage::Returning(_) => "door shut, coming back",
        };
        let dial = unit.show(session.live.dial());
        let since = watch(whole_seconds(session, self.shared));
        let lines = [
            stage.to_owned(),
            String::new(),
            place_words(session.live.place()),
            session.round().readings.last().map_or_else(
                || format!("dial {dial}, no reading yet"),
                |last| {
                    format!(
                        "dial {dial}, last {} at {}",
                        shown(last.air, unit),
                        last.at.civil().strftime("%H:%M:%S")
                    )
                },
            ),
            match &session.time {
                Some(field) => format!("read at {}\u{2588}", field.raw()),
                None if session.mark_is_pending() => {
                    format!("{since} gone; a reading keeps the mark")
                }
                None => format!(
                    "{since} gone, readings saved: {}",
                    session.round().readings.len()
                ),
            },
        ];
        self.say(&lines, area, buf, Role::Plain);
        let left = session.left(now);
        let (words, role) = if left <= 0.0 {
            ("READ NOW".to_owned(), Role::Chosen)
        } else {
            (format!("next reading in {}", watch(left)), Role::Heading)
        };
        let line = Rect {
            y: area.y + 1,
            height: 1,
            ..area
        };
        self.say(&[words], line, buf, role);
    }
}

/// Seconds since the round began.
fn whole_seconds(session: &Session, shared: &Shared) -> f64 {
    let since = session.now(shared).duration_since(session.live.began());
    since.as_secs_f64().max(0.0).floor()
}

/// Writes seconds as a stop-watch does: `12:05`.
fn watch(seconds: f64) -> String {
    let minutes = Minutes((seconds / 60.0).floor());
    format!("{:.0}:{:02.0}", minutes.0, (seconds % 60.0).floor())
}
