//! The bake clock: how far it is, what to do next, the bell, and the log of what was done.

mod run;
#[cfg(test)]
mod tests;
mod view;

use super::ScreenState;
use crate::workflow::catalogue::Occasion;
use crate::{
    model::{BakeLog, Oven, Shade},
    report::words::move_words,
    tui::{
        action::Action,
        app::Shared,
        effect::{Effect, Save},
        event::MouseAct,
        keys::{Binding, Key, Scope},
    },
    units::LengthUnit,
};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};
use run::{Next, Run};
use std::time::Duration;

/// How often the clock is drawn while it runs.
const TICK: Duration = Duration::from_millis(500);

/// What can be done on the bake clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClockAction {
    /// Start; then open the door for the next move, and shut it again.
    Step,
    /// Open the door for a look, and shut it again.
    Look,
    /// A minute more or less.
    Lengthen(i8),
    /// Everything is out of the oven.
    Finish,
    /// Score what came out on the tray in question.
    Shade(u8),
    /// Leave the tray in question unscored.
    Skip,
}

const fn does(action: ClockAction) -> Action {
    Action::Clock(action)
}

/// The keys of the bake clock.
pub const KEYS: &[Binding] = &[
    Binding {
        keys: &[Key::Char(' '), Key::Enter],
        action: does(ClockAction::Step),
        hint: "next",
        help: "start; open the door for the next move; shut it again",
    },
    Binding {
        keys: &[Key::Char('o')],
        action: does(ClockAction::Look),
        hint: "look",
        help: "the door is open for a look only; again: it is shut",
    },
    Binding {
        keys: &[Key::Char('+'), Key::Right],
        action: does(ClockAction::Lengthen(1)),
        hint: "longer",
        help: "bake one minute longer",
    },
    Binding {
        keys: &[Key::Char('-'), Key::Left],
        action: does(ClockAction::Lengthen(-1)),
        hint: "",
        help: "bake one minute less",
    },
    Binding {
        keys: &[Key::Char('f')],
        action: does(ClockAction::Finish),
        hint: "finish",
        help: "everything is out of the oven",
    },
    Binding {
        keys: &[
            Key::Char('0'),
            Key::Char('1'),
            Key::Char('2'),
            Key::Char('3'),
            Key::Char('4'),
            Key::Char('5'),
            Key::Char('6'),
            Key::Char('7'),
            Key::Char('8'),
            Key::Char('9'),
        ],
        action: does(ClockAction::Shade(0)),
        hint: "",
        help: "afterwards: the shade a tray came out with",
    },
    Binding {
        keys: &[Key::Char('s')],
        action: does(ClockAction::Skip),
        hint: "",
        help: "afterwards: leave a tray unscored",
    },
    Binding {
        keys: &[Key::Char('c')],
        action: Action::Cautions,
        hint: "",
        help: "read the cautions",
    },
];

/// Returns what a key's own figure makes of its action: the ten digits share one row.
pub(crate) fn with_figure(action: ClockAction, key: Key) -> ClockAction {
    match (action, key) {
        (ClockAction::Shade(_), Key::Char(c)) => c
            .to_digit(10)
            .and_then(|d| u8::try_from(d).ok())
            .map_or(action, ClockAction::Shade),
        (_, _) => action,
    }
}

/// How far the bake is.
#[derive(Debug, Clone, PartialEq)]
enum Phase {
    /// The trays are being loaded.
    Loading,
    /// It bakes.
    Baking(Run),
    /// It is out; trays from this index on are still to be scored.
    Scoring(usize),
    /// All is noted.
    Done,
}

/// The state of the bake clock.
#[derive(Debug)]
pub struct Clock {
    bake: Box<BakeLog>,
    phase: Phase,
    /// Going back was asked for once while it bakes.
    leaving: bool,
}

impl Clock {
    /// Opens on a bake that has not begun.
    pub(crate) fn new(bake: BakeLog) -> Self {
        Self {
            bake: Box::new(bake),
            phase: Phase::Loading,
            leaving: false,
        }
    }

    fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.bake.oven)
    }

    fn lengths(&self, shared: &Shared) -> LengthUnit {
        self.oven(shared)
            .map_or(LengthUnit::Centimetres, |o| o.lengths)
    }

    /// Returns the numbers of the trays, rising.
    fn trays(&self) -> Vec<usize> {
        let mut trays: Vec<usize> = self
            .bake
            .plan
            .segments
            .first()
            .map(|s| s.trays.iter().map(|t| t.tray).collect())
            .unwrap_or_default();
        trays.sort_unstable();
        trays
    }

    /// Says what the move that begins `segment` is.
    fn words_of(&self, segment: usize, lengths: LengthUnit) -> String {
        let segments = &self.bake.plan.segments;
        match (
            segment.checked_sub(1).and_then(|i| segments.get(i)),
            segments.get(segment),
        ) {
            (Some(before), Some(after)) => move_words(before, after, lengths),
            (_, _) => "take everything out".to_owned(),
        }
    }

    fn save(&self) -> Effect {
        Effect::Save(Save::Bake(self.bake.clone()))
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: ClockAction, shared: &mut Shared) -> Vec<Effect> {
        self.leaving = false;
        match action {
            ClockAction::Step => self.step(shared),
            ClockAction::Look => self.door(shared, false),
            ClockAction::Lengthen(by) => {
                if let Phase::Baking(run) = &mut self.phase {
                    run.lengthen(by);
                    shared.say(format!("out at {}", run.end()));
                }
                Vec::new()
            }
            ClockAction::Finish => self.finish(shared),
            ClockAction::Shade(digit) => self.score(Shade::whole(digit).ok(), shared),
            ClockAction::Skip => self.score(None, shared),
        }
    }

    fn step(&mut self, shared: &mut Shared) -> Vec<Effect> {
        match &self.phase {
            Phase::Loading => {
                self.bake.started = shared.now;
                self.phase = Phase::Baking(Run::begin(&self.bake.plan, shared.elapsed));
                vec![self.save()]
            }
            Phase::Baking(run) => {
                let ends = run.next().0 == Next::End && !run.is_open();
                if ends && run.is_due(shared.elapsed) {
                    self.finish(shared)
                } else if ends {
                    shared.say("no move is left; o: a look, f: take it out early");
                    Vec::new()
                } else {
                    self.door(shared, true)
                }
            }
            Phase::Scoring(_) => {
                shared.say("press the shade of the tray, 0 to 9, or s to skip it");
                Vec::new()
            }
            Phase::Done => {
                shared.back();
                Vec::new()
            }
        }
    }

    /// Opens the door, for the move or a look, or shuts it and notes what was done.
    fn door(&mut self, shared: &mut Shared, moving: bool) -> Vec<Effect> {
        let lengths = self.lengths(shared);
        let Phase::Baking(run) = &self.phase else {
            return Vec::new();
        };
        let words = match run.next().0 {
            Next::Move(segment) => self.words_of(segment, lengths),
            Next::End => "looked in".to_owned(),
        };
        let Phase::Baking(run) = &mut self.phase else {
            return Vec::new();
        };
        if let Some(at) = run.open(shared.elapsed, moving) {
            shared.say(format!("door open at {at}; the same key when it is shut"));
            return Vec::new();
        }
        let shut = run.shut(shared.elapsed, |moved| {
            if moved { words } else { "looked in".to_owned() }
        });
        match shut {
            Some(opening) => {
                let open_for = opening
                    .open_for
                    .map_or_else(String::new, |m| format!(" after {m}"));
                shared.say(format!("door shut{open_for}: {}", opening.what));
                self.bake.openings.push(opening);
                vec![self.save()]
            }
            None => Vec::new(),
        }
    }

    fn finish(&mut self, shared: &mut Shared) -> Vec<Effect> {
        let Phase::Baking(run) = &self.phase else {
            return Vec::new();
        };
        let baked = run.elapsed(shared.elapsed);
        self.bake.baked = Some(baked);
        self.phase = Phase::Scoring(0);
        shared.say(format!("baked for {baked}"));
        vec![self.save()]
    }

    fn score(&mut self, shade: Option<Shade>, shared: &mut Shared) -> Vec<Effect> {
        let Phase::Scoring(at) = self.phase else {
            return Vec::new();
        };
        let trays = self.trays();
        if let (Some(tray), Some(shade)) = (trays.get(at), shade) {
            self.bake.outcome.push((*tray, shade));
            shared.say(format!("tray {tray}: shade {shade}"));
        }
        self.phase = if at + 1 < trays.len() {
            Phase::Scoring(at + 1)
        } else {
            Phase::Done
        };
        vec![self.save()]
    }
}

impl ScreenState for Clock {
    fn scope(&self) -> Scope {
        Scope::Clock
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self
            .oven(shared)
            .map_or_else(String::new, |o| o.name.clone());
        format!("bake clock, {}, {name}", self.bake.kind.replace('-', " "))
    }

    fn guide(&self, shared: &Shared) -> String {
        match &self.phase {
            Phase::Loading => "trays in, door shut, then Space: start".to_owned(),
            Phase::Baking(run) if run.is_open() => "Space or o: the door is shut again".to_owned(),
            Phase::Baking(run) => match (run.next().0, run.is_due(shared.elapsed)) {
                (Next::Move(_), true) => "now: open the door and press Space".to_owned(),
                (Next::Move(_), false) => "wait for the bell. Space: do the move early".to_owned(),
                (Next::End, true) => "it is done: take it out and press Space".to_owned(),
                (Next::End, false) => "wait for the bell. f: take it out early".to_owned(),
            },
            Phase::Scoring(at) => match self.trays().get(*at) {
                Some(tray) => format!("how did tray {tray} come out? 0-9, s: skip"),
                None => "Space: back".to_owned(),
            },
            Phase::Done => "all is noted. Space: back to the plan".to_owned(),
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, _: &Shared, _: Rect, _: Position, act: MouseAct) -> Option<Action> {
        match act {
            MouseAct::Press => Some(does(ClockAction::Step)),
            MouseAct::WheelUp | MouseAct::WheelDown => None,
        }
    }

    fn tick(&self) -> Option<Duration> {
        match self.phase {
            Phase::Baking(_) => Some(TICK),
            Phase::Loading | Phase::Scoring(_) | Phase::Done => None,
        }
    }

    fn ticked(&mut self, shared: &mut Shared) -> Vec<Effect> {
        let Phase::Baking(run) = &mut self.phase else {
            return Vec::new();
        };
        if run.rings(shared.elapsed) {
            vec![Effect::Bell]
        } else {
            Vec::new()
        }
    }

    fn leave(&mut self, shared: &mut Shared) -> Vec<Effect> {
        match self.phase {
            Phase::Baking(_) if !self.leaving => {
                self.leaving = true;
                shared.say("it is still baking. Esc again: stop this clock; the log is kept");
                Vec::new()
            }
            Phase::Baking(_) | Phase::Loading | Phase::Scoring(_) | Phase::Done => {
                shared.back();
                Vec::new()
            }
        }
    }

    fn cautions(&self) -> Option<Occasion> {
        Some(Occasion::Bake)
    }
}
