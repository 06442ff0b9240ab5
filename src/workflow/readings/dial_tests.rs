//! What verdict, advice and plans say of a dial, held against each other.

use super::{
    tests::{Bench, NOW, bench},
    *,
};
use crate::{
    model::{AirPlace, AirReading, Mode, Phase, ServiceVisit, Spot, Thermometer},
    planner::dial::{Recipe, setting},
    units::{Celsius, CelsiusDelta, Minutes, TemperatureUnit},
};
use jiff::civil::date;
use std::f64::consts::TAU;

const F: TemperatureUnit = TemperatureUnit::Fahrenheit;

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
