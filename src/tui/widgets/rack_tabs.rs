//! The rack positions of an oven as tabs, the highest on top as in the oven: number, shading, and how each one is.

use super::{list, rack_raster};
use crate::{
    field::RackMap,
    report::Scale,
    tui::theme::{Role, Theme},
};
use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
};

/// One rack position.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tab {
    /// Its number.
    pub rack: u8,
    /// How it is; `None` where nothing is known.
    pub words: Option<String>,
}

/// The rack positions of an oven.
#[derive(Debug)]
pub struct RackTabs<'a> {
    /// The rack positions, highest first.
    pub tabs: &'a [Tab],
    /// The one in sight.
    pub chosen: Option<u8>,
    /// What is known of them.
    pub maps: &'a [RackMap],
    /// How that is shaded.
    pub scale: &'a Scale,
}

/// Columns of the shading beside the number.
const SWATCH: u16 = 4;

impl RackTabs<'_> {
    /// Draws a line for each rack position.
    pub fn draw(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        for (tab, y) in in_sight(self.tabs, area).zip(area.y..area.bottom()) {
            let chosen = self.chosen == Some(tab.rack);
            let role = match (chosen, &tab.words) {
                (true, _) => Role::Chosen,
                (false, Some(_)) => Role::Plain,
                (false, None) => Role::Quiet,
            };
            let number = format!("{}{:>2} ", list::mark(chosen), tab.rack);
            buf.set_string(area.x, y, number, theme.style(role));
            let swatch = Rect::new(area.x + 4, y, SWATCH, 1);
            if let Some(map) = self.maps.iter().find(|m| m.rack == tab.rack) {
                rack_raster::draw_strip(map, self.scale, swatch, (buf, theme));
            }
            let words = tab.words.as_deref().unwrap_or("not tested");
            let from = swatch.right() + 1;
            let room = usize::from(area.right().saturating_sub(from));
            buf.set_stringn(from, y, words, room, theme.style(role));
        }
    }

    /// Finds the rack position at `at` that can be shown.
    pub fn at(tabs: &[Tab], area: Rect, at: Position) -> Option<u8> {
        if !area.contains(at) {
            return None;
        }
        let tab = in_sight(tabs, area).nth(usize::from(at.y - area.y))?;
        tab.words.as_ref().map(|_| tab.rack)
    }
}

/// Returns the tabs drawn: all of them where they fit, else those of which something is known.
fn in_sight(tabs: &[Tab], area: Rect) -> impl Iterator<Item = &Tab> {
    let all = tabs.len() <= usize::from(area.height);
    tabs.iter().filter(move |t| all || t.words.is_some())
}
