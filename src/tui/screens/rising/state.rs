//! The state of a dough, before it goes in and while it rises.

use super::form::{Form, Row, new_dough};
use crate::tui::prelude::*;
use crate::{
    model::{
        Mode, Moment, Oven,
        rising::{Grown, OwnDough},
    },
    tui::{
        bell::{
            dough::{self, due, running as due_first},
            in_oven::in_use,
        },
        shared::Timed,
    },
    units::{Minutes, TemperatureUnit},
    workflow::{
        rise::{LONGEST, RiseAnswer, RiseError, rise_time},
        rising::{ReadyPlan, RisingNow, USUAL_HEATING, begin, look, ready_for, take_out},
    },
};
use std::time::Duration;

/// How often the clock is drawn while a dough rises.
pub(super) const TICK: Duration = Duration::from_secs(1);
/// A dough that is due later than this is asked about before it comes out, minutes.
const EARLY_MIN: f64 = 5.0;

/// What can be done with a dough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    Up,
    Down,
    Less,
    More,
    Other,
    Start,
    Look(u8),
    Undo,
    Out,
}

/// What is said of a dough before it goes in.
#[derive(Debug)]
pub(super) struct Told {
    /// The time, or why there is none.
    pub(super) answer: Result<RiseAnswer, RiseError>,
    /// When to put it in, where it is to be ready by a time.
    pub(super) ready: Option<ReadyPlan>,
}

/// The state of a dough.
#[derive(Debug)]
pub(crate) struct Rising {
    oven: Option<Oven>,
    pub(super) form: Form,
    pub(super) told: Asked<Told>,
    /// The dough that rises, as last saved.
    going: Option<Box<OwnDough>>,
    /// Whether coming out early was asked about.
    /// What was asked back about: taking it out early, or putting it into a hot oven.
    early: Confirm<bool>,
}

impl Rising {
    /// Opens on the dough that rises, of several on the one due first, else on the one that rose last; in `oven` where it has a proofing mode.
    pub(crate) fn new(oven: Oven, shared: &mut Shared) -> Self {
        let unit = oven.dial.unit;
        let oven = oven.modes.contains(&Mode::Proofing).then_some(oven);
        let doughs = shared.kitchen.doughs();
        let rising = due_first(shared).cloned();
        let last = doughs
            .iter()
            .max_by_key(|d| d.rises.last().map(|r| r.started))
            .cloned();
        let dough = rising
            .clone()
            .or(last)
            .unwrap_or_else(|| fresh(shared, unit));
        shared.rang.remove(&Timed::Dough(dough.id.clone()));
        Self {
            form: Form::new(dough, oven.as_ref(), unit),
            oven,
            told: Asked::default(),
            going: rising.map(Box::new),
            early: Confirm::default(),
        }
    }

    pub(super) fn oven(&self) -> Option<&Oven> {
        self.oven.as_ref()
    }

    pub(super) fn is_rising(&self) -> bool {
        self.going.is_some()
    }

    pub(super) fn dough(&self) -> &OwnDough {
        self.going.as_deref().unwrap_or(&self.form.dough)
    }

    pub(super) fn row(&self) -> Row {
        self.form.row()
    }

    /// Returns how far the dough that rises is.
    pub(super) fn now(&self, shared: &Shared) -> Option<RisingNow> {
        dough::now(self.going.as_deref()?, shared)
    }

    /// Returns what a clock shows that nobody has set since the dough went in.
    fn clock(dough: &OwnDough, shared: &Shared) -> Moment {
        let log = dough.rising();
        log.map_or(shared.moment, |log| shared.now_since(log.started))
    }

    /// Rings when a look is worth it, or the dough should be ready.
    pub(super) fn ring(&self, shared: &mut Shared) {
        let (Some(dough), Some(now)) = (&self.going, self.now(shared)) else {
            return;
        };
        let (call, words) = due(dough, &now).unzip();
        if shared.rings(&Timed::Dough(dough.id.clone()), call) {
            shared.ring(words.unwrap_or_default());
        }
    }

    pub(super) fn type_name(&mut self, typed: &Typed) {
        self.form.name.typed(typed);
        self.form.dough.name = self.form.name.text().to_owned();
    }

    /// Asks how long the dough takes as it is described now.
    pub(super) fn ask(&mut self, shared: &mut Shared) {
        if self.is_rising() {
            return;
        }
        let question = self.form.question();
        let (records, oven) = (shared.kitchen.snapshot(), self.oven.clone());
        let (ready_in, now) = (self.form.ready_in, shared.moment);
        self.told.ask(shared, Lane::Quick, move || {
            let answer = rise_time(&question, oven.as_ref().map(|o| (&*records, o)));
            let ready =
                answer.as_ref().ok().zip(ready_in).and_then(|(a, minutes)| {
                    ready_for(&question, a, (now, minutes), USUAL_HEATING)
                });
            Ok(Told { answer, ready })
        });
    }

    pub(super) fn settle(&mut self, answer: &Answer) {
        self.told.settle(answer);
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, act: Act, shared: &mut Shared) {
        self.early.pressed();
        match act {
            Act::Up => self.form.row = list::step(self.form.row, -1, Row::ALL.len()),
            Act::Down => self.form.row = list::step(self.form.row, 1, Row::ALL.len()),
            Act::Less | Act::More => {
                self.form.change(if act == Act::More { 1.0 } else { -1.0 });
                self.ask(shared);
            }
            Act::Other => self.other(shared),
            Act::Start => self.start(shared),
            Act::Look(digit) => self.look(digit, shared),
            Act::Undo => self.undo(shared),
            Act::Out => self.out(shared),
        }
    }

    fn other(&mut self, shared: &mut Shared) {
        let doughs = shared.kitchen.doughs();
        let at = doughs.iter().position(|d| d.id == self.dough().id);
        let next = at.map_or(0, |i| i + 1);
        let dough = match doughs.get(next) {
            Some(dough) => dough.clone(),
            None if at.is_none() => {
                shared.say("there is no other dough on record");
                return;
            }
            None => fresh(shared, self.form.unit),
        };
        self.going = dough.rising().map(|_| Box::new(dough.clone()));
        self.form = Form::new(dough, self.oven.as_ref(), self.form.unit);
        self.ask(shared);
    }

    fn start(&mut self, shared: &mut Shared) {
        let mut dough = self.form.dough.clone();
        if dough.name.is_empty() {
            shared.say("give the dough a name first");
            return;
        }
        let hot = self.oven.as_ref().and_then(|o| in_use(&o.id, shared));
        if let Some(words) = hot {
            let words = format!("{words}: Enter again only if it is out and the oven has cooled");
            if !self.early.is_quite_sure(true, words, shared) {
                return;
            }
        }
        let place = (self.oven.as_ref(), self.form.set);
        let now = shared.begin();
        let begun = begin(&shared.kitchen, &dough, place, self.form.start, now);
        let log = match begun {
            Ok((log, _)) => log,
            Err(why) => {
                shared.say(why.to_string());
                return;
            }
        };
        match self.told.fresh() {
            None => {
                shared.say("the time is still being worked out; press Enter again in a moment");
                return;
            }
            Some(Ok(told)) => {
                if let Err(why) = &told.answer {
                    shared.say(why.to_string());
                    return;
                }
            }
            // What kept the worker from telling is no fault of the dough's.
            Some(Err(_)) => {}
        }
        if shared.kitchen.dough(&dough.id).is_none() {
            dough.id = shared.kitchen.fresh_dough_id(&dough.name);
        }
        if let Err(why) = shared.kitchen.check_name(&dough) {
            shared.say(why.to_string());
            return;
        }
        dough.rises.push(log);
        shared.rang.remove(&Timed::Dough(dough.id.clone()));
        shared.say("the clock runs; mark the dial, there is dough in the oven");
        self.keep(dough, shared);
    }

    fn keep(&mut self, dough: OwnDough, shared: &mut Shared) {
        shared.save(Save::Dough(Box::new(dough.clone())));
        self.form.dough.clone_from(&dough);
        self.going = dough.rising().is_some().then(|| Box::new(dough));
    }

    fn look(&mut self, digit: u8, shared: &mut Shared) {
        let Some(mut dough) = self.going.as_deref().cloned() else {
            return;
        };
        let Some(grown) = usize::from(digit)
            .checked_sub(1)
            .and_then(|i| Grown::ALL.get(i))
        else {
            shared.say("1 grown by a quarter, 2 by half, 3 by three quarters, 4 doubled");
            return;
        };
        let now = Self::clock(&dough, shared);
        if let Err(why) = look(&mut dough, *grown, now) {
            shared.say(why.to_string());
        } else {
            self.keep(dough, shared);
            let told = if self.now(shared).is_some_and(|now| now.untold) {
                "; so early or so late it tells no pace, and the time stays as it was"
            } else {
                ""
            };
            shared.say(format!("noted: {}{told}", grown.words()));
        }
    }

    fn undo(&mut self, shared: &mut Shared) {
        let Some(mut dough) = self.going.as_deref().cloned() else {
            return;
        };
        let last = dough.rising_mut().and_then(|log| log.looks.pop());
        match last {
            None => shared.say("no look to take back"),
            Some(look) => {
                shared.say(format!("taken back: {}", look.grown.words()));
                self.keep(dough, shared);
            }
        }
    }

    /// Notes that the dough is out; asks first where it is early.
    fn out(&mut self, shared: &mut Shared) {
        let Some(mut dough) = self.going.as_deref().cloned() else {
            return;
        };
        let left = self.now(shared).map_or(Minutes(0.0), |n| n.left);
        let words = "that is early: Enter again if the dough is out";
        if left.0 > EARLY_MIN && !self.early.is_quite_sure(false, words, shared) {
            return;
        }
        let now = Self::clock(&dough, shared);
        match take_out(&mut dough, now) {
            Err(why) => shared.say(why.to_string()),
            Ok(after) => {
                let took = if after < LONGEST {
                    Minutes(after.0.round()).to_string()
                } else {
                    "a week or more (noted as a week)".to_owned()
                };
                shared.say(format!(
                    "out after {took}; heat the oven only when it is empty"
                ));
                self.keep(dough, shared);
                self.ask(shared);
            }
        }
    }
}

fn fresh(shared: &Shared, unit: TemperatureUnit) -> OwnDough {
    new_dough(shared.kitchen.fresh_dough_id("dough"), unit)
}
