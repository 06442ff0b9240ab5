//! Study of quick checks: how often an unchanged oven is called changed, how often a corner that became hotter is
//! found and rightly named, how often it is passed over as "as before", and what the chosen places bring over a
//! regular grid of as many.
//!
//! `cargo bench --bench check_study` prints the table that RESULTS.md quotes; a number multiplies the ovens, `sealed`
//! and `all` choose the kinds of oven as in the other studies, and the names of rows ("4 slices") run those alone.

#![expect(
    clippy::print_stdout,
    clippy::disallowed_methods,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a bench prints and takes the time, and draws whole numbers"
)]

#[expect(dead_code, reason = "each study uses its own part of the ovens")]
mod known_ovens;
mod ovens_second;
#[path = "synthetic/oven.rs"]
mod synthetic;

use known_ovens::{Choice, Kind, Oven, Slice, kinds};
use rackshade::{
    field::{Check, Judged, Observation, Priors, Seen, Spot, Verdict, fit},
    model::shade::{UNTOASTED_LIGHTNESS, browning_per_shade},
    numeric::random::Stream,
};
use std::time::Instant;

/// Ovens of each kind.
const EACH: usize = 25;
/// Points along each side of a slice behind its area mean.
const ACROSS: usize = 8;

/// What became of an oven after its first test.
#[derive(Clone, Copy)]
struct Change {
    name: &'static str,
    /// How much hotter one corner became, shades at the corner itself.
    shades: f64,
}

/// How the check is made.
#[derive(Clone, Copy)]
struct Way {
    count: usize,
    /// Slice-to-slice scatter, L*.
    scatter: f64,
    by_eye: bool,
    /// Full tests before the check.
    known_by: usize,
}

#[derive(Default)]
struct Tally {
    ovens: usize,
    changed: usize,
    right: usize,
    as_before: usize,
}

fn main() {
    let times: usize = std::env::args().find_map(|a| a.parse().ok()).unwrap_or(1);
    let started = Instant::now();
    let kinds = kinds(Choice::of_arguments());
    let usual = Way {
        count: 6,
        scatter: 1.6,
        by_eye: false,
        known_by: 1,
    };
    let ways = [
        ("6 slices", usual),
        (
            "6 slices by eye",
            Way {
                by_eye: true,
                ..usual
            },
        ),
        (
            "known by 2 tests",
            Way {
                known_by: 2,
                ..usual
            },
        ),
        ("4 slices", Way { count: 4, ..usual }),
        ("8 slices", Way { count: 8, ..usual }),
    ];
    println!(
        "{:18} {:18} {:>6} {:>9} {:>9} {:>9} {:>11} {:>9} {:>9}",
        "", "", "ovens", "changed", "place ok", "as before", "grid: chg", "place ok", "as before"
    );
    let only = |name: &str| std::env::args().any(|a| a == name);
    let some = ways.iter().any(|(name, _)| only(name));
    for (name, way) in ways.into_iter().filter(|(name, _)| !some || only(name)) {
        for change in [
            Change {
                name: "unchanged",
                shades: 0.0,
            },
            Change {
                name: "corner +1",
                shades: 1.0,
            },
            Change {
                name: "corner +1.5",
                shades: 1.5,
            },
            Change {
                name: "corner +2",
                shades: 2.0,
            },
        ] {
            let mut tallies = [Tally::default(), Tally::default()];
            for kind in &kinds {
                for repeat in 0..EACH * times {
                    one(kind, repeat, (way, change), &mut tallies);
                }
            }
            let [chosen, grid] = tallies.each_ref().map(|t| {
                let share = |n: usize| 100.0 * n as f64 / t.ovens as f64;
                let right = 100.0 * t.right as f64 / t.changed.max(1) as f64;
                format!(
                    "{:8.1}% {right:8.1}% {:8.1}%",
                    share(t.changed),
                    share(t.as_before)
                )
            });
            let ovens = tallies[0].ovens;
            println!("{name:18} {:18} {ovens:6} {chosen}   {grid}", change.name);
        }
    }
    println!("all {:.1} s", started.elapsed().as_secs_f64());
}

/// An oven is tested once, changes, and is checked by chosen places and by a grid.
fn one(kind: &Kind, repeat: usize, (way, change): (Way, Change), tallies: &mut [Tally; 2]) {
    let mut s = kind.stream(7_000 + repeat);
    let oven = kind.draw(&mut s);
    let test = oven.test(way.scatter, &mut s);
    let mut before = test.observations(1);
    for batch in 1..way.known_by {
        let lightness = oven.toast(&test.slices, way.scatter, &mut s);
        let again = known_ovens::Test {
            lightness,
            ..oven.test(way.scatter, &mut s)
        };
        let again = known_ovens::Test {
            slices: test.slices.clone(),
            ..again
        };
        before.extend(
            again
                .observations(1)
                .into_iter()
                .map(|o| Observation { batch, ..o }),
        );
    }
    let priors = if way.by_eye {
        for o in &mut before {
            o.browning = by_eye(o.browning);
            o.sd = 0.144 * browning_per_shade();
        }
        Priors::by_eye(0.3 * browning_per_shade())
    } else {
        Priors::measured()
    };
    let Ok(known) = fit(&before, &oven.domain(), &priors) else {
        return;
    };
    let size = (test.slices[0].width, test.slices[0].depth);
    let free = Spot::everywhere(1, size, (oven.width, oven.depth));
    let grid: Vec<Spot> = oven
        .lay_counted((way.count / 2, 2), 3.0, &mut s)
        .iter()
        .map(|slice| Spot {
            rack: 1,
            x: slice.x,
            y: slice.y,
            width: size.0,
            depth: size.1,
        })
        .collect();
    let spots = [free.clone(), grid].concat();
    let reading = if way.by_eye {
        0.144 * browning_per_shade()
    } else {
        0.0
    };
    let Some(check) = known.check(&[1], spots, reading) else {
        return;
    };
    let among = known.check(&[1], free.clone(), reading);
    let chosen = among.map(|c| c.choose(way.count)).unwrap_or_default();
    let regular: Vec<usize> = (free.len()..check.spots().len()).collect();
    let after = After::new(&oven, change.shades, &mut s);
    for (tally, places) in tallies.iter_mut().zip([chosen, regular]) {
        let seen: Vec<Seen> = places
            .iter()
            .map(|&spot| after.toast(spot, &check, way, &mut s))
            .collect();
        if let Some(judged) = check.judge(&seen, 1) {
            tally.add(&judged, &after);
        }
    }
}

fn by_eye(browning: f64) -> f64 {
    (2.0 * browning / browning_per_shade()).round() / 2.0 * browning_per_shade()
}

/// An oven one of whose corners became hotter.
struct After<'o> {
    oven: &'o Oven,
    corner: (f64, f64),
    reach: f64,
    size: f64,
    later: f64,
}

impl<'o> After<'o> {
    fn new(oven: &'o Oven, shades: f64, s: &mut Stream) -> Self {
        let end = |u: f64, side: f64| if u < 0.5 { 0.0 } else { side };
        Self {
            corner: (end(s.uniform(), oven.width), end(s.uniform(), oven.depth)),
            reach: 0.25 + 0.25 * s.uniform(),
            size: shades * browning_per_shade(),
            // Pulled up to 15 % of its browning earlier or later.
            later: (0.3 * (s.uniform() - 0.5)).exp(),
            oven,
        }
    }

    fn browning(&self, x: f64, y: f64) -> f64 {
        let far =
            ((x - self.corner.0) / self.oven.width).hypot((y - self.corner.1) / self.oven.depth);
        self.oven.browning(x, y) + self.size * (-0.5 * (far / self.reach).powi(2)).exp()
    }

    fn toast(&self, spot: usize, check: &Check, way: Way, s: &mut Stream) -> Seen {
        let at = check.spots()[spot];
        let slice = Slice {
            x: at.x,
            y: at.y,
            width: at.width,
            depth: at.depth,
        };
        let off = |k: usize| (k as f64 + 0.5) / ACROSS as f64 - 0.5;
        let sum: f64 = (0..ACROSS * ACROSS)
            .map(|k| {
                self.browning(
                    slice.x + off(k % ACROSS) * slice.width,
                    slice.y + off(k / ACROSS) * slice.depth,
                )
            })
            .sum();
        let mean = self.later * sum / (ACROSS * ACROSS) as f64;
        let lightness = UNTOASTED_LIGHTNESS * (-mean).exp() + way.scatter * s.normal();
        let browning = (UNTOASTED_LIGHTNESS / lightness.max(5.0)).ln();
        let (browning, sd) = if way.by_eye {
            (by_eye(browning), 0.144 * browning_per_shade())
        } else {
            (browning, 0.0)
        };
        Seen {
            spot,
            browning,
            sd,
            lean: None,
        }
    }
}

impl Tally {
    fn add(&mut self, judged: &Judged, after: &After<'_>) {
        self.ovens += 1;
        match judged.verdict() {
            Verdict::Changed => {
                self.changed += 1;
                let near = |a: f64, b: f64, side: f64| (a - b).abs() < 0.6 * side;
                let there = near(judged.part.x, after.corner.0, after.oven.width)
                    && near(judged.part.y, after.corner.1, after.oven.depth);
                let hotter = judged.change > 0.0;
                self.right += usize::from(there && hotter);
            }
            Verdict::AsBefore => self.as_before += 1,
            Verdict::CannotTell => {}
        }
    }
}
