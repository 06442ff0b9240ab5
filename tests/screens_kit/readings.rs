//! An invented oven as a thermometer reads it: 14 F cold, swinging every eight minutes, drifting slowly.

use jiff::{SignedDuration, civil::date};
use rackshade::{
    model::{AirPlace, AirReading, AirRound, Mode, OvenId, Phase, RoundId, ServiceVisit},
    units::TemperatureUnit,
    workflow::{catalogue::oven_template, kitchen::Kitchen},
};
use std::f64::consts::TAU;

const F: TemperatureUnit = TemperatureUnit::Fahrenheit;

/// The air of a hold, F: the mean, a swing of 20 F every eight minutes, and a thermometer that reads whole degrees.
fn held(mean: f64, seconds: i64) -> f64 {
    let t = seconds as f64;
    (mean + 10.0 * (TAU * t / 480.0).sin() + 0.8 * (t * 0.37).sin()).round()
}

fn round(day: (i16, i8, i8), dial: f64, readings: &[(i64, f64, Phase)]) -> AirRound {
    let began = date(day.0, day.1, day.2).at(14, 0, 0, 0);
    AirRound {
        id: RoundId::of_words(&format!("{:04}-{:02}-{:02}-wall-oven", day.0, day.1, day.2)),
        oven: OvenId::of_words("wall-oven"),
        mode: Mode::StillAir,
        thermometer: None,
        readings: readings
            .iter()
            .map(|(seconds, air, phase)| AirReading {
                at: (began + SignedDuration::from_secs(*seconds)).into(),
                dial: F.temperature(dial),
                air: F.temperature(*air),
                phase: *phase,
                place: AirPlace::CENTRE,
            })
            .collect(),
        note: String::new(),
    }
}

fn hold(day: (i16, i8, i8), dial: f64, offset: f64) -> AirRound {
    let readings: Vec<_> = (0..33_i64)
        .map(|i| (60 * i, held(dial + offset, 60 * i), Phase::Holding))
        .collect();
    round(day, dial, &readings)
}

/// A whole round: heating, the signal at ten minutes, the hold, the door for half a minute.
fn whole(day: (i16, i8, i8)) -> AirRound {
    let mut readings = Vec::new();
    for i in 0..10_i64 {
        readings.push((60 * i, 72.0 + 27.0 * i as f64, Phase::Heating));
    }
    readings.push((600, 342.0, Phase::Signal));
    for i in 11..30_i64 {
        readings.push((60 * i, held(338.0, 60 * i), Phase::Heating));
    }
    for i in 30..60_i64 {
        readings.push((60 * i, held(336.0, 60 * i), Phase::Holding));
    }
    readings.push((3600, 330.0, Phase::DoorOpened));
    for i in 0..24_i64 {
        let back = 45.0 * (-(20.0 * i as f64) / 90.0).exp();
        let at = 3630 + 20 * i;
        readings.push((at, (held(336.0, at) - back).round(), Phase::DoorClosed));
    }
    round(day, 350.0, &readings)
}

/// Adds an oven of the first kind by that name.
pub(super) fn add_oven(kitchen: &mut Kitchen, name: &str) {
    let mut oven = oven_template("wall-oven-30-inch").unwrap().oven.clone();
    name.clone_into(&mut oven.name);
    oven.id = OvenId::of_words(name);
    kitchen.save_oven(oven).unwrap();
}

/// Fills a kitchen with the oven and its rounds.
pub(super) fn fill(kitchen: &mut Kitchen) {
    let mut oven = oven_template("wall-oven-30-inch").unwrap().oven.clone();
    "Wall oven".clone_into(&mut oven.name);
    oven.id = OvenId::of_words("wall-oven");
    oven.visits.push(ServiceVisit {
        when: date(2026, 4, 1).at(9, 0, 0, 0),
        what: "new sensor".to_owned(),
    });
    kitchen.save_oven(oven).unwrap();
    let rounds = [
        hold((2026, 2, 20), 350.0, -31.0),
        hold((2026, 3, 20), 350.0, -33.0),
        hold((2026, 4, 10), 350.0, -8.0),
        hold((2026, 5, 15), 350.0, -9.0),
        hold((2026, 7, 1), 350.0, -11.0),
        hold((2026, 8, 20), 350.0, -12.0),
        hold((2026, 9, 10), 300.0, -8.0),
        hold((2026, 9, 12), 425.0, -19.0),
        whole((2026, 11, 20)),
    ];
    for round in rounds {
        kitchen.save_round(round).unwrap();
    }
}
