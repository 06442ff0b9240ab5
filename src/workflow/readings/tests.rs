//! Readings from the first to the advice, in a kitchen of its own.

use super::*;
use crate::{
    model::{
        AirPlace, AirReading, Mode, Oven, Phase, ServiceVisit, Spot, Thermometer, ThermometerId,
    },
    planner::dial::Offset,
    units::{Celsius, CelsiusDelta, TemperatureUnit},
    workflow::{
        catalogue::oven_template,
        kitchen::{Access, Kitchen},
    },
};
use jiff::{
    SignedDuration,
    civil::{Date, DateTime, date},
};
use std::f64::consts::TAU;

pub(super) const NOW: DateTime = date(2026, 11, 25).at(12, 0, 0, 0);

pub(super) struct Bench {
    pub(super) kitchen: Kitchen,
    pub(super) oven: Oven,
    _folder: tempfile::TempDir,
}

/// An empty record with one oven and one good probe.
pub(super) fn bench() -> Bench {
    let folder = tempfile::tempdir().unwrap();
    let (mut kitchen, _) = Kitchen::open(folder.path(), Access::Write).unwrap();
    let oven = oven_template("wall-oven-30-inch").unwrap().oven.clone();
    kitchen.save_oven(oven.clone()).unwrap();
    kitchen
        .save_thermometer(Thermometer {
            id: ThermometerId::of_words("probe"),
            name: "probe".to_owned(),
            resolution: CelsiusDelta(0.1),
            accuracy: CelsiusDelta(0.5),
            lag_s: Some(0.0),
            bought: None,
            note: String::new(),
        })
        .unwrap();
    Bench {
        kitchen,
        oven,
        _folder: folder,
    }
}

impl Bench {
    /// An hour's hold on a day: a swing of 12 C every 8 minutes about `dial + offset`.
    pub(super) fn sit(&mut self, day: Date, dial: f64, offset: f64, place: AirPlace) {
        self.sit_by("probe", (day, dial), place, |t| {
            offset + 6.0 * (TAU * t / 480.0 + offset).sin()
        });
    }

    /// An hour by a thermometer of the record, of what the air is above the dial at a time in seconds.
    pub(super) fn sit_by(
        &mut self,
        thermometer: &str,
        (day, dial): (Date, f64),
        place: AirPlace,
        above: impl FnMut(f64) -> f64,
    ) {
        self.sit_from(thermometer, (day.at(10, 0, 0, 0), 60, dial), place, above);
    }

    /// The same from a moment on, so many readings, one a minute.
    pub(super) fn sit_from(
        &mut self,
        thermometer: &str,
        (began, count, dial): (DateTime, u32, f64),
        place: AirPlace,
        mut above: impl FnMut(f64) -> f64,
    ) {
        let lines: Vec<CsvReading> = (0..count)
            .map(|i| {
                let t = f64::from(i) * 60.0;
                CsvReading {
                    line: 1,
                    seconds: t,
                    at: None,
                    air: Celsius(dial + above(t)),
                    dial: Some(Celsius(dial)),
                    phase: Some(Phase::Holding),
                    place: Some(place),
                }
            })
            .collect();
        let defaults = Defaults {
            zone: jiff::tz::TimeZone::UTC,
            dial: None,
            phase: Phase::Holding,
            place: AirPlace::CENTRE,
            begins: Some(began.into()),
            skip_bad: false,
        };
        let (sitting, lines) = (self.sitting(Some(thermometer)), (&lines[..], &[][..]));
        let added = add_readings(&mut self.kitchen, &sitting, lines, &defaults, NOW.into());
        assert_eq!(added.unwrap().count, lines.0.len());
    }

    /// One reading in the middle of the oven, of a dial and the air, C.
    pub(super) fn look(
        &mut self,
        thermometer: Option<&str>,
        at: DateTime,
        (dial, air): (f64, f64),
        phase: Phase,
    ) {
        let reading = AirReading {
            at: at.into(),
            dial: Celsius(dial),
            air: Celsius(air),
            phase,
            place: AirPlace::CENTRE,
        };
        let sitting = self.sitting(thermometer);
        add_reading(&mut self.kitchen, &sitting, reading, NOW.into()).unwrap();
    }

    fn sitting(&self, thermometer: Option<&str>) -> Sitting {
        Sitting {
            oven: self.oven.id.clone(),
            mode: Mode::StillAir,
            thermometer: thermometer.map(ThermometerId::of_words),
        }
    }

    pub(super) fn summary(&self) -> OvenSummary {
        summary(&self.kitchen, &self.oven, Mode::StillAir)
    }

    pub(super) fn advice(&self) -> Vec<Advice> {
        advice(&self.summary(), &self.oven, NOW.date())
    }
}

#[test]
fn settings_make_a_line_and_the_line_a_dial() {
    let mut b = bench();
    b.sit(date(2026, 5, 1), 150.0, -5.0, AirPlace::CENTRE);
    b.sit(date(2026, 5, 2), 175.0, -7.0, AirPlace::CENTRE);
    b.sit(date(2026, 5, 3), 200.0, -9.0, AirPlace::CENTRE);
    let found = b.summary();
    let line = found.line.unwrap();
    assert!((line.slope - 0.92).abs() < 0.01, "{line:?}");
    // dial + offset = 180 with offset -7 - 0.08 (dial - 175): dial = 187 / 0.92 - 14 / 0.92
    let answer = dial_of(&found, &b.oven, Celsius(180.0)).unwrap();
    let wanted = 175.0 + 12.0 / 0.92;
    assert!((answer.exact.0 - wanted).abs() < 0.5, "{answer:?}");
    assert!(answer.range.0.0 < wanted && wanted < answer.range.1.0);
    let step = b.oven.dial.round(answer.exact);
    assert_eq!(answer.set, step);
    assert!(answer.state == DialState::Off && answer.sure);
    let offset = offset_at(&b.kitchen, &b.oven, Mode::StillAir, Celsius(180.0)).unwrap();
    assert_eq!(offset, answer.offset);
    assert_eq!(
        offset_at(&b.kitchen, &b.oven, Mode::Fan, Celsius(180.0)),
        None
    );
    // Proofing is a range of its own: nothing was read there.
    assert!(matches!(
        dial_of(&found, &b.oven, Celsius(30.0)),
        Err(DialError::NoReadings { .. })
    ));
    assert!(matches!(
        dial_of(&found, &b.oven, Celsius(100.0)),
        Err(DialError::FarOutside { .. })
    ));
}

#[test]
fn proofing_warmth_does_not_bend_the_line_of_baking_heat() {
    let mut b = bench();
    b.oven.dial.lowest = Celsius(25.0);
    b.kitchen.save_oven(b.oven.clone()).unwrap();
    b.sit(date(2026, 5, 1), 150.0, -5.0, AirPlace::CENTRE);
    b.sit(date(2026, 5, 2), 175.0, -5.0, AirPlace::CENTRE);
    b.sit(date(2026, 5, 3), 30.0, 4.0, AirPlace::CENTRE);
    let found = b.summary();
    assert_eq!(found.settings.len(), 3);
    assert!(found.settings[0].is_low());
    let line = found.line.unwrap();
    assert_eq!(line.points, 2);
    let low = dial_of(&found, &b.oven, Celsius(35.0)).unwrap();
    assert!((low.offset.value.0 - 4.0).abs() < 0.5, "{low:?}");
}

#[test]
fn a_visit_parts_the_record_and_its_change_is_told() {
    let mut b = bench();
    for (month, day) in [(1, 5), (1, 25), (2, 10)] {
        b.sit(
            date(2026, month, day),
            175.0,
            -14.0 - 0.2 * f64::from(day % 3),
            AirPlace::CENTRE,
        );
    }
    for (month, day) in [(4, 5), (4, 20), (5, 10)] {
        b.sit(
            date(2026, month, day),
            175.0,
            -2.0 - 0.2 * f64::from(day % 3),
            AirPlace::CENTRE,
        );
    }
    b.oven.visits = vec![ServiceVisit {
        when: date(2026, 3, 1).at(9, 0, 0, 0),
        what: "new sensor".to_owned(),
    }];
    b.kitchen.save_oven(b.oven.clone()).unwrap();
    let found = b.summary();
    let setting = &found.settings[0];
    assert!(
        (setting.offset.value + 2.2).abs() < 0.5,
        "only since the visit: {setting:?}"
    );
    assert_eq!(setting.rounds, 3);
    let jump = found.visits[0].jump.unwrap();
    assert!(
        (jump.change.value - 12.0).abs() < 0.5 && jump.p < 0.001,
        "{jump:?}"
    );
}

#[test]
fn a_slow_drift_is_told_from_scatter() {
    let mut b = bench();
    for month in 1..=10_i8 {
        let offset = -2.0 - 1.5 * f64::from(month);
        b.sit(date(2026, month, 10), 175.0, offset, AirPlace::CENTRE);
    }
    let drift = b.summary().drift.unwrap();
    assert!(
        (drift.slope.value * 30.4 + 1.5).abs() < 0.1,
        "{:?}",
        drift.slope
    );
    assert!(drift.trend.p < 0.001);
    let said = b.advice();
    assert!(
        said.iter().any(|a| a.sentence.contains("drifts by")),
        "{said:?}"
    );
}

#[test]
fn a_technician_is_called_by_a_drift_only_where_it_is_surely_large() {
    use crate::numeric::random::Stream;
    let said = |every: i64, offsets: &[f64]| {
        let mut b = bench();
        for (i, offset) in (0_i64..).zip(offsets) {
            let day = date(2026, 1, 5) + SignedDuration::from_hours(24 * every * i);
            b.sit(day, 175.0, *offset, AirPlace::CENTRE);
        }
        let called = b
            .advice()
            .iter()
            .any(|a| a.sentence.contains("drifts by") && a.verdict == Verdict::Technician);
        (b.summary().drift.is_some(), called)
    };
    // Five in a row within two weeks are no drift yet; four settings of one day are one date.
    assert_eq!(said(4, &[-2.0, -2.3, -2.5, -2.8, -3.1]), (false, false));
    let steady: Vec<f64> = (0..10).map(|i| -2.0 - 1.5 * f64::from(i)).collect();
    assert_eq!(
        said(30, &steady),
        (true, true),
        "18 C a year and hardly any scatter"
    );
    // 10 C a year with a scatter that leaves 6 C possible.
    let mut s = Stream::new(11);
    let rough: Vec<f64> = (0..7)
        .map(|i| -2.0 - 10.5 / 365.25 * 38.0 * f64::from(i) + 0.8 * s.normal())
        .collect();
    assert_eq!(said(38, &rough), (true, false));
}

/// 'old' is right within 8 C, the probe within half a degree.
fn with_old_thermometer() -> Bench {
    let mut b = bench();
    b.kitchen
        .save_thermometer(Thermometer {
            id: ThermometerId::of_words("old"),
            name: "old".to_owned(),
            accuracy: CelsiusDelta(8.0),
            resolution: CelsiusDelta(0.1),
            ..Thermometer::unnamed()
        })
        .unwrap();
    b.oven.visits = vec![ServiceVisit {
        when: date(2026, 3, 1).at(9, 0, 0, 0),
        what: "new sensor".to_owned(),
    }];
    b.kitchen.save_oven(b.oven.clone()).unwrap();
    b
}

fn days_about_the_visit() -> [(Date, bool); 6] {
    [(1, 5), (1, 25), (2, 10), (4, 5), (4, 20), (5, 10)]
        .map(|(month, day)| (date(2026, month, day), month < 3))
}

#[test]
fn another_thermometer_is_no_change_of_the_oven() {
    let sine = |t: f64| 6.0 * (TAU * t / 480.0).sin();
    let mut b = with_old_thermometer();
    for (day, before) in days_about_the_visit() {
        let (by, offset) = if before {
            ("old", 3.0)
        } else {
            ("probe", -3.0)
        };
        b.sit_by(by, (day, 175.0), AirPlace::CENTRE, |t| offset + sine(t));
    }
    let jump = b.summary().visits[0].jump.unwrap();
    // Rectangles of 8 C and half a degree to either side: sqrt(64 / 3 + 0.25 / 3) = 4.63 C.
    assert!((jump.change.sd - 4.63).abs() < 0.3, "{jump:?}");
    let (lo, hi) = jump.change.interval(0.9);
    assert!(lo < 0.0 && 0.0 < hi && jump.p > 0.1, "{jump:?}");

    // Where the old one read on both sides, its own error is no matter, whatever the other said beside.
    let mut b = with_old_thermometer();
    for (day, before) in days_about_the_visit() {
        let level = if before { 3.0 } else { -3.0 };
        b.sit_by("old", (day, 175.0), AirPlace::CENTRE, |t| level + sine(t));
    }
    b.sit(date(2026, 5, 20), 175.0, -7.0, AirPlace::CENTRE);
    let found = b.summary();
    let jump = found.visits[0].jump.unwrap();
    assert!((jump.change.value + 6.0).abs() < 0.3, "{jump:?}");
    assert!(jump.p < 0.001, "{jump:?}");
}

#[test]
fn a_thermometer_moved_from_the_middle_to_a_rack_is_no_change_of_the_oven() {
    let mut b = with_old_thermometer();
    let rack = AirPlace::new(Some(3), Spot::Centre);
    for (day, before) in days_about_the_visit() {
        let (place, offset) = if before {
            (AirPlace::CENTRE, -2.0)
        } else {
            (rack, 9.0)
        };
        b.sit(day, 175.0, offset, place);
    }
    let found = b.summary();
    assert!(found.visits[0].jump.is_none(), "{:?}", found.visits);
    assert_eq!(found.settings[0].rounds, 3, "nothing else was read since");

    // Where the middle was read as well, it alone tells of the dial, and the other place casts no doubt on a thermometer.
    b.sit(date(2026, 5, 12), 175.0, -2.0, AirPlace::CENTRE);
    let sine = |t: f64| 12.0 + 6.0 * (TAU * t / 480.0).sin();
    b.sit_by("old", (date(2026, 5, 13), 175.0), rack, sine);
    let found = b.summary();
    assert_eq!(found.settings[0].rounds, 1);
    assert!((found.settings[0].offset.value + 2.0).abs() < 0.5);
    let jump = found.visits[0].jump.unwrap();
    assert!(jump.change.value.abs() < 0.5, "{jump:?}");
    let differ = |w: &crate::model::Warning| w.what.contains("differ by");
    assert!(!found.warnings.iter().any(differ), "{:?}", found.warnings);
}

#[test]
fn a_drift_is_told_by_one_thermometer_alone() {
    let sine = |t: f64| 6.0 * (TAU * t / 480.0).sin();
    let mut b = with_old_thermometer();
    for month in 4..=11_i8 {
        let (by, offset) = if month < 7 {
            ("old", 3.0)
        } else {
            ("probe", -3.0)
        };
        b.sit_by(by, (date(2026, month, 10), 175.0), AirPlace::CENTRE, |t| {
            offset + 0.1 * f64::from(month % 2) + sine(t)
        });
    }
    let drift = b.summary().drift.unwrap();
    assert_eq!(drift.points.len(), 5, "the probe's");
    assert!(
        !drift.is_told() && drift.at_least().abs() < 1e-12,
        "{drift:?}"
    );
}

#[test]
fn advice_follows_the_evidence() {
    let of = |offset: f64| {
        let mut b = bench();
        b.sit(date(2026, 5, 1), 175.0, offset, AirPlace::CENTRE);
        b.advice().remove(0)
    };
    assert_eq!(of(0.05).verdict, Verdict::LeaveIt);
    let within = of(-4.0);
    assert_eq!(within.verdict, Verdict::LeaveIt);
    assert!(within.sentence.contains("within its swing"), "{within:?}");
    let around = of(-12.0);
    assert_eq!(around.verdict, Verdict::AdjustOrDialAround);
    assert!(
        around.sentence.contains("22 F cold") && around.sentence.contains("or set 3"),
        "{around:?}"
    );
    assert_eq!(of(-30.0).verdict, Verdict::Technician);
    // Two readings carry no technician, however far off they are.
    let mut b = bench();
    for minute in [0, 1] {
        let at = date(2026, 5, 1).at(10, minute, 0, 0);
        b.look(None, at, (175.0, 140.0), Phase::Holding);
    }
    assert_eq!(b.advice()[0].verdict, Verdict::MoreReadings);
    assert_eq!(bench().advice()[0].verdict, Verdict::MoreReadings);
}

#[test]
fn a_wide_range_without_a_cycle_calls_nobody_and_air_on_its_way_sets_no_dial() {
    use crate::numeric::random::Stream;
    let mut b = bench();
    // Every few minutes a gust: 100 C down for two readings, at no regular times.
    let gusts = [7, 8, 20, 21, 39, 40];
    let mut s = Stream::new(5);
    b.sit_by("probe", (date(2026, 5, 1), 175.0), AirPlace::CENTRE, |t| {
        let gust = gusts.iter().any(|g| (t / 60.0 - f64::from(*g)).abs() < 0.1);
        0.5 * s.normal() - if gust { 100.0 } else { 0.0 }
    });
    assert!(b.summary().settings[0].cycle.is_none());
    let said = b.advice();
    assert!(
        said.iter().all(|a| a.verdict != Verdict::Technician),
        "{said:?}"
    );

    let mut b = bench();
    b.sit_by("probe", (date(2026, 5, 1), 175.0), AirPlace::CENTRE, |t| {
        -30.0 + 18.0 * t / 3600.0 + 0.5 * s.normal()
    });
    let found = b.summary();
    let said = b.advice();
    assert_eq!(said[0].verdict, Verdict::MoreReadings, "{said:?}");
    assert!(said[0].sentence.contains("still rose or fell"), "{said:?}");
    assert!(matches!(
        dial_of(&found, &b.oven, Celsius(175.0)),
        Err(DialError::NotHeld { .. })
    ));
    assert_eq!(
        offset_at(&b.kitchen, &b.oven, Mode::StillAir, Celsius(175.0)),
        None
    );
    // A hold at the same setting is not disturbed by it.
    b.sit(date(2026, 5, 2), 175.0, -6.0, AirPlace::CENTRE);
    let setting = b.summary().settings[0].clone();
    assert!((setting.offset.value + 6.0).abs() < 0.3 && setting.rounds == 1);
}

#[test]
fn an_old_cheap_thermometer_is_spoken_of_and_a_second_one_checks_the_first() {
    let mut b = bench();
    b.kitchen
        .save_thermometer(Thermometer {
            id: ThermometerId::of_words("old"),
            name: "old".to_owned(),
            bought: Some(date(2022, 1, 1)),
            ..Thermometer::unnamed()
        })
        .unwrap();
    b.sit(date(2026, 5, 1), 175.0, -2.0, AirPlace::CENTRE);
    for i in 0..60_i64 {
        let swing = 6.0 * (TAU * i as f64 / 8.0).sin();
        let at = date(2026, 5, 2).at(10, 0, 0, 0) + SignedDuration::from_mins(i);
        b.look(Some("old"), at, (175.0, 150.0 + swing), Phase::Holding);
    }
    assert_eq!(b.kitchen.rounds().len(), 2, "an hour is one sitting");
    let found = b.summary();
    assert!(
        found
            .warnings
            .iter()
            .any(|w| w.what.contains("differ by 41 F")),
        "{:?}",
        found.warnings
    );
    let said = b.advice();
    assert!(
        said.iter().any(|a| a.verdict == Verdict::Thermometer),
        "{said:?}"
    );
}

#[test]
fn several_places_make_a_coarse_map() {
    let mut b = bench();
    let at = |spot| AirPlace::new(Some(3), spot);
    b.sit(date(2026, 5, 1), 175.0, 6.0, at(Spot::BackLeft));
    b.sit(date(2026, 5, 1), 175.0, -6.0, at(Spot::FrontRight));
    let map = air_map(&b.kitchen, &b.oven, Mode::StillAir);
    assert_eq!(map.len(), 2);
    let back = &map[0];
    assert_eq!(back.place, at(Spot::BackLeft));
    assert!((back.offset.value - 6.0).abs() < 0.3, "{back:?}");
    let (lo, hi) = back.offset.interval(0.9);
    assert!(lo < 6.0 && hi > 6.0 && hi - lo < 3.0);
    assert_eq!(
        b.summary().settings.len(),
        0,
        "corners are not the oven's temperature"
    );
}

#[test]
fn an_opening_read_replaces_the_typical_one() {
    use crate::planner::door::DoorSource;
    let mut b = bench();
    assert_eq!(
        door_of(&summary(&b.kitchen, &b.oven, Mode::StillAir), 2),
        None
    );
    for i in 0..40_i64 {
        let t = 15.0 * i as f64;
        let scatter = 0.2 * ((i * 37 % 11) as f64 / 5.0 - 1.0);
        let at = date(2026, 5, 2).at(10, 0, 0, 0) + SignedDuration::from_secs(15 * i);
        let air = 170.0 - 30.0 * (-t / 80.0).exp() + scatter;
        b.look(Some("probe"), at, (175.0, air), Phase::DoorClosed);
    }
    let door = door_of(&summary(&b.kitchen, &b.oven, Mode::StillAir), 2).unwrap();
    assert_eq!(door.source, DoorSource::Measured);
    assert!(
        (door.drop.0 - 30.0).abs() < 1.0 && (door.recovery.seconds() - 80.0).abs() < 4.0,
        "{door:?}"
    );
    assert!(
        (door.open.0 - 0.75).abs() < 1e-12,
        "how long it stands open is still typical"
    );
    assert_eq!(TemperatureUnit::Fahrenheit, b.oven.dial.unit);
}

/// A swing of 10 C that is not known makes of 90 s anything from 50 s to several minutes, by its phase.
#[test]
fn an_opening_in_a_swing_that_is_not_known_prices_no_plan() {
    use crate::numeric::random::Stream;
    for phase in 0..6 {
        let mut b = bench();
        let mut s = Stream::new(phase);
        let turn = TAU * phase as f64 / 6.0;
        for i in 0..31_i64 {
            let t = 20.0 * i as f64;
            let swing = 5.0 * (TAU * t / 480.0 + turn).sin();
            let air = 175.0 - 30.0 * (-t / 90.0).exp() + swing + 0.3 * s.normal();
            let at = date(2026, 5, 2).at(10, 0, 0, 0) + SignedDuration::from_secs(20 * i);
            b.look(Some("probe"), at, (180.0, air), Phase::DoorClosed);
        }
        let found = b.summary();
        assert_eq!(found.now[0].figures.doors.len(), 1, "it is shown");
        assert_eq!(door_of(&found, 2), None, "phase {phase}");
    }
}

#[test]
fn two_thermometers_far_apart_tell_a_line_less_well_than_one() {
    let sine = |t: f64| 6.0 * (TAU * t / 480.0).sin();
    let sd_at_225 = |by: [&str; 2]| {
        let mut b = with_old_thermometer();
        for (name, (day, dial)) in by.into_iter().zip([(1, 180.0), (2, 200.0)]) {
            b.sit_by(name, (date(2026, 5, day), dial), AirPlace::CENTRE, |t| {
                sine(t) - 5.0
            });
        }
        let found = b.summary();
        let answer = dial_of(&found, &b.oven, Celsius(220.0)).unwrap();
        assert!(answer.range.0.0 < 225.0 && 225.0 < answer.range.1.0);
        found.line.unwrap().at(225.0).sd
    };
    let (probe, old) = (sd_at_225(["probe", "probe"]), sd_at_225(["old", "old"]));
    // A rectangle of 8 C to either side moves the whole line; with the probe at the other end it tilts it, by 1.25 of
    // itself at 225 C.
    let own = 8.0 / 3.0_f64.sqrt();
    assert!((old / own - 1.0).abs() < 0.05, "{old}");
    let both = sd_at_225(["old", "probe"]);
    assert!((both / own - 1.25).abs() < 0.1, "{both}");
    assert!(probe < 0.25 * own, "{probe}");
}

/// Returns how far an oven is from its dial where a temperature is wanted; nothing where nothing near was read.
pub(super) fn offset_at(kitchen: &Kitchen, oven: &Oven, mode: Mode, at: Celsius) -> Option<Offset> {
    Some(dial_for(kitchen, oven, mode, at).ok()?.offset)
}
