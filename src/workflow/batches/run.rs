//! A baking day as it runs: what is due next in which oven, tray by tray. Time is handed in, so that a test can run it
//! fast.

use super::{Batch, Day};
use crate::{
    model::{BakeId, BakeLog, day::BakingDay},
    units::Minutes,
};

/// What a door is opened for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// A load goes in.
    In,
    /// The move that begins this segment of its plan.
    Move(usize),
    /// It comes out.
    Out,
}

/// What is due.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Due {
    /// Which load, from 0.
    pub batch: usize,
    /// What is done with it.
    pub what: What,
    /// When, minutes into the day.
    pub at: Minutes,
}

/// How far one load is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Progress {
    started: Option<f64>,
    moves: usize,
    out: Option<f64>,
    added: f64,
}

/// A baking day under way.
#[derive(Debug, Clone, PartialEq)]
pub struct DayRun {
    day: Day,
    loads: Vec<Progress>,
}

impl DayRun {
    /// Begins a day: nothing is in an oven yet.
    pub fn new(day: Day) -> Self {
        let loads = vec![Progress::default(); day.batches.len()];
        Self { day, loads }
    }

    /// Takes a day up again, each load as far as its log says; `log` finds the log of a load that went in.
    ///
    /// A load whose log is gone counts as taken out.
    pub fn resume(kept: &BakingDay, log: impl Fn(usize) -> Option<BakeLog>) -> Self {
        let progress = |(i, (_, bake)): (usize, &(Batch, Option<BakeId>))| {
            if bake.is_none() {
                return Progress::default();
            }
            let Some(log) = log(i) else {
                return Progress {
                    started: Some(0.0),
                    out: Some(0.0),
                    ..Progress::default()
                };
            };
            let since = log.started.duration_since(kept.begun);
            let started = (since.as_secs_f64() / 60.0).max(0.0);
            Progress {
                started: Some(started),
                moves: log.openings.iter().filter(|o| o.is_move()).count(),
                out: log.baked.map(|baked| started + baked.0),
                added: log.added.0,
            }
        };
        Self {
            loads: kept.loads.iter().enumerate().map(progress).collect(),
            day: Day::of_loads(kept.loads.iter().map(|(load, _)| load.clone()).collect()),
        }
    }

    /// Returns when the last thing was done that is known, minutes into the day.
    pub fn last_done(&self) -> Minutes {
        let times = self.loads.iter().map(|p| p.out.or(p.started));
        Minutes(times.flatten().fold(0.0, f64::max))
    }

    /// Returns the day as it was planned.
    pub fn day(&self) -> &Day {
        &self.day
    }

    /// Tells whether every tray is out.
    pub fn is_done(&self) -> bool {
        self.loads.iter().all(|load| load.out.is_some())
    }

    /// Returns what comes next at `now`, whatever the oven; `None` when every tray is out.
    pub fn next(&self, now: Minutes) -> Option<Due> {
        let due = |batch: usize| self.due_of(batch, now);
        (0..self.loads.len())
            .filter_map(due)
            .min_by(|a, b| a.at.0.total_cmp(&b.at.0))
    }

    /// Returns what comes next of one load; `None` when it is out, or when the one ahead of it is not.
    ///
    /// Past its end no move is worth making.
    fn due_of(&self, batch: usize, now: Minutes) -> Option<Due> {
        let (load, progress) = (&self.day.batches[batch], self.loads[batch]);
        let (what, at) = match (progress.started, progress.out) {
            (_, Some(_)) => return None,
            (None, None) => (What::In, self.ready_for(batch)?),
            (Some(started), None) => {
                let end = started + load.plan.bake.0 + progress.added;
                let segment = load.plan.segments.get(progress.moves + 1);
                match segment.filter(|_| now.0 < end) {
                    Some(segment) => (What::Move(progress.moves + 1), started + segment.from.0),
                    None => (What::Out, end),
                }
            }
        };
        let at = Minutes(at);
        Some(Due { batch, what, at })
    }

    /// Returns when an oven is ready for a load: at once for its first one, else when the air is back.
    fn ready_for(&self, batch: usize) -> Option<f64> {
        let here = &self.day.batches[batch].oven;
        let ahead = (0..batch)
            .rev()
            .find(|b| self.day.batches[*b].oven == *here);
        let Some(ahead) = ahead else { return Some(0.0) };
        let out = self.loads[ahead].out?;
        let load = &self.day.batches[ahead];
        Some(out + load.handling.0 + load.wait.0)
    }

    /// Notes that what came next is done, `now` minutes into the day; returns it.
    pub fn done(&mut self, now: Minutes) -> Option<Due> {
        let due = self.next(now)?;
        let progress = &mut self.loads[due.batch];
        match due.what {
            What::In => progress.started = Some(now.0),
            What::Move(_) => progress.moves += 1,
            What::Out => progress.out = Some(now.0),
        }
        Some(due)
    }

    /// Gives the load that comes next a minute more, or less; only one that bakes.
    pub fn lengthen(&mut self, by: i8, now: Minutes) -> Option<Minutes> {
        let due = self.next(now).filter(|due| due.what != What::In)?;
        let least = -self.day.batches[due.batch].plan.bake.0;
        let added = &mut self.loads[due.batch].added;
        *added = (*added + f64::from(by)).clamp(least, 600.0);
        Some(Minutes(*added))
    }

    /// Returns how long a load has baked at `now`, minutes.
    pub fn baked(&self, batch: usize, now: Minutes) -> Minutes {
        let baked = now.0 - self.loads[batch].started.unwrap_or(now.0);
        Minutes(baked.clamp(0.0, BakeLog::LONGEST.0))
    }

    /// Tells whether anything bakes.
    pub fn is_baking(&self) -> bool {
        let bakes = |p: &Progress| p.started.is_some() && p.out.is_none();
        self.loads.iter().any(bakes)
    }

    /// Returns the loads that are out, of how many.
    pub fn out(&self) -> (usize, usize) {
        let out = self.loads.iter().filter(|p| p.out.is_some()).count();
        (out, self.loads.len())
    }

    /// Returns a load.
    pub fn batch(&self, number: usize) -> Option<&Batch> {
        self.day.batches.get(number)
    }
}
