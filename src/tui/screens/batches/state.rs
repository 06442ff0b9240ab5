//! The state of a baking day's screen, and what can be done on it.

use crate::tui::bell::in_oven::against_heating;
use crate::tui::prelude::*;
use crate::tui::shared::{PLAN_GRID, Timed};
use crate::{
    model::{Oven, OvenId, TestId, day::BakingDay},
    report::words::{move_words, placement_words},
    tui::day::RunningDay,
    units::LengthUnit,
    workflow::{
        batches::{Batch, Day, DayRequest, Due, MOST_IN_BATCHES, What, day_everywhere, day_in},
        catalogue::Occasion,
        ground::ground_of,
        plan::{PlanRequest, Told},
    },
};
use std::{sync::Arc, time::Duration};

/// How often the clock is drawn while it runs.
pub(super) const TICK: Duration = Duration::from_millis(500);
/// Something further off than this is asked about first, minutes.
const EARLY_MIN: f64 = 1.0;

/// What can be done on a baking day's screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Act {
    /// Begin the day; then: what is due was done.
    Step,
    /// A tray more or less; on the clock a minute.
    Trays(i8),
    Everywhere,
    GiveUp,
    Go(i8),
    Cautions,
}

/// What the day is planned from.
#[derive(Debug)]
struct Plan {
    oven: OvenId,
    tests: Vec<TestId>,
    request: DayRequest,
    everywhere: bool,
    asked: Asked<Day>,
}

/// The state of a baking day's screen.
#[derive(Debug)]
pub(crate) struct BatchesScreen {
    /// `None` where it opened on a day that ran already.
    plan: Option<Plan>,
    /// The clock runs, or has run.
    clock: bool,
    pub(super) row: usize,
    /// What was asked back about: doing something early, or the key that goes away.
    sure: Confirm<String>,
}

impl BatchesScreen {
    /// Opens on the load of a plan, three times over.
    pub(crate) fn new(oven: OvenId, tests: Vec<TestId>, load: PlanRequest) -> Self {
        let trays = (load.trays * 3).min(MOST_IN_BATCHES);
        Self {
            plan: Some(Plan {
                oven,
                tests,
                request: DayRequest {
                    load,
                    trays,
                    least_even: None,
                },
                everywhere: false,
                asked: Asked::default(),
            }),
            clock: false,
            row: 0,
            sure: Confirm::default(),
        }
    }

    /// Opens on the day that runs.
    pub(crate) fn running() -> Self {
        Self {
            plan: None,
            clock: true,
            row: 0,
            sure: Confirm::default(),
        }
    }

    pub(super) fn is_clock(&self) -> bool {
        self.clock
    }

    pub(super) fn everywhere(&self) -> bool {
        self.plan.as_ref().is_some_and(|p| p.everywhere)
    }

    pub(super) fn request(&self) -> Option<&DayRequest> {
        self.plan.as_ref().map(|p| &p.request)
    }

    pub(super) fn oven<'s>(&self, shared: &'s Shared) -> Option<&'s Oven> {
        shared.kitchen.oven(&self.plan.as_ref()?.oven)
    }

    /// Returns the day: the one that runs, else the one planned.
    pub(super) fn day<'a>(&'a self, shared: &'a Shared) -> Option<Result<&'a Day, &'a Trouble>> {
        if self.clock
            && let Some(running) = &shared.day
        {
            return Some(Ok(running.run.day()));
        }
        let asked = self.plan.as_ref()?.asked.fresh()?;
        Some(asked.map(Arc::as_ref))
    }

    /// Asks the worker for the day.
    pub(super) fn ask(&mut self, shared: &mut Shared) {
        let Some(plan) = self.plan.as_mut().filter(|_| !self.clock) else {
            return;
        };
        let Some(oven) = shared.kitchen.oven(&plan.oven).cloned() else {
            return;
        };
        let records = shared.kitchen.snapshot();
        let request = plan.request.clone();
        let which = shared.which(&plan.tests, request.load.mode);
        let everywhere = plan.everywhere;
        plan.asked.ask(shared, Lane::Quick, move || {
            if everywhere {
                return Ok(day_everywhere(&records, &request)?);
            }
            let ground = ground_of(&records, &oven, &which, PLAN_GRID)?;
            let told = Told::look_up(&records, &ground, &request.load.kind);
            Ok(day_in(&ground, &told, &request)?)
        });
    }

    pub(super) fn settle(&mut self, answer: &Answer) {
        if let Some(plan) = &mut self.plan {
            plan.asked.settle(answer);
        }
    }

    /// Deals with an action of this screen.
    pub(crate) fn update(&mut self, act: Act, shared: &mut Shared) {
        self.sure.pressed();
        match act {
            Act::Go(by) => {
                let count = self
                    .day(shared)
                    .and_then(Result::ok)
                    .map_or(0, |day| day.batches.len());
                self.row = list::step(self.row, isize::from(by), count);
            }
            Act::Cautions => shared.caution(Occasion::Bake),
            Act::Trays(by) if self.clock => lengthen(by, shared),
            Act::Trays(by) => self.trays(by, shared),
            Act::Everywhere => {
                if let Some(plan) = &mut self.plan {
                    plan.everywhere = !plan.everywhere;
                }
                self.row = 0;
                self.ask(shared);
            }
            Act::GiveUp => self.give_up(shared),
            Act::Step if self.clock => self.done(shared),
            Act::Step => self.begin(shared),
        }
    }

    fn trays(&mut self, by: i8, shared: &mut Shared) {
        let Some(plan) = &mut self.plan else { return };
        let trays = plan.request.trays.saturating_add_signed(isize::from(by));
        let trays = trays.clamp(1, MOST_IN_BATCHES);
        if trays == plan.request.trays {
            shared.say(format!("a day is planned for 1 to {MOST_IN_BATCHES} trays"));
            return;
        }
        plan.request.trays = trays;
        self.row = 0;
        self.ask(shared);
    }

    fn begin(&mut self, shared: &mut Shared) {
        if shared.day.as_ref().is_some_and(RunningDay::is_under_way) {
            shared.say("another baking day runs; finish that first (Kitchen, b)");
            return;
        }
        let Some(Ok(day)) = self.day(shared) else {
            shared.say("the day is still being planned; a moment");
            return;
        };
        let day = day.clone();
        let mut ovens = day.batches.iter().map(|b| &b.oven);
        if let Some(words) = ovens.find_map(|oven| against_heating(oven, shared)) {
            shared.complain(words);
        }
        let own = self.request().and_then(|r| r.load.kind.own.as_ref());
        let wanted = own
            .and_then(|id| shared.kitchen.recipe(id))
            .and_then(|r| r.wanted);
        shared.day = Some(RunningDay::new(day, wanted));
        self.clock = true;
        self.row = 0;
    }

    fn done(&mut self, shared: &mut Shared) {
        let elapsed = shared.elapsed;
        let Some(running) = &shared.day else {
            shared.back();
            return;
        };
        let Some((due, left)) = running.next(elapsed) else {
            shared.day = None;
            shared.back();
            return;
        };
        let step = format!("{} {:?}", due.batch, due.what);
        let words = format!(
            "that is due in {:.0} min: the same key again when it is done",
            left.0
        );
        if left.0 > EARLY_MIN && !self.sure.is_quite_sure(step, words, shared) {
            return;
        }
        let Some(batch) = shared
            .day
            .as_ref()
            .and_then(|d| d.run.batch(due.batch).cloned())
        else {
            return;
        };
        self.row = due.batch;
        let words = words_of(due, &batch, lengths_of(&batch, shared));
        let today = shared.now.date();
        let ids = (
            shared.kitchen.fresh_bake_id(&batch.oven, today),
            shared.kitchen.fresh_day_id(&batch.oven, today),
        );
        let moment = shared.begin();
        shared.rang.remove(&Timed::Day);
        let log = shared
            .day
            .as_mut()
            .and_then(|day| day.done((elapsed, moment), words.clone(), ids));
        if let Some(log) = log {
            shared.say(format!("noted: {words}"));
            shared.save(Save::Bake(Box::new(log)));
        }
        // Which loads went in is all that the day adds to their logs.
        let kept = shared.day.as_ref().and_then(RunningDay::kept);
        if let Some(day) = kept.filter(|_| due.what == What::In) {
            shared.save(Save::Day(Box::new(day)));
        }
    }

    /// Gives up what is left of the day, once that is said twice.
    fn give_up(&mut self, shared: &mut Shared) {
        let words = "x again: give up what is left of this day";
        if !self.sure.is_quite_sure("give up".to_owned(), words, shared) {
            return;
        }
        let kept = shared.day.take().and_then(|day| day.kept());
        if let Some(day) = kept {
            let given_up = BakingDay {
                given_up: true,
                ..day
            };
            shared.save(Save::Day(Box::new(given_up)));
        }
        shared.say("the rest of the day is given up; what bakes has its own clock in the kitchen");
        shared.back();
    }

    /// Asks before the clock goes out of sight while something bakes.
    pub(super) fn may_go(&mut self, shared: &mut Shared) -> bool {
        let baking = shared.day.as_ref().is_some_and(|day| day.run.is_baking());
        if !self.clock || !baking {
            // One that never began was only looked at; of one that is done nothing is left.
            if self.clock && !shared.day.as_ref().is_some_and(RunningDay::is_under_way) {
                shared.day = None;
            }
            return true;
        }
        self.sure.pressed();
        let words = "still baking. Esc again to leave; b in the kitchen brings you back";
        self.sure.is_sure("leave".to_owned(), words, shared)
    }
}

fn lengthen(by: i8, shared: &mut Shared) {
    let elapsed = shared.elapsed;
    let log = shared.day.as_mut();
    let log = log.and_then(|day| day.lengthen(by, elapsed));
    match log {
        Some(log) => {
            shared.say(format!("{:+.0} min on that load", log.added.0));
            shared.save(Save::Bake(Box::new(log)));
        }
        None => shared.say("nothing bakes that could be longer"),
    }
}

/// Returns the unit of lengths in a load's oven.
pub(super) fn lengths_of(batch: &Batch, shared: &Shared) -> LengthUnit {
    shared.kitchen.units_of(&batch.oven).1
}

/// Says what is due.
pub(super) fn words_of(due: Due, batch: &Batch, lengths: LengthUnit) -> String {
    let segments = &batch.plan.segments;
    match due.what {
        What::In => {
            let trays = segments.first().map(|s| s.trays.as_slice());
            let places: Vec<String> = trays
                .unwrap_or_default()
                .iter()
                .map(|t| placement_words(t, lengths))
                .collect();
            format!("put in {}", places.join("; "))
        }
        What::Move(segment) => {
            let before = segment.checked_sub(1).and_then(|i| segments.get(i));
            match (before, segments.get(segment)) {
                (Some(before), Some(after)) => move_words(before, after, lengths),
                (_, _) => "leave everything where it is".to_owned(),
            }
        }
        What::Out => {
            let trays: Vec<String> = batch.trays.iter().map(usize::to_string).collect();
            let plural = if trays.len() == 1 { "" } else { "s" };
            format!("take tray{plural} {} out", trays.join(" and "))
        }
    }
}
