//! A baking day that runs: kept while its screen is out of sight.

use crate::{
    model::{BakeId, BakeLog, DoorOpening, Moment, Opened, Shade, day::BakingDay, id::DayId},
    units::Minutes,
    workflow::batches::{Day, DayRun, Due, What},
};
use std::time::Duration;

/// A baking day that runs.
#[derive(Debug)]
pub(crate) struct RunningDay {
    /// How far it is.
    pub(crate) run: DayRun,
    /// The shade the recipe wants.
    wanted: Option<Shade>,
    /// `None` before the first load is in.
    begun: Option<Begun>,
    /// The log of each load that was begun.
    logs: Vec<Option<BakeLog>>,
}

/// When a day began.
#[derive(Debug)]
struct Begun {
    id: DayId,
    moment: Moment,
    /// Where the program's own clock stood when it began, or was taken up again.
    at: Duration,
    /// How far it was by then: no way, unless it was taken up again.
    before: Duration,
}

impl RunningDay {
    /// Makes ready for a day; nothing is in an oven yet.
    pub(crate) fn new(day: Day, wanted: Option<Shade>) -> Self {
        let logs = vec![None; day.batches.len()];
        Self {
            run: DayRun::new(day),
            wanted,
            begun: None,
            logs,
        }
    }

    /// Takes a day up again that began `before`, the program's own clock standing at `elapsed`; `bake` finds a log.
    pub(crate) fn resume(
        kept: &BakingDay,
        bake: impl Fn(&BakeId) -> Option<BakeLog>,
        (before, elapsed): (Duration, Duration),
    ) -> Self {
        let logs = kept.loads.iter().map(|(_, id)| id.as_ref().and_then(&bake));
        let logs: Vec<Option<BakeLog>> = logs.collect();
        let run = DayRun::resume(kept, |load| logs.get(load).cloned().flatten());
        // The wall clock may have been set back meanwhile: it is no earlier than what was done last.
        let least = Duration::from_secs_f64(run.last_done().0 * 60.0);
        Self {
            wanted: kept.wanted,
            begun: Some(Begun {
                id: kept.id.clone(),
                moment: kept.begun,
                at: elapsed,
                before: before.max(least),
            }),
            run,
            logs,
        }
    }

    /// Returns what is to be kept of it: nothing before the first load is in.
    pub(crate) fn kept(&self) -> Option<BakingDay> {
        let begun = self.begun.as_ref()?;
        let logs = self
            .logs
            .iter()
            .map(|log| log.as_ref().map(|l| l.id.clone()));
        Some(BakingDay {
            id: begun.id.clone(),
            begun: begun.moment,
            wanted: self.wanted,
            given_up: false,
            loads: self.run.day().batches.iter().cloned().zip(logs).collect(),
        })
    }

    /// Returns how far the day is, minutes.
    pub(crate) fn now(&self, elapsed: Duration) -> Minutes {
        let since = self.begun.as_ref().map_or(Duration::ZERO, |begun| {
            begun.before + elapsed.saturating_sub(begun.at)
        });
        Minutes(since.as_secs_f64() / 60.0)
    }

    /// Tells whether the first load is in.
    pub(crate) fn is_begun(&self) -> bool {
        self.begun.is_some()
    }

    /// Tells whether it has begun and a load is still to come in or out.
    pub(crate) fn is_under_way(&self) -> bool {
        self.is_begun() && !self.run.is_done()
    }

    /// Returns what comes next, and the minutes until then; negative when it is overdue.
    pub(crate) fn next(&self, elapsed: Duration) -> Option<(Due, Minutes)> {
        let due = self.run.next(self.now(elapsed))?;
        Some((due, Minutes(due.at.0 - self.now(elapsed).0)))
    }

    /// Tells whether a bake is a load of this day.
    pub(crate) fn holds(&self, bake: &BakeId) -> bool {
        self.logs.iter().flatten().any(|log| log.id == *bake)
    }

    /// Notes that what came next is done; returns the log to save. `words` says what was done, the ids are free for a
    /// new log and for the day, should it begin.
    pub(crate) fn done(
        &mut self,
        (elapsed, moment): (Duration, Moment),
        words: String,
        (id, day): (BakeId, DayId),
    ) -> Option<BakeLog> {
        self.begun.get_or_insert(Begun {
            id: day,
            moment,
            at: elapsed,
            before: Duration::ZERO,
        });
        let now = self.now(elapsed);
        let due = self.run.done(now)?;
        let baked = self.run.baked(due.batch, now);
        let batch = self.run.batch(due.batch)?.clone();
        let log = self.logs.get_mut(due.batch)?;
        match due.what {
            What::In => {
                let mut new = BakeLog::begin(id, batch.oven, batch.mode, moment, batch.plan);
                new.wanted = self.wanted;
                *log = Some(new);
            }
            What::Move(_) => log.as_mut()?.openings.push(DoorOpening {
                at: baked,
                open_for: None,
                what: Opened::Move(words),
            }),
            What::Out => log.as_mut()?.baked = Some(baked),
        }
        log.clone()
    }

    /// Gives the load that comes next a minute more, or less; returns its log to save.
    pub(crate) fn lengthen(&mut self, by: i8, elapsed: Duration) -> Option<BakeLog> {
        let now = self.now(elapsed);
        let due = self.run.next(now)?;
        let added = self.run.lengthen(by, now)?;
        let log = self.logs.get_mut(due.batch)?.as_mut()?;
        log.added = added;
        Some(log.clone())
    }
}
