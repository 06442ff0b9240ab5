//! Photos drawn by two programs that share no code, read and set against their truth, kind by kind.
//!
//! `cargo bench --bench photo_study`; with `RACKSHADE_STUDY=sealed` the seeds and grounds on which no constant was
//! chosen; with `RACKSHADE_STUDY=misuse` one mistake after another on 24 photos without spoil.

#![expect(clippy::print_stdout, reason = "a bench prints")]

#[path = "../photo_misuse/mod.rs"]
mod photo_misuse;
#[path = "../photo_scenes/mod.rs"]
mod photo_scenes;

use photo_scenes::{
    Drawn, canvas,
    judge::{HEAD, Tally, judge, request},
    ray,
};
use rackshade::photo::{self, Limits};
use std::collections::BTreeMap;

/// Grounds, first seed and seeds of each ground and kind of spoil.
fn plan(study: &str) -> (usize, u64, u64) {
    if study == "sealed" {
        (6, 1001, 1)
    } else {
        (3, 100, 10)
    }
}

/// Makes every mistake on photos of all grounds, two of each program, and counts what passes without a word.
fn misuse() {
    let mut counts: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    let mut add = |drawn: &Drawn| {
        let photo = photo::open(&drawn.jpeg, &Limits::default()).expect("a picture");
        let right = request(drawn, true, true);
        let usual = photo_misuse::words(&photo.picture, &right).unwrap_or_default();
        let is_toast =
            |i: &usize| drawn.slices[*i].lightness.is_some() && drawn.untoasted != Some(*i);
        let toast: Vec<usize> = (0..drawn.slices.len()).filter(is_toast).collect();
        let ends = [toast[0], toast[toast.len() - 1]];
        for (name, asked) in photo_misuse::mistakes(&right, &ends) {
            let passed = !photo_misuse::is_noticed(&photo.picture, &usual, &asked);
            let count = counts.entry(name).or_default();
            *count = (count.0 + usize::from(passed), count.1 + 1);
            if passed {
                println!("passed: {}: {name}", drawn.kind);
            }
        }
        for (name, asked) in photo_misuse::right_uses(&right) {
            let count = counts.entry(name).or_default();
            let read = photo_misuse::is_read(&photo.picture, &asked);
            *count = (count.0 + usize::from(read), count.1 + 1);
        }
    };
    for (seed, i) in (0..12).zip(0_usize..) {
        let ground = i % 6;
        add(&ray::draw(5001 + 2 * seed, ray::GROUNDS[ground], "none"));
        add(&canvas::draw(
            5001 + 2 * seed,
            canvas::GROUNDS[ground],
            "none",
        ));
    }
    println!("mistakes that passed without a word, and right uses that were read, of how many");
    for (name, (count, all)) in counts {
        println!("{name}: {count} of {all}");
    }
}

fn main() {
    #[expect(clippy::disallowed_methods, reason = "a switch for the one who judges")]
    let study = std::env::var("RACKSHADE_STUDY").unwrap_or_default();
    if study == "misuse" {
        return misuse();
    }
    let (grounds, mut seed, each) = plan(&study);
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
