//! What verdict, advice and plans say of a dial, held against each other.

use super::{
    dial::reckoned,
    summary::line,
    tests::{Bench, bench, offset_at},
    *,
};
use crate::{
    calibration::{Estimate, Sureness},
    model::{AirPlace, Mode, Phase, ServiceVisit, Spot, Thermometer},
    numeric::random::Stream,
    planner::dial::{Recipe, setting},
    units::{Celsius, CelsiusDelta, Minutes, TemperatureUnit},
};
use jiff::civil::date;
use std::f64::consts::TAU;

const F: TemperatureUnit = TemperatureUnit::Fahrenheit;

/// A reading on a day in May, by no thermometer in particular.
fn look(b: &mut Bench, dial: Celsius, air: Celsius) {
    let at = date(2026, 5, 1).at(10, 0, 0, 0);
    b.look(None, at, (dial.0, air.0), Phase::Holding);
}

#[test]
fn an_offset_that_the_dial_cannot_follow_is_not_lost() {
    let mut b = bench();
    b.oven.dial.highest = F.temperature(450.0);
    b.kitchen.save_oven(b.oven.clone()).unwrap();
    for (day, dial, off) in [(1, 350.0, -29.8), (2, 450.0, -30.2)] {
        let dial = F.temperature(dial).0;
        b.sit(date(2026, 5, day), dial, off / 1.8, AirPlace::CENTRE);
    }
    let (found, want) = (b.summary(), F.temperature(425.0));
    assert!(matches!(
        dial_of(&found, &b.oven, want),
        Err(DialError::Beyond { .. })
    ));
    let told = offset_for(&found, &b.oven, want).unwrap();
    assert!((told.offset.value.0 * 1.8 + 30.0).abs() < 1.0 && !told.carried && told.sure);
    let recipe = Recipe {
        temperature: want,
        time: Minutes(30.0),
        for_fan: false,
    };
    let set = setting(&recipe, Mode::StillAir, &b.oven.dial, Some(&told.offset));
    let said = set.unwrap_err().to_string();
    assert!(said.contains("455 F"), "{said}");
    // No advice sets the dial beyond its end.
    let verdict = dial_verdict(&found, &b.oven).unwrap();
    assert_eq!(verdict, "The dial does not reach what 450 F needs.");
    for (at, turns) in [("at 350 F", true), ("at 450 F", false)] {
        let advice = b.advice();
        let said = advice.iter().find(|a| a.evidence.starts_with(at)).unwrap();
        let offered = said.sentence.contains(", or set ");
        assert_eq!(offered, turns, "{said:?}");
    }
}

#[test]
fn the_setting_that_was_read_is_never_too_far_from_what_was_read() {
    let mut b = bench();
    let at = F.temperature(350.0);
    b.sit(date(2026, 5, 1), at.0, -60.0 / 1.8, AirPlace::CENTRE);
    let found = b.summary();
    assert_eq!(
        dial_of(&found, &b.oven, at).unwrap().set,
        F.temperature(410.0)
    );
    // What it then gave is as near.
    let gave = F.temperature(290.0);
    assert_eq!(dial_of(&found, &b.oven, gave).unwrap().set, at);
}

#[test]
fn one_look_tells_no_dial() {
    let mut b = bench();
    let at = F.temperature(350.0);
    look(&mut b, at, F.temperature(330.0));
    let found = b.summary();
    assert_eq!(
        standing(&found, &b.oven, &found.settings[0]),
        Standing::Unknown
    );
    assert!(matches!(
        offset_for(&found, &b.oven, at),
        Err(NoOffset::TooWide(_))
    ));
    let said = dial_verdict(&found, &b.oven).unwrap();
    assert!(said.starts_with("Can't tell yet"), "{said}");
}

#[test]
fn verdict_and_advice_go_by_the_same_dial() {
    let mut b = bench();
    // The middle setting alone is not told from nothing, the line of all three is.
    for (day, dial, offset) in [
        (1, 300.0, -3.0),
        (2, 350.0, 1.0),
        (3, 350.0, -3.0),
        (4, 400.0, -3.0),
    ] {
        let dial = F.temperature(dial).0;
        b.sit(date(2026, 5, day), dial, offset, AirPlace::CENTRE);
    }
    let found = b.summary();
    let at = found.settings.iter().find(|s| s.rounds == 2).unwrap();
    let own = at.offset.interval(0.9);
    assert!(own.0 < 0.0 && own.1 > 0.0, "{own:?}");
    let verdict = dial_verdict(&found, &b.oven).unwrap();
    let advice = b.advice();
    let of_350 = advice.iter().find(|a| a.evidence.starts_with("at 350 F"));
    let said = &of_350.unwrap().sentence;
    assert!(verdict.starts_with("Set 355 F"), "{verdict} {said}");
    assert!(!said.contains("Leave the dial alone"), "{verdict} {said}");
}

/// Settings that bend away from any line are not averaged into one, and no readings more would help.
#[test]
fn a_line_that_misses_a_setting_does_not_speak_for_it() {
    for (ends, middle) in [(-8.0, 0.0), (-4.0, -1.0)] {
        let mut b = bench();
        for (day, dial, offset) in [(1, 300.0, ends), (2, 350.0, middle), (3, 400.0, ends)] {
            let dial = F.temperature(dial).0;
            let steady = |t: f64| offset / 1.8 + 0.1 * (t * 7.0 / 60.0 % 5.0 - 2.0);
            b.sit_by(
                "probe",
                (date(2026, 5, day), dial),
                AirPlace::CENTRE,
                steady,
            );
        }
        let found = b.summary();
        for (at, own) in found.settings.iter().zip([ends, middle, ends]) {
            assert_eq!(at.sureness, Sureness::Steady);
            // What it gave is reached by setting it again.
            let gave = at.dial + CelsiusDelta(own / 1.8);
            let told = dial_of(&found, &b.oven, gave).unwrap();
            assert!((told.exact.0 - at.dial.0).abs() < 0.3, "{own} F: {told:?}");
            assert_eq!(
                offset_at(&b.kitchen, &b.oven, Mode::StillAir, gave),
                Some(told.offset)
            );
            let told = offset_for(&found, &b.oven, gave).unwrap();
            assert_eq!(told.state == DialState::Off, own < -2.0, "{told:?}");
            let stands = standing(&found, &b.oven, at);
            let off = matches!(stands, Standing::Off { .. });
            assert_eq!(off, own < -2.0, "{own} F: {stands:?}");
            assert_ne!(stands, Standing::Unknown);
        }
        let advice = b.advice();
        assert!(
            advice.iter().all(|a| a.verdict != Verdict::MoreReadings),
            "{advice:?}"
        );
    }
}

/// A setting whose air was read to differ from its dial by so much, with its 90 % interval to either side, F.
fn setting_read((dial, offset, half): (f64, f64, f64), sureness: Sureness) -> SettingSummary {
    let offset = Estimate::new(offset / 1.8, half / 1.8 / 1.645, f64::INFINITY);
    SettingSummary {
        dial: F.temperature(dial),
        offset,
        scatter: offset,
        shared: Vec::new(),
        swing: None,
        cycle: None,
        sureness,
        rounds: 1,
        readings: 60,
        latest: date(2026, 5, 1).at(10, 0, 0, 0),
    }
}

fn found_of(settings: Vec<SettingSummary>) -> OvenSummary {
    OvenSummary {
        line: line(&settings),
        settings,
        ..bench().summary()
    }
}

#[test]
fn one_look_beside_whole_cycles_sets_no_dial() {
    let mut b = bench();
    let (sure, want) = (F.temperature(300.0), F.temperature(425.0));
    b.sit(date(2026, 5, 1), sure.0, -5.0 / 1.8, AirPlace::CENTRE);
    look(&mut b, want, F.temperature(395.0));
    let found = b.summary();
    assert_eq!((found.settings.len(), found.line), (2, None));
    assert!(matches!(
        dial_of(&found, &b.oven, want),
        Err(DialError::FarOutside { .. })
    ));
    // Plan and card carry over what is known, and say so.
    let told = offset_for(&found, &b.oven, want).unwrap();
    assert!(told.carried && !told.evidence.contains("425 F"), "{told:?}");
    assert!((told.offset.value.0 * 1.8 + 5.0).abs() < 1.0, "{told:?}");
    let standing = standing(&found, &b.oven, &found.settings[1]);
    assert_eq!(standing, Standing::Unknown);
}

#[test]
fn an_offset_known_too_badly_sets_no_dial_though_it_is_told() {
    let b = bench();
    let whole = Sureness::WholeCycles(4);
    let at = F.temperature(350.0);
    for (half, told) in [(15.0, true), (35.0, false)] {
        let found = found_of(vec![setting_read((350.0, -40.0, half), whole)]);
        let answer = dial_of(&found, &b.oven, at).unwrap();
        assert_eq!(answer.sure, told, "{answer:?}");
        assert_eq!(answer.doubt().is_none(), told);
        assert_eq!(offset_for(&found, &b.oven, at).is_ok(), told);
        let stands = standing(&found, &b.oven, &found.settings[0]);
        assert_eq!(matches!(stands, Standing::Off { .. }), told, "{stands:?}");
    }
}

/// A dial thermometer that shows 340 F all through half an hour: -20 to +0 F, by its own error.
#[test]
fn no_face_turns_a_dial_that_another_calls_right() {
    let mut b = bench();
    let at = F.temperature(350.0);
    b.sit_by("lost", (date(2026, 5, 1), at.0), AirPlace::CENTRE, |_| {
        -10.0 / 1.8
    });
    let found = b.summary();
    let answer = dial_of(&found, &b.oven, at).unwrap();
    let ends = [answer.offset.lo, answer.offset.hi].map(|c| (c.0 * 1.8).round());
    assert!(
        (ends[0] + 20.0).abs() < 1e-9 && ends[1].abs() < 1e-9,
        "{ends:?}"
    );
    assert_eq!(answer.state, DialState::Unknown);
    assert!(matches!(
        offset_for(&found, &b.oven, at),
        Err(NoOffset::TooWide(_))
    ));
    let stands = standing(&found, &b.oven, &found.settings[0]);
    assert_eq!(stands, Standing::Unknown);
    let said = dial_verdict(&found, &b.oven).unwrap();
    assert!(said.contains("Can't tell yet") && said.contains("better thermometer"));
    let advice = b.advice();
    assert!(
        advice.iter().all(|a| !a.sentence.contains("alone")),
        "{advice:?}"
    );
}

#[test]
fn close_is_what_lies_within_a_step_and_is_left_alone() {
    let b = bench();
    let whole = Sureness::WholeCycles(4);
    let at = F.temperature(350.0);
    let of = |offset: f64, half: f64| {
        let found = found_of(vec![setting_read((350.0, offset, half), whole)]);
        let told = offset_for(&found, &b.oven, at).ok();
        (standing(&found, &b.oven, &found.settings[0]), told)
    };
    let (stands, told) = of(-3.0, 5.0);
    let told = told.unwrap();
    assert_eq!((stands, told.state), (Standing::Close, DialState::Close));
    assert!(
        told.offset.value.0.abs() < 1e-12,
        "nothing is set: {told:?}"
    );
    assert_eq!(of(-6.0, 8.0), (Standing::Unknown, None));
    assert!(matches!(of(-9.0, 8.0).0, Standing::Off { .. }));
}

#[test]
fn a_bent_record_sets_every_temperature_by_the_settings_beside_it() {
    let b = bench();
    let whole = Sureness::WholeCycles(4);
    let of = |offsets: [(f64, f64); 3]| {
        let dials = [300.0, 350.0, 400.0];
        let each = dials.into_iter().zip(offsets);
        found_of(
            each.map(|(dial, (o, half))| setting_read((dial, o, half), whole))
                .collect(),
        )
    };
    let found = of([(-8.0, 2.0), (0.0, 2.0), (-8.0, 2.0)]);
    assert_eq!(found.line, None);
    let exact = |want: f64| {
        let answer = dial_of(&found, &b.oven, F.temperature(want)).unwrap();
        let half = 0.9 * (answer.range.1.0 - answer.range.0.0);
        assert!(half < 5.0, "{want}: {answer:?}");
        F.figure(answer.exact)
    };
    // By hand: from 292 F at 300 to 350 F at 350 the air rises 58 F in 50 F, then 42 F in 50 F.
    for (want, set) in [
        (292.0, 300.0),
        (300.0, 300.0 + 8.0 * 50.0 / 58.0),
        (350.0, 350.0),
        (371.0, 375.0),
        (400.0, 408.0),
    ] {
        assert!((exact(want) - set).abs() < 1e-6, "{want}: {}", exact(want));
    }
    // The same where the middle one is known less well: none of the others is called close.
    let found = of([(-5.0, 2.0), (1.0, 3.0), (-5.0, 2.0)]);
    for (at, off) in found.settings.iter().zip([true, false, true]) {
        let stands = standing(&found, &b.oven, at);
        assert_eq!(matches!(stands, Standing::Off { .. }), off, "{stands:?}");
        let told = offset_for(&found, &b.oven, at.dial).unwrap();
        assert_eq!(told.state == DialState::Off, off, "{told:?}");
    }
}

#[test]
fn what_is_wanted_hotter_is_never_set_lower() {
    let b = bench();
    let (mut answers, mut lines) = (0, 0);
    for seed in 0..400 {
        let mut s = Stream::new(seed);
        let scatter = [1.0, 10.0, 40.0][usize::try_from(seed % 3).unwrap()];
        let mut dial = 240.0;
        let settings: Vec<SettingSummary> = (0..=seed % 6)
            .map(|_| {
                dial += 3.0 + 30.0 * s.normal().abs();
                let few = s.normal() > 1.0;
                let sureness = if few {
                    Sureness::FewReadings(2)
                } else {
                    Sureness::Steady
                };
                let half = 0.5 + 8.0 * s.normal().abs();
                setting_read((dial, scatter * s.normal(), half), sureness)
            })
            .collect();
        let found = found_of(settings);
        lines += u32::from(found.line.is_some());
        let mut before = f64::NEG_INFINITY;
        for want in 200..520 {
            let want = F.temperature(f64::from(want));
            if let Ok(answer) = reckoned(&found, &b.oven, want) {
                assert!(
                    answer.exact.0 >= before - 1e-9,
                    "{seed}: {before} {answer:?}"
                );
                assert!(answer.range.0 <= answer.exact && answer.exact <= answer.range.1);
                before = answer.exact.0;
                answers += 1;
            }
        }
    }
    assert!(
        answers > 10_000 && lines > 20 && lines < 380,
        "{answers} {lines}"
    );
}

#[test]
fn no_drift_is_said_only_where_one_would_show() {
    let said = |offsets: &[f64]| {
        let mut b = bench();
        for (month, offset) in (1_i8..).zip(offsets) {
            b.sit(date(2026, month, 10), 175.0, *offset, AirPlace::CENTRE);
        }
        let drift = b.summary().drift.is_some();
        let said = b.advice().into_iter().map(|a| a.sentence);
        (
            drift,
            said.filter(|s| s.contains("drift"))
                .collect::<Vec<_>>()
                .concat(),
        )
    };
    // Any order of four comes up by chance twice in 24.
    assert_eq!(said(&[-2.0, -6.0, -10.0, -14.0]), (false, String::new()));
    let (_, still) = said(&[-2.0, -2.1, -1.9, -2.1, -2.0, -1.9, -2.0, -2.1]);
    assert!(still.starts_with("No drift shows"), "{still}");
    let (_, rough) = said(&[-2.0, -6.0, 1.0, -5.0, 2.0]);
    assert!(rough.starts_with("Can't tell yet"), "{rough}");
}

#[test]
fn thermometers_without_a_name_are_not_one_thermometer() {
    let sine = |t: f64| 6.0 * (TAU * t / 480.0).sin();
    let mut b = bench();
    b.oven.visits = vec![ServiceVisit {
        when: date(2026, 3, 1).at(9, 0, 0, 0),
        what: "new sensor".to_owned(),
    }];
    b.kitchen.save_oven(b.oven.clone()).unwrap();
    for (month, offset) in [(1, -10.0), (2, -10.0), (4, 0.0), (5, 0.0)] {
        // No such thermometer is kept.
        b.sit_by(
            "lost",
            (date(2026, month, 5), 175.0),
            AirPlace::CENTRE,
            |t| offset + sine(t),
        );
    }
    let jump = b.summary().visits[0].jump.unwrap();
    // Two of 10 F to either side: 10 / 1.8 / sqrt(3) * sqrt(2) = 4.54 C.
    let own = Thermometer::unnamed().accuracy.0 / 3.0_f64.sqrt() * 2.0_f64.sqrt();
    assert!((jump.change.value - 10.0).abs() < 0.5, "{jump:?}");
    assert!((jump.change.sd - own).abs() < 0.3, "{jump:?}");
}

#[test]
fn a_rack_at_middle_height_stands_for_the_middle_of_the_oven() {
    let at = |rack| AirPlace::new(Some(rack), Spot::Centre);
    let height = |b: &Bench, rack: u8| b.oven.rack(rack).unwrap().height.0 / b.oven.cavity.height.0;
    let mut b = bench();
    assert!((0.25..0.75).contains(&height(&b, 3)) && height(&b, 1) < 0.25);
    b.sit(date(2026, 5, 1), 175.0, -5.0, at(3));
    let found = b.summary();
    assert!((found.settings[0].offset.value + 5.0).abs() < 0.3);
    assert!(
        found.warnings[0].what.contains("middle of rack 3"),
        "{:?}",
        found.warnings
    );
    let mut b = bench();
    b.sit(date(2026, 5, 1), 175.0, -5.0, at(1));
    let found = b.summary();
    assert!(found.settings.is_empty());
    assert!(
        found.warnings[0]
            .what
            .contains("nothing is known of its dial")
    );
}

#[test]
fn a_decimal_comma_cuts_no_figure_off() {
    for text in [
        "seconds,celsius\n0,176,5\n60,177,0\n",
        "0,176,5\n60,177,0\n",
    ] {
        let read = read_readings(text, TemperatureUnit::Celsius).unwrap();
        assert!(
            read.readings.is_empty() && read.issues.len() == 2,
            "{read:?}"
        );
        let said = &read.issues[0].what;
        assert!(said.contains("'5'") && said.contains("176.5"), "{said}");
    }
    // Empty cells at the end are no figures, and columns of other names stay free.
    let text = "seconds,celsius,note\n0,176.5,,\n60,177.0,warm,\n";
    let read = read_readings(text, TemperatureUnit::Celsius).unwrap();
    assert!(
        read.issues.is_empty() && read.readings.len() == 2,
        "{read:?}"
    );
    let said = read_points("x,y\n350,338,5\n").unwrap_err().to_string();
    assert!(said.contains("line 2") && said.contains("338.5"), "{said}");
}
