//! Keys through the program: a round from the form to the disk.

use crate::tui::prelude::*;
use crate::{
    model::{AirPlace, Phase, Spot},
    tui::{event::Event, fixture::Fixture, run::step},
};
use jiff::SignedDuration;
use std::time::Duration;

/// On the round's screen, begun at 350 F from cold.
fn begun() -> Fixture {
    let mut fixture = Fixture::working();
    fixture.keys("a");
    assert!(fixture.app.shows::<crate::tui::screens::air::AirScreen>());
    fixture.keys("n");
    assert!(fixture.app.shared.popup.is_some(), "cautions first");
    fixture.keys("\n\n");
    fixture.guides("s: at the preheat signal");
    fixture
}

/// Lets seconds pass.
fn pass(fixture: &mut Fixture, seconds: u32) -> Vec<Effect> {
    let shared = &mut fixture.app.shared;
    shared.moment = shared.moment + SignedDuration::from_secs(i64::from(seconds));
    shared.now = shared.moment.civil();
    shared.elapsed += Duration::from_secs(u64::from(seconds));
    step(&mut fixture.app, Event::Tick)
}

fn read(fixture: &mut Fixture, figure: &str) {
    fixture.keys(figure);
    fixture.press(Key::Enter);
}

#[test]
fn every_reading_is_on_disk_with_its_phase_time_and_place() {
    let mut f = begun();
    read(&mut f, "70");
    pass(&mut f, 60);
    read(&mut f, "150.5");
    pass(&mut f, 60);
    f.keys("s");
    read(&mut f, "340");
    pass(&mut f, 60);
    f.keys("hpp");
    read(&mut f, "338");
    pass(&mut f, 60);
    f.keys("o");
    pass(&mut f, 30);
    f.keys("o");
    read(&mut f, "300");
    let kitchen = f.on_disk();
    let round = &kitchen.rounds()[0];
    let phases: Vec<Phase> = round.readings.iter().map(|r| r.phase).collect();
    assert_eq!(
        phases,
        [
            Phase::Heating,
            Phase::Heating,
            Phase::Signal,
            Phase::Holding,
            Phase::DoorClosed
        ]
    );
    assert!((round.readings[1].air.0 - (150.5 - 32.0) / 1.8).abs() < 1e-9);
    assert!((round.readings[0].dial.0 - (350.0 - 32.0) / 1.8).abs() < 1e-6);
    let place = AirPlace::new(Some(1), Spot::BackLeft);
    assert_eq!(round.readings[3].place, place);
    let gap = round.readings[4].at.duration_since(round.readings[0].at);
    assert_eq!(gap, SignedDuration::from_secs(270));
}

#[test]
fn the_bell_rings_once_for_each_reading_that_falls_due() {
    let mut f = begun();
    read(&mut f, "70");
    assert!(pass(&mut f, 59).is_empty());
    assert!(matches!(pass(&mut f, 1)[..], [Effect::Bell(_)]));
    assert!(pass(&mut f, 30).is_empty(), "once is enough");
    read(&mut f, "150");
    assert!(matches!(pass(&mut f, 61)[..], [Effect::Bell(_)]));
}

#[test]
fn what_cannot_be_is_told_and_the_digits_stay_to_be_corrected() {
    let mut f = begun();
    f.press(Key::Enter);
    f.says("type what the thermometer shows");
    read(&mut f, "9999");
    f.says("9999 F is more than this oven");
    assert!(f.app.shared.kitchen.rounds().is_empty());
    f.guides("keep 9999 F");
    f.keys("\x08\x08\x08\x08");
    read(&mut f, "20");
    f.says("below freezing");
    f.press(Key::Backspace);
    read(&mut f, "00");
    assert_eq!(f.app.shared.kitchen.rounds()[0].readings.len(), 1);
}

#[test]
fn readings_and_marks_are_taken_back_and_an_empty_round_leaves_no_file() {
    let mut f = begun();
    read(&mut f, "70");
    f.keys("s");
    f.guides("shows now");
    f.keys("u");
    f.guides("s: at the preheat signal");
    f.keys("u");
    assert!(f.app.shared.kitchen.rounds().is_empty());
    f.keys("u");
    f.says("nothing to take back");
    let f = f.reopened();
    assert!(f.app.shared.kitchen.rounds().is_empty());
}

#[test]
fn a_reading_can_be_of_an_earlier_time_but_not_of_one_to_come() {
    let mut f = begun();
    pass(&mut f, 600);
    f.keys("t09:45\n");
    f.says("still to come");
    f.keys("\x08\x08\x08\x08\x089:35:10\n");
    f.says("is no time");
    f.keys("\x1bt09:35:10\n");
    f.guides("type what");
    f.keys("1");
    f.guides("read at 09:35:10");
    f.keys("20\n");
    let at = f.app.shared.kitchen.rounds()[0].readings[0].at;
    assert_eq!(at.civil().strftime("%H:%M:%S").to_string(), "09:35:10");
    f.keys("st09:36\n");
    f.says("before the last mark");
}

#[test]
fn leaving_a_round_is_asked_once_and_loses_nothing() {
    let mut f = begun();
    read(&mut f, "70");
    assert!(!f.keys("q").iter().any(|e| matches!(e, Effect::Quit)));
    f.press(Key::Escape);
    f.guides("n: prepare a round");
    assert_eq!(f.app.shared.kitchen.rounds()[0].readings.len(), 1);
}

#[test]
fn a_setting_that_is_not_on_the_dial_begins_nothing() {
    let mut f = Fixture::working();
    f.keys("an\n900\n");
    f.says("900 F is not on this dial");
    f.keys("\x08\x08\x08330\n");
    read(&mut f, "70");
    let dial = f.app.shared.kitchen.rounds()[0].readings[0].dial;
    assert!((dial.0 - (330.0 - 32.0) / 1.8).abs() < 0.01, "{dial:?}");
}

#[test]
fn a_thermometer_is_described_before_a_round_and_read_with() {
    let mut f = Fixture::working();
    f.keys("an\n");
    f.press(Key::Function(3));
    f.guides("F2: save");
    // Nothing is saved while a line is wrong, and the cursor stands on it.
    f.press(Key::Function(2));
    f.says("it needs a name");
    for line in ["wire probe", "0.2", "2", "soon", "2026-01-15"] {
        f.keys(line);
        f.press(Key::Enter);
    }
    f.says("'soon' is no number of seconds");
    f.keys("8");
    f.press(Key::Function(2));
    let kitchen = f.on_disk();
    let [it] = kitchen.thermometers() else {
        panic!("{:?}", kitchen.thermometers());
    };
    assert_eq!((it.name.as_str(), it.lag_s), ("wire probe", Some(8.0)));
    // Typed in the dial's degrees, which are F here.
    assert!((it.resolution.0 - 0.2 / 1.8).abs() < 1e-9 && (it.accuracy.0 - 2.0 / 1.8).abs() < 1e-9);
    assert_eq!(it.bought, Some(jiff::civil::date(2026, 1, 15)));
    f.press(Key::Enter);
    read(&mut f, "70");
    let kitchen = f.on_disk();
    assert_eq!(kitchen.rounds()[0].thermometer, Some(it.id.clone()));
    // Escape leaves the description alone.
    let mut f = f.reopened();
    f.keys("an\n");
    f.press(Key::Function(3));
    f.keys("other\x1b");
    f.guides("Enter: begin the round");
    assert_eq!(f.app.shared.kitchen.thermometers().len(), 1);
}

#[test]
fn readings_are_stamped_by_the_stopwatch_when_the_wall_clock_is_set() {
    for hours in [-1, 3] {
        let mut f = begun();
        read(&mut f, "70");
        pass(&mut f, 60);
        f.app.shared.moment = f.app.shared.moment + SignedDuration::from_hours(hours);
        read(&mut f, "150");
        let kitchen = f.on_disk();
        let readings = &kitchen.rounds()[0].readings;
        let apart = readings[1].at.duration_since(readings[0].at);
        assert_eq!(apart, SignedDuration::from_mins(1), "{hours}");
    }
}

#[test]
fn a_thermometer_is_not_renamed_to_what_finds_another() {
    let mut f = Fixture::working();
    for name in ["dial type", "wire probe"] {
        let mut it = crate::model::Thermometer::unnamed();
        it.id = f.app.shared.kitchen.fresh_thermometer_id(name);
        it.name = name.to_owned();
        f.app.shared.kitchen.save_thermometer(it).unwrap();
    }
    f.keys("an\n");
    f.press(Key::Function(3));
    f.keys("wire-probe");
    f.press(Key::Function(2));
    f.says("there is a thermometer 'wire probe' already (wire-probe)");
}
