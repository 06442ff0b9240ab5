//! Drawing of the compare screen: pictures on one scale, the read-out, the verdict and the findings.

use super::state::{Act, CompareScreen, Pane, sentences};
use crate::{
    compare::RackComparison,
    field::{RackMap, Range},
    model::PlaceName,
    report::{Quantity, Scale},
    tui::{
        shared::Shared,
        theme::{Role, Theme},
        widgets::{
            Legend, Overlays, RackRaster,
            rack_raster::{inside, place_under},
        },
    },
    units::{CelsiusDelta, no_negative_zero},
    workflow::compare::{CompareView, more_even_words},
};
use ratatui::{
    Frame,
    buffer::Buffer,
    layout::{Constraint, Layout, Position, Rect},
    text::Line,
    widgets::{Paragraph, Widget, Wrap},
};

/// Lines of the verdict: evenness, and figures.
const VERDICT: u16 = 2;
/// Lines of the legend.
const LEGEND: u16 = 2;

/// The parts of the screen.
struct Parts {
    pictures: Rect,
    verdict: Rect,
    read_out: Rect,
    legend: Rect,
    findings: Rect,
}

fn parts(body: Rect) -> Parts {
    let findings = if body.height >= 30 { 8 } else { 4 };
    let [pictures, verdict, read_out, legend, findings] = Layout::vertical([
        Constraint::Min(8),
        Constraint::Length(VERDICT),
        Constraint::Length(1),
        Constraint::Length(LEGEND),
        Constraint::Length(findings),
    ])
    .areas(body);
    Parts {
        pictures,
        verdict,
        read_out,
        legend,
        findings,
    }
}

/// Returns the pictures in sight with their places.
fn placed(screen: &CompareScreen, shared: &Shared, area: Rect) -> Vec<(Pane, Rect)> {
    if let Some(pane) = screen.shown_alone(shared) {
        return vec![(pane, area)];
    }
    let thirds: [Rect; 3] = Layout::horizontal([Constraint::Ratio(1, 3); 3]).areas(area);
    [Pane::Before, Pane::After, Pane::Change]
        .into_iter()
        .zip(thirds)
        .collect()
}

/// Draws the screen.
pub(super) fn draw(screen: &CompareScreen, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
    let theme = &shared.theme;
    match screen.answer() {
        Some(Ok(view)) => {
            let rack = screen.chosen(view).and_then(|n| view.rack(n));
            if let Some(rack) = rack {
                let sheet = Sheet::of(screen, shared, view, rack);
                sheet.draw(body, frame.buffer_mut(), theme);
            }
        }
        Some(Err(reason)) => {
            let words = format!("These tests cannot be compared: {reason}");
            let text = Paragraph::new(words).style(theme.style(Role::Wrong));
            frame.render_widget(text.wrap(Wrap { trim: true }), body);
        }
        None => {
            let text = Paragraph::new("Comparing ...").style(theme.style(Role::Quiet));
            frame.render_widget(text, body);
        }
    }
}

/// Finds what a press at `at` stands for.
pub(super) fn hit(
    screen: &CompareScreen,
    shared: &Shared,
    body: Rect,
    at: Position,
) -> Option<Act> {
    let view = screen.ready()?;
    let grid = view.rack(screen.chosen(view)?)?.difference.grid;
    placed(screen, shared, parts(body).pictures)
        .into_iter()
        .find_map(|(_, area)| {
            let picture = below_heading(area);
            let (x, y) = place_under(at, inside(picture, &grid)?, &grid)?;
            Some(Act::Point(x / grid.width, y / grid.depth))
        })
}

/// What the screen is drawn from, once there is an answer.
struct Sheet<'a> {
    screen: &'a CompareScreen,
    shared: &'a Shared,
    view: &'a CompareView,
    rack: &'a RackComparison,
    /// The change, laid on the level before so that it reads in degrees.
    change: RackMap,
    /// Of before and after, over all racks.
    scale: Scale,
    /// Of the change, over all racks.
    of_change: Scale,
}

impl<'a> Sheet<'a> {
    fn of(
        screen: &'a CompareScreen,
        shared: &'a Shared,
        view: &'a CompareView,
        rack: &'a RackComparison,
    ) -> Self {
        let quantity = Quantity::Degrees {
            unit: view.unit,
            per_c: view.sensitivity.per_c,
        };
        let racks = &view.comparison.racks;
        let changes: Vec<RackMap> = racks.iter().map(RackComparison::change_on_level).collect();
        Self {
            screen,
            shared,
            view,
            rack,
            change: rack.change_on_level(),
            scale: Scale::over(quantity, racks.iter().flat_map(|r| [&r.before, &r.after])),
            of_change: Scale::over(quantity, &changes),
        }
    }

    fn pane(&self, pane: Pane) -> (&RackMap, &Scale, &'static str) {
        match pane {
            Pane::Before => (&self.rack.before, &self.scale, "before"),
            Pane::After => (
                &self.rack.after,
                &self.scale,
                "after, at the level of before",
            ),
            Pane::Change => (&self.change, &self.of_change, "change, after minus before"),
        }
    }

    fn draw(&self, body: Rect, buf: &mut Buffer, theme: &Theme) {
        let parts = parts(body);
        let in_sight = placed(self.screen, self.shared, parts.pictures);
        let grid = self.rack.difference.grid;
        let cursor = (
            self.screen.cursor.0 * grid.width,
            self.screen.cursor.1 * grid.depth,
        );
        for &(pane, area) in &in_sight {
            let (map, scale, words) = self.pane(pane);
            let heading = format!(" {words}");
            let width = usize::from(area.width);
            buf.set_stringn(area.x, area.y, heading, width, theme.style(Role::Heading));
            let raster = RackRaster {
                map,
                scale,
                zones: &[],
                slices: &[],
                overlays: Overlays::default(),
                cursor: Some(cursor),
            };
            raster.draw(below_heading(area), buf, theme);
        }
        self.draw_legends(&in_sight, parts.legend, buf, theme);
        let line = |words: String, role: Role| Line::styled(words, theme.style(role));
        let verdict = self.verdict_words().map(|words| line(words, Role::Heading));
        Paragraph::new(verdict.to_vec()).render(parts.verdict, buf);
        line(self.read_out(cursor), Role::Plain).render(parts.read_out, buf);
        let lines: Vec<Line<'_>> = sentences(self.screen, self.view)
            .into_iter()
            .skip(self.screen.findings.first(usize::MAX))
            .map(Line::raw)
            .collect();
        Paragraph::new(lines)
            .style(theme.style(Role::Quiet))
            .wrap(Wrap { trim: true })
            .render(inset(parts.findings), buf);
    }

    /// Draws the legends that the pictures in sight need, side by side.
    fn draw_legends(&self, in_sight: &[(Pane, Rect)], area: Rect, buf: &mut Buffer, theme: &Theme) {
        if let [(pane, _)] = in_sight {
            let (_, scale, _) = self.pane(*pane);
            Legend { scale }.draw(inset(area), buf, theme);
            return;
        }
        let thirds = [Constraint::Ratio(2, 3), Constraint::Ratio(1, 3)];
        let [left, right] = Layout::horizontal(thirds).areas(area);
        for (scale, part) in [(&self.scale, left), (&self.of_change, right)] {
            Legend { scale }.draw(inset(part), buf, theme);
        }
    }

    /// Says how evenness changed, and the figures behind it.
    fn verdict_words(&self) -> [String; 2] {
        let (sd, level) = (self.rack.sd.change, self.rack.level.change);
        let shown = |v: f64, decimals: i32| {
            let places = usize::try_from(decimals).unwrap_or(1);
            format!("{:+.places$}", no_negative_zero(v, decimals))
        };
        let range = |r: Range, decimals: i32| {
            let [value, lo, hi] = [r.value, r.lo, r.hi].map(|v| shown(v, decimals));
            format!("{value} ({lo} to {hi})")
        };
        [
            format!(
                " rack {} evenness: {} (more even: {} likely)",
                self.rack.rack,
                self.rack.verdict.words(),
                more_even_words(self.rack),
            ),
            format!(
                " change in shades, 90 %: sd {}; level {}",
                range(sd, 2),
                range(level, 1)
            ),
        ]
    }

    /// Says what lies under the cursor in all three pictures.
    fn read_out(&self, (x, y): (f64, f64)) -> String {
        let grid = self.rack.difference.grid;
        let Some((row, col)) = grid.cell_at(x, y) else {
            return String::new();
        };
        let i = grid.index(row, col);
        let quantity = self.scale.quantity;
        let figure = |map: &RackMap| quantity.value(map.mean[i], map.rack_mean);
        let reading = self.view.reading();
        let change = reading.degrees(
            self.change.contrast[i],
            self.change.contrast_sd[i],
            self.change.rack_mean,
        );
        let unit = self.view.unit;
        let degrees = |c: f64| unit.delta_figure(CelsiusDelta(c));
        format!(
            " {}: before {}, after {}; change {:+.0} {} ({:+.0} to {:+.0}), {:+.1} shades",
            PlaceName::of(x, y, grid.width, grid.depth).words(),
            quantity.show(figure(&self.rack.before)),
            quantity.show(figure(&self.rack.after)),
            no_negative_zero(degrees(change.value), 0),
            unit.letter(),
            no_negative_zero(degrees(change.lo), 0),
            no_negative_zero(degrees(change.hi), 0),
            no_negative_zero(self.rack.difference.contrast[i] / reading.per_shade, 1),
        )
    }
}

fn below_heading(area: Rect) -> Rect {
    Rect {
        y: area.y + 1,
        height: area.height.saturating_sub(1),
        ..area
    }
}

fn inset(area: Rect) -> Rect {
    Rect {
        x: area.x + 1,
        width: area.width.saturating_sub(2),
        ..area
    }
}
