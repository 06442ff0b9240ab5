//! The bake that runs, seen from any other screen: which it is, and its bell.

pub(crate) mod dough;
pub(crate) mod in_oven;
pub(crate) mod run;
pub(crate) mod toast;

use super::shared::Shared;
use crate::{
    model::{BakeLog, Moment, Plan},
    workflow::catalogue::bake_name,
};
use run::{Next, Run};
use std::time::Duration;

/// A bake without an end counts as running this long past its plan's end, minutes: later it was given up without a word.
const FORGOTTEN_MIN: f64 = 12.0 * 60.0;
/// Its bell rings on other screens no longer than this past the end, minutes.
const RINGS_MIN: f64 = 120.0;
/// The bell is repeated this often while something is due and nothing is done.
const AGAIN: Duration = Duration::from_secs(20);
/// How often the other screens look at the clock.
pub(crate) const WATCH_TICK: Duration = Duration::from_secs(1);

/// Returns the bake that runs, the latest if there are several.
pub(crate) fn running(shared: &Shared) -> Option<&BakeLog> {
    let bakes = shared.kitchen.bakes().iter();
    bakes
        .filter(|bake| runs(bake, shared))
        .max_by_key(|bake| bake.started)
}

/// Tells whether a bake runs.
pub(crate) fn runs(bake: &BakeLog, shared: &Shared) -> bool {
    bake.baked.is_none() && is_within(bake, shared, FORGOTTEN_MIN)
}

/// Tells whether a bake began no longer ago than it takes, what was added by hand included, and `more` minutes.
///
/// One that begins later than now was begun before the clock was set back.
fn is_within(bake: &BakeLog, shared: &Shared, more: f64) -> bool {
    let since = shared.moment.duration_since(bake.started).as_secs_f64();
    let most = (bake.due_out().0 + more) * 60.0;
    (-FORGOTTEN_MIN * 60.0..=most).contains(&since)
}

/// Returns how long ago a bake began: by the instants, and no less than what was noted of it since, for a clock may
/// have been set back.
pub(crate) fn begun_before(bake: &BakeLog, now: Moment) -> Duration {
    let last = bake.openings.last();
    let noted = last.map_or(0.0, |o| o.at.0 + o.open_for.map_or(0.0, |m| m.0));
    let by_clock = now.duration_since(bake.started).as_secs_f64();
    Duration::from_secs_f64(by_clock.max(noted * 60.0).max(0.0))
}

/// Rings, and says what for, when the running bake's next step is due while another screen is in sight.
pub(crate) fn ring_elsewhere(shared: &mut Shared) {
    let elapsed = shared.elapsed;
    if let Some(day) = &mut shared.day {
        if day.rings(elapsed) {
            let words = "BAKING DAY: something is due now";
            if shared.unsaved.is_empty() {
                shared.say(format!("{words}; Esc to Kitchen, b: its clock"));
            }
            shared.ring(words);
        }
        return;
    }
    let Some(bake) = running(shared) else {
        shared.rang = None;
        return;
    };
    let before = begun_before(bake, shared.moment);
    let run = Run::resume(bake, before, shared.elapsed);
    if !run.is_due(shared.elapsed) || !is_within(bake, shared, RINGS_MIN) {
        shared.rang = None;
        return;
    }
    let lately = |rang: Duration| shared.elapsed.saturating_sub(rang) < AGAIN;
    if shared.rang.is_some_and(lately) {
        return;
    }
    let words = due(run.next().0, &bake.plan);
    shared.rang = Some(shared.elapsed);
    // What is wrong stays in sight; the bell rings all the same.
    if shared.unsaved.is_empty() {
        shared.say(format!("{words}; Esc to Kitchen, Enter: its clock"));
    }
    shared.ring(words);
}

/// Says what is due of a bake, and of which.
pub(crate) fn due(next: Next, plan: &Plan) -> String {
    let what = match next {
        Next::Move(number) => format!("move {number} is due"),
        Next::End => "take everything out".to_owned(),
    };
    format!("BAKE CLOCK, {}: {what} now", bake_name(plan))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::{BakeId, DoorOpening, Mode, Opened},
        tui::{event::Event, fixture::Fixture, run::step, widgets::synthetic::plan},
        units::Minutes,
    };
    use jiff::SignedDuration;

    #[test]
    fn minutes_added_by_hand_count_in_the_kitchen_and_for_the_bell() {
        let mut fixture = Fixture::with_oven();
        let now = fixture.app.shared.moment;
        let (id, oven) = (BakeId::new("b").unwrap(), fixture.oven().id.clone());
        // 12 minutes and three hours more, begun at 9:30.
        let mut bake = BakeLog::begin(id, oven, Mode::Fan, now, plan());
        bake.added = Minutes(180.0);
        bake.openings.push(DoorOpening {
            at: Minutes(9.0),
            open_for: None,
            what: Opened::Move("turn".to_owned()),
        });
        fixture.app.shared.kitchen.save_bake(bake).unwrap();
        let guide = fixture.guide();
        assert!(guide.contains("out at 12:42"), "{guide}");
        let mut rings = |minutes: i64| {
            let then = now + SignedDuration::from_mins(minutes);
            let passed = Duration::from_secs(minutes.unsigned_abs() * 60);
            fixture.app.set_clock(then, passed);
            !step(&mut fixture.app, Event::Tick).is_empty()
        };
        assert!(!rings(191) && rings(192) && rings(193));
    }
}
