//! Feeds text of any meaning to the readers of scores: rows of digits, and CSV files.
#![no_main]

use libfuzzer_sys::fuzz_target;
use rackshade::{
    model::ToastTest,
    workflow::{
        kitchen::Kitchen,
        scoring::{read_scores_csv, set_rack_scores},
    },
};
use std::sync::LazyLock;

static TEST: LazyLock<ToastTest> = LazyLock::new(|| {
    let (kitchen, _) = Kitchen::throwaway_copy().expect("there is room for the demo");
    kitchen.tests()[0].clone()
});

fuzz_target!(|text: &str| {
    let mut test = TEST.clone();
    if let Ok(count) = read_scores_csv(&mut test, text) {
        assert!(count > 0);
    } else {
        assert_eq!(test, *TEST, "what is refused changes nothing");
    }
    let rack = test.slices[0].rack;
    drop(set_rack_scores(&mut test, rack, text));
    assert_eq!(test.slices.len(), TEST.slices.len());
    assert!(test.cursor <= test.slices.len());
});
