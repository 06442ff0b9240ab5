//! Feeds bytes of any meaning to the photo decoder: it must answer, and never stop the program.
//!
//! Start from the pictures in `tests/data/photos` as corpus.
#![no_main]

use libfuzzer_sys::fuzz_target;
use rackshade::photo::{self, Limits};

fuzz_target!(|bytes: &[u8]| {
    let limits = Limits {
        pixels: 4_000_000,
        ..Limits::default()
    };
    if let Ok(photo) = photo::open(bytes, &limits) {
        let picture = photo.picture;
        assert_eq!(picture.pixels.len(), picture.width * picture.height);
    }
});
