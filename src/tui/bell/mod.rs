//! What is timed, seen from any screen: the bakes, the baking day, the toasts and the doughs, and their bell.

pub(crate) mod day;
pub(crate) mod dough;
mod going;
pub(crate) mod in_oven;
pub(crate) mod run;
pub(crate) mod toast;

use super::shared::{Call, Shared, Timed};
use crate::{
    model::{BakeLog, Plan},
    units::Minutes,
    workflow::catalogue::bake_name,
};
pub(crate) use going::AGAIN;
use going::{Going, oven_where};
use run::{Next, Run};
use std::time::Duration;

/// A bake without an end counts as running this long past its plan's end, minutes: later it was given up without a word.
const FORGOTTEN_MIN: f64 = 12.0 * 60.0;
/// Its bell rings on other screens no longer than this past the end, minutes.
const RINGS_MIN: f64 = 120.0;
/// How often the other screens look at the clock.
pub(crate) const WATCH_TICK: Duration = Duration::from_secs(1);

/// Puts what is due soonest first, and behind it what was forgotten.
fn soonest(a: Minutes, b: Minutes) -> std::cmp::Ordering {
    let forgotten = |left: Minutes| left.0 < -RINGS_MIN;
    let order = forgotten(a).cmp(&forgotten(b));
    order.then(a.0.total_cmp(&b.0))
}

/// Returns the bakes that run, the one due soonest first.
fn bakes(shared: &Shared) -> Vec<(&BakeLog, Run)> {
    let bakes = shared.kitchen.bakes().iter();
    let mut all: Vec<_> = bakes
        .filter(|bake| runs(bake, shared))
        .map(|bake| {
            let before = begun_before(bake, shared);
            (bake, Run::resume(bake, before, shared.elapsed))
        })
        .collect();
    let left = |run: &Run| run.left(shared.elapsed);
    all.sort_by(|a, b| soonest(left(&a.1), left(&b.1)));
    all
}

/// Returns the bake that runs, the one due soonest if there are several.
pub(crate) fn running(shared: &Shared) -> Option<&BakeLog> {
    bakes(shared).first().map(|(bake, _)| *bake)
}

/// Returns how many bakes run.
pub(crate) fn count_running(shared: &Shared) -> usize {
    bakes(shared).len()
}

/// Tells whether a bake runs.
pub(crate) fn runs(bake: &BakeLog, shared: &Shared) -> bool {
    bake.baked.is_none() && is_within(bake, shared, FORGOTTEN_MIN)
}

/// Tells whether a bake began no longer ago than it takes, what was added by hand included, and `more` minutes.
///
/// One that begins later than now was begun before the clock was set back.
fn is_within(bake: &BakeLog, shared: &Shared, more: f64) -> bool {
    let since = shared.since(bake.started).as_secs_f64();
    let most = (bake.due_out().0 + more) * 60.0;
    (-FORGOTTEN_MIN * 60.0..=most).contains(&since)
}

/// Returns how long ago a bake began, and no less than what was noted of it since, for a clock may have been set back
/// before the program began.
pub(crate) fn begun_before(bake: &BakeLog, shared: &Shared) -> Duration {
    let last = bake.openings.last();
    let noted = last.map_or(0.0, |o| o.at.0 + o.open_for.map_or(0.0, |m| m.0));
    let by_clock = shared.since(bake.started).as_secs_f64();
    Duration::from_secs_f64(by_clock.max(noted * 60.0).max(0.0))
}

/// Returns what is in an oven, what is due soonest first; the loads of a baking day go with the day.
fn hot(shared: &Shared) -> Vec<Going> {
    let day = shared.day.as_ref().filter(|day| day.is_under_way());
    let mut all = toast::going(shared);
    if let Some((_, left)) = day.and_then(|day| day.next(shared.elapsed)) {
        all.push(Going {
            of: Timed::Day,
            left,
            call: (left.0 <= 0.0).then_some(Call::Due(AGAIN)),
            words: DAY_DUE.to_owned(),
        });
    }
    let mut bakes = bakes(shared);
    bakes.retain(|(bake, _)| !day.is_some_and(|day| day.holds(&bake.id)));
    let several = bakes.len() > 1;
    all.extend(bakes.into_iter().map(|(bake, run)| {
        let is_due = run.is_due(shared.elapsed) && is_within(bake, shared, RINGS_MIN);
        Going {
            of: Timed::Bake(bake.id.clone()),
            left: run.left(shared.elapsed),
            call: is_due.then_some(Call::Due(AGAIN)),
            words: due(
                run.next(shared.elapsed).0,
                &bake.plan,
                &oven_where(several, &bake.oven, shared),
            ),
        }
    }));
    all.sort_by(|a, b| soonest(a.left, b.left));
    all
}

/// Returns what the kitchen leads to: of all that is in an oven what is due soonest.
pub(crate) fn first(shared: &Shared) -> Option<Timed> {
    hot(shared).into_iter().next().map(|going| going.of)
}

/// Rings, and says what for, when something is due that the screen in sight does not show.
pub(crate) fn ring_elsewhere(shared: &mut Shared, shown: Option<&Timed>) {
    let mut all = hot(shared);
    let first = all.first().map(|going| going.of.clone());
    all.extend(dough::going(shared));
    all.sort_by(|a, b| soonest(a.left, b.left));
    // What is due first is said last: it stays in sight.
    for Going {
        of, call, words, ..
    } in all.into_iter().rev()
    {
        if shown == Some(&of) || !shared.rings(&of, call) {
            continue;
        }
        let way = match &of {
            Timed::Dough(_) => ". Kitchen, y: its clock",
            of if first.as_ref() == Some(of) => "; Esc to Kitchen, Enter: its clock",
            // The kitchen leads to it once what is due before it is done.
            Timed::Day | Timed::Bake(_) | Timed::Toast(_) => "",
        };
        // What is wrong stays in sight; the bell rings all the same.
        if shared.unsaved.is_empty() {
            shared.say(format!("{words}{way}"));
        }
        shared.ring(words);
    }
}

/// What the bell of a baking day says.
pub(crate) const DAY_DUE: &str = "BAKING DAY: something is due now";

/// Says what is due of a bake, and of which; `oven` is empty or names the oven.
pub(crate) fn due(next: Next, plan: &Plan, oven: &str) -> String {
    let what = match next {
        Next::Move(number) => format!("move {number} is due"),
        Next::End => "take everything out".to_owned(),
    };
    format!("BAKE CLOCK, {}{oven}: {what} now", bake_name(plan))
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

    /// A bake of 12 minutes, with a move at 9, begun so many minutes after 9:30.
    fn bake(id: &str, fixture: &Fixture, begun: i64) -> BakeLog {
        let (now, oven) = (fixture.app.shared.moment, fixture.oven().id.clone());
        let begun = now + SignedDuration::from_mins(begun);
        BakeLog::begin(BakeId::new(id).unwrap(), oven, Mode::Fan, begun, plan())
    }

    fn save(fixture: &mut Fixture, bake: BakeLog) {
        fixture.app.shared.kitchen.save_bake(bake).unwrap();
    }

    #[test]
    fn a_day_that_was_only_looked_at_silences_no_bake() {
        let mut fixture = Fixture::working();
        let bake = bake("b", &fixture, 0);
        save(&mut fixture, bake);
        fixture.keys("pl\n");
        assert!(fixture.app.shared.day.is_some());
        // On the day's clock, and away from it.
        assert!(!fixture.at(8.9) && fixture.at(9.0));
        fixture.keys("\x1b\x1b\x1b");
        assert!(fixture.app.shared.day.is_none());
        assert!(fixture.at(9.5));
        fixture.says("move 1 is due now; Esc to Kitchen, Enter: its clock");
    }

    #[test]
    fn a_bake_goes_by_the_stopwatch_when_the_wall_clock_is_set() {
        for (set, out) in [(-60.0, "out at 08:44"), (180.0, "out at 12:44")] {
            let mut fixture = Fixture::with_oven();
            // Set once before it begins, and again while it bakes.
            fixture.at_with_clock_set(2.0, 30.0);
            let mut bake = bake("b", &fixture, 0);
            bake.started = fixture.app.shared.begin();
            save(&mut fixture, bake);
            assert!(!fixture.at_with_clock_set(10.9, set), "{set}");
            assert!(fixture.at_with_clock_set(11.0, set), "{set}");
            fixture.guides(out);
            fixture.keys("\n");
            fixture.guides("now: open the door and press Space");
        }
    }

    #[test]
    fn a_bake_rings_while_the_clock_of_a_dough_is_in_sight() {
        let mut fixture = Fixture::working();
        let bake = bake("b", &fixture, 0);
        save(&mut fixture, bake);
        fixture.keys("y\n");
        // Into an oven that bakes it goes only when that is said twice.
        fixture.says("hot and in use");
        let mut doughs = fixture.app.shared.kitchen.doughs().iter();
        assert!(doughs.all(|d| d.rising().is_none()));
        fixture.at(0.1);
        fixture.keys("\n");
        fixture.guides("look now and then");
        assert!(!fixture.at(8.9) && fixture.at(9.0));
        fixture.says("BAKE CLOCK");
    }

    #[test]
    fn each_of_two_bakes_rings_and_the_kitchen_leads_to_the_one_due_first() {
        let mut fixture = Fixture::working();
        let mut oven = fixture.oven().clone();
        oven.name = "Deck oven".to_owned();
        oven.id = fixture.app.shared.kitchen.fresh_oven_id(&oven.name);
        let (first, mut second) = (bake("a", &fixture, 0), bake("b", &fixture, 1));
        second.oven = oven.id.clone();
        fixture.app.shared.kitchen.save_oven(oven).unwrap();
        save(&mut fixture, first.clone());
        save(&mut fixture, second);
        assert!(!fixture.at(8.9) && fixture.at(9.0));
        fixture.says("Wall oven: move 1 is due now; Esc to Kitchen, Enter: its clock");
        fixture.guides("out at 09:42");
        fixture.keys("\n");
        let shown = fixture.app.screen().unwrap().shows();
        assert_eq!(shown, Some(Timed::Bake(first.id)));
        // Its own clock rings for the first alone; the second rings there too.
        assert!(fixture.at(10.0));
        fixture.says("Deck oven: move 1 is due now");
    }

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
