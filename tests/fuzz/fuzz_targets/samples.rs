//! Feeds text of any meaning to the reader of samples: it must answer, with finite figures only.
#![no_main]

use libfuzzer_sys::fuzz_target;
use rackshade::workflow::samples::read_samples;

fuzz_target!(|text: &str| {
    if let Ok(samples) = read_samples(text, 63.5, 48.3) {
        assert!((1..=1000).contains(&samples.observations.len()));
        for o in &samples.observations {
            let figures = [o.x, o.y, o.width, o.depth, o.browning, o.sd];
            assert!(figures.iter().all(|f| f.is_finite()), "{o:?}");
        }
    }
});
