//! The map screen: a rack position shaded, as large as it goes, read out under a cursor, the others as tabs.

mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::MapScreen;

use crate::tui::prelude::*;
use crate::tui::widgets::Overlay;
use crate::workflow::{
    pool::{Pool, Which},
    view::MapView,
};
use state::{Act, Seen};

keys! {
    /// The keys of the map screen.
    pub(crate) KEYS: Act, "Map";
    Enter | 'p' => Plan, "plan", "plan a bake on this map";
    Tab | 'n' => Rack(1), "next rack", "next rack position";
    'e' => Correct, "correct scores", "correct the scores of the newest test behind this map";
    'd' => Quantity, "degrees", "show degrees, or shades again";
    's' => Toggle(Overlay::Scores), "scores", "show the scores of the slices, of the newest test where several count together";
    'v' => Turn, "", "look from the side, or from above again";
    'c' => Toggle(Overlay::Contours), "", "show or hide lines at whole shades or degrees";
    'z' => Toggle(Overlay::Zones), "", "show or hide outlines and names of hot and cool zones";
    'a' => Toggle(Overlay::Arrows), "", "show or hide arrows towards the steepest rise";
    'u' => Toggle(Overlay::Doubt), "", "fade where little is known, or not";
    BackTab => Rack(-1), "", "previous rack position";
    Left => Move(-1, 0), "", "cursor left";
    Right => Move(1, 0), "", "cursor right";
    Up => Move(0, 1), "", "cursor towards the back wall";
    Down => Move(0, -1), "", "cursor towards the door";
    'w' => Paper, "", "write the card for the oven door and the technician's sheet as PDF";
}

impl Room for MapScreen {
    as_usual!(KEYS, [Act::Rack(1), Act::Rack(-1)]);

    fn refreshed(&mut self, _shared: &mut Shared) -> bool {
        true
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
        let newest = tests
            .last()
            .map_or_else(String::new, |t| format!(", newest {}", t.when.date()));
        format!("{name}{mode}, {count}{newest}")
    }

    fn guide(&self, shared: &Shared) -> String {
        match self.map(shared) {
            None => "the map appears by itself in a moment".to_owned(),
            Some(Err(_)) => "Esc: back".to_owned(),
            Some(Ok(_)) => {
                "arrows: read a place. i: why, and how sure. Enter: plan a bake".to_owned()
            }
        }
    }

    fn verdict(&self, shared: &Shared) -> Option<String> {
        self.ready(shared).map(MapView::verdict)
    }

    fn why(&self, shared: &Shared) -> Vec<Sentence> {
        let (Some(view), Some(oven)) = (self.ready(shared), self.oven(shared)) else {
            return Vec::new();
        };
        let warnings = view.warnings.iter().map(Sentence::warning);
        let said = view::why(self, oven, view).into_iter();
        warnings.chain(said.map(Sentence::finding)).collect()
    }

    fn press(&self, shared: &Shared, body: Rect, at: Position) -> Option<Act> {
        view::hit(self, shared, body, at)
    }

    fn entered(&mut self, shared: &mut Shared) {
        // Scores may have changed since the map in hand was fitted: ask again, show the old till then.
        let Some(oven) = self.oven(shared).cloned() else {
            return;
        };
        let pool = Pool::choose(&shared.kitchen, &oven, &Which::These(self.tests.clone()));
        shared.ask_map(pool);
    }
}
