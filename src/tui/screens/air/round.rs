//! A round that runs: what is typed, what the clock says, and when the bell rings.

use super::setup::{Setup, place_words, rack_above, spot_beside};
use crate::tui::prelude::*;
use crate::{
    model::{AirRound, Moment, Oven, Phase, Thermometer},
    tui::widgets::field::Field,
    units::{Celsius, TemperatureUnit},
    workflow::{
        readings::{DateAndTime, RoundFigures, moment_on},
        round::{Live, Mark, Stage},
    },
};
use jiff::SignedDuration;

/// Most characters of a reading, its unit among them: `234.5F`.
const LONGEST: usize = 6;
/// A round in which nothing was read for so long was left without a word.
const FORGOTTEN: SignedDuration = SignedDuration::from_hours(2);

/// A round that runs.
#[derive(Debug)]
pub(super) struct Session {
    pub(super) live: Live,
    /// When it began, parts of a second included.
    began: Moment,
    pub(super) thermometer: Thermometer,
    /// The digits typed so far.
    pub(super) entry: String,
    /// What was typed was refused: the next digit starts over.
    refused: bool,
    /// When the reading being typed was taken, where not now.
    pub(super) at: Option<Moment>,
    /// That time, while it is typed.
    pub(super) time: Option<Field>,
    /// Figures of the readings so far.
    pub(super) figures: Option<RoundFigures>,
    /// What to do next, as of the last event.
    pub(super) guidance: String,
    /// The bell rang for the reading that is due.
    rung: bool,
    /// Going away was asked for once.
    pub(super) leaving: Confirm<()>,
}

/// Cuts a moment to whole seconds: nobody reads a thermometer by the tenth.
pub(super) fn whole(now: Moment) -> Moment {
    now.whole_second()
}

impl Session {
    /// Begins a round as the form says.
    pub(super) fn begin(setup: &Setup, dial: Celsius, oven: &Oven, shared: &mut Shared) -> Self {
        let began = shared.begin();
        let now = whole(began);
        let id = shared.kitchen.fresh_round_id(&oven.id, now.date());
        let sitting = setup.sitting(oven, shared);
        let mut live = Live::begin(&sitting, id, dial, setup.cold, now);
        live.move_to(setup.place);
        let mut session = Self {
            live,
            began,
            thermometer: setup.thermometer(),
            entry: String::new(),
            refused: false,
            at: None,
            time: None,
            figures: None,
            guidance: String::new(),
            rung: true,
            leaving: Confirm::default(),
        };
        session.refresh(now);
        session
    }

    /// Returns the time of this round: by the stopwatch, for the wall clock may be set while it lasts.
    pub(super) fn now(&self, shared: &Shared) -> Moment {
        whole(shared.now_since(self.began))
    }

    /// Works out figures and guidance again.
    fn refresh(&mut self, now: Moment) {
        self.figures = self.live.figures(&self.thermometer);
        self.guidance = self.live.guidance(&self.thermometer, now);
    }

    fn save(&self, shared: &mut Shared) {
        shared.save(Save::Round(Box::new(self.live.round().clone())));
    }

    /// Takes a digit, the point or a unit.
    pub(super) fn digit(&mut self, c: char) {
        // A unit is what was missing, perhaps.
        if std::mem::take(&mut self.refused) && !c.is_ascii_alphabetic() {
            self.entry.clear();
        }
        let second_point = c == '.' && self.entry.contains('.');
        if self.entry.len() < LONGEST && !second_point {
            self.entry.push(c);
        }
    }

    /// Takes the last digit back; what was refused may be corrected.
    pub(super) fn erase(&mut self) {
        self.refused = false;
        self.entry.pop();
    }

    /// Keeps what was typed as a reading; a refusal leaves the digits in sight until the next one.
    pub(super) fn keep(&mut self, oven: &Oven, shared: &mut Shared) {
        let unit = oven.dial.unit;
        if self.entry.is_empty() {
            shared.say("type what the thermometer shows, then Enter");
            return;
        }
        let Ok(air) = Celsius::parse(&self.entry, unit) else {
            shared.say(format!(
                "'{}' is not a temperature. Type it again.",
                self.entry
            ));
            self.refused = true;
            return;
        };
        let now = self.now(shared);
        let at = self.at.unwrap_or(now);
        if let Err(why) = self.live.push(air, oven, at) {
            shared.say(why.to_string());
            self.refused = true;
            return;
        }
        let taken = self.live.round().readings.iter().find(|r| r.at == at);
        shared.say(format!(
            "{} at {}, {}: saved",
            shown(air, unit),
            at.civil().strftime("%H:%M:%S"),
            taken.map_or(Phase::Holding, |r| r.phase).words()
        ));
        self.entry.clear();
        self.at = None;
        self.rung = false;
        self.refresh(now);
        self.save(shared);
    }

    /// Tells whether a mark was set that no reading carries yet: it is stored with the next one.
    pub(super) fn mark_is_pending(&self) -> bool {
        let last = self.live.round().readings.last();
        let mark = self.live.marks().last();
        mark.is_some_and(|(when, _)| last.is_none_or(|reading| reading.at < *when))
    }

    /// Sets a mark, or says why it does not fit.
    pub(super) fn mark(&mut self, mark: Mark, shared: &mut Shared) {
        let now = self.now(shared);
        if self.live.mark(mark, now) {
            let words = match mark {
                Mark::Signal => "the signal is marked: type what the thermometer shows, Enter",
                Mark::Holds => "it is taken to hold from now on",
                Mark::DoorOpened => "the door is open; o again the moment it is shut",
                Mark::DoorClosed => "the door is shut: type what the thermometer shows, Enter",
            };
            shared.say(words);
            self.rung = true;
            self.refresh(now);
        } else {
            let words = match mark {
                Mark::Signal => "the signal comes once, while it heats up",
                Mark::Holds => "it holds already, or the door is open",
                Mark::DoorOpened => {
                    "while it heats up an opening tells nothing; wait for the signal"
                }
                Mark::DoorClosed => "the door is shut already",
            };
            shared.say(words);
        }
    }

    /// The door's one key: open, or shut again.
    pub(super) fn door(&mut self, shared: &mut Shared) {
        let mark = match self.live.stage(self.now(shared)) {
            Stage::DoorOpen(_) => Mark::DoorClosed,
            Stage::Heating | Stage::Settling(_) | Stage::Holding | Stage::Returning(_) => {
                Mark::DoorOpened
            }
        };
        self.mark(mark, shared);
    }

    /// Takes the last reading or mark back.
    pub(super) fn undo(&mut self, shared: &mut Shared) {
        let before = self.live.round().readings.len();
        if !self.live.undo() {
            shared.say("nothing to take back");
            return;
        }
        self.refresh(self.now(shared));
        if self.live.round().readings.len() < before {
            shared.say("the last reading is taken back");
            self.save(shared);
        } else {
            shared.say("the last mark is taken back");
        }
    }

    /// Moves the thermometer to the next spot or rack position.
    pub(super) fn move_on(&mut self, oven: &Oven, by_rack: bool, shared: &mut Shared) {
        let place = self.live.place();
        let next = if by_rack {
            rack_above(place, oven)
        } else {
            spot_beside(place, 1)
        };
        self.live.move_to(next);
        self.refresh(self.now(shared));
        shared.say(format!("the thermometer stands {}", place_words(next)));
    }

    /// Opens the line for a time that has passed, with the time it is now.
    pub(super) fn ask_time(&mut self, shared: &Shared) {
        let at = self.at.unwrap_or_else(|| self.now(shared)).civil();
        self.time = Some(Field::new(at.strftime("%H:%M:%S").to_string()));
    }

    /// Takes the time typed for the next reading, or says what is wrong with it.
    pub(super) fn keep_time(&mut self, shared: &mut Shared) {
        let Some(field) = &self.time else { return };
        let now = self.now(shared);
        let Some(at) = moment_on(field.text(), now.date()) else {
            let text = field.text();
            shared.say(format!("'{text}' is no time; type it like 14:05:30"));
            return;
        };
        let at = match at {
            DateAndTime::Local(civil) => now.at_civil(civil),
            DateAndTime::Offset(at) => at.by_clock_of(now),
        };
        // A round that runs past midnight: 23:58 was yesterday.
        let yesterday = at.saturating_add(-SignedDuration::from_hours(24));
        let at = if at > now && now.duration_since(yesterday) < FORGOTTEN {
            yesterday
        } else {
            at
        };
        if at > now {
            shared.say(format!(
                "{} is still to come (it is {}); type when it was read",
                at.civil().strftime("%H:%M:%S"),
                now.civil().strftime("%H:%M:%S")
            ));
            return;
        }
        if let Some((marked, _)) = self.live.marks().last().filter(|(when, _)| at < *when) {
            shared.say(format!(
                "{} lies before the last mark, at {}; take the mark back first (u), or type a later time",
                at.civil().strftime("%H:%M:%S"),
                marked.civil().strftime("%H:%M:%S")
            ));
            return;
        }
        self.at = (at != now).then_some(at);
        self.time = None;
        shared.say(format!(
            "the next reading was taken at {}",
            at.civil().strftime("%H:%M:%S")
        ));
    }

    /// Tells whether the bell is to ring now, once for each reading that falls due.
    pub(super) fn rings(&mut self, shared: &Shared) -> bool {
        let now = self.now(shared);
        self.guidance = self.live.guidance(&self.thermometer, now);
        let due = !self.rung && self.live.next_due(now) <= now;
        self.rung |= due;
        due
    }

    /// Returns the seconds until the next reading; none left means now.
    pub(super) fn left(&self, now: Moment) -> f64 {
        let due = self.live.next_due(now);
        due.duration_since(now).as_secs_f64().max(0.0)
    }

    /// Returns the round so far.
    pub(super) fn round(&self) -> &AirRound {
        self.live.round()
    }

    /// Says the next step with its key.
    pub(super) fn guide(&self, now: Moment, unit: TemperatureUnit) -> String {
        if !self.entry.is_empty() {
            let when = self.at.map_or_else(
                || "now".to_owned(),
                |at| format!("at {}", at.civil().strftime("%H:%M:%S")),
            );
            return format!(
                "Enter: keep {} {}, read {when}. Backspace: correct it",
                self.entry,
                unit.letter()
            );
        }
        match self.live.stage(now) {
            Stage::Heating => {
                "type what the thermometer shows, Enter. s: at the preheat signal".to_owned()
            }
            Stage::Settling(_) if self.left(now) <= 0.0 => {
                "type what the thermometer shows now, Enter".to_owned()
            }
            Stage::Settling(_) => "type each reading, Enter. h: it holds already".to_owned(),
            Stage::Holding if self.is_enough() => {
                "enough read. o: open the door for half a minute. Esc: end the round".to_owned()
            }
            Stage::Holding => "type a reading every minute, Enter. o: the door is open".to_owned(),
            Stage::DoorOpen(_) => "o: the door is shut again".to_owned(),
            Stage::Returning(_) => "type a reading every 20 seconds, Enter".to_owned(),
        }
    }

    fn is_enough(&self) -> bool {
        let hold = self.figures.as_ref().and_then(|f| f.hold);
        hold.is_some_and(|h| h.sureness.is_sure())
    }
}

/// Writes a reading with the decimal it was typed with: `338 F`, `170.5 C`.
pub(super) fn shown(air: Celsius, unit: TemperatureUnit) -> String {
    let figure = (unit.figure(air) * 10.0).round() / 10.0;
    format!("{figure} {}", unit.letter())
}
