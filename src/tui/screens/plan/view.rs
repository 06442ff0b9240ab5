//! Drawing of the plan screen: the form, the trays standing on the map, what turning buys, and the line of time.

use super::{PlanScreen, Row, form::Form, look::Look, state::sources};
use crate::tui::prelude::*;
use crate::workflow::{
    plan::{Measured, Planned},
    view::MapView,
};
use crate::{
    model::{Oven, Plan, Segment, TrayPlacement, Yardstick},
    report::{
        Quantity, Scale,
        text::wrap,
        words::{move_words, placement_words},
    },
    tui::widgets::{
        Overlays, PlanTimeline, RackCursor, RackRaster, TrayPicture, form,
        plan_timeline::TIMELINE_ROWS, rack_raster::cells, tray_picture::piece_style,
    },
};
use ratatui::widgets::Widget;

/// Columns of the form.
const FORM: u16 = 28;
/// Columns of its labels.
const LABEL: usize = 8;

/// From this many columns on each rack's map stands beside its trays.
const WIDE: u16 = 125;
/// Rows of what turning buys: never moved, turned at half-time, as planned.
const STRIPS: u16 = 3;
/// Most lines of a caution; a longer one is read one key deeper.
const MOST_CAUTION: usize = 3;

struct Parts {
    form: Rect,
    dial: Rect,
    pictures: Rect,
    words: Rect,
    strips: Rect,
    timeline: Rect,
}

/// Divides the screen; `words` is how many lines stand over the pictures.
fn parts(body: Rect, words: usize) -> Parts {
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
    let [words, pictures, strips, timeline] = Layout::vertical([
        Constraint::Length(cells(words)),
        Constraint::Min(5),
        Constraint::Length(STRIPS),
        Constraint::Length(TIMELINE_ROWS),
    ])
    .areas(right);
    Parts {
        form,
        dial,
        pictures,
        words,
        strips,
        timeline,
    }
}

impl PlanScreen {
    /// What is drawn of a plan, at the stage and the place in sight.
    fn sheet<'a>(
        &self,
        planned: &'a Planned,
        view: Option<&'a MapView>,
        oven: &'a Oven,
    ) -> Sheet<'a> {
        Sheet {
            stage: self.stage,
            look: self.look,
            ..Sheet::of(planned, view, oven)
        }
    }
}

/// Finds the place in the pictures at `at`.
pub(super) fn look_at(
    screen: &PlanScreen,
    shared: &Shared,
    body: Rect,
    at: Position,
) -> Option<Look> {
    let made = screen.plan()?.ok()?;
    let sheet = screen.sheet(&made.0, made.1.as_ref(), screen.oven(shared)?);
    sheet.look_at(body, at)
}

/// Finds the line of the form at `at`.
pub(super) fn row_at(body: Rect, at: Position) -> Option<Row> {
    let form = parts(body, 2).form;
    list::row_at(form, 1, 0, at).and_then(|i| Row::ALL.get(i).copied())
}

/// Draws the screen.
pub(super) fn draw(screen: &PlanScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let (Some(oven), Some(form)) = (screen.oven(shared), &screen.form) else {
        return;
    };
    let theme = &shared.theme;
    let buf = frame.buffer_mut();
    draw_form(form, screen.row, oven, parts(body, 2).form, (buf, theme));
    match screen.plan() {
        None => {
            let text = Paragraph::new("Making the plan ...").style(theme.style(Role::Quiet));
            text.render(parts(body, 2).words, buf);
        }
        Some(Err(reason)) => {
            let text = Paragraph::new(format!("There is no plan: {reason}"));
            let area = Rect {
                height: 6.min(body.height),
                ..parts(body, 2).words
            };
            text.style(theme.style(Role::Wrong))
                .wrap(Wrap { trim: true })
                .render(area, buf);
        }
        Some(Ok(made)) => {
            let sheet = screen.sheet(&made.0, made.1.as_ref(), oven);
            sheet.draw(body, buf, theme);
            if screen.look.is_none() {
                draw_sources(&made.0.measured, parts(body, 2).dial, buf, theme);
            }
        }
    }
}

/// Lines under the dial that say so.
const SOURCES: usize = 2;

/// Says under the dial whether its figures were read in this oven or are typical ones.
fn draw_sources(measured: &Measured, area: Rect, buf: &mut Buffer, theme: &Theme) {
    let rows = area.bottom().saturating_sub(cells(SOURCES)).max(area.y)..area.bottom();
    for (words, y) in sources(measured).iter().zip(rows) {
        let words = format!(" {words}");
        let width = usize::from(area.width);
        buf.set_stringn(area.x, y, words, width, theme.style(Role::Quiet));
    }
}

fn draw_form(form: &Form, row: Row, oven: &Oven, area: Rect, (buf, theme): (&mut Buffer, &Theme)) {
    for (line, y) in Row::ALL.iter().copied().zip(area.y..area.bottom()) {
        let chosen = line == row;
        let value = form::turned(&form.words(line, oven), chosen);
        let text = form::line(line.label(), LABEL, value, chosen, theme);
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
    pub(super) planned: &'a Planned,
    /// The map behind it.
    pub(super) view: Option<&'a MapView>,
    pub(super) oven: &'a Oven,
    /// Which segment is drawn.
    pub(super) stage: usize,
    /// The place looked at.
    pub(super) look: Option<Look>,
    /// What maps and pieces are shaded on.
    pub(super) scale: Option<Scale>,
}

impl<'a> Sheet<'a> {
    /// Draws a plan as loaded.
    pub(super) fn of(planned: &'a Planned, view: Option<&'a MapView>, oven: &'a Oven) -> Self {
        Self {
            planned,
            view,
            oven,
            stage: 0,
            look: None,
            scale: view.map(|view| Scale::over(Quantity::Shade, &view.map.racks)),
        }
    }
}

impl Sheet<'_> {
    pub(super) fn plan(&self) -> &Plan {
        &self.planned.plan
    }

    /// Divides the screen for the words there are.
    fn parts(&self, body: Rect) -> Parts {
        let width = usize::from(parts(body, 0).words.width);
        let words = self.stage_lines(width).len() + self.caution(width).len();
        parts(body, words)
    }

    /// Draws everything but the form.
    pub(super) fn draw(&self, body: Rect, buf: &mut Buffer, theme: &Theme) {
        let parts = self.parts(body);
        match self.look {
            Some(look) => self.draw_read_out(look, parts.dial, buf, theme),
            None => self.draw_dial(parts.dial, buf, theme),
        }
        self.draw_words(parts.words, buf, theme);
        self.draw_pictures(parts.pictures, buf, theme);
        self.draw_strips(parts.strips, buf, theme);
        PlanTimeline {
            plan: self.plan(),
            went: self.plan(),
            now: None,
            done: &[],
        }
        .draw(parts.timeline, buf, theme);
    }

    /// Shows how the recipe's temperature becomes the dial's.
    fn draw_dial(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let unit = self.oven.dial.unit;
        let mut lines = vec![Line::styled(
            " From the recipe to the dial",
            theme.style(Role::Heading),
        )];
        for step in &self.plan().steps_to_dial {
            let first = format!("  {:>5}  ", unit.show(step.to));
            let rest = " ".repeat(first.len());
            for line in wrap(&step.what, usize::from(area.width), &first, &rest) {
                lines.push(Line::raw(line));
            }
        }
        let set = format!(" Set the dial to {}", unit.show(self.plan().dial));
        lines.push(Line::styled(set, theme.style(Role::Good)));
        // What to set is never cut: where there is little room the heading goes.
        if lines.len() + SOURCES > usize::from(area.height) {
            lines.remove(0);
        }
        Paragraph::new(lines)
            .wrap(Wrap { trim: false })
            .render(area, buf);
    }

    /// Returns the first caution in lines of `width`, whole or not at all: a caution is never cut.
    fn caution(&self, width: usize) -> Vec<String> {
        let (one, more) = match self.planned.warnings.as_slice() {
            [] => return Vec::new(),
            [one] => (one, String::new()),
            [one, rest @ ..] => (one, format!(" (i: {} more)", rest.len())),
        };
        let whole = wrap(&format!("! {one}{more}"), width, "", "  ");
        if whole.len() <= MOST_CAUTION {
            return whole;
        }
        vec![match self.planned.warnings.len() {
            1 => "! One caution. i: read it".to_owned(),
            n => format!("! {n} cautions. i: read them"),
        }]
    }

    /// Returns what is done at the stage drawn, in one line beside a caution, in two without.
    fn stage_lines(&self, width: usize) -> Vec<String> {
        let segments = &self.plan().segments;
        let Some(segment) = segments.get(self.stage) else {
            return Vec::new();
        };
        // Each stage begins with its minute.
        let which = if segments.len() > 1 && self.stage == 0 {
            "0 min, "
        } else {
            ""
        };
        let words = self.words_of(self.stage, segment);
        let whole = wrap(&format!("{which}{words}"), width, "", "  ");
        let most = if self.planned.warnings.is_empty() {
            2
        } else {
            1
        };
        if whole.len() <= most {
            whole
        } else {
            vec![format!("{which}{}", self.short_words())]
        }
    }

    /// Says what is done at the stage drawn, and the first caution.
    fn draw_words(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let width = usize::from(area.width);
        let stage = self.stage_lines(width).into_iter();
        let caution = self.caution(width).into_iter();
        let said = stage
            .map(|line| (line, Role::Heading))
            .chain(caution.map(|line| (line, Role::Caution)));
        for ((line, role), y) in said.zip(area.y..area.bottom()) {
            buf.set_string(area.x, y, line, theme.style(role));
        }
    }

    fn words_of(&self, i: usize, segment: &Segment) -> String {
        let lengths = self.oven.lengths;
        match i.checked_sub(1).and_then(|i| self.plan().segments.get(i)) {
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

    /// Says in the fewest words what the stage is, where the whole does not fit: the picture shows the rest.
    fn short_words(&self) -> String {
        match self.plan().segments.get(self.stage) {
            Some(segment) if self.stage > 0 => format!("from {}, as drawn", segment.from),
            _ => "load as drawn".to_owned(),
        }
    }

    /// Returns the picture of a rack position with its trays at the stage drawn.
    pub(super) fn tray_on(&self, rack: u8) -> Option<TrayPicture<'_>> {
        let segment = self.plan().segments.get(self.stage)?;
        let expected = self.planned.expected.as_ref();
        let shades = expected.and_then(|e| e.after.get(self.stage));
        let c = self.oven.cavity;
        let on_it = |t: &&TrayPlacement| t.rack == rack;
        Some(TrayPicture {
            cavity: c,
            rack,
            map: self
                .view
                .and_then(|view| Some((view.rack(rack)?, self.scale.as_ref()?))),
            trays: segment.trays.iter().filter(on_it).copied().collect(),
            tray: self.plan().tray?,
            shades: shades.map_or(&[], Vec::as_slice),
            cursor: self.cursor(),
        })
    }

    /// Says what is known of the place looked at.
    fn draw_read_out(&self, look: Look, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let c = self.oven.cavity;
        let (x, y) = look.at.place(c.floor());
        let read = self.view.and_then(|view| view.read_out(look.rack, x, y));
        let piece = self.tray_on(look.rack).and_then(|t| t.shade_at((x, y)));
        let when = if self.stage + 1 < self.plan().segments.len() {
            "by then"
        } else {
            "when done"
        };
        let piece = piece.map(|shade| format!("piece: shade {shade:.1} {when}"));
        let said = look.says(self.oven, read.as_ref()).into_iter().chain(piece);
        let said = said.map(|words| (Role::Heading, words));
        sentences::say(said, "", area.inner(Margin::new(1, 0)), buf, theme);
    }

    /// The place looked at, the same on every rack position.
    fn cursor(&self) -> Option<(f64, f64)> {
        let c = self.oven.cavity;
        self.look.map(|look| look.at.place(c.floor()))
    }

    /// Returns where the pictures are: for each rack position its map, in a wide window, and its trays.
    fn places(&self, area: Rect) -> Vec<(u8, Option<Rect>, Rect)> {
        let racks = self.plan().racks();
        let wide = area.width >= WIDE && self.scale.is_some();
        let places = places(racks.len(), wide, area);
        let of_rack = |(rack, (beside, place)): (&u8, (Option<Rect>, Rect))| (*rack, beside, place);
        racks.iter().zip(places).map(of_rack).collect()
    }

    /// Finds the place at `at` in the pictures.
    pub(super) fn look_at(&self, body: Rect, at: Position) -> Option<Look> {
        let c = self.oven.cavity;
        let places = self.places(self.parts(body).pictures);
        places.into_iter().find_map(|(rack, beside, place)| {
            let picture = self.tray_on(rack)?;
            let mut areas = beside.into_iter().chain([place]);
            let (x, y) = areas.find_map(|area| picture.place_at(area, at))?;
            Some(Look::at(rack, RackCursor::at((x, y), c.floor())))
        })
    }

    /// Draws every rack position in use with its trays; in a wide window its map beside it.
    fn draw_pictures(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        for (rack, beside, place) in self.places(area) {
            let Some(picture) = self.tray_on(rack) else {
                continue;
            };
            picture.draw(place, buf, theme);
            if let (Some(beside), Some((map, scale)), Some(view)) = (beside, picture.map, self.view)
            {
                RackRaster {
                    map,
                    scale,
                    zones: &view.zones,
                    slices: &[],
                    overlays: Overlays::default(),
                    cursor: picture.cursor,
                }
                .draw(beside, buf, theme);
            }
        }
    }

    /// Shows what turning buys: the pieces from light to dark, never moved, turned at half-time, and as planned.
    fn draw_strips(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let width = usize::from(area.width);
        let (Some(expected), Some(scale)) = (&self.planned.expected, &self.scale) else {
            let words = "How even it comes out, can't tell yet: nothing was toasted in this mode.";
            sentences::say([(Role::Caution, words)], "", area, buf, theme);
            return;
        };
        let (last, plan) = (expected.after.last(), self.plan());
        let rows = [
            (
                "never moved",
                Some(&expected.unturned),
                plan.unturned,
                Role::Plain,
            ),
            (
                "turned halfway",
                Some(&expected.halfway),
                plan.halfway,
                Role::Plain,
            ),
            ("as planned", last, plan.evenness, Role::Heading),
        ];
        for ((label, shades, even, role), y) in rows.into_iter().zip(area.y..area.bottom()) {
            let Some(shades) = shades.filter(|s| !s.is_empty()) else {
                continue;
            };
            let mut sorted = shades.clone();
            sorted.sort_by(f64::total_cmp);
            let room = width.saturating_sub(LABEL_OF_STRIP + 14);
            let shown = sorted.len().min(room).max(1);
            buf.set_string(area.x, y, label, theme.style(role));
            for i in 0..shown {
                let at = i * (sorted.len() - 1) / shown.saturating_sub(1).max(1);
                let shade = sorted[at];
                let x = area.x + cells(LABEL_OF_STRIP + i);
                let style = piece_style(scale, shade, theme);
                buf.set_string(x, y, format!("{:.0}", shade.clamp(0.0, 9.0)), style);
            }
            // Of the pieces as they may come out, not as they are expected on the average: those lie closer together.
            let mut words = format!(" {:.1} shades", even.spread);
            if y == area.y && LABEL_OF_STRIP + shown + words.len() + AS_THE_TOAST.len() <= width {
                words += AS_THE_TOAST;
            }
            let x = area.x + cells(LABEL_OF_STRIP + shown);
            buf.set_string(x, y, words, theme.style(role));
        }
    }
}

/// What is said of the strips: how dark the pieces get is for the time to settle.
const AS_THE_TOAST: &str = ", were they as dark as the toast";
/// Columns before a strip of pieces.
const LABEL_OF_STRIP: usize = 15;

/// Places the pictures of `n` rack positions, and of their maps beside them where it is wide.
fn places(n: usize, wide: bool, area: Rect) -> Vec<(Option<Rect>, Rect)> {
    let parts = vec![Constraint::Fill(1); n];
    if wide {
        let rows = Layout::vertical(parts).split(area);
        rows.iter()
            .map(|row| {
                let [map, trays] =
                    Layout::horizontal([Constraint::Fill(1), Constraint::Fill(1)]).areas(*row);
                (Some(map), trays)
            })
            .collect()
    } else {
        let columns = Layout::horizontal(parts).split(area);
        columns.iter().map(|column| (None, *column)).collect()
    }
}

/// Returns everything behind a plan: what other ways would give, then advice.
pub(super) fn why(planned: &Planned) -> Vec<String> {
    let plan = &planned.plan;
    let mut said = Vec::new();
    if plan.evenness.is_known() {
        said.push(
            "From the lightest to the darkest piece, in shades, were they as dark as the toast, and how long it takes:"
                .to_owned(),
        );
        said.extend(way_rows(plan));
    }
    said.extend(planned.advice.iter().cloned());
    said
}

/// Writes what every number of openings gives, beside never moving and custom.
fn way_rows(plan: &Plan) -> Vec<String> {
    let openings = plan.segments.len().saturating_sub(1);
    let row = |name: String, y: &Yardstick, chosen: bool| {
        format!(
            "{} {name:<20}{:>4.1} ({:.1} to {:.1}) {:>9}",
            list::mark(chosen),
            y.spread,
            y.spread_range.0,
            y.spread_range.1,
            y.minutes.to_string(),
        )
    };
    let mut rows: Vec<String> = plan
        .alternatives
        .iter()
        .map(|way| {
            let name = match way.openings {
                0 => "door stays shut".to_owned(),
                1 => "1 opening".to_owned(),
                n => format!("{n} openings"),
            };
            row(name, &way.evenness, way.openings == openings)
        })
        .collect();
    rows.push(row("turned at half-time".to_owned(), &plan.halfway, false));
    rows
}
