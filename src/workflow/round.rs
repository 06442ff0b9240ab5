//! A live round with the thermometer: readings as they are taken, marks for signal and door, when to look next.
//!
//! Pure: every call is told the time. What is pushed can be taken back; the running figures are
//! those of the readings so far. Saving is the caller's, who hands [`Live::round`] to the kitchen after each reading.

use crate::{
    calibration::Sureness,
    model::{
        AirPlace, AirReading, AirReadingError, AirRound, Moment, Oven, Phase, RoundId, Thermometer,
        text::counted,
    },
    units::Celsius,
    workflow::readings::{RoundFigures, Sitting, figures, rows_at},
};
use jiff::SignedDuration;

/// How often to look while it heats up.
const WHILE_HEATING: SignedDuration = SignedDuration::from_secs(60);
/// How often to look while it holds: a cycle of eight minutes is then seen eight times.
const WHILE_HOLDING: SignedDuration = SignedDuration::from_secs(60);
/// How often to look after the door was closed.
const AFTER_DOOR: SignedDuration = SignedDuration::from_secs(20);
/// How long after closing the return is watched.
const RETURN: SignedDuration = SignedDuration::from_mins(10);
/// How long after the signal an oven usually holds (common practice: 20 to 30 minutes).
const SETTLES: SignedDuration = SignedDuration::from_mins(20);

/// What can be taken back.
#[derive(Debug, Clone, PartialEq)]
enum Step {
    Reading(AirReading),
    Mark { before: Stage, at: Moment },
}

/// Where a live round stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stage {
    /// Heating up; the signal has not come.
    Heating,
    /// The signal came at that time; it settles.
    Settling(Moment),
    /// It holds.
    Holding,
    /// The door stands open since then.
    DoorOpen(Moment),
    /// The door was closed at that time and the air comes back.
    Returning(Moment),
}

/// A mark the baker sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// The oven says that it is hot.
    Signal,
    /// It holds now, whatever the clock says.
    Holds,
    /// The door was opened.
    DoorOpened,
    /// The door was closed.
    DoorClosed,
}

/// A live round.
#[derive(Debug, Clone, PartialEq)]
pub struct Live {
    round: AirRound,
    dial: Celsius,
    place: AirPlace,
    stage: Stage,
    steps: Vec<Step>,
    began: Moment,
    /// Marks in order, for charts.
    marks: Vec<(Moment, Mark)>,
    /// The signal or a closing waits for its own reading.
    wants_now: bool,
}

impl Live {
    /// Begins a round at a setting, with the oven cold or holding already.
    pub fn begin(sitting: &Sitting, id: RoundId, dial: Celsius, cold: bool, now: Moment) -> Self {
        Self {
            round: AirRound {
                id,
                oven: sitting.oven.clone(),
                mode: sitting.mode,
                thermometer: sitting.thermometer.clone(),
                readings: Vec::new(),
                note: String::new(),
            },
            dial,
            place: AirPlace::CENTRE,
            stage: if cold { Stage::Heating } else { Stage::Holding },
            steps: Vec::new(),
            began: now,
            marks: Vec::new(),
            wants_now: true,
        }
    }

    /// Returns the round so far, for the kitchen.
    pub fn round(&self) -> &AirRound {
        &self.round
    }

    /// Returns the dial setting.
    pub fn dial(&self) -> Celsius {
        self.dial
    }

    /// Returns where the thermometer stands.
    pub fn place(&self) -> AirPlace {
        self.place
    }

    /// Moves the thermometer; readings from now on are of that place.
    pub fn move_to(&mut self, place: AirPlace) {
        self.place = place;
    }

    /// Returns when it began.
    pub fn began(&self) -> Moment {
        self.began
    }

    /// Returns the marks set so far, in order.
    pub fn marks(&self) -> &[(Moment, Mark)] {
        &self.marks
    }

    /// Returns where it stands at a time: a settling oven holds once it had its time.
    pub fn stage(&self, now: Moment) -> Stage {
        let over = |since, takes| now.duration_since(since) >= takes;
        let holds = matches!(self.stage, Stage::Settling(since) if over(since, SETTLES))
            || matches!(self.stage, Stage::Returning(since) if over(since, RETURN));
        if holds { Stage::Holding } else { self.stage }
    }

    /// Returns the phase a reading taken now belongs to.
    pub fn phase(&self, now: Moment) -> Phase {
        match self.stage(now) {
            Stage::Settling(_) if self.wants_now => Phase::Signal,
            Stage::Heating | Stage::Settling(_) => Phase::Heating,
            Stage::Holding => Phase::Holding,
            Stage::DoorOpen(_) => Phase::DoorOpened,
            Stage::Returning(_) => Phase::DoorClosed,
        }
    }

    /// Returns when the next reading is due; a time already past means now.
    pub fn next_due(&self, now: Moment) -> Moment {
        let gap = match self.stage(now) {
            Stage::Heating | Stage::Settling(_) => WHILE_HEATING,
            Stage::Holding | Stage::DoorOpen(_) => WHILE_HOLDING,
            Stage::Returning(_) => AFTER_DOOR,
        };
        match self.round.readings.last() {
            Some(last) if !self.wants_now => last.at.saturating_add(gap),
            Some(_) | None => now,
        }
    }

    /// Takes a reading at a time.
    ///
    /// # Errors
    /// [`AirReadingError`] says why it cannot be; nothing is then taken.
    pub fn push(&mut self, air: Celsius, oven: &Oven, now: Moment) -> Result<(), AirReadingError> {
        let reading = AirReading {
            at: now,
            dial: self.dial,
            air,
            phase: self.phase(now),
            place: self.place,
        };
        reading.check(oven, now)?;
        self.round.put(reading)?;
        self.steps.push(Step::Reading(reading));
        self.wants_now = false;
        Ok(())
    }

    /// Sets a mark at a time; one that does not fit where it stands changes nothing and returns `false`.
    pub fn mark(&mut self, mark: Mark, now: Moment) -> bool {
        let next = match (mark, self.stage(now)) {
            (Mark::Signal, Stage::Heating) => Stage::Settling(now),
            (Mark::Holds, Stage::Heating | Stage::Settling(_) | Stage::Returning(_)) => {
                Stage::Holding
            }
            (Mark::DoorOpened, Stage::Settling(_) | Stage::Holding | Stage::Returning(_)) => {
                Stage::DoorOpen(now)
            }
            (Mark::DoorClosed, Stage::DoorOpen(_)) => Stage::Returning(now),
            (Mark::Signal | Mark::Holds | Mark::DoorOpened | Mark::DoorClosed, _) => return false,
        };
        self.steps.push(Step::Mark {
            before: self.stage,
            at: now,
        });
        self.marks.push((now, mark));
        self.stage = next;
        self.wants_now = matches!(mark, Mark::Signal | Mark::DoorClosed);
        true
    }

    /// Takes the last reading or mark back; returns `false` where there is none.
    pub fn undo(&mut self) -> bool {
        match self.steps.pop() {
            None => return false,
            Some(Step::Reading(reading)) => {
                self.round.readings.retain(|r| *r != reading);
                self.wants_now = matches!(reading.phase, Phase::Signal);
            }
            Some(Step::Mark { before, at }) => {
                self.stage = before;
                self.marks.retain(|(when, _)| *when != at);
                self.wants_now = false;
            }
        }
        true
    }

    /// Works out the figures of the readings so far at the place now read.
    pub fn figures(&self, thermometer: &Thermometer) -> Option<RoundFigures> {
        figures(&rows_at(&self.round, self.place), thermometer).pop()
    }

    /// Says in a sentence what to do next.
    pub fn guidance(&self, thermometer: &Thermometer, now: Moment) -> String {
        match self.stage(now) {
            Stage::Heating => {
                "Read every minute while it heats; mark the signal when it comes.".to_owned()
            }
            Stage::Settling(_) if self.wants_now => {
                "Read now: this is the reading at the signal.".to_owned()
            }
            Stage::Settling(since) => {
                let left = (SETTLES - now.duration_since(since)).as_secs_f64() / 60.0;
                format!(
                    "The signal is not readiness: it settles for about {left:.0} min more (common practice). Read every minute."
                )
            }
            Stage::DoorOpen(_) => {
                "The door is open: mark it closed the moment it closes.".to_owned()
            }
            Stage::Returning(_) => "Read every 20 seconds while the air comes back.".to_owned(),
            Stage::Holding => self.while_holding(thermometer),
        }
    }

    fn while_holding(&self, thermometer: &Thermometer) -> String {
        let hold = self.figures(thermometer).and_then(|f| f.hold);
        match hold.map(|h| (h.sureness, h.cycle)) {
            Some((Sureness::WholeCycles(n), _)) => {
                format!(
                    "{n} whole cycles: enough for this setting. Open the door for half a minute to learn its return, or end here."
                )
            }
            Some((Sureness::FewCycles(n), Some(cycle))) => format!(
                "{} of about {:.0} min; three are wanted. Read every minute.",
                counted(n, "whole cycle"),
                cycle.value / 60.0
            ),
            Some((Sureness::Steady, _)) => {
                "The air holds still: enough for this setting.".to_owned()
            }
            Some((Sureness::Drifting, _)) => {
                "The air still rises or falls: let it settle, and read on until it stays."
                    .to_owned()
            }
            Some((Sureness::FewCycles(_) | Sureness::FewReadings(_), _)) | None => {
                "Read every minute through three whole cycles, without opening the door.".to_owned()
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::{Mode, OvenId},
        workflow::catalogue::oven_template,
    };
    use jiff::civil::date;

    fn at(seconds: i64) -> Moment {
        Moment::from(date(2026, 11, 20).at(14, 0, 0, 0)) + SignedDuration::from_secs(seconds)
    }

    fn begin(cold: bool) -> (Live, Oven) {
        let oven = oven_template("wall-oven-30-inch").unwrap().oven.clone();
        let sitting = Sitting {
            oven: OvenId::of_words("wall"),
            mode: Mode::StillAir,
            thermometer: None,
        };
        let live = Live::begin(
            &sitting,
            RoundId::of_words("r"),
            Celsius(176.7),
            cold,
            at(0),
        );
        (live, oven)
    }

    #[test]
    fn a_round_goes_from_cold_through_the_signal_to_the_hold_and_the_door() {
        let (mut live, oven) = begin(true);
        let thermometer = Thermometer::unnamed();
        assert_eq!(live.next_due(at(0)), at(0), "the first reading at once");
        for minute in 0..10 {
            live.push(Celsius(25.0 + 14.0 * minute as f64), &oven, at(60 * minute))
                .unwrap();
        }
        assert_eq!(live.next_due(at(550)), at(600));
        assert!(!live.mark(Mark::DoorClosed, at(590)), "it was not open");
        assert!(live.mark(Mark::Signal, at(600)));
        assert_eq!(
            live.next_due(at(600)),
            at(600),
            "a signal wants its reading"
        );
        live.push(Celsius(165.0), &oven, at(605)).unwrap();
        assert_eq!(live.round().readings.last().unwrap().phase, Phase::Signal);
        assert!(
            live.guidance(&thermometer, at(660))
                .contains("signal is not readiness")
        );
        // Twenty minutes after the signal it is taken to hold, and swings every 8 minutes.
        let hold_begins = 600 + 20 * 60;
        for i in 0..40_i64 {
            let t = hold_begins + 60 * i;
            let swing = 6.0 * (std::f64::consts::TAU * t as f64 / 480.0).sin();
            live.push(Celsius(170.0 + swing), &oven, at(t)).unwrap();
        }
        let now = at(hold_begins + 2400);
        assert_eq!(live.stage(now), Stage::Holding);
        assert!(
            live.guidance(&thermometer, now)
                .contains("whole cycles: enough")
        );
        let figures = live.figures(&thermometer).unwrap();
        let offset = figures.offset.unwrap();
        assert!((offset.value + 6.7).abs() < 0.5, "{offset:?}");
        assert!(live.mark(Mark::DoorOpened, now));
        assert!(live.mark(Mark::DoorClosed, now + SignedDuration::from_secs(30)));
        let closed = now + SignedDuration::from_secs(30);
        assert_eq!(live.next_due(closed), closed);
        live.push(Celsius(150.0), &oven, closed).unwrap();
        assert_eq!(live.next_due(closed), closed + AFTER_DOOR);
        assert_eq!(
            live.round().readings.last().unwrap().phase,
            Phase::DoorClosed
        );
        assert_eq!(live.marks().len(), 3);
    }

    #[test]
    fn what_was_pushed_can_be_taken_back_and_the_absurd_is_refused() {
        let (mut live, oven) = begin(false);
        live.push(Celsius(170.0), &oven, at(0)).unwrap();
        assert!(live.push(Celsius(-5.0), &oven, at(60)).is_err());
        assert!(live.push(Celsius(390.0), &oven, at(60)).is_err());
        assert!(
            live.push(Celsius(171.0), &oven, at(0)).is_err(),
            "twice at one time"
        );
        assert_eq!(live.round().readings.len(), 1);
        assert!(live.mark(Mark::DoorOpened, at(90)));
        assert!(matches!(live.stage(at(91)), Stage::DoorOpen(_)));
        assert!(live.undo());
        assert_eq!(
            (live.stage(at(91)), live.marks().len()),
            (Stage::Holding, 0)
        );
        assert!(live.undo());
        assert!(live.round().readings.is_empty());
        assert!(!live.undo());
    }
}
