//! The bake clock: how far it is, what to do next, the bell, and the log of what was done.

mod run;
#[cfg(test)]
mod tests;
mod view;
mod watch;

use watch::begun_before;
pub(crate) use watch::{WATCH_TICK, ring_elsewhere, running, runs};

use super::{Screen, ScreenState, kind_name, outcome::Outcome};
use crate::workflow::catalogue::Occasion;
use crate::{
    model::{BakeLog, Opened, Oven, Shade},
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
/// A move or an end further off than this is asked about first, minutes.
const EARLY_MIN: f64 = 1.0;
/// A key pressed again sooner than this bounced or was held; it answers no question.
const BOUNCE: Duration = Duration::from_millis(400);
/// What can be done on the bake clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClockAction {
    /// Start; then open the door for the next move, and shut it again.
    Step,
    /// Open the door for a look, and shut it again.
    Look,
    /// A minute more or less; `+` while trays are scored: half a step.
    Lengthen(i8),
    /// Half a step more on the tray scored last, or off again.
    Half,
    /// Take the last tray's shade back.
    Undo,
    /// Everything is out of the oven.
    Finish,
    /// Score what came out on the tray in question.
    Shade(u8),
    /// Leave the tray in question unscored.
    Skip,
    /// Score what came out piece by piece.
    Pieces,
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
        help: "bake one minute longer; afterwards: half a step on the tray just scored",
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
        keys: &[Key::Char('.')],
        action: does(ClockAction::Half),
        hint: "",
        help: "afterwards: half a step more on the tray just scored, or off again",
    },
    Binding {
        keys: &[Key::Char('u'), Key::Backspace],
        action: does(ClockAction::Undo),
        hint: "",
        help: "afterwards: take the last tray's shade back",
    },
    Binding {
        keys: &[Key::Char('p')],
        action: does(ClockAction::Pieces),
        hint: "",
        help: "afterwards: score what came out piece by piece, against what the plan expected",
    },
    Binding {
        keys: &[Key::Char('c')],
        action: Action::Cautions,
        hint: "cautions",
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

/// What was asked; the same key again is the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ask {
    /// Do the next move well before it is due?
    Move,
    /// Take everything out well before the end?
    Finish,
    /// Go back while it bakes?
    Leave,
    /// Leave the program while it bakes?
    Quit,
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
    /// What the last key was asked about, and when.
    asked: Option<(Ask, Duration)>,
}

impl Clock {
    /// Opens on a bake that has not begun.
    pub(crate) fn new(bake: BakeLog) -> Self {
        Self {
            bake: Box::new(bake),
            phase: Phase::Loading,
            asked: None,
        }
    }

    /// Takes up the clock of a bake that runs, from the wall clock.
    pub(crate) fn resume(bake: BakeLog, shared: &Shared) -> Self {
        let before = begun_before(&bake, shared.moment);
        Self {
            phase: Phase::Baking(Run::resume(&bake, before, shared.elapsed)),
            bake: Box::new(bake),
            asked: None,
        }
    }

    fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.bake.oven)
    }

    fn lengths(&self, shared: &Shared) -> LengthUnit {
        self.oven(shared)
            .map_or(LengthUnit::Centimetres, |o| o.lengths)
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
        let earlier = self.asked.take();
        match action {
            ClockAction::Step => self.step(earlier, shared),
            ClockAction::Look => self.door(shared, false),
            ClockAction::Lengthen(by) => self.lengthen(by, shared),
            ClockAction::Half => self.half(shared),
            ClockAction::Undo => self.undo(shared),
            ClockAction::Finish => {
                let early = match &self.phase {
                    Phase::Baking(run) => Some(run)
                        .filter(|r| r.left_to_end(shared.elapsed).0 > EARLY_MIN)
                        .map(Run::end),
                    Phase::Loading | Phase::Scoring(_) | Phase::Done => None,
                };
                let sure = early.is_none_or(|end| {
                    let words = format!("it is due out at {end}: f again when everything is out");
                    self.is_sure(Ask::Finish, earlier, shared, words)
                });
                if sure {
                    self.finish(shared)
                } else {
                    Vec::new()
                }
            }
            ClockAction::Shade(digit) => self.score(Shade::whole(digit).ok(), shared),
            ClockAction::Skip => self.score(None, shared),
            ClockAction::Pieces => self.pieces(shared),
        }
    }

    fn pieces(&self, shared: &mut Shared) -> Vec<Effect> {
        match self.phase {
            Phase::Scoring(_) | Phase::Done => match Outcome::new((*self.bake).clone()) {
                Some(outcome) => shared.replace(Screen::Outcome(outcome)),
                None => shared.say("this plan does not know its tray's pieces; score whole trays"),
            },
            Phase::Loading | Phase::Baking(_) => {
                shared.say("pieces are scored when everything is out of the oven");
            }
        }
        Vec::new()
    }

    /// Asks about something that cannot be taken back; tells whether that was asked and seen before.
    fn is_sure(
        &mut self,
        ask: Ask,
        earlier: Option<(Ask, Duration)>,
        shared: &mut Shared,
        words: String,
    ) -> bool {
        let now = shared.elapsed;
        let first = match earlier {
            Some((before, at)) if before == ask => at,
            Some(_) | None => {
                self.asked = Some((ask, now));
                shared.say(words);
                return false;
            }
        };
        // Going away loses nothing, so a quick second key may answer.
        let seen = match ask {
            Ask::Move | Ask::Finish => now.saturating_sub(first) >= BOUNCE,
            Ask::Leave | Ask::Quit => true,
        };
        if !seen {
            self.asked = earlier;
            shared.say(words);
        }
        seen
    }

    fn lengthen(&mut self, by: i8, shared: &mut Shared) -> Vec<Effect> {
        match &mut self.phase {
            Phase::Baking(run) => {
                run.lengthen(by);
                self.bake.added = run.added();
                shared.say(format!("out at {}", run.end()));
                vec![self.save()]
            }
            Phase::Scoring(_) | Phase::Done if by > 0 => self.half(shared),
            Phase::Loading | Phase::Scoring(_) | Phase::Done => Vec::new(),
        }
    }

    fn step(&mut self, earlier: Option<(Ask, Duration)>, shared: &mut Shared) -> Vec<Effect> {
        match &self.phase {
            Phase::Loading => {
                self.bake.started = shared.moment;
                self.phase = Phase::Baking(Run::begin(&self.bake.plan, shared.elapsed));
                vec![self.save()]
            }
            Phase::Baking(run) if run.is_open() => self.door(shared, true),
            Phase::Baking(run) => match run.next() {
                (Next::End, _) if run.is_due(shared.elapsed) => self.finish(shared),
                (Next::End, _) => {
                    shared.say("no move is left; o: a look, f: take it out early");
                    Vec::new()
                }
                (Next::Move(number), at) if run.left(shared.elapsed).0 > EARLY_MIN => {
                    let words = format!("move {number} is due at {at}: Space again to do it now");
                    if self.is_sure(Ask::Move, earlier, shared, words) {
                        self.door(shared, true)
                    } else {
                        Vec::new()
                    }
                }
                (Next::Move(_), _) => self.door(shared, true),
            },
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
            Next::End => String::new(),
        };
        let Phase::Baking(run) = &mut self.phase else {
            return Vec::new();
        };
        if let Some(at) = run.open(shared.elapsed, moving) {
            shared.say(format!("door open at {at}; the same key when it is shut"));
            return Vec::new();
        }
        let shut = run.shut(shared.elapsed, |moved| {
            if moved {
                Opened::Move(words)
            } else {
                Opened::Look
            }
        });
        match shut {
            Some(opening) => {
                let open_for = opening
                    .open_for
                    .map_or_else(String::new, |m| format!(" after {m}"));
                shared.say(format!("door shut{open_for}: {}", opening.what.words()));
                self.bake.openings.push(opening);
                vec![self.save()]
            }
            None => Vec::new(),
        }
    }

    /// Asks before the clock goes out of sight while it bakes.
    fn may_go(&mut self, ask: Ask, key: &str, shared: &mut Shared) -> bool {
        let earlier = self.asked.take();
        match self.phase {
            Phase::Baking(_) => {
                let bell = match ask {
                    Ask::Quit => "no bell rings without the program",
                    Ask::Leave | Ask::Move | Ask::Finish => "the bell rings on every screen",
                };
                let words =
                    format!("it is still baking, {bell}. {key} again: go; Kitchen, Enter: return");
                self.is_sure(ask, earlier, shared, words)
            }
            Phase::Loading | Phase::Scoring(_) | Phase::Done => true,
        }
    }

    fn finish(&mut self, shared: &mut Shared) -> Vec<Effect> {
        // A door that still stands open was opened to take everything out.
        if matches!(&self.phase, Phase::Baking(run) if run.is_open()) {
            self.door(shared, true);
        }
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
        let trays = self.bake.trays();
        if let (Some(tray), Some(shade)) = (trays.get(at), shade) {
            self.bake.score_tray(*tray, shade);
            shared.say(format!("tray {tray}: shade {shade}"));
        }
        self.phase = if at + 1 < trays.len() {
            Phase::Scoring(at + 1)
        } else {
            Phase::Done
        };
        vec![self.save()]
    }

    /// Puts half a step on the tray scored last, or takes it off again.
    fn half(&mut self, shared: &mut Shared) -> Vec<Effect> {
        match self.phase {
            Phase::Loading | Phase::Baking(_) => return Vec::new(),
            Phase::Scoring(_) | Phase::Done => {}
        }
        let Some((tray, shade)) = self.bake.outcome.last_mut() else {
            shared.say("score a tray first, 0 to 9; then + makes it half a step more");
            return Vec::new();
        };
        *shade = shade.toggle_half();
        shared.say(format!("tray {tray}: shade {shade}"));
        vec![self.save()]
    }

    /// Goes back to the tray before and takes its shade away.
    fn undo(&mut self, shared: &mut Shared) -> Vec<Effect> {
        let trays = self.bake.trays();
        let at = match self.phase {
            Phase::Loading | Phase::Baking(_) => return Vec::new(),
            Phase::Scoring(at) => at,
            Phase::Done => trays.len(),
        };
        let Some((at, tray)) = at.checked_sub(1).and_then(|i| Some((i, *trays.get(i)?))) else {
            shared.say("nothing to take back");
            return Vec::new();
        };
        self.bake.outcome.retain(|(scored, _)| *scored != tray);
        self.phase = Phase::Scoring(at);
        shared.say(format!("tray {tray} is to be scored again"));
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
        format!("bake clock, {}, {name}", kind_name(&self.bake.kind))
    }

    fn guide(&self, shared: &Shared) -> String {
        match &self.phase {
            Phase::Loading => "trays in, door shut, then Space: start".to_owned(),
            Phase::Baking(run) if run.is_looking() => "o: the door is shut again".to_owned(),
            Phase::Baking(run) if run.is_open() => "Space or o: the door is shut again".to_owned(),
            Phase::Baking(run) => match (run.next().0, run.is_due(shared.elapsed)) {
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
        if self.may_go(Ask::Leave, "Esc", shared) {
            shared.back();
        }
        Vec::new()
    }

    fn may_quit(&mut self, shared: &mut Shared) -> bool {
        self.may_go(Ask::Quit, "q", shared)
    }

    fn cautions(&self) -> Option<Occasion> {
        Some(Occasion::Bake)
    }
}
