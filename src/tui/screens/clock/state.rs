//! The state of the bake clock, and what can be done on it.

use crate::tui::bell::begun_before;
use crate::tui::bell::run::{Next, Run};
use crate::tui::prelude::*;
use crate::workflow::catalogue::Occasion;
use crate::{
    model::{BakeLog, DoorOpening, Opened, Oven, Shade},
    report::words::move_words,
    units::LengthUnit,
};
use std::time::Duration;

/// How often the clock is drawn while it runs.
pub(super) const TICK: Duration = Duration::from_millis(500);
/// A move or an end further off than this is asked about first, minutes.
pub(super) const EARLY_MIN: f64 = 1.0;
/// What can be done on the bake clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Cautions,
    Step,
    Look,
    Lengthen(i8),
    Half,
    Undo,
    Finish,
    Shade(u8),
    Skip,
    Pieces,
}

/// What was asked; the same key again is the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ask {
    /// Do the next move well before it is due?
    Move,
    /// Take everything out well before the end?
    Finish,
    /// Go back while it bakes?
    Leave,
}

/// How far the bake is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Phase {
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
pub(crate) struct Clock {
    pub(super) bake: Box<BakeLog>,
    pub(super) phase: Phase,
    asked: Confirm<Ask>,
    /// How it stood before each thing done here, the latest last.
    before: Vec<(Box<BakeLog>, Phase)>,
}

impl Clock {
    /// Opens on a bake that has not begun.
    pub(crate) fn new(bake: BakeLog) -> Self {
        Self {
            bake: Box::new(bake),
            phase: Phase::Loading,
            asked: Confirm::default(),
            before: Vec::new(),
        }
    }

    /// Takes up the clock of a bake that runs.
    pub(crate) fn resume(bake: BakeLog, shared: &Shared) -> Self {
        let before = begun_before(&bake, shared);
        Self {
            phase: Phase::Baking(Run::resume(&bake, before, shared.elapsed)),
            bake: Box::new(bake),
            asked: Confirm::default(),
            before: Vec::new(),
        }
    }

    pub(super) fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.bake.oven)
    }

    pub(super) fn lengths(&self, shared: &Shared) -> LengthUnit {
        shared.kitchen.units_of(&self.bake.oven).1
    }

    /// Says what the move that begins `segment` is.
    pub(super) fn words_of(&self, segment: usize, lengths: LengthUnit) -> String {
        let segments = &self.bake.plan.segments;
        match (
            segment.checked_sub(1).and_then(|i| segments.get(i)),
            segments.get(segment),
        ) {
            (Some(before), Some(after)) => move_words(before, after, lengths),
            (_, _) => "take everything out".to_owned(),
        }
    }

    /// Says what a door is opened for: the next move, or a look.
    fn opened_for(&self, moving: bool, shared: &Shared) -> Opened {
        match &self.phase {
            Phase::Baking(run) if moving => match run.next_move() {
                Some(segment) => Opened::Move(self.words_of(segment, self.lengths(shared))),
                None => Opened::Look,
            },
            Phase::Baking(_) | Phase::Loading | Phase::Scoring(_) | Phase::Done => Opened::Look,
        }
    }

    /// Saves the bake. A door that stands open is on record, for how long is not known yet: whatever becomes of this
    /// screen, no move is asked for twice.
    pub(super) fn save(&self, shared: &mut Shared) {
        let mut bake = self.bake.clone();
        if let Phase::Baking(run) = &self.phase
            && let Some((at, moving)) = run.opened()
        {
            bake.openings.push(DoorOpening {
                at,
                open_for: None,
                what: self.opened_for(moving, shared),
            });
        }
        shared.save(Save::Bake(bake));
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        self.asked.pressed();
        let before = (self.bake.clone(), self.phase.clone());
        self.carry_out(action, shared);
        let changed = before != (self.bake.clone(), self.phase.clone());
        // A bake that has begun is on record: only what came after can be taken back.
        if changed && action != Act::Undo && before.1 != Phase::Loading {
            self.before.push(before);
        }
    }

    fn carry_out(&mut self, action: Act, shared: &mut Shared) {
        match action {
            Act::Step => self.step(shared),
            Act::Cautions => shared.caution(Occasion::Bake),
            Act::Look => self.door(shared, false),
            Act::Lengthen(by) => self.lengthen(by, shared),
            Act::Half => self.half(shared),
            Act::Undo => self.undo(shared),
            Act::Finish => {
                let early = match &self.phase {
                    Phase::Baking(run) => Some(run)
                        .filter(|r| r.left_to_end(shared.elapsed).0 > EARLY_MIN)
                        .map(Run::end),
                    Phase::Loading | Phase::Scoring(_) | Phase::Done => None,
                };
                let sure = early.is_none_or(|end| {
                    let words = format!("it is due out at {end}: f again when everything is out");
                    self.asked.is_quite_sure(Ask::Finish, words, shared)
                });
                if sure {
                    self.finish(shared);
                }
            }
            Act::Shade(digit) => self.score(Shade::whole(digit).ok(), shared),
            Act::Skip => self.score(None, shared),
            Act::Pieces => self.pieces(shared),
        }
    }

    pub(super) fn pieces(&self, shared: &mut Shared) {
        match self.phase {
            Phase::Scoring(_) | Phase::Done => match self.bake.plan.tray {
                Some(_) => shared.replace(Place::Outcome(self.bake.clone())),
                None => shared.say("this plan does not know its tray's pieces; score whole trays"),
            },
            Phase::Loading | Phase::Baking(_) => {
                shared.say("pieces are scored when everything is out of the oven");
            }
        }
    }

    pub(super) fn lengthen(&mut self, by: i8, shared: &mut Shared) {
        match &mut self.phase {
            Phase::Baking(run) => {
                run.lengthen(by);
                self.bake.added = run.added();
                shared.say(format!("out at {}", run.end()));
                self.save(shared);
            }
            Phase::Loading | Phase::Scoring(_) | Phase::Done => {}
        }
    }

    pub(super) fn step(&mut self, shared: &mut Shared) {
        match &self.phase {
            Phase::Loading => {
                self.bake.started = shared.begin();
                self.phase = Phase::Baking(Run::begin(&self.bake.plan, shared.elapsed));
                self.save(shared);
            }
            Phase::Baking(run) if run.is_open() => self.door(shared, true),
            Phase::Baking(run) => match run.next(shared.elapsed) {
                (Next::End, _) if run.is_due(shared.elapsed) => self.finish(shared),
                (Next::End, _) => {
                    shared.say("no move is left; o: a look, f: take it out early");
                }
                (Next::Move(number), at) if run.left(shared.elapsed).0 > EARLY_MIN => {
                    let words = format!("move {number} is due at {at}: Space again to do it now");
                    if self.asked.is_quite_sure(Ask::Move, words, shared) {
                        self.door(shared, true);
                    }
                }
                (Next::Move(_), _) => self.door(shared, true),
            },
            Phase::Scoring(_) => {
                shared.say("press the shade of the tray, 0 to 9, or s to skip it");
            }
            Phase::Done => {
                shared.back();
            }
        }
    }

    /// Opens the door, for the move or a look, or shuts it and notes what was done.
    pub(super) fn door(&mut self, shared: &mut Shared, moving: bool) {
        let next = self.opened_for(true, shared);
        let Phase::Baking(run) = &mut self.phase else {
            return;
        };
        if let Some(at) = run.open(shared.elapsed, moving) {
            shared.say(format!("door open at {at}; the same key when it is shut"));
            self.save(shared);
            return;
        }
        let shut = run.shut(
            shared.elapsed,
            |moved| if moved { next } else { Opened::Look },
        );
        if let Some(opening) = shut {
            let open_for = opening
                .open_for
                .map_or_else(String::new, |m| format!(" after {m}"));
            let what = opening.what.words().to_owned();
            self.bake.openings.push(opening);
            let later = if run.put_off(&self.bake) {
                format!("; out at {} now", run.end())
            } else {
                String::new()
            };
            shared.say(format!("door shut{open_for}: {what}{later}"));
            self.save(shared);
        }
    }

    /// Notes a door that stands open as shut now; tells whether one did.
    fn shut(&mut self, shared: &mut Shared) -> bool {
        let is_open = matches!(&self.phase, Phase::Baking(run) if run.is_open());
        if is_open {
            self.door(shared, true);
        }
        is_open
    }

    /// Goes back, once that was asked while it bakes; nobody watches a door that stands open then.
    pub(super) fn go(&mut self, shared: &mut Shared) {
        if !self.may_go(shared) {
            return;
        }
        if self.shut(shared)
            && let Some(opening) = self.bake.openings.last()
        {
            let what = opening.what.words();
            shared.say(format!("the door counts as shut now; noted: {what}"));
        }
        shared.back();
    }

    /// Asks before the clock goes out of sight while it bakes.
    fn may_go(&mut self, shared: &mut Shared) -> bool {
        self.asked.pressed();
        match self.phase {
            Phase::Baking(_) => {
                let words = "Still baking. The bell rings on every screen. Esc again to leave; Enter in the kitchen brings you back.";
                // Going away loses nothing, so a quick second key may answer.
                self.asked.is_sure(Ask::Leave, words, shared)
            }
            Phase::Loading | Phase::Scoring(_) | Phase::Done => true,
        }
    }

    pub(super) fn finish(&mut self, shared: &mut Shared) {
        // A door that still stands open was opened to take everything out.
        self.shut(shared);
        let Phase::Baking(run) = &self.phase else {
            return;
        };
        let baked = run.elapsed(shared.elapsed);
        self.bake.baked = Some(baked);
        self.phase = Phase::Scoring(0);
        shared.say(format!("baked for {baked}"));
        self.save(shared);
    }

    pub(super) fn score(&mut self, shade: Option<Shade>, shared: &mut Shared) {
        let Phase::Scoring(at) = self.phase else {
            return;
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
        self.save(shared);
    }

    /// Puts half a step on the tray scored last, or takes it off again.
    pub(super) fn half(&mut self, shared: &mut Shared) {
        match self.phase {
            Phase::Loading | Phase::Baking(_) => return,
            Phase::Scoring(_) | Phase::Done => {}
        }
        let Some((tray, shade)) = self.bake.outcome.last_mut() else {
            shared.say("score a tray first, 0 to 9; then + makes it half a step more");
            return;
        };
        *shade = shade.toggle_half();
        shared.say(format!("tray {tray}: shade {shade}"));
        self.save(shared);
    }

    /// Goes back to how it stood before the last thing done; the time goes on.
    fn undo(&mut self, shared: &mut Shared) {
        let Some((bake, phase)) = self.before.pop() else {
            shared.say("nothing to take back");
            return;
        };
        let words = match &phase {
            Phase::Scoring(at) => match self.bake.trays().get(*at) {
                Some(tray) => format!("tray {tray} is to be scored again"),
                None => "taken back".to_owned(),
            },
            Phase::Baking(run) if run.is_open() => "taken back: the door is open".to_owned(),
            Phase::Baking(run) => format!("taken back: still baking, out at {}", run.end()),
            Phase::Loading | Phase::Done => "taken back".to_owned(),
        };
        (self.bake, self.phase) = (bake, phase);
        shared.say(words);
        self.save(shared);
    }
}
