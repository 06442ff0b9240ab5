//! A running bake: what is due when, and what was done. Time is handed in, so that a test can run it fast.

use crate::{
    model::{BakeLog, DoorOpening, Opened, Plan},
    units::Minutes,
};
use std::time::Duration;

/// Most minutes that can be added by hand: ten hours.
const MOST_ADDED: f64 = 600.0;

/// What comes next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Next {
    /// The move that begins this segment of the plan.
    Move(usize),
    /// Everything comes out.
    End,
}

/// A door that stands open.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Open {
    since: Duration,
    /// It was opened for the next move.
    moving: bool,
}

/// A bake that has begun.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Run {
    started: Duration,
    /// How long it had baked by then: none, unless the clock was taken up again.
    before: Duration,
    /// Times of the plan's moves.
    moves: Vec<Minutes>,
    /// The plan's end.
    bake: Minutes,
    /// Minutes the baker added at the end.
    extra: f64,
    /// Minutes that doors which stood open too long add to all that is still to come.
    delay: f64,
    moves_done: usize,
    open: Option<Open>,
}

impl Run {
    /// Begins at `now` (time since the program started).
    pub(crate) fn begin(plan: &Plan, now: Duration) -> Self {
        Self {
            started: now,
            before: Duration::ZERO,
            moves: plan.segments.iter().skip(1).map(|s| s.from).collect(),
            bake: plan.bake,
            extra: 0.0,
            delay: 0.0,
            moves_done: 0,
            open: None,
        }
    }

    /// Takes a bake up again at `now` that has baked for `before`, its noted moves done.
    pub(crate) fn resume(bake: &BakeLog, before: Duration, now: Duration) -> Self {
        let run = Self::begin(&bake.plan, now);
        let moved = bake.openings.iter().filter(|o| o.is_move()).count();
        Self {
            before,
            extra: bake.added.0,
            delay: bake.door_delay().0,
            moves_done: moved.min(run.moves.len()),
            ..run
        }
    }

    /// Returns how long it has baked; [`BakeLog::LONGEST`] where it was forgotten for longer.
    pub(crate) fn elapsed(&self, now: Duration) -> Minutes {
        let baked = self.before + now.saturating_sub(self.started);
        Minutes((baked.as_secs_f64() / 60.0).min(BakeLog::LONGEST.0))
    }

    /// Returns when everything comes out, minutes into the bake.
    pub(crate) fn end(&self) -> Minutes {
        Minutes((self.bake.0 + self.extra + self.delay).max(0.0))
    }

    /// Returns what comes next at `now` and when, minutes into the bake; past its end no move is worth making.
    pub(crate) fn next(&self, now: Duration) -> (Next, Minutes) {
        self.moves
            .get(self.moves_done)
            .filter(|_| self.left_to_end(now).0 > 0.0)
            .map_or((Next::End, self.end()), |&at| {
                (Next::Move(self.moves_done + 1), Minutes(at.0 + self.delay))
            })
    }

    /// Returns the move that is still to be made, whether it is worth making or not.
    pub(crate) fn next_move(&self) -> Option<usize> {
        (self.moves_done < self.moves.len()).then_some(self.moves_done + 1)
    }

    /// Returns the minutes until everything comes out; negative when it is overdue.
    pub(crate) fn left_to_end(&self, now: Duration) -> Minutes {
        Minutes(self.end().0 - self.elapsed(now).0)
    }

    /// Returns the minutes until what comes next; negative when it is overdue.
    pub(crate) fn left(&self, now: Duration) -> Minutes {
        Minutes(self.next(now).1.0 - self.elapsed(now).0)
    }

    /// Tells whether what comes next is due.
    pub(crate) fn is_due(&self, now: Duration) -> bool {
        self.left(now).0 <= 0.0
    }

    /// Tells whether the door stands open.
    pub(crate) fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// Returns when the door was opened that stands open, and whether for the next move.
    pub(crate) fn opened(&self) -> Option<(Minutes, bool)> {
        let open = self.open?;
        Some((self.elapsed(open.since), open.moving))
    }

    /// Tells whether the door stands open for a look, not for a move.
    pub(crate) fn is_looking(&self) -> bool {
        self.open.as_ref().is_some_and(|open| !open.moving)
    }

    /// Opens the door, for the next move or for a look; `None` when it stands open already.
    ///
    /// Returns the minute; a look too early for the move says so by `moving` false.
    pub(crate) fn open(&mut self, now: Duration, moving: bool) -> Option<Minutes> {
        if self.open.is_some() {
            return None;
        }
        let moving = moving && self.moves_done < self.moves.len();
        self.open = Some(Open { since: now, moving });
        Some(self.elapsed(now))
    }

    /// Shuts the door; returns what to note, or `None` when it was shut.
    ///
    /// `what` says what was done, given whether it was the next move.
    pub(crate) fn shut(
        &mut self,
        now: Duration,
        what: impl FnOnce(bool) -> Opened,
    ) -> Option<DoorOpening> {
        let open = self.open.take()?;
        let opening = DoorOpening {
            at: self.elapsed(open.since),
            open_for: Some(Minutes(now.saturating_sub(open.since).as_secs_f64() / 60.0)),
            what: what(open.moving),
        };
        if open.moving {
            self.moves_done += 1;
        }
        Some(opening)
    }

    /// Puts off all that is still to come by what the doors of `bake` delay; tells whether that is more than before.
    pub(crate) fn put_off(&mut self, bake: &BakeLog) -> bool {
        let before = std::mem::replace(&mut self.delay, bake.door_delay().0);
        self.delay > before
    }

    /// Returns the minutes the baker added, negative for less.
    pub(crate) fn added(&self) -> Minutes {
        Minutes(self.extra)
    }

    /// Gives the bake a minute more or less.
    pub(crate) fn lengthen(&mut self, by: i8) {
        self.extra = (self.extra + f64::from(by)).clamp(-self.bake.0, MOST_ADDED);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::{BakeId, Mode, OvenId},
        tui::widgets::synthetic::plan,
    };

    fn at(minutes: f64) -> Duration {
        // The program has been running for an hour.
        Duration::from_secs_f64(3600.0 + minutes * 60.0)
    }

    #[test]
    fn a_bake_runs_through_its_move_to_its_end() {
        // The move is due at 9 minutes, the end at 12.
        let mut run = Run::begin(&plan(), at(0.0));
        assert_eq!(run.next(at(0.0)), (Next::Move(1), Minutes(9.0)));
        assert_eq!(
            run.next(at(12.0)),
            (Next::End, Minutes(12.0)),
            "too late to move"
        );
        assert_eq!(run.next_move(), Some(1), "one that is being made is one");
        assert!((run.left(at(4.0)).0 - 5.0).abs() < 1e-9);
        assert!(!run.is_due(at(8.9)) && run.is_due(at(9.0)));
        assert!((run.open(at(9.5), true).unwrap().0 - 9.5).abs() < 1e-9);
        let moved = |moving: bool| Opened::Move(format!("{moving}"));
        let opening = run.shut(at(10.0), moved).unwrap();
        assert!((opening.at.0 - 9.5).abs() < 1e-9);
        assert!((opening.open_for.unwrap().0 - 0.5).abs() < 1e-9);
        assert_eq!(opening.what.words(), "true");
        assert_eq!(run.next(at(10.0)), (Next::End, Minutes(12.0)));
        run.lengthen(2);
        assert!(!run.is_due(at(13.0)) && run.is_due(at(14.0)));
    }

    /// By hand: 2:43 of a look adds all of it, 1:15 of a move with two trays adds half a minute (three quarters of one are
    /// planned), whole minutes of the sum: 3.
    #[test]
    fn a_door_left_open_puts_off_all_that_is_still_to_come() {
        let mut bake = BakeLog::begin(
            BakeId::new("bake-1").unwrap(),
            OvenId::new("wall-oven").unwrap(),
            Mode::Fan,
            jiff::civil::date(2026, 3, 1).at(9, 0, 0, 0).into(),
            plan(),
        );
        let mut run = Run::begin(&bake.plan, at(0.0));
        let open = |minutes, what| DoorOpening {
            at: Minutes(3.0),
            open_for: Some(Minutes(minutes)),
            what,
        };
        bake.openings
            .push(open(0.75, Opened::Move("moved".to_owned())));
        assert!(!run.put_off(&bake), "as planned");
        bake.openings[0].open_for = Some(Minutes(1.25));
        bake.openings.push(open(163.0 / 60.0, Opened::Look));
        assert!(run.put_off(&bake) && !run.put_off(&bake));
        assert_eq!(run.next(at(0.0)), (Next::Move(1), Minutes(12.0)));
        assert_eq!((run.end(), bake.due_out()), (Minutes(15.0), Minutes(15.0)));
        assert_eq!(Run::resume(&bake, Duration::ZERO, at(0.0)).end(), run.end());
    }

    #[test]
    fn a_look_through_the_door_is_noted_but_is_no_move() {
        let mut run = Run::begin(&plan(), at(0.0));
        assert!(run.open(at(3.0), false).is_some());
        assert!(run.open(at(3.1), true).is_none(), "it stands open already");
        let opening = run.shut(at(3.2), |moving| {
            if moving {
                Opened::Move("moved".into())
            } else {
                Opened::Look
            }
        });
        assert_eq!(opening.unwrap().what, Opened::Look);
        assert_eq!(run.next(at(3.2)).0, Next::Move(1));
        assert!(run.shut(at(3.3), |_| Opened::Look).is_none());
    }
}
