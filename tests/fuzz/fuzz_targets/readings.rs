//! Feeds text of any meaning to the reader of thermometer readings.
#![no_main]

use libfuzzer_sys::fuzz_target;
use rackshade::{
    model::Thermometer,
    units::{Celsius, TemperatureUnit},
    workflow::readings::{figures, read_readings, rows},
};

fuzz_target!(|text: &str| {
    if let Ok(read) = read_readings(text, TemperatureUnit::Fahrenheit) {
        assert!(read.readings.len() + read.issues.len() <= 100_000);
        for r in &read.readings {
            assert!(r.seconds.is_finite() && r.air.0.is_finite(), "{r:?}");
        }
        if let Ok(rows) = rows(&read.readings, Some(Celsius(177.0))) {
            drop(figures(&rows, &Thermometer::unnamed()));
        }
    }
});
