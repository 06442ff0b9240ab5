//! The demo kitchen's two thermometers, made up.

use crate::{
    model::{Thermometer, ThermometerId},
    units::{CelsiusDelta, TemperatureUnit},
};
use jiff::civil::date;

pub(super) fn thermometers() -> [Thermometer; 2] {
    let f = |degrees: f64| TemperatureUnit::Fahrenheit.delta(degrees);
    let of = |id: &str, name: &str, note: &str| Thermometer {
        id: ThermometerId::new(id).unwrap(),
        name: name.to_owned(),
        resolution: f(5.0),
        accuracy: f(10.0),
        lag_s: None,
        bought: Some(date(2023, 2, 11)),
        note: note.to_owned(),
    };
    [
        of("dial-type", "dial type", "stands on the rack"),
        Thermometer {
            resolution: CelsiusDelta(0.1),
            accuracy: CelsiusDelta(1.0),
            lag_s: Some(8.0),
            bought: Some(date(2026, 1, 15)),
            ..of(
                "wire-probe",
                "wire probe",
                "read through the door by its wire",
            )
        },
    ]
}
