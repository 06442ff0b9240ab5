//! Study of plans: whether the true spread of the pieces lies in the interval told, how near a plan comes to
//! the best one that knows the oven, what it gains over simple custom, and whether "not worth it" is true.
//!
//! `cargo bench --bench plan_study` draws 20 ovens of each open kind; `-- fast` five of each; `-- 3` three
//! times as many. `-- sealed` runs the kinds that nothing is chosen by, `-- all` every kind. One toast test of
//! each oven is fitted, then planned on for one tray and for two, each with up to two openings of the door.

#![expect(
    clippy::print_stdout,
    clippy::disallowed_methods,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a bench prints and takes the time, and draws whole numbers"
)]

use known_ovens::{Choice, kinds};
use plan_trial::{CASES, OPENINGS, Tally, run};
use std::time::Instant;

#[expect(dead_code, reason = "each study uses its own part of the ovens")]
mod known_ovens;
mod ovens_second;
mod plan_trial;
#[path = "synthetic/oven.rs"]
mod synthetic;

fn main() {
    let fast = std::env::args().any(|a| a == "fast");
    let times: usize = std::env::args().find_map(|a| a.parse().ok()).unwrap_or(1);
    let each = times * if fast { 5 } else { 20 };
    let started = Instant::now();
    let mut of_kinds: Vec<(&str, Tally)> = Vec::new();
    let mut of_cases: Vec<(&str, Tally)> = CASES.map(|c| (c.name, Tally::default())).into();
    for kind in kinds(Choice::of_arguments()) {
        let mut of_kind = Tally::default();
        for repeat in 0..each {
            for (tally, (_, of_case)) in run(&kind, repeat).iter().zip(&mut of_cases) {
                of_kind.add(tally);
                of_case.add(tally);
            }
        }
        of_kinds.push((kind.name, of_kind));
    }
    let mut all = Tally::default();
    for (_, tally) in &of_kinds {
        all.add(tally);
    }
    let lines: Vec<(&str, &Tally)> = of_kinds
        .iter()
        .chain(&of_cases)
        .map(|(name, tally)| (*name, tally))
        .chain([("all", &all)])
        .collect();
    intervals(&lines);
    outcomes(&lines);
    turns(&lines);
    set_beside(&all);
    println!(
        "\na plan takes {:.1} ms; the study {:.1} s",
        1e3 * all.seconds / all.plans,
        started.elapsed().as_secs_f64()
    );
}

fn intervals(lines: &[(&str, &Tally)]) {
    println!("true spread of the pieces in the 90 % interval told, by openings allowed; shades");
    println!(
        "                        plans   none   one   two   chosen  above  below   told  true  width"
    );
    for (name, t) in lines {
        print!("{name:23} {:5.0}  ", t.plans);
        for k in 0..=OPENINGS {
            print!("{:5.2} ", t.share(t.covered[k]));
        }
        println!(
            "   {:4.2}   {:4.2}   {:4.2}   {:4.2}  {:4.2}   {:4.2}",
            t.share(t.chosen_covered),
            t.share(t.chosen_above),
            t.share(t.chosen_below),
            t.share(t.told),
            t.share(t.chosen.spread),
            t.share(t.width),
        );
    }
}

fn outcomes(lines: &[(&str, &Tally)]) {
    println!("\ntrue spread (and standard deviation) of the pieces, means over plans, shades");
    println!(
        "                          chosen    knowing all   by custom   left alone   less even than custom"
    );
    for (name, t) in lines {
        print!("{name:23}");
        for pieces in [&t.chosen, &t.best, &t.custom, &t.alone] {
            print!(
                " {:4.2} ({:4.2}) ",
                t.share(pieces.spread),
                t.share(pieces.sd)
            );
        }
        println!("     {:4.2}", t.share(t.worse_than_custom));
    }
}

fn turns(lines: &[(&str, &Tally)]) {
    println!(
        "\nturns told not worth it that would have gained 0.1 shade, in spread and in standard deviation"
    );
    println!(
        "                         told not   the plan's own   at half the     told turns gained   made it"
    );
    println!(
        "                         worth it   best turn        browning        (means, shades)     worse"
    );
    for (name, t) in lines {
        let of = |v: f64| v / t.not_worth.max(1.0);
        let told = (t.plans - t.not_worth).max(1.0);
        println!(
            "{name:23}    {:4.2}      {:4.2}  {:4.2}       {:4.2}  {:4.2}         {:5.2} {:5.2}         {:4.2}",
            t.share(t.not_worth),
            of(t.missed.spread),
            of(t.missed.sd),
            of(t.missed_plain.spread),
            of(t.missed_plain.sd),
            t.gained.spread / told,
            t.gained.sd / told,
            t.lost / told,
        );
    }
}

fn set_beside(all: &Tally) {
    println!("\nmeant to be, and is");
    let say = |holds: bool, what: &str, figure: String| {
        println!("  {} {what}: {figure}", if holds { "yes" } else { "NO " });
    };
    let covered = all.share(all.chosen_covered);
    say(
        (0.85..=0.95).contains(&covered),
        "spread of the chosen plan in its interval 85 to 95 %",
        format!("{:.1} %", 100.0 * covered),
    );
    let [chosen, custom] = [&all.chosen, &all.custom].map(|p| all.share(p.spread));
    say(
        chosen < custom,
        "spread below simple custom's",
        format!("{chosen:.2} for {custom:.2} shades"),
    );
}
