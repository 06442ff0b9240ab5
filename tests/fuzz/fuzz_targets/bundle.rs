//! Feeds text of any meaning to the reader of exports.
#![no_main]

use libfuzzer_sys::fuzz_target;
use rackshade::store::check_bundle;

fuzz_target!(|text: &str| {
    if let Err(error) = check_bundle(text) {
        assert!(
            error.to_string().contains("nothing was taken in"),
            "{error}"
        );
    }
});
