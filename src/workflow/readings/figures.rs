//! From the readings of one sitting to its figures: offset, swing, cycle, preheat, door.

use crate::{
    calibration::{
        Estimate, Habits, Holding, Preheat, Recovery, Sample, Sureness, Surroundings, Swing,
        holding, preheat, recovery, strays,
    },
    model::{AirPlace, AirRound, Gravity, Phase, Thermometer, Warning, air::LOW_SETTING},
    units::Celsius,
};

/// Readings labelled as holding within this long after a door closed are part of its return, seconds.
const RETURNING: f64 = 600.0;
/// Fewest readings from which a return is fitted.
const LEAST_RETURN: usize = 5;

/// One reading, its time counted in seconds from the first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Seconds since the round began.
    pub seconds: f64,
    /// What the thermometer showed.
    pub air: Celsius,
    /// What the dial was set to.
    pub dial: Celsius,
    /// What the oven was doing.
    pub phase: Phase,
}

/// What one sitting at one dial setting showed.
#[derive(Debug, Clone, PartialEq)]
pub struct RoundFigures {
    /// The setting.
    pub dial: Celsius,
    /// True air less dial, C, without the thermometer's own error; `None` where nothing held.
    pub offset: Option<Estimate>,
    /// The hold it comes from.
    pub hold: Option<Holding>,
    /// The preheat, where its signal was read.
    pub preheat: Option<Preheat>,
    /// Every return of the air after the door was closed.
    pub doors: Vec<Recovery>,
    /// What is to be said beside.
    pub warnings: Vec<Warning>,
    /// Readings at this setting.
    pub readings: usize,
}

/// Returns what is known of a thermometer at a setting, as the engine takes it.
pub fn habits(thermometer: &Thermometer, dial: Celsius) -> Habits {
    Habits {
        resolution: thermometer.resolution.0,
        accuracy: thermometer.accuracy.0,
        lag: thermometer.lag_s.unwrap_or(0.0),
        half_swing: if dial.0 < LOW_SETTING.0 {
            Habits::LOW_HALF_SWING
        } else {
            Habits::BAKING_HALF_SWING
        },
    }
}

/// Returns the readings of a round at one place, seconds counted from its first reading.
pub fn rows_at(round: &AirRound, place: AirPlace) -> Vec<Row> {
    let Some((began, _)) = round.span() else {
        return Vec::new();
    };
    round
        .readings
        .iter()
        .filter(|r| r.place == place)
        .map(|r| Row {
            seconds: r.at.duration_since(began).as_secs_f64(),
            air: r.air,
            dial: r.dial,
            phase: r.phase,
        })
        .collect()
}

/// Works out the figures of one sitting, setting by setting in the order they were set.
///
/// `rows` in order of time; `thermometer` is what took them.
pub fn figures(rows: &[Row], thermometer: &Thermometer) -> Vec<RoundFigures> {
    rows.chunk_by(|a, b| (a.dial.0 - b.dial.0).abs() < 0.1)
        .map(|stretch| of_setting(stretch, thermometer))
        .collect()
}

/// No thermostat lets the air swing so far from peak to peak, C: 108 F (an assumption; 20 to 60 F is ordinary).
const WIDEST_SWING: f64 = 60.0;

fn of_setting(rows: &[Row], thermometer: &Thermometer) -> RoundFigures {
    let dial = rows[0].dial;
    let habits = habits(thermometer, dial);
    let returns = returns(rows);
    let held: Vec<Sample> = rows
        .iter()
        .enumerate()
        .filter(|(i, r)| r.phase == Phase::Holding && !returns.iter().any(|part| part.contains(i)))
        .map(|(_, r)| (r.seconds, r.air.0))
        .collect();
    let mut warnings = Vec::new();
    let held = without_strays(held, &habits, &mut warnings);
    let mut hold = holding(&held, &habits);
    let settled = hold.map_or(0, |hold| hold.unsettled);
    let airs = || held.iter().skip(settled).map(|(_, air)| *air);
    let ranges = airs().fold(f64::MIN, f64::max) - airs().fold(f64::MAX, f64::min);
    let swings = |hold: &&mut Holding| hold.sureness.holds() && ranges > WIDEST_SWING;
    if let Some(hold) = hold.as_mut().filter(swings) {
        if hold.sureness.is_sure() {
            hold.sureness = Sureness::FewReadings(hold.readings);
        }
        warnings.push(Warning::misleads(
            "readings called holding lie further apart than any oven swings",
            "some may be in the other unit, or the probe was moved: look at them",
        ));
    }
    if let Some(hold) = &hold
        && hold.unsettled > 0
    {
        warnings.push(Warning::new(
            format!(
                "{} of the readings called holding differ from all after them",
                hold.unsettled
            ),
            "they were left out: the air did not hold yet, or the probe was moved",
        ));
    }
    let around = Surroundings {
        lag: habits.lag,
        swing: hold.as_ref().and_then(Swing::of),
    };
    let mut doors = Vec::new();
    for part in &returns {
        let begun = rows[part.start].seconds;
        let seen: Vec<Sample> = rows[part.clone()]
            .iter()
            .map(|r| (r.seconds - begun, r.air.0))
            .collect();
        match recovery(&seen, &around) {
            Ok(found) => doors.push(found),
            Err(why) => warnings.push(Warning::new(
                format!("the return after a door opening could not be fitted: {why}"),
                "",
            )),
        }
    }
    if !doors.is_empty() && thermometer.lag_s.is_none() {
        let warning = Warning::new(
            "the thermometer's own lag is not known, so the fall of the air is at least this large and its return at most this slow",
            "give its lag in seconds: how long it takes to follow 63 % of a change",
        );
        // It bears on the door alone, not on the dial.
        warnings.push(warning.that(Gravity::Minor));
    }
    RoundFigures {
        dial,
        offset: hold.map(|h| h.mean.shifted(-dial.0)),
        preheat: preheat_of(rows, hold.as_ref(), &returns, &habits),
        hold,
        doors,
        warnings,
        readings: rows.len(),
    }
}

/// Which rows belong to a return of the air: from a closing until the hold, or ten minutes on where
/// only the closing itself is marked.
fn returns(rows: &[Row]) -> Vec<std::ops::Range<usize>> {
    let mut out = Vec::new();
    let mut i = 0;
    while i < rows.len() {
        if rows[i].phase != Phase::DoorClosed {
            i += 1;
            continue;
        }
        let start = i;
        while i < rows.len() && rows[i].phase == Phase::DoorClosed {
            i += 1;
        }
        if i - start < LEAST_RETURN {
            let until = rows[start].seconds + RETURNING;
            while i < rows.len() && rows[i].phase == Phase::Holding && rows[i].seconds <= until {
                i += 1;
            }
        }
        out.push(start..i);
    }
    out
}

fn preheat_of(
    rows: &[Row],
    hold: Option<&Holding>,
    returns: &[std::ops::Range<usize>],
    habits: &Habits,
) -> Option<Preheat> {
    let signal = rows.iter().find(|r| r.phase == Phase::Signal)?;
    // Once the door is opened it is no preheat any more.
    let opened = rows.iter().position(|r| r.phase == Phase::DoorOpened);
    let closed = returns.first().map(|part| part.start);
    let end = opened.into_iter().chain(closed).min().unwrap_or(rows.len());
    let seen: Vec<Sample> = rows[..end].iter().map(|r| (r.seconds, r.air.0)).collect();
    // What is left out of the hold was said there.
    let seen = without_strays(seen, habits, &mut Vec::new());
    preheat(&seen, signal.seconds, hold?)
}

/// Leaves out single readings that cannot be, each with a warning that names it.
fn without_strays(
    mut samples: Vec<Sample>,
    habits: &Habits,
    warnings: &mut Vec<Warning>,
) -> Vec<Sample> {
    let found = strays(&samples, habits.resolution);
    for &i in &found {
        let (seconds, air) = samples[i];
        let minutes = (seconds / 60.0).floor();
        warnings.push(Warning::new(
            format!(
                "the reading of {air:.1} C ({:.1} F) at {minutes:.0}:{:02.0} min from the first stands alone, far from those beside it",
                air * 1.8 + 32.0,
                (seconds - 60.0 * minutes).floor()
            ),
            "it was left out; undo it in the record if it is a slip of the pen",
        ));
    }
    for i in found.into_iter().rev() {
        samples.remove(i);
    }
    samples
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::CelsiusDelta;
    use std::f64::consts::TAU;

    /// Preheat to 168 C at 10 min, hold 170 +- 6 C every 8 min, door closed at 60 min.
    pub(crate) fn sitting() -> Vec<Row> {
        (0..240)
            .map(|i| {
                let t = f64::from(i) * 20.0;
                let swing = 6.0 * (TAU * t / 480.0).sin();
                let (air, phase) = if t < 600.0 {
                    (25.0 + 130.0 * t / 600.0, Phase::Heating)
                } else if t < 3600.0 {
                    let rise = -14.0 * (-(t - 600.0) / 150.0).exp();
                    let phase = if t < 620.0 {
                        Phase::Signal
                    } else if t < 1500.0 {
                        Phase::Heating
                    } else {
                        Phase::Holding
                    };
                    (170.0 + swing + rise, phase)
                } else {
                    let fall = 28.0 * (-(t - 3600.0) / 100.0).exp();
                    (170.0 + swing - fall, Phase::DoorClosed)
                };
                Row {
                    seconds: t,
                    air: Celsius(air),
                    dial: Celsius(180.0),
                    phase,
                }
            })
            .collect()
    }

    fn probe() -> Thermometer {
        Thermometer {
            resolution: CelsiusDelta(0.1),
            accuracy: CelsiusDelta(1.0),
            lag_s: Some(0.0),
            ..Thermometer::unnamed()
        }
    }

    #[test]
    fn one_sitting_gives_every_figure() {
        let all = figures(&sitting(), &probe());
        assert_eq!(all.len(), 1);
        let f = &all[0];
        let offset = f.offset.unwrap();
        assert!((offset.value + 10.0).abs() < 0.3, "{offset:?}");
        let hold = f.hold.unwrap();
        assert!((hold.swing.unwrap().value - 12.0).abs() < 1.0);
        assert!((hold.cycle.unwrap().value - 480.0).abs() < 10.0);
        let preheat = f.preheat.unwrap();
        // By the formula above, with a margin of a tenth of the swing, it is last outside 283 s after the signal.
        assert!((preheat.ready_after - 283.0).abs() < 10.0, "{preheat:?}");
        assert!(
            preheat.at_signal < -7.0 && preheat.overshoot.abs() < 1e-12,
            "{preheat:?}"
        );
        let door = &f.doors[0];
        // One opening in a swing whose answer is not known: the truth lies within a standard error, and that says
        // something (tau to about a third, the fall to about a quarter).
        for (told, truth, known) in [(door.tau, 100.0, 0.5), (door.drop, 28.0, 0.3)] {
            assert!((told.value - truth).abs() < told.sd, "{told:?}");
            assert!(told.sd < known * told.value, "{told:?}");
        }
        assert!(f.warnings.is_empty(), "{:?}", f.warnings);
    }

    #[test]
    fn a_slip_of_the_pen_is_left_out_and_named() {
        let mut rows = sitting();
        let clean = figures(&rows, &probe()).remove(0);
        rows[130].air.0 -= 100.0;
        let got = figures(&rows, &probe()).remove(0);
        assert_eq!(got.hold.unwrap().readings + 1, clean.hold.unwrap().readings);
        let (a, b) = (got.offset.unwrap(), clean.offset.unwrap());
        assert!((a.value - b.value).abs() < 0.2, "{a:?} {b:?}");
        assert!((got.hold.unwrap().swing.unwrap().value - 12.0).abs() < 1.0);
        let said = &got.warnings[0].what;
        let value = format!("{:.1} C", rows[130].air.0);
        assert!(
            said.contains(&value) && said.contains("43:20 min"),
            "{said}"
        );
        let (a, b) = (got.preheat.unwrap(), clean.preheat.unwrap());
        assert!((a.ready_after - b.ready_after).abs() < 1.0 && a.overshoot.abs() < 1e-12);
    }

    #[test]
    fn settings_are_kept_apart_and_nothing_is_made_up() {
        let mut rows = sitting();
        for row in &mut rows[120..] {
            row.dial = Celsius(200.0);
            row.phase = Phase::Heating;
        }
        let all = figures(&rows, &probe());
        assert_eq!(all.len(), 2);
        assert!(all[1].offset.is_none() && all[1].doors.is_empty());
        assert!(figures(&[], &probe()).is_empty());
    }
}
