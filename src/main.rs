//! Provisional: opens the screens on `--data DIR`.

use rackshade::{
    tui::{TuiOptions, run},
    workflow::kitchen::{Access, Kitchen},
};
use std::path::Path;

fn main() {
    let dir = std::env::args().nth(2).unwrap_or_default();
    if let Ok((kitchen, warnings)) = Kitchen::open(Path::new(&dir), Access::Write) {
        let ended = run(
            kitchen,
            TuiOptions {
                depth: None,
                warnings,
            },
        );
        std::process::exit(i32::from(ended.is_err()));
    }
}
