//! Feeds text of any meaning to the readers of stored files; the first letter says of which kind.
//!
//! What is read must be written so that it reads the same again.
#![no_main]

use libfuzzer_sys::fuzz_target;
use rackshade::store::check_stored;

const KINDS: [&str; 6] = ["ovens", "tests", "bakes", "readings", "thermometers", "doughs"];

fuzz_target!(|text: &str| {
    let Some(first) = text.chars().next() else {
        return;
    };
    let kind = KINDS[first as usize % KINDS.len()];
    if let Ok(saved) = check_stored(kind, &text[first.len_utf8()..]) {
        assert_eq!(check_stored(kind, &saved), Ok(saved.clone()));
    }
});
