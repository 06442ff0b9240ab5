//! Drawing of the map screen: pictures, the read-out under the cursor, legend and findings.

use super::{Act, Arrangement, MapScreen};
use crate::workflow::view::{MapView, ReadOut};
use crate::{
    field::{Evenness, RackMap, Range, Zone},
    model::{Oven, PlaceName, ToastTest},
    report::{
        Scale,
        quantity::{HALF_WIDTH_90, signed},
    },
    tui::{
        shared::Shared,
        theme::{Role, Theme},
        widgets::{
            Legend, RackBar, RackRaster, Sentence, SliceMark, VerticalView,
            rack_raster::{inside, place_under},
        },
    },
    units::{CelsiusDelta, Centimetres, LengthUnit},
};
use ratatui::{
    Frame,
    buffer::Buffer,
    layout::{Constraint, Layout, Position, Rect},
    text::{Line, Text},
    widgets::{Paragraph, Widget, Wrap},
};

/// Lines of the read-out.
const READ_OUT: u16 = 2;
/// Lines of the legend.
const LEGEND: u16 = 2;
/// The narrowest picture worth drawing beside another.
const LEAST_PICTURE: u16 = 24;

/// The parts of the screen.
pub(super) struct Parts {
    pub(super) pictures: Rect,
    read_out: Rect,
    legend: Rect,
    findings: Rect,
}

pub(super) fn parts(body: Rect, screen: &MapScreen) -> Parts {
    let findings = match screen.arrangement {
        _ if body.height >= 30 => 6,
        Arrangement::SideBySide | Arrangement::FromTheSide => 3,
        // One rack large: the picture takes what it can get, one sentence of two lines stays.
        Arrangement::Large => 2,
    };
    let [pictures, read_out, legend, findings] = Layout::vertical([
        Constraint::Min(8),
        Constraint::Length(READ_OUT),
        Constraint::Length(LEGEND + u16::from(screen.notes_scores())),
        Constraint::Length(findings),
    ])
    .areas(body);
    Parts {
        pictures,
        read_out,
        legend,
        findings,
    }
}

/// What the screen is drawn from, once there is a map.
pub(super) struct Sheet<'a> {
    pub(super) screen: &'a MapScreen,
    pub(super) oven: &'a Oven,
    pub(super) racks: &'a [RackMap],
    pub(super) zones: &'a [Zone],
    pub(super) slices: &'a [SliceMark],
    /// Which test the scores are of.
    pub(super) scores_of: Option<String>,
    pub(super) bars: &'a [RackBar],
    pub(super) evenness: &'a [Evenness],
    /// What is shown, over the range of all racks.
    pub(super) scale: Scale,
    /// What the place under the cursor reads.
    pub(super) read_out: Option<ReadOut>,
    /// Relative standard uncertainty of the sensitivity that degrees rest on.
    pub(super) relative_sd: f64,
    /// Sentences below the map.
    pub(super) findings: Vec<Sentence>,
}

/// Draws the screen.
pub(super) fn draw(screen: &MapScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    match (screen.map(shared), screen.oven(shared)) {
        (Some(Ok(view)), Some(oven)) => {
            let tests = screen.tests(shared);
            with_sheet(screen, oven, view, &tests, |sheet| {
                sheet.draw(body, frame.buffer_mut(), theme);
            });
        }
        (Some(Err(reason)), _) => {
            let words = format!("There is no map: {reason}");
            let text = Paragraph::new(words).style(theme.style(Role::Wrong));
            frame.render_widget(text.wrap(Wrap { trim: true }), body);
        }
        (None, _) | (_, None) => {
            let text = Paragraph::new("Fitting the map ...").style(theme.style(Role::Quiet));
            frame.render_widget(text, body);
        }
    }
}

/// Finds what a press at `at` stands for.
pub(super) fn hit(screen: &MapScreen, shared: &Shared, body: Rect, at: Position) -> Option<Act> {
    let view = screen.ready(shared)?;
    let pictures = parts(body, screen).pictures;
    let racks: Vec<&RackMap> = view.map.racks.iter().collect();
    placed(screen, &racks, pictures)
        .into_iter()
        .find_map(|(map, area)| {
            let inner = inside(area, &map.grid)?;
            let (x, y) = place_under(at, inner, &map.grid)?;
            Some(Act::Point(map.rack, x, y))
        })
}

fn with_sheet(
    screen: &MapScreen,
    oven: &Oven,
    view: &MapView,
    tests: &[&ToastTest],
    then: impl FnOnce(&Sheet),
) {
    let quantity = screen.quantity(oven, view);
    // Scores of tests at other settings are of another level: only the newest test's are shown.
    let newest = tests.last();
    let slices: Vec<SliceMark> = newest.map(|t| SliceMark::of(t)).unwrap_or_default();
    let racks: Vec<u8> = view.map.racks.iter().map(|r| r.rack).collect();
    let c = oven.cavity;
    let (x, y) = (screen.cursor.0 * c.width.0, screen.cursor.1 * c.depth.0);
    let warnings = view.warnings.iter().map(Sentence::warning);
    then(&Sheet {
        screen,
        oven,
        racks: &view.map.racks,
        zones: &view.zones,
        slices: &slices,
        scores_of: newest.map(|t| {
            let dial = oven.dial.unit.show(t.setup.dial);
            format!("scores: test of {}, dial {dial}", t.when.date())
        }),
        bars: &RackBar::of(&view.map, quantity),
        evenness: &view.evenness,
        scale: Scale::over(quantity, &view.map.racks),
        read_out: screen
            .chosen(&racks)
            .and_then(|rack| view.read_out(rack, x, y)),
        relative_sd: view.sensitivity.relative_sd,
        findings: view
            .findings
            .iter()
            .map(Sentence::finding)
            .chain(warnings)
            .collect(),
    });
}

/// Places the pictures of the racks that are drawn from above.
pub(super) fn placed<'m>(
    screen: &MapScreen,
    racks: &[&'m RackMap],
    area: Rect,
) -> Vec<(&'m RackMap, Rect)> {
    let numbers: Vec<u8> = racks.iter().map(|r| r.rack).collect();
    let chosen = screen.chosen(&numbers);
    match screen.arrangement {
        Arrangement::FromTheSide => Vec::new(),
        Arrangement::Large => racks
            .iter()
            .filter(|r| Some(r.rack) == chosen)
            .map(|&r| (r, area))
            .collect(),
        Arrangement::SideBySide => {
            let n = u16::try_from(racks.len()).unwrap_or(u16::MAX).max(1);
            let across = columns(n, area);
            let down = n.div_ceil(across);
            let (width, height) = (area.width / across, area.height / down);
            (0..)
                .zip(racks)
                .map(|(i, &r)| {
                    let (x, y) = (
                        area.x + width * (i % across),
                        area.y + height * (i / across),
                    );
                    (r, Rect::new(x, y, width, height))
                })
                .collect()
        }
    }
}

/// Chooses how many of `n` pictures stand in a row: the most area drawn wins.
pub(super) fn columns(n: u16, area: Rect) -> u16 {
    let drawn = |across: u16| {
        let down = n.div_ceil(across);
        let (width, height) = (area.width / across, area.height / down);
        if width < LEAST_PICTURE || height < 6 {
            return 0;
        }
        // About the shape of an oven seen from above, a cell being twice as high as wide.
        width.min(height.saturating_mul(3)) * height.min(width / 2)
    };
    // Of equal ones, the one that leaves the fewest gaps.
    let gaps = |across: u16| n.div_ceil(across) * across - n;
    (1..=n)
        .max_by_key(|&across| (drawn(across), u16::MAX - gaps(across), across))
        .unwrap_or(1)
}

impl Sheet<'_> {
    /// Draws everything.
    pub(super) fn draw(&self, body: Rect, buf: &mut Buffer, theme: &Theme) {
        let parts = parts(body, self.screen);
        self.draw_pictures(parts.pictures, buf, theme);
        self.draw_read_out(parts.read_out, buf, theme);
        Legend { scale: &self.scale }.draw(inset(parts.legend), buf, theme);
        self.draw_scores_of(parts.legend, buf, theme);
        let findings = self.screen.findings;
        findings.draw(
            &self.findings,
            "Nothing stands out.",
            inset(parts.findings),
            (buf, theme),
        );
    }

    /// Says whose scores are drawn, where several tests are pooled, below the legend.
    fn draw_scores_of(&self, legend: Rect, buf: &mut Buffer, theme: &Theme) {
        if let (true, Some(words)) = (self.screen.notes_scores(), &self.scores_of) {
            let area = inset(legend);
            buf.set_stringn(
                area.x,
                area.bottom().saturating_sub(1),
                words,
                usize::from(area.width),
                theme.style(Role::Quiet),
            );
        }
    }

    fn chosen(&self) -> Option<u8> {
        let numbers: Vec<u8> = self.racks.iter().map(|r| r.rack).collect();
        self.screen.chosen(&numbers)
    }

    fn draw_pictures(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        if self.screen.arrangement == Arrangement::FromTheSide {
            let view = VerticalView {
                bars: self.bars,
                quantity: self.scale.quantity,
                chosen: self.chosen(),
            };
            view.draw(inset(area), buf, theme);
            self.draw_evenness(area, buf, theme);
            return;
        }
        let racks: Vec<&RackMap> = self.racks.iter().collect();
        for (map, picture) in placed(self.screen, &racks, area) {
            let (u, v) = self.screen.cursor;
            let here = (u * map.grid.width, v * map.grid.depth);
            let raster = RackRaster {
                map,
                scale: &self.scale,
                zones: self.zones,
                slices: self.slices,
                overlays: self.screen.overlays,
                cursor: (Some(map.rack) == self.chosen()).then_some(here),
            };
            raster.draw(picture, buf, theme);
        }
    }

    /// Writes how even each rack is, below the side view, the highest first.
    fn draw_evenness(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let lines: Vec<Line> = self
            .evenness
            .iter()
            .rev()
            .map(|e| {
                Line::raw(format!(
                    "rack {}: spread {:.1} shades ({:.1} to {:.1}), {:.0} % within half a shade of mean",
                    e.rack,
                    e.spread.value,
                    e.spread.lo,
                    e.spread.hi,
                    e.within_half.value * 100.0
                ))
            })
            .collect();
        let height = u16::try_from(lines.len()).unwrap_or(u16::MAX);
        let bars = u16::try_from(self.bars.len() + 1).unwrap_or(u16::MAX);
        if area.height >= bars + height {
            let below = Rect {
                y: area.bottom() - height,
                height,
                ..inset(area)
            };
            Paragraph::new(lines)
                .style(theme.style(Role::Plain))
                .render(below, buf);
        }
    }

    /// Says what lies under the cursor: place, shade, degrees, and the rise around it.
    fn draw_read_out(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let (Some(rack), Some(read)) = (self.chosen(), self.read_out) else {
            return;
        };
        let c = self.oven.cavity;
        let (u, v) = self.screen.cursor;
        let (x, y) = (u * c.width.0, v * c.depth.0);
        let place = PlaceName::of(x, y, c.width.0, c.depth.0).words();
        let lengths = self.oven.lengths;
        let first = format!(
            " shade {}; {} against the rack's mean",
            shade_words(read.shade),
            self.degree_words(read.degrees_c),
        );
        let second = if self.screen.shows_spread {
            self.spread_words(read.degrees_c)
        } else {
            format!(
                " rack {rack}, {place}: {} from left, {} from door; {}",
                lengths.show(Centimetres(x)),
                lengths.show(Centimetres(y)),
                self.rise_words(read.rise_c_per_cm),
            )
        };
        let text = Text::from(vec![
            Line::styled(first, theme.style(Role::Heading)),
            Line::styled(second, theme.style(Role::Plain)),
        ]);
        Paragraph::new(text).render(area, buf);
    }

    fn figure(&self, c: f64) -> String {
        let unit = self.oven.dial.unit;
        signed(unit.delta_figure(CelsiusDelta(c)))
    }

    fn degree_words(&self, range: Range) -> String {
        format!(
            "{} {} ({} to {})",
            self.figure(range.value),
            self.oven.dial.unit.letter(),
            self.figure(range.lo),
            self.figure(range.hi)
        )
    }

    /// Says how steeply it rises around here and which way: `+1.2 F/in back-left`.
    fn rise_words(&self, (right, back): (f64, f64)) -> String {
        // Over an inch or over 10 cm: spans a hand can picture.
        let (span, over) = match self.oven.lengths {
            LengthUnit::Inches => (2.54, "in"),
            LengthUnit::Centimetres => (10.0, "10 cm"),
        };
        let unit = self.oven.dial.unit;
        let rise = unit.delta_figure(CelsiusDelta(right.hypot(back) * span));
        if rise < 0.05 || !rise.is_finite() {
            return "level".to_owned();
        }
        // One step from the middle of a field of three by three, so that places name directions.
        let towards = PlaceName::of(
            1.5 + toward(right, back),
            1.5 + toward(back, right),
            3.0,
            3.0,
        );
        format!("{rise:+.1} {}/{over} {}", unit.letter(), towards.words())
    }

    /// Says what the degrees would be were this bread's browning more or less sensitive.
    fn spread_words(&self, degrees: Range) -> String {
        let off = (self.relative_sd * HALF_WIDTH_90).min(0.9);
        let (one, other) = (degrees.value / (1.0 + off), degrees.value / (1.0 - off));
        let letter = self.oven.dial.unit.letter();
        format!(
            " rate of browning known to {:.0} % (90 %): {} {letter} may be {} to {} {letter}",
            off * 100.0,
            self.figure(degrees.value),
            self.figure(one.min(other)),
            self.figure(one.max(other)),
        )
    }
}

fn shade_words(range: Range) -> String {
    format!("{:.1} ({:.1} to {:.1})", range.value, range.lo, range.hi)
}

/// Sorts one part of a direction into -1, 0 or 1, eighths of a turn wide.
fn toward(part: f64, other: f64) -> f64 {
    // tan(22.5 degrees): below it the other part alone names the direction.
    if part.abs() < 0.414 * other.abs() {
        0.0
    } else {
        part.signum()
    }
}

fn inset(area: Rect) -> Rect {
    Rect {
        x: area.x + 1,
        width: area.width.saturating_sub(2),
        ..area
    }
}
