//! The state of the thermometer screen, and what can be done on it.

use super::charts::Chart;
use super::describe::{Description, Part};
use super::round::Session;
use super::said::Said;
use super::setup::{Line, Setup, mode_beside};
use crate::tui::bell::in_oven::against_heating;
use crate::tui::prelude::*;
use crate::{
    model::{AirRound, Mode, Oven, OvenId},
    tui::widgets::field::Field,
    units::{Celsius, UnitError},
    workflow::{
        catalogue::Occasion,
        readings::{DialAnswer, DialError, dial_of},
        round::Mark,
    },
};
use std::time::Duration;

/// How often the stop-watch is drawn while a round runs.
pub(super) const TICK: Duration = Duration::from_millis(500);

/// Why there is no dial setting for the temperature typed.
#[derive(Debug, thiserror::Error)]
#[error(transparent)]
pub(super) enum NoAnswer {
    Unread(#[from] UnitError),
    Dial(#[from] DialError),
}

/// What can be done on the thermometer screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Cautions,
    Prepare,
    Chart,
    Want,
    Plan,
    Mode,
    Round(i8),
    Scroll(i8),
    Line(i8),
    /// Before a round: put the cursor on a line; on the line that has it, change it.
    Choose(Line),
    Change(i8),
    Begin,
    Describe,
    Part(i8),
    /// The thermometer's description: put the cursor on a line.
    ToPart(Part),
    NextPart,
    KeepThermometer,
    Type(char),
    Erase,
    Keep,
    Signal,
    Holds,
    Door,
    Undo,
    Spot,
    Rack,
    Time,
    Done,
}

/// The state of the thermometer screen.
#[derive(Debug)]
pub(crate) struct AirScreen {
    pub(super) oven: OvenId,
    pub(super) mode: Mode,
    pub(super) chart: Chart,
    /// What all readings in this mode say.
    pub(super) said: Asked<Said>,
    /// Which round the chart over time shows, 0 for the newest.
    pub(super) back: usize,
    /// The first line of figures and advice in sight.
    pub(super) first: usize,
    pub(super) setup: Option<Setup>,
    /// The thermometer being described over the form.
    pub(super) description: Option<Description>,
    pub(super) session: Option<Session>,
    pub(super) wanted: Option<Field>,
}

impl AirScreen {
    /// Opens on the mode that was read last, else the oven's first.
    pub(crate) fn new(oven: OvenId, shared: &Shared) -> Self {
        let last = shared.kitchen.rounds_of(&oven).last().map(|r| r.mode);
        let first = shared
            .kitchen
            .oven(&oven)
            .and_then(|o| o.modes.first().copied());
        Self {
            oven,
            mode: last.or(first).unwrap_or(Mode::StillAir),
            chart: Chart::Time,
            said: Asked::default(),
            back: 0,
            first: 0,
            setup: None,
            description: None,
            session: None,
            wanted: None,
        }
    }

    pub(super) fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.oven)
    }

    /// Returns the rounds in this mode, newest first.
    pub(super) fn rounds<'s>(&self, shared: &'s Shared) -> Vec<&'s AirRound> {
        let rounds = shared.kitchen.rounds_of(&self.oven);
        let own = rounds.into_iter().filter(|r| r.mode == self.mode);
        own.rev().collect()
    }

    /// Asks what all readings say, when they may have changed.
    pub(super) fn refresh(&mut self, shared: &mut Shared) {
        let records = shared.kitchen.snapshot();
        let (oven, mode) = (self.oven.clone(), self.mode);
        self.said
            .ask(shared, Lane::Quick, move || Said::of(&records, &oven, mode));
    }

    /// Returns what all readings say, once the worker has told it.
    pub(super) fn found(&self) -> Option<&Said> {
        let said = self.said.held()?.ok()?;
        // Of another mode it says nothing here.
        (said.summary.mode == self.mode).then_some(&**said)
    }

    /// Finds the dial for the temperature being typed; `None` while nothing is typed.
    pub(super) fn answer(&self, oven: &Oven) -> Option<Result<DialAnswer, NoAnswer>> {
        let field = self.wanted.as_ref()?;
        let found = &self.found()?.summary;
        if field.text().is_empty() {
            return None;
        }
        let answer = Celsius::parse(field.text(), oven.dial.unit).map_err(NoAnswer::from);
        Some(answer.and_then(|want| Ok(dial_of(found, oven, want)?)))
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: Act, shared: &mut Shared) {
        let Some(oven) = self.oven(shared).cloned() else {
            return;
        };
        if let Some(session) = &mut self.session {
            session.leaving.pressed();
        }
        match action {
            Act::Prepare
            | Act::Chart
            | Act::Want
            | Act::Plan
            | Act::Mode
            | Act::Round(_)
            | Act::Scroll(_) => self.look(action, &oven, shared),
            Act::Line(_) | Act::Choose(_) | Act::Change(_) | Act::Begin => {
                self.prepare(action, &oven, shared);
            }
            Act::Describe
            | Act::Part(_)
            | Act::ToPart(_)
            | Act::NextPart
            | Act::KeepThermometer => self.describe(action, &oven, shared),
            Act::Cautions => shared.caution(Occasion::Thermometer),
            Act::Done => self.done(shared),
            Act::Type(_)
            | Act::Erase
            | Act::Keep
            | Act::Signal
            | Act::Holds
            | Act::Door
            | Act::Undo
            | Act::Spot
            | Act::Rack
            | Act::Time => self.read(action, &oven, shared),
        }
    }

    /// Over the record: charts, mode, a new round, the plan.
    pub(super) fn look(&mut self, action: Act, oven: &Oven, shared: &mut Shared) {
        match action {
            Act::Prepare => {
                self.setup = Some(Setup::new(oven, self.mode, shared));
                // Hot glass and gas are spoken of before anything is switched on.
                shared.caution(Occasion::Thermometer);
            }
            Act::Chart => {
                self.chart = list::neighbour(&Chart::ALL, self.chart, 1).unwrap_or(self.chart);
                self.first = 0;
            }
            Act::Want if self.found().is_none() => {
                shared.say("the readings are still being gone through; a moment");
            }
            Act::Want if self.settings() == 0 => {
                shared.say("nothing was read yet; n: prepare a round with the thermometer");
            }
            Act::Want => {
                let usual = Setup::new(oven, self.mode, shared).dial;
                self.wanted = Some(Field::new(usual.text()));
            }
            Act::Plan => {
                let tests = shared.kitchen.tests_of(&self.oven);
                let beside = tests.last().map_or_else(Vec::new, |t| shared.beside(t));
                shared.open(Place::Plan(self.oven.clone(), beside));
            }
            Act::Mode => {
                self.mode = mode_beside(oven, self.mode, 1);
                (self.back, self.first) = (0, 0);
                self.refresh(shared);
            }
            Act::Round(by) => {
                let last = self.rounds(shared).len().saturating_sub(1);
                self.back = if by < 0 {
                    (self.back + 1).min(last)
                } else {
                    self.back.saturating_sub(1)
                };
                self.first = 0;
            }
            Act::Scroll(by) => {
                let last = self.plain_lines(shared).len().saturating_sub(1);
                self.first = self.first.saturating_add_signed(isize::from(by)).min(last);
            }
            _ => {}
        }
    }

    /// Before a round.
    pub(super) fn prepare(&mut self, action: Act, oven: &Oven, shared: &mut Shared) {
        let Some(setup) = &mut self.setup else { return };
        if let Act::Line(by) = action {
            setup.go(by);
        } else if let Act::Choose(line) = action {
            if setup.line == line {
                setup.change(1, oven);
            } else {
                setup.line = line;
                setup.dial.arrive();
            }
        } else if let Act::Change(by) = action {
            setup.change(by, oven);
        } else {
            match setup.setting(oven) {
                Err(why) => {
                    setup.line = Line::Dial;
                    shared.say(why.to_string());
                }
                Ok(dial) => {
                    self.mode = setup.mode;
                    self.session = Some(Session::begin(setup, dial, oven, shared));
                    if let Some(words) = against_heating(&oven.id, shared) {
                        shared.complain(words);
                    }
                    self.setup = None;
                    self.chart = Chart::Time;
                }
            }
        }
    }

    /// Describing a thermometer.
    pub(super) fn describe(&mut self, action: Act, oven: &Oven, shared: &mut Shared) {
        let Some(setup) = &mut self.setup else {
            return;
        };
        let Some(description) = &mut self.description else {
            self.description = Some(Description::new(setup.thermometer(), oven));
            return;
        };
        // Past the last line there is nothing left but to save.
        if let Act::Part(by) = action {
            description.go(by);
            return;
        }
        if let Act::ToPart(part) = action {
            description.to(part);
            return;
        }
        if action == Act::NextPart && description.go(1) {
            return;
        }
        match description.build(shared) {
            Err((part, why)) => {
                description.to(part);
                shared.say(format!("not saved yet: {why}"));
            }
            Ok(thermometer) => {
                shared.say(format!("{} is saved", thermometer.name));
                setup.take(thermometer.clone());
                self.description = None;
                shared.save(Save::Thermometer(Box::new(thermometer)));
            }
        }
    }

    /// During a round.
    pub(super) fn read(&mut self, action: Act, oven: &Oven, shared: &mut Shared) {
        let Some(session) = &mut self.session else {
            return;
        };
        if let Act::Type(c) = action {
            session.digit(c);
        } else if action == Act::Erase {
            session.erase();
        } else if action == Act::Keep {
            session.keep(oven, shared);
        } else if action == Act::Signal {
            session.mark(Mark::Signal, shared);
        } else if action == Act::Holds {
            session.mark(Mark::Holds, shared);
        } else if action == Act::Door {
            session.door(shared);
        } else if action == Act::Undo {
            session.undo(shared);
        } else if action == Act::Time {
            session.ask_time(shared);
        } else {
            session.move_on(oven, action == Act::Rack, shared);
        }
    }

    pub(super) fn done(&mut self, shared: &mut Shared) {
        self.wanted = None;
        if let Some(session) = &mut self.session {
            session.keep_time(shared);
        }
    }

    /// Returns how many settings were read since the last visit.
    pub(super) fn settings(&self) -> usize {
        self.found().map_or(0, |f| f.summary.settings.len())
    }

    /// Asks once before a round is left; everything read is on disk already.
    pub(super) fn may_go(&mut self, key: &str, shared: &mut Shared) -> bool {
        let Some(session) = &mut self.session else {
            return true;
        };
        let readings = session.round().readings.len();
        let words = if session.mark_is_pending() {
            format!("the last mark is lost unless a reading follows it. {key} again: end the round")
        } else {
            format!("{key} again: end the round; readings saved: {readings}")
        };
        session.leaving.pressed();
        session.leaving.is_sure((), words, shared)
    }
}

impl AirScreen {
    /// Tells whether a line of its own takes what is typed.
    pub(super) fn takes_line(&self) -> bool {
        let time = self.session.as_ref().is_some_and(|s| s.time.is_some());
        self.wanted.is_some() || time
    }
}
