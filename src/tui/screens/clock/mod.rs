//! The bake clock: how far it is, what to do next, the bell, and the log of what was done.

mod state;
#[cfg(test)]
mod tests;
mod view;

pub(crate) use state::Clock;

use crate::tui::bell::{AGAIN, due, run::Next};
use crate::tui::prelude::*;
use crate::tui::shared::{Call, Timed};
use crate::workflow::catalogue::bake_name;
use state::{Act, Phase, TICK};
use std::time::Duration;

keys! {
    /// The keys of the bake clock.
    pub(crate) KEYS: Act, "Bake clock";
    ' ' | Enter => Step, "next", "start; open the door for the next move; shut it again";
    'o' => Look, "take a look", "open the door for a look; press again when it is shut";
    Right => Lengthen(1), "a minute more", "bake one minute longer";
    Left => Lengthen(-1), "", "bake one minute less";
    'u' | Backspace => Undo, "undo", "take the last thing back: a door, a move, minutes";
    'f' => Finish, "finish", "everything is out of the oven";
    'c' => Cautions, "cautions", "read the cautions";
}

keys! {
    /// The keys once everything is out.
    pub(crate) OUT_KEYS: Act, "Bake clock, once it is out";
    Digits => Shade, "shade", "the shade the tray came out with";
    '+' | '.' => Half, "half", "put half a step on the tray just scored, or take it off again";
    's' => Skip, "skip", "leave the tray unscored";
    'p' => Pieces, "piece by piece", "score what came out piece by piece, against what the plan expected";
    'u' | Backspace => Undo, "undo", "take the last thing back: the end, a shade";
    ' ' | Enter => Step, "", "back, once every tray has its shade or is skipped";
    'c' => Cautions, "", "read the cautions";
}

impl Room for Clock {
    as_usual!();

    fn table(&self) -> &'static Table<Act> {
        match self.phase {
            Phase::Loading | Phase::Baking(_) => &KEYS,
            Phase::Scoring(_) | Phase::Done => &OUT_KEYS,
        }
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self
            .oven(shared)
            .map_or_else(String::new, |o| o.name.clone());
        format!("bake clock, {}, {name}", bake_name(&self.bake.plan))
    }

    fn guide(&self, shared: &Shared) -> String {
        match &self.phase {
            Phase::Loading => "trays in, door shut, then Space: start".to_owned(),
            Phase::Baking(run) if run.is_looking() => "o: the door is shut again".to_owned(),
            Phase::Baking(run) if run.is_open() => "Space or o: the door is shut again".to_owned(),
            Phase::Baking(run) => match (run.next(shared.elapsed).0, run.is_due(shared.elapsed)) {
                (Next::Move(_), true) => "now: open the door and press Space".to_owned(),
                (Next::Move(_), false) => "wait for the bell. Space: do the move early".to_owned(),
                (Next::End, true) => "it is done: take it out and press Space".to_owned(),
                (Next::End, false) => "wait for the bell. f: take it out early".to_owned(),
            },
            Phase::Scoring(at) => match self.bake.trays().get(*at) {
                Some(tray) => {
                    format!("how did tray {tray} come out? 0-9, +: half, s: skip, u: undo")
                }
                None => "Space: back".to_owned(),
            },
            Phase::Done => {
                "noted. p: piece by piece, +: half a step, u: take back. Space: back".to_owned()
            }
        }
    }

    fn view_small(&self, shared: &Shared, frame: &mut Frame<'_>, area: Rect) -> bool {
        view::draw_small(self, shared, frame, area)
    }

    fn press(&self, _: &Shared, _: Rect, _: Position) -> Option<Act> {
        Some(Act::Step)
    }

    fn tick(&self) -> Option<Duration> {
        match self.phase {
            Phase::Baking(_) => Some(TICK),
            Phase::Loading | Phase::Scoring(_) | Phase::Done => None,
        }
    }

    fn ticked(&mut self, shared: &mut Shared) {
        let (Phase::Baking(run), Some(shown)) = (&self.phase, self.shows()) else {
            return;
        };
        // An open door is answer enough.
        let is_due = run.is_due(shared.elapsed) && !run.is_open();
        if shared.rings(&shown, is_due.then_some(Call::Due(AGAIN))) {
            shared.ring(due(run.next(shared.elapsed).0, &self.bake.plan, ""));
        }
    }

    fn shows(&self) -> Option<Timed> {
        Some(Timed::Bake(self.bake.id.clone()))
    }

    fn leave(&mut self, shared: &mut Shared) {
        self.go(shared);
    }
}
