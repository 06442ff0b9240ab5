//! Study of comparisons: how often "better" or "worse" is said where nothing changed, how often a
//! halved hot corner is told, and whether intervals of a change hold the truth.
//!
//! `cargo bench --bench compare_study` prints the tables that RESULTS.md quotes; `-- 5` runs five
//! times as many ovens.

#![expect(
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a bench prints and takes the time"
)]

use std::time::Instant;
use synthetic::{KINDS, LAYOUTS};
use trial::{Tally, Trial, run};

#[path = "synthetic/mod.rs"]
mod synthetic;
#[path = "compare_trial/mod.rs"]
mod trial;

fn main() {
    let times: u64 = std::env::args().find_map(|a| a.parse().ok()).unwrap_or(1);
    let started = Instant::now();
    println!("nothing changed; after pulled up to 15 % earlier or later");
    head();
    unchanged(times);
    println!("\nhot corner halved, noise in L*, size in L* at the corner");
    head();
    halved(times);
    println!("all {:.1} s", started.elapsed().as_secs_f64());
}

/// Every kind of oven, layout and noise, with nothing changed.
fn unchanged(times: u64) {
    let mut all = Tally::default();
    for (i, kind) in (0..).zip(KINDS) {
        for (k, noise) in (0..).zip([0.8, 1.6, 2.5]) {
            let mut tally = Tally::default();
            for (j, layout) in (0..).zip(&LAYOUTS) {
                for repeat in 0..40 * times {
                    let trial = Trial::unchanged(kind, layout, noise);
                    run(&trial, 10_000 * (100 * i + 10 * k + j) + repeat, &mut tally);
                }
            }
            line(&format!("{kind}, noise {noise}"), &tally);
            add(&mut all, &tally);
        }
    }
    line("all", &all);
    let layout = &LAYOUTS[0];
    let usual = Trial::unchanged("corner", layout, 1.6);
    for (name, trial) in [
        (
            "scored by eye",
            Trial {
                by_eye: true,
                ..usual
            },
        ),
        (
            "other places",
            Trial {
                shifted: true,
                ..usual
            },
        ),
        ("three racks, any of them", Trial { racks: 3, ..usual }),
        (
            "photos that lean",
            Trial {
                lean: 0.07,
                ..usual
            },
        ),
        (
            "by eye, beyond the card",
            Trial {
                by_eye: true,
                darker: 1.6,
                ..usual
            },
        ),
    ] {
        let mut tally = Tally::default();
        for (i, kind) in (0..).zip(KINDS) {
            for (j, layout) in (0..).zip(&LAYOUTS) {
                for repeat in 0..40 * times {
                    let trial = Trial {
                        kind,
                        layout,
                        ..trial
                    };
                    run(
                        &trial,
                        5_000_000 + 10_000 * (10 * i + j) + repeat,
                        &mut tally,
                    );
                }
            }
        }
        line(name, &tally);
    }
}

/// A hot corner of which half is left.
fn halved(times: u64) {
    for layout in &LAYOUTS {
        for (noise, tests) in [(0.8, 1), (1.6, 1), (1.6, 2), (2.5, 1)] {
            for size in [12.0, 16.0, 20.0] {
                let mut tally = Tally::default();
                for repeat in 0..100 * times {
                    let trial = Trial {
                        size: Some(size),
                        left: 0.5,
                        tests,
                        ..Trial::unchanged("corner", layout, noise)
                    };
                    run(&trial, 9_000_000 + repeat, &mut tally);
                }
                let plural = if tests == 1 { "" } else { "s" };
                let name = format!(
                    "{}x{}, {tests} test{plural}, noise {noise}, size {size}",
                    layout.cols, layout.rows
                );
                line(&name, &tally);
            }
        }
    }
}

fn add(all: &mut Tally, other: &Tally) {
    all.ovens += other.ovens;
    all.better += other.better;
    all.worse += other.worse;
    all.sd_covered += other.sd_covered;
    all.spread_covered += other.spread_covered;
    all.cells += other.cells;
    all.cells_covered += other.cells_covered;
    all.zoned += other.zoned;
}

fn head() {
    println!(
        "{:36} {:>5} {:>7} {:>7} {:>9} {:>9} {:>9} {:>9}",
        "", "ovens", "better", "worse", "sd cov.", "spr. cov.", "map cov.", "zones"
    );
}

fn line(name: &str, t: &Tally) {
    let share = |count: usize| 100.0 * count as f64 / t.ovens as f64;
    println!(
        "{name:36} {:5} {:6.1}% {:6.1}% {:8.1}% {:8.1}% {:8.1}% {:8.1}%",
        t.ovens,
        share(t.better),
        share(t.worse),
        share(t.sd_covered),
        share(t.spread_covered),
        100.0 * t.cells_covered / t.cells,
        share(t.zoned),
    );
}
