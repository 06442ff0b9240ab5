//! Photos drawn by two programs that share no code, read and set against their truth, kind by kind.
//!
//! `cargo bench --bench photo_study`; with `RACKSHADE_STUDY=sealed` the seeds and grounds on which no constant was
//! chosen.

#![expect(clippy::print_stdout, reason = "a bench prints")]

#[path = "../photo_scenes/mod.rs"]
mod photo_scenes;

use photo_scenes::{
    Drawn, canvas,
    judge::{HEAD, Tally, judge},
    ray,
};
use rackshade::photo::{self, Limits};
use std::collections::BTreeMap;

/// Grounds, first seed and seeds of each ground and kind of spoil.
fn plan() -> (usize, u64, u64) {
    #[expect(clippy::disallowed_methods, reason = "a switch for the one who judges")]
    match std::env::var("RACKSHADE_STUDY").as_deref() {
        Ok("sealed") => (6, 1001, 1),
        Ok(_) | Err(_) => (3, 100, 10),
    }
}

fn main() {
    let (grounds, mut seed, each) = plan();
    let mut named: BTreeMap<String, Tally> = BTreeMap::new();
    let mut found: BTreeMap<String, Tally> = BTreeMap::new();
    let mut add = |drawn: &Drawn, spoil: &str| {
        let photo = photo::open(&drawn.jpeg, &Limits::default()).expect("a picture");
        for (tallies, how) in [(&mut named, (true, true)), (&mut found, (true, false))] {
            let mut one = Tally::default();
            judge(&mut one, drawn, &photo, how);
            for key in [spoil, "all"] {
                tallies.entry(key.to_owned()).or_default().join(&one);
            }
        }
    };
    for ground in 0..grounds {
        for spoil in 0..ray::SPOILS.len() {
            for _ in 0..each {
                add(
                    &ray::draw(seed, ray::GROUNDS[ground], ray::SPOILS[spoil]),
                    ray::SPOILS[spoil],
                );
                add(
                    &canvas::draw(seed, canvas::GROUNDS[ground], canvas::SPOILS[spoil]),
                    canvas::SPOILS[spoil],
                );
                seed += 2;
            }
        }
    }
    for (title, tallies) in [
        ("corners and references given", &named),
        ("corners given", &found),
    ] {
        println!("\n{title}\n\n{HEAD}");
        for (name, tally) in tallies {
            println!("{}", tally.line(name));
        }
        for why in tallies.get("all").map(|t| &t.refused).into_iter().flatten() {
            println!("refused: {why}");
        }
    }
}
