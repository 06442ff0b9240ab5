//! Study of the next toast test: whether the interval foretold for it comes true, and which lay-out gains most.
//!
//! `cargo bench --bench next_study` draws 40 ovens of each open kind; `-- fast` eight of each; `-- 3` three
//! times as many. `-- sealed` runs the kinds that nothing is chosen by, `-- all` every kind. Each oven is
//! tested once; then, for every way to lay the next test, it is tested again so and both are fitted together.

#![expect(
    clippy::print_stdout,
    clippy::disallowed_methods,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a bench prints and takes the time, and draws whole numbers"
)]

use known_ovens::{Choice, kinds};
use next_trial::{NAMES, REPEAT, Trial, run};
use rackshade::numeric::quantile::quantile;
use std::time::Instant;

#[expect(dead_code, reason = "each study uses its own part of the ovens")]
mod known_ovens;
mod next_trial;
mod ovens_second;
#[path = "synthetic/oven.rs"]
mod synthetic;

/// A foretold interval this far off, as a share, has come true.
const NEAR: f64 = 0.15;

fn main() {
    let fast = std::env::args().any(|a| a == "fast");
    let times: usize = std::env::args().find_map(|a| a.parse().ok()).unwrap_or(1);
    let each = times * if fast { 8 } else { 40 };
    let started = Instant::now();
    let of_kinds: Vec<(&str, Vec<Trial>)> = kinds(Choice::of_arguments())
        .iter()
        .map(|kind| (kind.name, (0..each).map(|i| run(kind, i)).collect()))
        .collect();
    let all: Vec<Trial> = of_kinds.iter().flat_map(|(_, t)| t.clone()).collect();
    println!(
        "{} ovens; half widths (medians) of the 90 % interval of the contrast and its errors (root mean squares), shades",
        all.len()
    );
    println!(
        "                             foretold over  within   half   error (after     truth    than the repeat: narrower,"
    );
    println!(
        "next test             slices come true      15 %     width  the first test)  inside   nearer the truth, error"
    );
    for (way, name) in NAMES.iter().enumerate() {
        line(name, way, &all);
    }
    for (way, name) in NAMES.iter().enumerate() {
        println!("\n{name}");
        for (kind, trials) in &of_kinds {
            line(kind, way, trials);
        }
    }
    let now: Vec<f64> = all.iter().filter_map(|t| t.told_now).collect();
    println!(
        "\nthe first test's own half width as told for advice, of that of its map: median {:.2}",
        quantile(&now, 0.5)
    );
    println!("the study {:.1} s", started.elapsed().as_secs_f64());
}

fn line(name: &str, way: usize, trials: &[Trial]) {
    let of = |figure: &dyn Fn(&Trial) -> f64| trials.iter().map(figure).collect::<Vec<f64>>();
    let share = |yes: &dyn Fn(&Trial) -> bool| {
        trials.iter().filter(|t| yes(t)).count() as f64 / trials.len() as f64
    };
    let mean =
        |figure: &dyn Fn(&Trial) -> f64| of(figure).iter().sum::<f64>() / trials.len() as f64;
    let ratios: Vec<f64> = trials
        .iter()
        .filter_map(|t| t.next[way].foretold())
        .collect();
    let (median, near) = if ratios.is_empty() {
        ("   -".to_owned(), "   -".to_owned())
    } else {
        let near = ratios.iter().filter(|r| (*r - 1.0).abs() <= NEAR).count();
        (
            format!("{:4.2}", quantile(&ratios, 0.5)),
            format!("{:4.2}", near as f64 / ratios.len() as f64),
        )
    };
    let error = mean(&|t| t.next[way].squares).sqrt();
    println!(
        "{name:21} {:5.1}   {median}           {near}     {:4.2}   {error:4.2} ({:4.2})      {:4.2}     {:4.2}  {:4.2}  {:4.2}",
        mean(&|t| t.next[way].slices as f64),
        quantile(&of(&|t| t.next[way].half_width), 0.5),
        mean(&|t| t.first.squares).sqrt(),
        mean(&|t| t.next[way].covered),
        share(&|t| t.next[way].half_width < t.next[REPEAT].half_width),
        share(&|t| t.next[way].squares < t.next[REPEAT].squares),
        error / mean(&|t| t.next[REPEAT].squares).sqrt(),
    );
}
