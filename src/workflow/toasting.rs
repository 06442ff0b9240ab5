//! When to look in while a toast test is in the oven, and when everything comes out at the latest.

use super::{
    kitchen::Records,
    layout::{Took, usual_minutes},
};
use crate::{
    model::{Mode, OvenId, ToastTest, worded::worded},
    units::{Celsius, Minutes},
};

/// Looks begin this long before the end that is expected, minutes.
const LOOKS_BEFORE: f64 = 3.0;
/// Where no time can be told, looks begin here and go on to the end given here, minutes.
const UNKNOWN: (f64, f64) = (2.0, 20.0);
/// No slice turns golden in fewer minutes: such a toast was broken off (a choice, no source).
pub const BROKEN_OFF: Minutes = Minutes(2.0);
/// A dial this close counts as the same.
const SAME_DIAL: f64 = 0.6;

worded! {
    /// What the time of a toast is known from.
    pub enum Known [words] {
        /// The baker set the minutes.
        Set: "as you set it";
        /// An earlier test of this oven at this dial took that long.
        Before: "as the last test here took";
        /// Bread of an ordinary loaf at this dial.
        Usual: "as bread usually takes";
        /// Nothing tells it.
        No: "no time is known for this yet";
    }
}

/// When to look in, and when the slices come out at the latest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Toasting {
    /// The first look, whole minutes; from here on one every minute.
    pub first_look: Minutes,
    /// Everything comes out now, if it has not yet.
    pub out: Minutes,
    /// What this is known from.
    pub known: Known,
}

impl Toasting {
    /// Tells when to look in at a test, given the tests on record.
    pub fn of(records: &Records, test: &ToastTest) -> Self {
        let until = |out: f64, known| Self {
            first_look: Minutes((out - LOOKS_BEFORE).floor().max(1.0)),
            out: Minutes(out.max(2.0)),
            known,
        };
        if let Some(set) = test.minutes {
            return until(set.0, Known::Set);
        }
        let setup = &test.setup;
        let set_up = (setup.mode, setup.dial);
        if let Some(took) = took_before(records, &setup.oven, set_up, &setup.racks) {
            return until(took.minutes.0, Known::Before);
        }
        match usual_minutes(setup.mode, setup.dial) {
            Some((from, to)) => Self {
                first_look: Minutes((from.0 - 1.0).max(1.0)),
                out: to,
                known: Known::Usual,
            },
            None => Self {
                first_look: Minutes(UNKNOWN.0),
                out: Minutes(UNKNOWN.1),
                known: Known::No,
            },
        }
    }

    /// Returns how many looks were due by `elapsed`.
    pub fn looks_due(&self, elapsed: Minutes) -> u32 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a toast of an hour at most, never negative"
        )]
        let looks = |minutes: f64| (minutes - self.first_look.0 + 1.0).floor().max(0.0) as u32;
        looks(elapsed.0.min(self.out.0 - 1e-6))
    }

    /// Returns when the next look is due after `elapsed`, or `None` where everything comes out first.
    pub fn next_look(&self, elapsed: Minutes) -> Option<Minutes> {
        let next = Minutes(self.first_look.0 + f64::from(self.looks_due(elapsed)));
        (next.0 < self.out.0 - 1e-6).then_some(next)
    }

    /// Moves the end by whole minutes; the looks keep their distance before it.
    pub fn lengthen(&mut self, by: f64) {
        let out = (self.out.0 + by).clamp(2.0, 240.0);
        self.first_look = Minutes((self.first_look.0 + out - self.out.0).max(1.0));
        self.out = Minutes(out);
    }
}

/// Returns how long the newest test of this oven on these rack positions took in this mode and at this dial; where there
/// is none, the newest on others. A shorter one than a slice takes to turn golden in any oven was broken off, and tells
/// nothing.
pub fn took_before(
    records: &Records,
    oven: &OvenId,
    (mode, dial): (Mode, Celsius),
    racks: &[u8],
) -> Option<Took> {
    let near = |other: Celsius| (other.0 - dial.0).abs() <= SAME_DIAL;
    let timed: Vec<(&ToastTest, Minutes)> = records
        .tests_of(oven)
        .into_iter()
        .filter(|t| t.setup.mode == mode && near(t.setup.dial))
        .filter_map(|t| Some((t, t.minutes.filter(|m| *m >= BROKEN_OFF)?)))
        .collect();
    let is_here = |t: &ToastTest| racks.iter().all(|r| t.setup.racks.contains(r));
    let here = timed.iter().rfind(|(t, _)| is_here(t));
    let took = |minutes, elsewhere| Took { minutes, elsewhere };
    here.map(|(_, minutes)| took(*minutes, None)).or_else(|| {
        let (test, minutes) = timed.last()?;
        let elsewhere = (test.when.date(), test.setup.racks.clone());
        Some(took(*minutes, Some(elsewhere)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workflow::kitchen::Kitchen;

    fn kitchen_and_test() -> (Kitchen, ToastTest) {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let mut test = kitchen.tests().last().unwrap().clone();
        test.id = kitchen.fresh_test_id(&test.setup.oven, test.when.date());
        test.minutes = None;
        (kitchen, test)
    }

    #[test]
    fn the_end_is_what_was_set_else_what_it_took_before_else_what_bread_takes() {
        let (mut kitchen, mut test) = kitchen_and_test();
        let before = kitchen.tests().last().unwrap().minutes.unwrap();
        let toasting = Toasting::of(&kitchen, &test);
        assert_eq!((toasting.known, toasting.out), (Known::Before, before));
        // Bread pulled at once is no test to go by.
        let mut broken_off = test.clone();
        broken_off.minutes = Some(Minutes(0.4));
        kitchen.save_test(broken_off).unwrap();
        assert_eq!(Toasting::of(&kitchen, &test).out, before);
        test.minutes = Some(Minutes(7.0));
        let toasting = Toasting::of(&kitchen, &test);
        assert_eq!((toasting.first_look.0, toasting.out.0), (4.0, 7.0));
        test.minutes = None;
        test.setup.mode = Mode::StillAir;
        test.setup.dial = Celsius(205.0);
        let toasting = Toasting::of(&kitchen, &test);
        let (from, to) = usual_minutes(Mode::StillAir, Celsius(205.0)).unwrap();
        assert_eq!(toasting.known, Known::Usual);
        assert!(toasting.first_look < from && toasting.out == to);
        test.setup.mode = Mode::TopOnly;
        let toasting = Toasting::of(&kitchen, &test);
        assert_eq!((toasting.known, toasting.first_look.0), (Known::No, 2.0));
    }

    #[test]
    fn the_time_is_that_of_a_test_on_the_same_rack_before_any_other() {
        let (mut kitchen, mut test) = kitchen_and_test();
        let (oven, setup) = (test.setup.oven.clone(), (test.setup.mode, Celsius(201.0)));
        test.setup.dial = setup.1;
        for (day, rack, minutes) in [(1, 2, 9.5), (2, 4, 10.0)] {
            test.when = jiff::civil::date(2026, 5, day).at(9, 0, 0, 0);
            test.id = kitchen.fresh_test_id(&oven, test.when.date());
            test.setup.racks = vec![rack];
            test.minutes = Some(Minutes(minutes));
            kitchen.save_test(test.clone()).unwrap();
        }
        let said = |racks: &[u8]| took_before(&kitchen, &oven, setup, racks).unwrap().words();
        assert_eq!(said(&[2]), "9:30 min, as the last test took");
        assert_eq!(said(&[4]), "10 min, as the last test took");
        assert_eq!(
            said(&[5]),
            "10 min, as the test of 2026-05-02 on rack 4 took"
        );
    }

    #[test]
    fn a_look_is_due_every_minute_from_the_first_until_everything_comes_out() {
        let toasting = Toasting {
            first_look: Minutes(9.0),
            out: Minutes(12.0),
            known: Known::Set,
        };
        let due = |at: f64| toasting.looks_due(Minutes(at));
        assert_eq!(
            [0.0, 8.99, 9.0, 9.9, 10.0, 11.0].map(due),
            [0, 0, 1, 1, 2, 3]
        );
        assert_eq!(
            [12.0, 40.0].map(due),
            [3, 3],
            "then it is the end that rings"
        );
        let next = |at: f64| toasting.next_look(Minutes(at)).map(|m| m.0);
        assert_eq!(
            [0.0, 9.0, 10.5].map(next),
            [Some(9.0), Some(10.0), Some(11.0)]
        );
        assert_eq!(next(11.0), None);
        let mut longer = toasting;
        longer.lengthen(2.0);
        assert_eq!((longer.first_look.0, longer.out.0), (11.0, 14.0));
        longer.lengthen(-100.0);
        assert_eq!((longer.first_look.0, longer.out.0), (1.0, 2.0));
    }
}
