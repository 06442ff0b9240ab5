//! The chosen oven at a glance: its map, small, what was baked in it lately, and keys that the hint bar has no room for.

use super::{Home, state::Act, view::heading};
use crate::{
    report::{Quantity, Scale, text::wrap},
    tui::{
        shared::{MapKey, Shared},
        theme::Role,
        widgets::{Overlay, Overlays, RackRaster, list::shortened, rack_raster::cells},
    },
    workflow::{catalogue::bake_name, view::MapView},
};
use ratatui::{
    buffer::Buffer,
    layout::{Constraint, Layout, Position, Rect},
    widgets::{Paragraph, Widget, Wrap},
};

/// Rows of a heading over a list or a map.
const HEADING: u16 = 2;
/// Most rows of bakes.
const MOST_BAKES: usize = 12;
/// From this many columns on the hint bar has room for every key.
const ROOM_FOR_ALL: u16 = 118;
/// What the hint bar has no room for in a narrow window.
const MORE_KEYS: [[(&str, Act); 2]; 2] = [
    [("a thermometer", Act::Air), ("v quick check", Act::Check)],
    [("k recipes", Act::Recipes), ("y rising dough", Act::Dough)],
];
/// Columns from one of them to the next.
const MORE_WIDTH: u16 = 15;

/// The parts of the right side: the toast tests, and under them the map where there is room for one.
pub(super) fn under_tests(right: Rect, tests: usize) -> [Rect; 2] {
    let least = HEADING + cells(tests.max(2)) + 1;
    let list = least.min(right.height / 3).max(HEADING + 2);
    Layout::vertical([Constraint::Length(list), Constraint::Min(0)]).areas(right)
}

/// The parts of the left side: the ovens, the bakes where there is room, and the keys that fit in no hint bar.
pub(super) fn under_ovens(left: Rect, ovens: usize, wide: u16) -> [Rect; 3] {
    let keys = if wide < ROOM_FOR_ALL {
        cells(MORE_KEYS.len())
    } else {
        0
    };
    let ovens = HEADING + cells(ovens * super::OVEN_ROWS);
    let room = left.height.saturating_sub(keys);
    let ovens = ovens.min(room);
    let [ovens, bakes, keys] = Layout::vertical([
        Constraint::Length(ovens),
        Constraint::Min(0),
        Constraint::Length(keys),
    ])
    .areas(left);
    [ovens, bakes, keys]
}

impl Home {
    /// What the map beside the lists is of: what the map screen would show.
    pub(super) fn map_key(&self, shared: &Shared) -> Option<MapKey> {
        if self.shows_class(shared) {
            return None;
        }
        Some(MapKey {
            oven: self.chosen(shared)?.id.clone(),
            tests: self.pooled(shared)?,
        })
    }

    /// Draws the map of the rack position that its verdict names, as large as it goes.
    pub(super) fn view_map(&self, shared: &Shared, buf: &mut Buffer, area: Rect) {
        if area.height < HEADING + 4 {
            return;
        }
        let Some(key) = self.map_key(shared) else {
            return;
        };
        let theme = &shared.theme;
        let inside = super::inner(area);
        match shared.map.held_for(&key) {
            Some(Ok(view)) => {
                heading("Map", false, theme).render(area, buf);
                draw_map(view, shared, buf, inside);
            }
            Some(Err(reason)) => {
                heading("Map", false, theme).render(area, buf);
                let words = Paragraph::new(format!("none yet: {reason}"));
                let words = words
                    .style(theme.style(Role::Quiet))
                    .wrap(Wrap { trim: true });
                words.render(inside, buf);
            }
            None => heading("Map: being worked out ...", false, theme).render(area, buf),
        }
    }

    /// Draws what was baked in the chosen oven, newest first.
    pub(super) fn view_bakes(&self, shared: &Shared, buf: &mut Buffer, area: Rect) {
        let Some(oven) = self.chosen(shared) else {
            return;
        };
        let bakes = shared.kitchen.bakes_of(&oven.id);
        if area.height <= HEADING || bakes.is_empty() {
            return;
        }
        let theme = &shared.theme;
        heading("Baked lately", false, theme).render(area, buf);
        let inside = super::inner(area);
        let rows = inside.y..inside.bottom();
        for (bake, y) in bakes.iter().rev().take(MOST_BAKES).zip(rows) {
            let words = format!(
                "  {} {}",
                bake.started.civil().date(),
                bake_name(&bake.plan)
            );
            let words = shortened(&words, inside.width);
            buf.set_string(inside.x, y, words, theme.style(Role::Quiet));
        }
    }

    /// Draws the keys that a narrow hint bar leaves out.
    pub(super) fn view_more_keys(shared: &Shared, buf: &mut Buffer, area: Rect) {
        for (row, y) in MORE_KEYS.iter().zip(area.y..area.bottom()) {
            for ((words, _), i) in row.iter().zip(0_u16..) {
                let x = area.x + 1 + i * MORE_WIDTH;
                let width = usize::from(area.right().saturating_sub(x));
                buf.set_stringn(x, y, words, width, shared.theme.style(Role::Quiet));
                buf.set_stringn(x, y, &words[..1], width, shared.theme.style(Role::Key));
            }
        }
    }

    /// Finds what the key drawn at `at` does.
    pub(super) fn more_at(area: Rect, at: Position) -> Option<Act> {
        if !area.contains(at) {
            return None;
        }
        let row = MORE_KEYS.get(usize::from(at.y - area.y))?;
        let column = usize::from((at.x - area.x).saturating_sub(1) / MORE_WIDTH);
        row.get(column).map(|(_, act)| *act)
    }
}

fn draw_map(view: &MapView, shared: &Shared, buf: &mut Buffer, area: Rect) {
    let theme = &shared.theme;
    let verdict = wrap(&view.verdict(), usize::from(area.width), "", "");
    let [words, picture] =
        Layout::vertical([Constraint::Length(cells(verdict.len())), Constraint::Min(0)])
            .areas(area);
    for (line, y) in verdict.iter().zip(words.y..words.bottom()) {
        buf.set_string(words.x, y, line, theme.style(Role::Caution));
    }
    let racks = &view.map.racks;
    let named = view.strongest_rack().and_then(|number| view.rack(number));
    let Some(map) = named.or_else(|| racks.first()) else {
        return;
    };
    RackRaster {
        map,
        scale: &Scale::over(Quantity::Shade, racks),
        zones: &view.zones,
        slices: &[],
        overlays: Overlays::none().with(Overlay::Zones).with(Overlay::Doubt),
        cursor: None,
    }
    .draw(picture, buf, theme);
}
