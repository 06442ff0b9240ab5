//! Drawing of the compare screen: pictures on one scale, as large as they go, and a column of words beside them.

use super::state::{Act, CompareScreen, Pane};
use crate::tui::prelude::*;
use crate::{
    compare::RackComparison,
    field::RackMap,
    model::PlaceName,
    report::{Quantity, Scale, quantity::signed},
    tui::widgets::{
        Legend, Overlays, RackCursor, RackRaster, RackTabs, Tab,
        beside::beside,
        rack_raster::{inside, place_under},
    },
    units::CelsiusDelta,
    workflow::compare::{CompareView, more_even_words, state_words},
};

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
    let tabs = tabs_of(view);
    let parts = beside(body, tabs.len());
    if let Some(rack) = RackTabs::at(&tabs, parts.tabs, at) {
        return Some(Act::Show(rack));
    }
    placed(screen, shared, parts.picture)
        .into_iter()
        .find_map(|(_, area)| {
            let picture = below(area, 1);
            let (x, y) = place_under(at, inside(picture, &grid)?, &grid)?;
            let cursor = RackCursor::at((x, y), (grid.width, grid.depth));
            Some(Act::Point(cursor))
        })
}

/// Returns a line for every rack position tested on both sides, the highest first.
fn tabs_of(view: &CompareView) -> Vec<Tab> {
    let racks = view.comparison.racks.iter().rev();
    racks
        .map(|r| Tab {
            rack: r.rack,
            words: Some(state_words(r)),
        })
        .collect()
}

/// What the screen is drawn from, once there is an answer.
struct Sheet<'a> {
    screen: &'a CompareScreen,
    shared: &'a Shared,
    view: &'a CompareView,
    rack: &'a RackComparison,
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
        let quantity = Quantity::degrees(view.unit, &view.sensitivity);
        let racks = &view.comparison.racks;
        Self {
            screen,
            shared,
            view,
            rack,
            scale: Scale::over(quantity, racks.iter().flat_map(|r| [&r.before, &r.after])),
            of_change: Scale::over(quantity, racks.iter().map(|r| &r.change_on_level)),
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
            Pane::Change => (
                &self.rack.change_on_level,
                &self.of_change,
                "change, after minus before",
            ),
        }
    }

    fn draw(&self, body: Rect, buf: &mut Buffer, theme: &Theme) {
        let tabs = tabs_of(self.view);
        let parts = beside(body, tabs.len());
        let in_sight = placed(self.screen, self.shared, parts.picture);
        let grid = self.rack.difference.grid;
        let cursor = self.screen.cursor.place((grid.width, grid.depth));
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
            raster.draw(below(area, 1), buf, theme);
        }
        // The tabs and the legend belong to the last picture: the change, where all three are in sight.
        let shown = in_sight.last().map_or(Pane::Change, |(pane, _)| *pane);
        let (_, scale, _) = self.pane(shown);
        let racks = self.view.comparison.racks.iter();
        let maps: Vec<RackMap> = racks
            .map(|rack| match shown {
                Pane::Before => rack.before.clone(),
                Pane::After => rack.after.clone(),
                Pane::Change => rack.change_on_level.clone(),
            })
            .collect();
        RackTabs {
            tabs: &tabs,
            chosen: Some(self.rack.rack),
            maps: &maps,
            scale,
        }
        .draw(parts.tabs, buf, theme);
        Legend { scale, doubt: true }.draw(parts.legend, buf, theme);
        self.draw_words(parts.words, buf, theme);
        let said = self.read_out(cursor);
        for ((i, words), y) in (0..)
            .zip(said)
            .zip(parts.read_out.y..parts.read_out.bottom())
        {
            let role = if i == 0 { Role::Heading } else { Role::Plain };
            let width = usize::from(parts.read_out.width);
            buf.set_stringn(parts.read_out.x, y, words, width, theme.style(role));
        }
    }

    /// Says how sure the verdict of this rack is, and what stands against comparing, as far as it fits.
    fn draw_words(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let (rack, share) = (self.rack.rack, more_even_words(self.rack));
        let mut said = vec![(
            Role::Plain,
            format!("Rack {rack} bakes more evenly: {share} likely."),
        )];
        match self.view.warnings.len() {
            0 => {}
            1 => said.push((Role::Caution, "! 1 caution. i: read it".to_owned())),
            n => said.push((Role::Caution, format!("! {n} cautions. i: read"))),
        }
        said.push((Role::Quiet, "Space: before and after".to_owned()));
        sentences::say(said, "", area, buf, theme);
    }

    /// Says what lies under the cursor: before, after, and the change.
    fn read_out(&self, (x, y): (f64, f64)) -> Vec<String> {
        let grid = self.rack.difference.grid;
        let Some((row, col)) = grid.cell_at(x, y) else {
            return Vec::new();
        };
        let i = grid.index(row, col);
        let quantity = self.scale.quantity;
        let figure = |map: &RackMap| quantity.show(quantity.value(map.mean[i], map.rack_mean));
        let map = &self.rack.change_on_level;
        let reading = self.view.reading();
        let change = reading.degrees(map.contrast[i], map.contrast_sd[i], map.level());
        let unit = self.view.unit;
        let degrees = |c: f64| signed(unit.delta_figure(CelsiusDelta(c)));
        let place = PlaceName::of(x, y, grid.width, grid.depth).spoken();
        vec![
            format!("Rack {}, {place}:", self.rack.rack),
            format!("before {}", figure(&self.rack.before)),
            format!("after {}", figure(&self.rack.after)),
            format!(
                "change {} {} ({} to {})",
                degrees(change.value),
                unit.letter(),
                degrees(change.lo),
                degrees(change.hi)
            ),
        ]
    }
}
