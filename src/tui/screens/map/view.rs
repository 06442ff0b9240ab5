//! Drawing of the map screen: one rack position as large as the window allows, and a column of words beside it.

use super::{Act, MapScreen, Seen};
use crate::tui::prelude::*;
use crate::workflow::view::{MapView, ReadOut};
use crate::{
    field::{RackMap, Zone},
    model::{Oven, PlaceName, ToastTest},
    report::{Quantity, Scale, text::wrap},
    tui::widgets::{
        Legend, RackBar, RackRaster, RackTabs, SliceMark, Tab, VerticalView,
        beside::beside,
        rack_raster::{inside, place_under},
    },
    units::Centimetres,
};

/// What the screen is drawn from, once there is a map.
pub(super) struct Sheet<'a> {
    pub(super) screen: &'a MapScreen,
    pub(super) oven: &'a Oven,
    pub(super) racks: &'a [RackMap],
    /// The rack position in sight.
    pub(super) rack: Option<u8>,
    pub(super) zones: &'a [Zone],
    pub(super) slices: &'a [SliceMark],
    pub(super) bars: &'a [RackBar],
    pub(super) tabs: Vec<Tab>,
    /// What is shown, over the range of all racks.
    pub(super) scale: Scale,
    /// What the place under the cursor reads.
    pub(super) read_out: Option<ReadOut>,
    /// Sentences about the rack in sight.
    pub(super) said: Vec<String>,
    /// What speaks against trusting it.
    pub(super) warnings: usize,
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
            let text = Paragraph::new(" Working out the map ...").style(theme.style(Role::Quiet));
            frame.render_widget(text, body);
        }
    }
}

/// Finds what a press at `at` stands for.
pub(super) fn hit(screen: &MapScreen, shared: &Shared, body: Rect, at: Position) -> Option<Act> {
    let view = screen.ready(shared)?;
    let tabs = tabs_of(screen.oven(shared)?, view);
    let parts = beside(body, tabs.len());
    if let Some(rack) = RackTabs::at(&tabs, parts.tabs, at) {
        return Some(Act::Show(rack));
    }
    let chosen = screen.chosen(view)?;
    let map = view.rack(chosen)?;
    let (x, y) = place_under(at, inside(parts.picture, &map.grid)?, &map.grid)?;
    Some(Act::Point(map.rack, x, y))
}

/// Returns a line for every rack position of the oven, the highest first.
fn tabs_of(oven: &Oven, view: &MapView) -> Vec<Tab> {
    let tab = |number: u8| Tab {
        rack: number,
        words: view.rack(number).map(|_| view.rack_words(number)),
    };
    oven.racks.iter().rev().map(|r| tab(r.number)).collect()
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
    let chosen = screen.chosen(view);
    let (x, y) = screen.cursor.place(oven.cavity.floor());
    let mut said = chosen.map_or_else(Vec::new, |rack| view.rack_sentences(rack, oven.dial.unit));
    if let (true, Some(test)) = (screen.notes_scores(), newest) {
        let dial = oven.dial.unit.show(test.setup.dial);
        said.insert(
            0,
            format!("Scores: test of {}, dial {dial}.", test.when.date()),
        );
    }
    then(&Sheet {
        screen,
        oven,
        racks: &view.map.racks,
        rack: chosen,
        zones: &view.zones,
        slices: &slices,
        bars: &RackBar::of(&view.map, quantity),
        tabs: tabs_of(oven, view),
        scale: Scale::over(quantity, &view.map.racks),
        read_out: chosen.and_then(|rack| view.read_out(rack, x, y)),
        said,
        warnings: view.warnings.len(),
    });
}

impl Sheet<'_> {
    /// Draws everything.
    pub(super) fn draw(&self, body: Rect, buf: &mut Buffer, theme: &Theme) {
        let parts = beside(body, self.tabs.len());
        self.draw_picture(parts.picture, buf, theme);
        RackTabs {
            tabs: &self.tabs,
            chosen: self.rack,
            maps: self.racks,
            scale: &self.scale,
        }
        .draw(parts.tabs, buf, theme);
        self.draw_words(parts.words, buf, theme);
        self.draw_read_out(parts.read_out, buf, theme);
        let doubt = self
            .screen
            .overlays
            .has(crate::tui::widgets::Overlay::Doubt);
        Legend {
            scale: &self.scale,
            doubt,
        }
        .draw(parts.legend, buf, theme);
    }

    fn draw_picture(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        if self.screen.seen == Seen::FromTheSide {
            let view = VerticalView {
                bars: self.bars,
                quantity: self.scale.quantity,
                chosen: self.rack,
            };
            view.draw(below(area, 1).inner(Margin::new(1, 0)), buf, theme);
            return;
        }
        let Some(map) = self.racks.iter().find(|r| Some(r.rack) == self.rack) else {
            return;
        };
        RackRaster {
            map,
            scale: &self.scale,
            zones: self.zones,
            slices: self.slices,
            overlays: self.screen.overlays,
            cursor: Some(self.screen.cursor.place((map.grid.width, map.grid.depth))),
        }
        .draw(area, buf, theme);
    }

    /// Says why, as far as whole sentences fit; the rest is a key away, and a caution is never left out unsaid.
    fn draw_words(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let width = usize::from(area.width);
        let mut room = usize::from(area.height);
        let mut y = area.y;
        let mut left_out = self.warnings;
        let caution = usize::from(self.warnings > 0);
        for sentence in &self.said {
            let lines = wrap(sentence, width, "", "");
            if lines.len() + caution > room {
                left_out = left_out.max(1);
                continue;
            }
            room -= lines.len();
            for line in lines {
                buf.set_string(area.x, y, line, theme.style(Role::Plain));
                y += 1;
            }
        }
        if room == 0 || left_out == 0 {
            return;
        }
        let (words, role) = match self.warnings {
            0 => ("i: more".to_owned(), Role::Quiet),
            1 => ("! i: 1 caution".to_owned(), Role::Caution),
            n => (format!("! i: {n} cautions"), Role::Caution),
        };
        buf.set_stringn(area.x, y, words, width, theme.style(role));
    }

    /// Says what lies under the cursor: place, shade, and how much hotter or cooler.
    fn draw_read_out(&self, area: Rect, buf: &mut Buffer, theme: &Theme) {
        let (Some(rack), Some(read)) = (self.rack, self.read_out) else {
            return;
        };
        let c = self.oven.cavity;
        let (x, y) = self.screen.cursor.place(c.floor());
        let place = PlaceName::of(x, y, c.width.0, c.depth.0).spoken();
        let unit = self.oven.dial.unit;
        let degrees = read.heat_words(unit);
        let lengths = self.oven.lengths;
        let lines = [
            (format!("Rack {rack}, {place}:"), Role::Heading),
            (
                format!("shade {:.1}, {degrees}", read.shade.value),
                Role::Heading,
            ),
            (
                format!("{} from the left,", lengths.show(Centimetres(x))),
                Role::Quiet,
            ),
            (
                format!("{} from the door", lengths.show(Centimetres(y))),
                Role::Quiet,
            ),
        ];
        for ((words, role), y) in lines.into_iter().zip(area.y..area.bottom()) {
            buf.set_stringn(area.x, y, words, usize::from(area.width), theme.style(role));
        }
    }
}

/// Returns everything behind the picture: what lies under the cursor with its ranges, findings, evenness, warnings.
pub(super) fn why(screen: &MapScreen, oven: &Oven, view: &MapView) -> Vec<String> {
    let mut said = Vec::new();
    let (x, y) = screen.cursor.place(oven.cavity.floor());
    let read = screen
        .chosen(view)
        .and_then(|rack| Some((rack, view.read_out(rack, x, y)?)));
    if let Some((rack, read)) = read {
        said.extend(view.place_sentences(rack, &read, (oven.dial.unit, oven.lengths)));
    }
    said.extend(view.findings.iter().cloned());
    for e in &view.evenness {
        said.push(format!(
            "Rack {}: {:.1} shades from light to dark ({:.1} to {:.1}); {:.0} % of it ({:.0} to {:.0}) within half a shade.",
            e.rack,
            e.spread.value,
            e.spread.lo,
            e.spread.hi,
            e.within_half.value * 100.0,
            e.within_half.lo * 100.0,
            e.within_half.hi * 100.0
        ));
    }
    said
}

impl MapScreen {
    pub(super) fn quantity(&self, oven: &Oven, view: &MapView) -> Quantity {
        if self.shows_degrees {
            Quantity::degrees(oven.dial.unit, &view.sensitivity)
        } else {
            Quantity::Shade
        }
    }
}
