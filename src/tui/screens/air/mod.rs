//! The thermometer screen: rounds as they are read, charts of what they say, the dial for a wanted temperature.

mod charts;
mod describe;
mod figures;
mod keys;
mod round;
mod setup;
#[cfg(test)]
mod tests;
mod view;

pub use charts::Chart;
pub use keys::{ENTRY_KEYS, KEYS, ROUND_KEYS, SETUP_KEYS, THERMOMETER_KEYS};

use super::{Screen, ScreenState, plan::PlanScreen};
use crate::{
    model::{AirRound, Mode, Oven, OvenId},
    tui::{
        action::{Action, Typed},
        app::Shared,
        effect::{Effect, Save},
        event::MouseAct,
        keys::{Key, Scope},
        popups::Popup,
        widgets::field::Field,
    },
    units::Celsius,
    workflow::{
        catalogue::Occasion,
        readings::{DialAnswer, OvenSummary, dial_of, summary},
        round::Mark,
    },
};
use describe::{Description, Part};
use ratatui::{
    Frame,
    layout::{Position, Rect},
};
use round::Session;
use setup::{Line, Setup, mode_beside};
use std::time::Duration;

/// How often the stop-watch is drawn while a round runs.
const TICK: Duration = Duration::from_millis(500);

/// What can be done on the thermometer screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AirAction {
    /// Prepare a round.
    Prepare,
    /// Show the next chart.
    Chart,
    /// Type a wanted temperature.
    Want,
    /// Plan a bake.
    Plan,
    /// The next way of heating.
    Mode,
    /// The round after (1) or before (-1) on the chart over time.
    Round(i8),
    /// Scroll figures and advice.
    Scroll(i8),
    /// Before a round: line above (-1) or below (1).
    Line(i8),
    /// Before a round: put the cursor on a line; on the line that has it, change it.
    Choose(Line),
    /// Before a round: change the line under the cursor.
    Change(i8),
    /// Begin the round.
    Begin,
    /// Describe the thermometer.
    Describe,
    /// The thermometer's description: line above (-1) or below (1).
    Part(i8),
    /// The thermometer's description: put the cursor on a line.
    ToPart(Part),
    /// The thermometer's description: on to the next line, or save on the last one.
    NextPart,
    /// Save the thermometer and read with it.
    KeepThermometer,
    /// A digit of a reading, or its point.
    Type(char),
    /// Take the last digit away.
    Erase,
    /// Keep the reading.
    Keep,
    /// The oven's signal.
    Signal,
    /// It holds.
    Holds,
    /// The door is open, or shut again.
    Door,
    /// Take the last reading or mark back.
    Undo,
    /// The thermometer stands in the next spot.
    Spot,
    /// The thermometer stands on the next rack position.
    Rack,
    /// Type the time of an earlier reading.
    Time,
    /// Close the line that is typed into.
    Done,
}

/// Returns what a key's own character makes of its action: the digits and the point share one row.
pub(crate) fn with_figure(action: AirAction, key: Key) -> AirAction {
    match (action, key) {
        (AirAction::Type(_), Key::Char(c)) => AirAction::Type(c),
        (_, _) => action,
    }
}

/// The state of the thermometer screen.
#[derive(Debug)]
pub struct AirScreen {
    oven: OvenId,
    mode: Mode,
    chart: Chart,
    /// What all readings in this mode say.
    found: Option<Box<OvenSummary>>,
    /// Which round the chart over time shows, 0 for the newest.
    back: usize,
    /// The first line of figures and advice in sight.
    first: usize,
    setup: Option<Setup>,
    /// The thermometer being described over the form.
    description: Option<Description>,
    session: Option<Session>,
    wanted: Option<Field>,
}

impl AirScreen {
    /// Opens on the mode that was read last, else the oven's first.
    pub(crate) fn new(oven: &Oven, shared: &Shared) -> Self {
        let last = shared.kitchen.rounds_of(&oven.id).last().map(|r| r.mode);
        let mode = last
            .or(oven.modes.first().copied())
            .unwrap_or(Mode::StillAir);
        Self {
            oven: oven.id.clone(),
            mode,
            chart: Chart::Time,
            found: None,
            back: 0,
            first: 0,
            setup: None,
            description: None,
            session: None,
            wanted: None,
        }
    }

    fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.oven)
    }

    /// Returns the rounds in this mode, newest first.
    fn rounds<'s>(&self, shared: &'s Shared) -> Vec<&'s AirRound> {
        let rounds = shared.kitchen.rounds_of(&self.oven);
        let own = rounds.into_iter().filter(|r| r.mode == self.mode);
        own.rev().collect()
    }

    /// Works out what all readings say; done when they may have changed, never while drawing.
    fn refresh(&mut self, shared: &Shared) {
        self.found = self
            .oven(shared)
            .map(|oven| Box::new(summary(&shared.kitchen, oven, self.mode)));
    }

    /// Finds the dial for the temperature being typed; `None` while nothing is typed.
    fn answer(&self, oven: &Oven) -> Option<Result<DialAnswer, String>> {
        let field = self.wanted.as_ref()?;
        let found = self.found.as_ref()?;
        if field.text().is_empty() {
            return None;
        }
        let answer = Celsius::parse(field.text(), oven.dial.unit)
            .map_err(|e| e.to_string())
            .and_then(|want| dial_of(found, oven, want).map_err(|e| e.to_string()));
        Some(answer)
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, action: AirAction, shared: &mut Shared) -> Vec<Effect> {
        let Some(oven) = self.oven(shared).cloned() else {
            return Vec::new();
        };
        if let Some(session) = &mut self.session {
            session.leaving = false;
        }
        match action {
            AirAction::Prepare
            | AirAction::Chart
            | AirAction::Want
            | AirAction::Plan
            | AirAction::Mode
            | AirAction::Round(_)
            | AirAction::Scroll(_) => self.look(action, &oven, shared),
            AirAction::Line(_) | AirAction::Choose(_) | AirAction::Change(_) | AirAction::Begin => {
                self.prepare(action, &oven, shared);
            }
            AirAction::Describe
            | AirAction::Part(_)
            | AirAction::ToPart(_)
            | AirAction::NextPart
            | AirAction::KeepThermometer => return self.describe(action, &oven, shared),
            AirAction::Done => self.done(shared),
            AirAction::Type(_)
            | AirAction::Erase
            | AirAction::Keep
            | AirAction::Signal
            | AirAction::Holds
            | AirAction::Door
            | AirAction::Undo
            | AirAction::Spot
            | AirAction::Rack
            | AirAction::Time => return self.read(action, &oven, shared),
        }
        Vec::new()
    }

    /// Over the record: charts, mode, a new round, the plan.
    fn look(&mut self, action: AirAction, oven: &Oven, shared: &mut Shared) {
        match action {
            AirAction::Prepare => {
                self.setup = Some(Setup::new(oven, self.mode, shared));
                // Hot glass and gas are spoken of before anything is switched on.
                shared.popup = Some(Popup::cautions(Occasion::Thermometer));
            }
            AirAction::Chart => {
                self.chart = self.chart.next();
                self.first = 0;
            }
            AirAction::Want if self.settings() == 0 => {
                shared.say("nothing was read yet; n: prepare a round with the thermometer");
            }
            AirAction::Want => {
                let usual = Setup::new(oven, self.mode, shared).dial;
                self.wanted = Some(Field::new(usual.text()));
            }
            AirAction::Plan => {
                let tests = shared.kitchen.tests_of(&self.oven);
                let beside = tests.last().map_or_else(Vec::new, |t| shared.beside(t));
                shared.open(Screen::Plan(PlanScreen::new(self.oven.clone(), beside)));
            }
            AirAction::Mode => {
                self.mode = mode_beside(oven, self.mode, 1);
                (self.back, self.first) = (0, 0);
                self.refresh(shared);
            }
            AirAction::Round(by) => {
                let last = self.rounds(shared).len().saturating_sub(1);
                self.back = if by < 0 {
                    (self.back + 1).min(last)
                } else {
                    self.back.saturating_sub(1)
                };
                self.first = 0;
            }
            AirAction::Scroll(by) => {
                let last = self.lines(shared).len().saturating_sub(1);
                self.first = self.first.saturating_add_signed(isize::from(by)).min(last);
            }
            AirAction::Line(_)
            | AirAction::Choose(_)
            | AirAction::Change(_)
            | AirAction::Begin
            | AirAction::Describe
            | AirAction::Part(_)
            | AirAction::ToPart(_)
            | AirAction::NextPart
            | AirAction::KeepThermometer
            | AirAction::Type(_)
            | AirAction::Erase
            | AirAction::Keep
            | AirAction::Signal
            | AirAction::Holds
            | AirAction::Door
            | AirAction::Undo
            | AirAction::Spot
            | AirAction::Rack
            | AirAction::Time
            | AirAction::Done => {}
        }
    }

    /// Before a round.
    fn prepare(&mut self, action: AirAction, oven: &Oven, shared: &mut Shared) {
        let Some(setup) = &mut self.setup else { return };
        if let AirAction::Line(by) = action {
            setup.go(by);
        } else if let AirAction::Choose(line) = action {
            if setup.line == line {
                setup.change(1, oven);
            } else {
                setup.line = line;
                setup.dial.arrive();
            }
        } else if let AirAction::Change(by) = action {
            setup.change(by, oven);
        } else {
            match setup.setting(oven) {
                Err(words) => {
                    setup.line = Line::Dial;
                    shared.say(words);
                }
                Ok(dial) => {
                    self.mode = setup.mode;
                    self.session = Some(Session::begin(setup, dial, oven, shared));
                    self.setup = None;
                    self.chart = Chart::Time;
                }
            }
        }
    }

    /// Describing a thermometer.
    fn describe(&mut self, action: AirAction, oven: &Oven, shared: &mut Shared) -> Vec<Effect> {
        let Some(setup) = &mut self.setup else {
            return Vec::new();
        };
        let Some(description) = &mut self.description else {
            self.description = Some(Description::new(setup.thermometer(), oven));
            return Vec::new();
        };
        // Past the last line there is nothing left but to save.
        if let AirAction::Part(by) = action {
            description.go(by);
            return Vec::new();
        }
        if let AirAction::ToPart(part) = action {
            description.to(part);
            return Vec::new();
        }
        if action == AirAction::NextPart && description.go(1) {
            return Vec::new();
        }
        match description.build(shared) {
            Err((part, why)) => {
                description.to(part);
                shared.say(format!("not saved yet: {why}"));
                Vec::new()
            }
            Ok(thermometer) => {
                shared.say(format!("{} is saved", thermometer.name));
                setup.take(thermometer.clone());
                self.description = None;
                vec![Effect::Save(Save::Thermometer(Box::new(thermometer)))]
            }
        }
    }

    /// During a round.
    fn read(&mut self, action: AirAction, oven: &Oven, shared: &mut Shared) -> Vec<Effect> {
        let Some(session) = &mut self.session else {
            return Vec::new();
        };
        if let AirAction::Type(c) = action {
            session.digit(c);
        } else if action == AirAction::Erase {
            session.erase();
        } else if action == AirAction::Keep {
            return session.keep(oven, shared);
        } else if action == AirAction::Signal {
            session.mark(Mark::Signal, shared);
        } else if action == AirAction::Holds {
            session.mark(Mark::Holds, shared);
        } else if action == AirAction::Door {
            session.door(shared);
        } else if action == AirAction::Undo {
            return session.undo(shared);
        } else if action == AirAction::Time {
            session.ask_time(shared);
        } else {
            session.move_on(oven, action == AirAction::Rack, shared);
        }
        Vec::new()
    }

    fn done(&mut self, shared: &mut Shared) {
        self.wanted = None;
        if let Some(session) = &mut self.session {
            session.keep_time(shared);
        }
    }

    /// Returns how many settings were read since the last visit.
    fn settings(&self) -> usize {
        self.found.as_ref().map_or(0, |f| f.settings.len())
    }

    /// Asks once before a round is left; everything read is on disk already.
    fn may_go(&mut self, key: &str, shared: &mut Shared) -> bool {
        match &mut self.session {
            Some(session) if !session.leaving => {
                session.leaving = true;
                let readings = session.round().readings.len();
                shared.say(if session.mark_is_pending() {
                    format!("the last mark is lost unless a reading follows it. {key} again: end the round")
                } else {
                    format!("{key} again: end the round; readings saved: {readings}")
                });
                false
            }
            Some(_) | None => true,
        }
    }
}

impl ScreenState for AirScreen {
    fn scope(&self) -> Scope {
        if self.takes_line() {
            Scope::AirEntry
        } else if self.session.is_some() {
            Scope::AirRound
        } else if self.description.is_some() {
            Scope::AirThermometer
        } else if self.setup.is_some() {
            Scope::AirSetup
        } else {
            Scope::Air
        }
    }

    fn title(&self, shared: &Shared) -> String {
        let name = self.oven(shared).map_or("", |o| o.name.as_str());
        let what = if self.session.is_some() {
            "round with the thermometer"
        } else {
            "thermometer"
        };
        format!("{what}, {name}, {}", self.mode.words())
    }

    fn guide(&self, shared: &Shared) -> String {
        let Some(oven) = self.oven(shared) else {
            return "Esc: back".to_owned();
        };
        if self.wanted.is_some() {
            return "type the temperature that is wanted in the oven. Enter: done".to_owned();
        }
        if let Some(session) = &self.session {
            return match session.time {
                Some(_) => "type when it was read, like 14:05:30, then Enter".to_owned(),
                None => session.guide(shared.moment, oven.dial.unit),
            };
        }
        if self.description.is_some() {
            return "describe your thermometer; Enter: next line, F2: save, Esc: leave it"
                .to_owned();
        }
        if self.setup.is_some() {
            return "up, down: line. left, right: change. Enter: begin the round".to_owned();
        }
        if self.settings() == 0 {
            "n: prepare a round with the thermometer".to_owned()
        } else {
            "w: what to set for a wanted temperature. p: plan a bake with it".to_owned()
        }
    }

    fn view(&self, shared: &Shared, frame: &mut Frame<'_>, body: Rect) {
        view::draw(self, shared, frame, body);
    }

    fn hit(&self, _: &Shared, body: Rect, at: Position, act: MouseAct) -> Option<Action> {
        view::hit(self, body, at, act).map(Action::Air)
    }

    fn takes_text(&self) -> bool {
        let on_dial = self.setup.as_ref().is_some_and(|s| s.line == Line::Dial);
        let in_form = self.description.is_some() || on_dial;
        self.takes_line() || (self.session.is_none() && in_form)
    }

    fn typed(&mut self, typed: Typed, _shared: &mut Shared) -> Vec<Effect> {
        if let Some(description) = &mut self.description {
            description.typed(&typed);
            return Vec::new();
        }
        let time = self.session.as_mut().and_then(|s| s.time.as_mut());
        let dial = self.setup.as_mut().map(|s| &mut s.dial);
        if let Some(field) = self.wanted.as_mut().or(time).or(dial) {
            field.typed(&typed);
        }
        Vec::new()
    }

    fn entered(&mut self, shared: &mut Shared) -> Vec<Effect> {
        self.refresh(shared);
        Vec::new()
    }

    fn leave(&mut self, shared: &mut Shared) -> Vec<Effect> {
        if self.wanted.take().is_some() {
            return Vec::new();
        }
        if let Some(session) = &mut self.session {
            if session.time.take().is_none() && self.may_go("Esc", shared) {
                self.session = None;
                self.back = 0;
                self.refresh(shared);
            }
            return Vec::new();
        }
        if self.description.take().is_some() {
            return Vec::new();
        }
        if self.setup.take().is_none() {
            shared.back();
        }
        Vec::new()
    }

    fn may_quit(&mut self, shared: &mut Shared) -> bool {
        self.may_go("q", shared)
    }

    fn tick(&self) -> Option<Duration> {
        self.session.as_ref().map(|_| TICK)
    }

    fn ticked(&mut self, shared: &mut Shared) -> Vec<Effect> {
        let rings = self
            .session
            .as_mut()
            .is_some_and(|s| s.rings(shared.moment));
        if rings {
            vec![Effect::Bell]
        } else {
            Vec::new()
        }
    }

    fn cautions(&self) -> Option<Occasion> {
        Some(Occasion::Thermometer)
    }
}

impl AirScreen {
    /// Tells whether a line of its own takes what is typed.
    fn takes_line(&self) -> bool {
        let time = self.session.as_ref().is_some_and(|s| s.time.is_some());
        self.wanted.is_some() || time
    }
}
