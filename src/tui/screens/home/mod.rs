//! Home: the ovens of this kitchen, and the toast tests of the one that is chosen.

mod glance;
mod state;
mod view;

pub(crate) use state::Home;

use crate::tui::bell::{count_running, dough, first, running, toast};
use crate::tui::prelude::*;
use crate::tui::shared::Timed;
use glance::{under_ovens, under_tests};
use state::{Act, OVEN_ROWS, Side, bake_words, is_untouched};
use view::{inner, parts, welcome};

keys! {
    /// The keys of the home screen.
    pub(crate) KEYS: Act, "Kitchen";
    Enter => Open, "open", "do what comes next for the oven or test under the cursor";
    'n' => NewOven, "new", "describe a new oven";
    't' => Toast, "test", "lay out a toast test for the oven";
    's' => Score, "", "go on scoring the test under the cursor, or the newest unfinished one";
    'm' => Map, "map", "see where the oven runs hot and cool";
    'p' => Plan, "plan", "plan a bake in the oven";
    'r' => Record, "record", "see bakes and service visits of the oven";
    'f' => Photo, "photo", "read the scores of the test under the cursor, or the newest unfinished one, from a photo";
    'a' => Air, "air", "read the oven's air with a thermometer, and see what its readings say";
    'k' => Recipes, "recipes", "see, write down and change recipes of your own";
    'e' => EditOven, "edit", "edit the oven's description";
    'v' => Check, "check", "check with a few slices whether the oven is still the one on record";
    'y' => Dough, "dough", "time a dough that rises, in the oven's proofing mode or any warm place";
    'b' => Clock, "", "to the clock of what is in an oven and due first";
    'x' => SetAside, "", "set the test under the cursor aside (kept in the data folder, press twice)";
    'u' => Undo, "", "take back the test that was set aside last";
    '/' => Search, "", "find an oven by typing a part of its name, where there are many";
    'o' => Sort, "", "sort many ovens by what is due, or by name again";
    Up => Up, "", "row up";
    Down => Down, "", "row down";
    Tab | Left | Right => Side, "", "from the ovens to the tests and back";
}

keys! {
    /// The keys while a name is typed; characters go into it.
    pub(crate) SEARCH_KEYS: Act, "Finding an oven";
    Enter | Tab => Found, "to the oven", "keep what was found and go on with it";
    Up => Up, "", "row up";
    Down => Down, "", "row down";
}

impl Room for Home {
    type Act = Act;

    fn refreshed(&mut self, shared: &mut Shared) -> bool {
        self.ask(shared);
        true
    }

    fn table(&self) -> &'static Table<Act> {
        if self.typing { &SEARCH_KEYS } else { &KEYS }
    }

    fn takes_text(&self) -> bool {
        self.typing
    }

    fn typed(&mut self, typed: Typed, shared: &mut Shared) {
        if let Some(name) = &mut self.name {
            name.typed(&typed);
        }
        self.select_first_found(shared);
    }

    fn entered(&mut self, shared: &mut Shared) {
        self.ask(shared);
    }

    fn answered(&mut self, answer: &Answer, _shared: &mut Shared) {
        self.lines.settle(answer);
    }

    fn leave(&mut self, shared: &mut Shared) {
        self.typing = false;
        if self.name.take().is_none() {
            shared.back();
        }
    }

    fn act(&mut self, act: Act, shared: &mut Shared) {
        self.update(act, shared);
        self.ask_for_map(shared);
    }

    fn title(&self, shared: &Shared) -> String {
        let ovens = match shared.kitchen.ovens().len() {
            0 => "kitchen".to_owned(),
            1 => "kitchen, 1 oven".to_owned(),
            n => match &self.name {
                Some(name) => format!(
                    "kitchen, {} of {n} ovens named \"{}{}\"",
                    self.order(shared).len(),
                    name.raw(),
                    if self.typing { "\u{2581}" } else { "" }
                ),
                None => format!("kitchen, {n} ovens"),
            },
        };
        // Whatever the cursor is on, what is hot and what rises stays in sight.
        let bake = running(shared).map(|bake| bake_words(bake, shared));
        let dough = dough::running(shared).map(|dough| format!("{} is rising", dough.name));
        let there: Vec<String> = [Some(ovens), bake, dough].into_iter().flatten().collect();
        there.join("; ")
    }

    fn guide(&self, shared: &Shared) -> String {
        if self.typing {
            return "type a part of the oven's name, then Enter. Esc: all ovens".to_owned();
        }
        let Some(oven) = self.chosen(shared) else {
            return "n: describe your oven".to_owned();
        };
        let name = &oven.name;
        match self.next(shared) {
            Act::Toast => {
                format!("t: lay out a toast test for {name}; a: read a thermometer")
            }
            Act::Score => self.to_score(shared).map_or_else(String::new, |test| {
                if toast::runs(test, shared) {
                    return "a toast is in the oven. Enter: its clock".to_owned();
                }
                if is_untouched(test) {
                    return "s: toast it by its clock, or score it at once".to_owned();
                }
                let settled = test
                    .slices
                    .iter()
                    .filter(|s| s.reading.is_settled())
                    .count();
                format!(
                    "s: go on scoring, {settled} of {} slices done",
                    test.slices.len()
                )
            }),
            Act::Map if self.line(oven).is_some_and(|line| line.again.due) => {
                format!("t: time to test {name} again; m: its map, p: plan a bake")
            }
            Act::Map => format!("m: read the map of {name}, p: plan a bake, a: thermometer"),
            Act::NewOven => "n: describe your oven".to_owned(),
            Act::Clock => match (first(shared), running(shared)) {
                (Some(Timed::Toast(_)), _) => "a toast is in the oven. Enter: its clock".to_owned(),
                (Some(Timed::Bake(_)), Some(bake)) => {
                    let words = bake_words(bake, shared);
                    match count_running(shared) {
                        0 | 1 => format!("a bake is running: {words}. Enter: its clock"),
                        n => format!("{n} bakes run: {words}. Enter: its clock"),
                    }
                }
                _ => "a baking day is running. Enter: its clock".to_owned(),
            },
            _ => String::new(),
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        if shared.kitchen.ovens().is_empty() {
            welcome(&shared.theme, frame, body);
            return;
        }
        if self.shows_class(shared) {
            self.view_class(shared, frame, body);
            return;
        }
        let [left, right] = parts(body);
        let [ovens, bakes, keys] = under_ovens(left, shared.kitchen.ovens().len(), shared.size.0);
        let [tests, map] = under_tests(right, self.tests(shared).len());
        self.view_ovens(shared, frame, ovens);
        self.view_tests(shared, frame, tests);
        let buf = frame.buffer_mut();
        self.view_bakes(shared, buf, bakes);
        Self::view_more_keys(shared, buf, keys);
        self.view_map(shared, buf, map);
    }

    fn wheel(&self) -> Option<[Act; 2]> {
        Some([Act::Up, Act::Down])
    }

    fn press(&self, shared: &Shared, body: Rect, at: Position) -> Option<Act> {
        if shared.kitchen.ovens().is_empty() {
            return Some(Act::NewOven);
        }
        if self.shows_class(shared) {
            let order = self.order(shared);
            let row = list::row_at(body, 1, self.row_in(&order), at)?;
            return order.get(row).copied().map(Act::ToOven);
        }
        let [left, right] = parts(body);
        let ovens = shared.kitchen.ovens().len();
        let [left, _, keys] = under_ovens(left, ovens, shared.size.0);
        if let Some(act) = Self::more_at(keys, at) {
            return Some(act);
        }
        let [right, map] = under_tests(right, self.tests(shared).len());
        if map.contains(at) && self.map_key(shared).is_some() {
            return Some(Act::Map);
        }
        let oven = list::row_at(inner(left), OVEN_ROWS, self.oven, at)
            .filter(|row| *row < shared.kitchen.ovens().len())
            .map(Act::ToOven);
        let test = || {
            list::row_at(inner(right), 1, self.test, at)
                .filter(|row| *row < self.tests(shared).len())
                .map(Act::ToTest)
        };
        oven.or_else(test)
    }
}
