//! The map screen: every rack position shaded, read out under a cursor, in shades or degrees.

mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::MapScreen;

use crate::tui::{
    event::MouseAct,
    keys::{Table, keys},
    screen::Room,
    shared::Shared,
    widgets::Overlay,
};
use crate::workflow::pool::{Pool, Which};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};
use state::{Act, Arrangement};

keys! {
    /// The keys of the map screen.
    pub(crate) KEYS: Act, "Map";
    Enter | 'p' => Plan, "plan", "plan a bake on this map";
    Tab | 'n' => Rack(1), "rack", "next rack position";
    'v' => Arrange, "view", "racks side by side, one large, or from the side";
    'd' => Quantity, "degrees", "degrees or shades";
    'c' => Toggle(Overlay::Contours), "lines", "contour lines at whole shades or degrees";
    'z' => Toggle(Overlay::Zones), "zones", "outlines and names of hot and cool zones";
    'a' => Toggle(Overlay::Arrows), "arrows", "arrows towards the steepest rise";
    's' => Toggle(Overlay::Scores), "scores", "the scores of the slices, of the newest test where several count together";
    'u' => Toggle(Overlay::Doubt), "", "fade where little is known";
    'e' => Spread, "", "what the uncertain rate of browning makes of the degrees";
    PageDown => Findings(1), "", "next findings";
    PageUp => Findings(-1), "", "findings before";
    BackTab => Rack(-1), "", "previous rack position";
    Left => Move(-1, 0), "", "cursor left";
    Right => Move(1, 0), "", "cursor right";
    Up => Move(0, 1), "", "cursor towards the back wall";
    Down => Move(0, -1), "", "cursor towards the door";
    'w' => Paper, "", "write the card for the oven door and the technician's sheet as PDF";
}

impl Room for MapScreen {
    type Act = Act;

    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        true
    }

    fn table(&self) -> &'static Table<Act> {
        &KEYS
    }

    fn act(&mut self, act: Act, shared: &mut Shared) {
        self.update(act, shared);
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self
            .oven(shared)
            .map_or_else(String::new, |o| o.name.clone());
        let tests = self.tests(shared);
        let mode = tests
            .first()
            .map_or_else(String::new, |t| format!(", {}", t.setup.mode.words()));
        let count = match tests.len() {
            1 => "1 toast test".to_owned(),
            n => format!("{n} toast tests"),
        };
        format!("map of {name}{mode}, {count}")
    }

    fn guide(&self, shared: &Shared) -> String {
        match self.map(shared) {
            None => "the map is being fitted; it appears by itself".to_owned(),
            Some(Err(_)) => "Esc: back".to_owned(),
            Some(Ok(_)) => {
                "arrows: read a place. d: degrees or shades. Enter: plan a bake".to_owned()
            }
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, shared: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Act> {
        match act {
            MouseAct::WheelUp => Some(Act::Rack(1)),
            MouseAct::WheelDown => Some(Act::Rack(-1)),
            MouseAct::Press => view::hit(self, shared, body, at),
        }
    }

    fn entered(&mut self, shared: &mut Shared) {
        // Scores may have changed since the map in hand was fitted: ask anew, show the old till then.
        let Some(oven) = self.oven(shared).cloned() else {
            return;
        };
        let pool = Pool::choose(&shared.kitchen, &oven, &Which::These(self.tests.clone()));
        shared.ask_map(pool);
    }
}
