//! Feeds text of any meaning to the reader of points, and what it gives to the fit of a line.
#![no_main]

use libfuzzer_sys::fuzz_target;
use rackshade::workflow::readings::{line_through, read_points};

fuzz_target!(|text: &str| {
    if let Ok(points) = read_points(text) {
        assert!(points.len() <= 100_001);
        if let Ok(line) = line_through(&points, 0.0) {
            let there = line.at(350.0);
            let figures = [
                line.intercept,
                line.slope,
                line.residual_sd,
                there.value,
                there.sd,
            ];
            assert!(figures.iter().all(|f| f.is_finite()), "{line:?}");
        }
    }
});
