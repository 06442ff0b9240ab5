//! What opening the door costs: heat, browning, and minutes to make it good.
//!
//! After closing, the air comes back as hold - drop e^(-t / tau), and the surface of the food follows it as slowly as it
//! came to its own temperature: it browns at k(hold - fall) / k(hold) of its rate meanwhile. So most of what an opening
//! costs comes minutes after it, and one shortly before the end costs little. While the door is open nothing browns and
//! nothing warms: the food's own clock stands still. An early opening therefore delays the heating by the minutes it
//! stood open, and costs little browning.

use super::dose::{Dose, Heat};
use crate::{
    model::{Mode, bake::handling, kinetics::relative_rate},
    numeric::whole,
    units::{Celsius, CelsiusDelta, Minutes},
};

/// Seconds in a minute.
const MINUTE: f64 = 60.0;

/// What a door model rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DoorSource {
    /// Typical values: published figures disagree (25 to 150 F lost, back within one to ten minutes).
    Default,
    /// Fitted to readings of this oven.
    Measured,
}

/// How far the air falls at one opening and how it comes back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoorModel {
    /// Fall of the air's temperature at the moment the door closes again.
    pub drop: CelsiusDelta,
    /// Time constant of the air's return.
    pub recovery: Minutes,
    /// How long the door stands open for one opening.
    pub open: Minutes,
    /// What these figures rest on.
    pub source: DoorSource,
}

impl DoorModel {
    /// Makes the typical model of a mode for `trays` trays to be handled at each opening.
    ///
    /// A drop of 50 F that returns with a time constant of 2 minutes, with a fan 1 minute; open for half
    /// a minute with one tray and a quarter more for each further tray (typical values inside the
    /// published range, to be replaced by readings of the oven).
    pub fn typical(mode: Mode, trays: usize) -> Self {
        let recovery = match mode {
            Mode::Fan => 1.0,
            Mode::StillAir | Mode::BottomOnly | Mode::TopOnly | Mode::Proofing => 2.0,
        };
        Self {
            drop: CelsiusDelta(50.0 / 1.8),
            recovery: Minutes(recovery),
            open: handling(trays),
            source: DoorSource::Default,
        }
    }

    /// Returns how far the air is below its hold `since` the door was closed.
    fn fall(&self, since: Minutes) -> CelsiusDelta {
        CelsiusDelta(self.drop.0 * (-since.0 / self.recovery.0).exp())
    }

    /// Returns the rate of browning in each second since the door was closed, as a share of the undisturbed rate, of food
    /// whose surface follows the air with a time constant in seconds, part of the way (1 is all).
    fn rates_after(&self, heat: &Heat, (lag, reach): (f64, f64)) -> Vec<f64> {
        /// A fall that no longer counts, C.
        const OVER: f64 = 0.01;
        let kept = (-1.0 / lag.max(1e-3)).exp();
        let (mut air, mut below) = (self.fall(Minutes(0.5 / MINUTE)).0, 0.0);
        let comes_back = (-1.0 / self.recovery.seconds()).exp();
        (0..24 * 3600)
            .map_while(|_| {
                below = kept * below + (1.0 - kept) * reach * air;
                air *= comes_back;
                (below.max(air) > OVER).then(|| rate_below(heat, CelsiusDelta(below)))
            })
            .collect()
    }

    /// Returns the course of a bake whose door was shut again at these minutes (rising) of the food's own time, in which
    /// it stands still while the door is open.
    pub fn slow(&self, dose: Dose, heat: &Heat, shut: &[Minutes]) -> Dose {
        let rates = self.rates_after(heat, dose.follows());
        let shut: Vec<usize> = shut.iter().map(|at| seconds(*at)).collect();
        dose.slowed(|second| {
            let last = shut.iter().rev().find(|at| **at <= second);
            let rate = last.and_then(|at| rates.get(second - at));
            rate.copied().unwrap_or(1.0)
        })
    }

    /// Returns how long after closing the air is back to within `short` of its hold: tau ln(drop / short).
    pub fn back_within(&self, short: CelsiusDelta) -> Minutes {
        let times = self.drop.0 / short.0;
        Minutes(if times > 1.0 {
            self.recovery.0 * times.ln()
        } else {
            0.0
        })
    }

    /// Returns the minutes of full-rate browning lost to the air's fall by one opening, at most: in a long bake, at a
    /// surface as hot as the air.
    ///
    /// Integral of 1 - k(hold - drop e^(-t / tau)) / k(hold) over t, by the midpoint rule; near the hold
    /// this is the integral of 1 - exp(-s drop e^(-t / tau)) with the sensitivity s.
    pub fn lost_full_rate(&self, heat: &Heat) -> Minutes {
        const STEPS: u32 = 4000;
        let end = 20.0 * self.recovery.0;
        let step = end / f64::from(STEPS);
        let sum: f64 = (0..STEPS)
            .map(|i| 1.0 - rate_below(heat, self.fall(Minutes((f64::from(i) + 0.5) * step))))
            .sum();
        Minutes(sum * step)
    }
}

/// A bake with its door openings, stepped second by second.
#[derive(Debug, Clone)]
pub struct DoorClock<'a> {
    dose: &'a Dose,
    /// Seconds since the door was last closed when the food goes in; as many as can be where the air holds.
    since: usize,
    /// Rate in each second since the door was closed, as a share of the undisturbed rate.
    recovering: Vec<f64>,
    open_seconds: usize,
}

/// How the browning of a bake falls to its segments.
#[derive(Debug, Clone, PartialEq)]
pub struct Timeline {
    /// Minutes into the bake of each opening.
    pub openings: Vec<Minutes>,
    /// Share of all browning in each segment, one more than there are openings; they sum to 1.
    pub shares: Vec<f64>,
    /// Length of the bake.
    pub bake: Minutes,
}

impl<'a> DoorClock<'a> {
    /// Prepares the clock of a bake.
    pub fn new(dose: &'a Dose, door: &DoorModel, heat: &Heat) -> Self {
        Self {
            dose,
            since: usize::MAX,
            recovering: door.rates_after(heat, dose.follows()),
            open_seconds: seconds(door.open),
        }
    }

    /// Returns the clock of food that goes in `after` the door was last closed, when the air may not be back yet.
    ///
    /// What the cooler air delays in warming is left out; food is put in when the air is nearly back.
    #[must_use]
    pub fn going_in(self, after: Minutes) -> Self {
        Self {
            since: seconds(after),
            ..self
        }
    }

    /// Places the openings where the given running shares (rising, 0..1) of the browning are done.
    ///
    /// The bake ends when its browning is whole again.
    pub fn by_shares(&self, running: &[f64]) -> Timeline {
        self.run(running.len(), |opening, _, done| {
            done >= running[opening] - 1e-12
        })
    }

    /// Places the openings at the given times (rising) and ends on a whole minute; without openings the bake
    /// keeps its own length.
    pub fn at_minutes(&self, at: &[Minutes]) -> Timeline {
        let starts: Vec<usize> = at.iter().map(|t| seconds(*t)).collect();
        let mut free = self.run(at.len(), |opening, second, _| second >= starts[opening]);
        free.openings = at.to_vec();
        free.bake = if at.is_empty() && self.since == usize::MAX {
            self.dose.bake()
        } else {
            Minutes(free.bake.0.round().max(self.dose.bake().0))
        };
        free
    }

    /// Steps through the bake; `opens` is asked with the opening's index, the second and the share of
    /// the browning done.
    fn run(&self, openings: usize, opens: impl Fn(usize, usize, f64) -> bool) -> Timeline {
        let longest = 3 * seconds(self.dose.bake()) + 3600;
        let (mut at, mut shares) = (Vec::new(), Vec::new());
        let (mut done, mut begun) = (0.0, 0.0);
        let (mut second, mut food) = (0, 0);
        let mut since_closed = self.since;
        while second < longest {
            if at.len() < openings && opens(at.len(), second, self.share(done, food)) {
                at.push(Minutes(second as f64 / MINUTE));
                shares.push(done - begun);
                begun = done;
                second += self.open_seconds;
                since_closed = 0;
            }
            if at.len() == openings && self.share(done, food) >= 1.0 - 1e-9 {
                break;
            }
            let recovery = self.recovering.get(since_closed).copied().unwrap_or(1.0);
            done += self.dose.rate_in_second(food) * recovery / MINUTE;
            since_closed = since_closed.saturating_add(1);
            second += 1;
            food += 1;
        }
        shares.push(done - begun);
        let timeline = Timeline {
            openings: at,
            shares,
            bake: Minutes(second as f64 / MINUTE),
        };
        Self::normalised(timeline)
    }

    /// Share of the whole browning; by time where the bake never browns.
    fn share(&self, done: f64, food: usize) -> f64 {
        let total = self.dose.total().0;
        if total > 0.0 {
            done / total
        } else {
            food as f64 / self.dose.bake().seconds()
        }
    }

    /// Turns effective minutes into shares; a bake that never browns counts by time instead.
    fn normalised(mut timeline: Timeline) -> Timeline {
        let sum: f64 = timeline.shares.iter().sum();
        if sum > 0.0 {
            for share in &mut timeline.shares {
                *share /= sum;
            }
        } else {
            let ends = timeline.openings.iter().copied().chain([timeline.bake]);
            let mut from = 0.0;
            for (share, end) in timeline.shares.iter_mut().zip(ends) {
                *share = (end.0 - from) / timeline.bake.0;
                from = end.0;
            }
        }
        timeline
    }
}

/// Returns the rate of browning that far below the air's hold, as a share of the undisturbed rate.
fn rate_below(heat: &Heat, fall: CelsiusDelta) -> f64 {
    relative_rate(heat.energy, Celsius(heat.air.0 - fall.0), heat.air)
}

fn seconds(t: Minutes) -> usize {
    whole::floor(t.seconds().round())
}

#[cfg(test)]
mod tests {
    use super::{super::dose::TOAST, *};
    use crate::model::{DoseCurve, kinetics::HOT_PLATE_ENERGY};

    const HEAT: Heat = Heat::new(Celsius(177.0), HOT_PLATE_ENERGY);

    fn door(drop_f: f64, recovery: f64, open: f64) -> DoorModel {
        DoorModel {
            drop: CelsiusDelta(drop_f / 1.8),
            recovery: Minutes(recovery),
            open: Minutes(open),
            source: DoorSource::Measured,
        }
    }

    /// By hand: 50 F that fall with a time constant of 2 min are 5 F after 2 ln 10 = 4.605 min. What browns at once
    /// loses the whole of what an opening costs; what warms first loses nothing once the air is back.
    #[test]
    fn what_goes_in_before_the_air_is_back_bakes_longer() {
        let door = door(50.0, 2.0, 0.5);
        let short = CelsiusDelta(5.0 / 1.8);
        let back = door.back_within(short);
        assert!((back.0 - 2.0 * 10.0_f64.ln()).abs() < 1e-12);
        assert_eq!(door.back_within(CelsiusDelta(60.0)), Minutes(0.0));
        let hot = DoseCurve {
            start: Celsius(177.0),
            rise_s: 1.0,
            plateau_min: 0.0,
            approach_s: 1.0,
            reach: 1.0,
        };
        let dose = Dose::new(&hot, &HEAT, Minutes(20.0));
        let bake = |after: Minutes| {
            let clock = DoorClock::new(&dose, &door, &HEAT).going_in(after);
            clock.by_shares(&[]).bake.0
        };
        let lost = bake(Minutes(0.0)) - 20.0;
        assert!(
            (lost - door.lost_full_rate(&HEAT).0).abs() < 2.0 / 60.0,
            "{lost}"
        );
        assert!(bake(back) < bake(Minutes(0.0)) && bake(back) > 20.0);
        assert!((bake(Minutes(60.0)) - 20.0).abs() < 1e-9);
        let bread = Dose::new(&TOAST, &HEAT, Minutes(10.0));
        let later = DoorClock::new(&bread, &door, &HEAT).going_in(back);
        assert_eq!(later.at_minutes(&[]).bake, Minutes(10.0));
    }

    /// Seconds of full-rate browning lost at 177 C, computed independently with the hot-plate energy
    /// and printed rounded up to whole seconds.
    #[test]
    fn full_rate_browning_lost() {
        for (drop_f, recovery, printed) in [
            (25.0, 1.0, 29.0),
            (25.0, 2.0, 57.0),
            (25.0, 4.0, 114.0),
            (50.0, 1.0, 51.0),
            (50.0, 2.0, 102.0),
            (50.0, 4.0, 204.0),
        ] {
            let lost = door(drop_f, recovery, 0.0).lost_full_rate(&HEAT).seconds();
            assert!(
                lost <= printed && lost > printed - 1.0,
                "{drop_f} F, {recovery} min: {lost} s"
            );
        }
    }

    /// Stepped apart from the clock, by the model's own curve: the surface follows the air a second at a time until the
    /// recipe's browning is whole.
    #[test]
    fn what_an_opening_costs_is_what_a_surface_stepped_through_it_loses() {
        let curve = DoseCurve {
            start: Celsius(20.0),
            rise_s: 150.0,
            plateau_min: 2.5,
            approach_s: 180.0,
            reach: 0.85,
        };
        let dose = Dose::new(&curve, &HEAT, Minutes(11.0));
        let door = door(50.0, 2.0, 0.5);
        let timeline = DoorClock::new(&dose, &door, &HEAT).run(1, |_, second, _| second >= 480);
        // by hand: no time passes for the food while the door is open; then its air is below the hold
        let (mut done, mut second, mut below) = (0.0, 0_usize, 0.0_f64);
        while done < dose.total().0 {
            if second >= 480 {
                let since = (second as f64 - 480.0) / 60.0;
                let air = 0.85 * (50.0 / 1.8) * (-since / 2.0).exp();
                below += (air - below) / 180.0;
            }
            let at = super::super::dose::surface(&curve, HEAT.air, Minutes(second as f64 / 60.0));
            if at > super::super::dose::BROWNING_STARTS {
                done += relative_rate(HEAT.energy, Celsius(at.0 - below), HEAT.air) / 60.0;
            }
            second += 1;
        }
        let by_hand = second as f64 / 60.0 + 0.5;
        assert!(
            (timeline.bake.0 - by_hand).abs() < 0.15,
            "{timeline:?} {by_hand}"
        );
        assert!(
            (0.6..1.6).contains(&(timeline.bake.0 - 11.0)),
            "{timeline:?}"
        );
    }

    #[test]
    fn without_an_opening_nothing_changes() {
        let dose = Dose::new(&TOAST, &HEAT, Minutes(11.0));
        let door = door(50.0, 2.0, 0.5);
        let clock = DoorClock::new(&dose, &door, &HEAT);
        let timeline = clock.at_minutes(&[]);
        assert_eq!(timeline.bake, Minutes(11.0));
        assert_eq!(timeline.shares, [1.0]);
    }

    #[test]
    fn a_late_opening_costs_its_open_time_and_the_lost_browning() {
        // Late in a long bake the food browns at nearly its final rate, so the minutes added are the open
        // time and the full-rate loss.
        let dose = Dose::new(&TOAST, &HEAT, Minutes(90.0));
        let door = door(50.0, 1.0, 0.5);
        let clock = DoorClock::new(&dose, &door, &HEAT);
        let late = clock.by_shares(&[0.5]);
        // The surface falls with the air as far as it followed it, and being slower less deep for longer: what that costs
        // lies between the air's own loss and that of a fall without end as shallow.
        let (_, reach) = dose.follows();
        let per_c = -rate_below(&HEAT, CelsiusDelta(0.01)).ln() / 0.01;
        let least = reach * door.lost_full_rate(&HEAT).0;
        let most = reach * per_c * door.drop.0 * door.recovery.0;
        let lost = late.bake.0 - 90.5;
        assert!(
            lost > least - 0.02 && lost < most + 0.02,
            "{least} {lost} {most}"
        );
        assert!(most < 1.3 * least, "{least} {most}");
    }

    #[test]
    fn an_early_opening_costs_little_more_than_its_open_time() {
        let dose = Dose::new(&TOAST, &HEAT, Minutes(12.0));
        let door = door(50.0, 0.5, 0.5);
        let clock = DoorClock::new(&dose, &door, &HEAT);
        let early = clock.run(1, |_, second, _| second >= 60);
        // What the air's fall cools is warm again long before it browns.
        assert!((early.bake.0 - 12.5).abs() < 0.15, "{early:?}");
        let late = clock.run(1, |_, second, _| second >= 500);
        assert!(late.bake.0 > early.bake.0 + 0.1, "{late:?}");
        // The surface follows slowly: at the very end little is lost but the time the door stood open.
        let last = clock.run(1, |_, second, _| second >= 700);
        assert!((last.bake.0 - 12.5).abs() < 0.05, "{last:?}");
    }

    #[test]
    fn openings_by_share_split_the_browning_as_asked() {
        let dose = Dose::new(&TOAST, &HEAT, Minutes(15.0));
        let door = DoorModel::typical(Mode::StillAir, 2);
        let clock = DoorClock::new(&dose, &door, &HEAT);
        let timeline = clock.by_shares(&[0.25, 0.6]);
        for (got, want) in timeline.shares.iter().zip([0.25, 0.35, 0.4]) {
            assert!((got - want).abs() < 0.005, "{timeline:?}");
        }
        assert!(timeline.bake.0 > 15.0);
        assert!(timeline.openings[0].0 < timeline.openings[1].0);
    }

    #[test]
    fn a_hold_that_browns_nothing_is_split_by_time() {
        let heat = Heat::new(Celsius(30.0), HOT_PLATE_ENERGY);
        let dose = Dose::new(&TOAST, &heat, Minutes(60.0));
        let door = door(5.0, 1.0, 0.0);
        let clock = DoorClock::new(&dose, &door, &heat);
        let timeline = clock.at_minutes(&[Minutes(15.0)]);
        assert_eq!(timeline.shares, [0.25, 0.75]);
    }
}
