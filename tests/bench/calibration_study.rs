//! Study of the thermometer's figures on invented ovens: do the intervals cover what they claim?
//!
//! `cargo bench --bench calibration_study` prints the tables that DEVELOPERS.md quotes; `-- 5` runs five
//! times as many ovens. Ovens, noise and seeds are invented here; the truth of each is known.

#![expect(clippy::print_stdout, reason = "a bench prints")]

use rackshade::{
    calibration::{Habits, Surroundings, Swing, holding, recovery},
    numeric::quantile::quantile,
};
use simulated_oven::{Look, SimulatedOven};

#[path = "../simulated_oven/mod.rs"]
mod simulated_oven;

const OVENS: u64 = 400;

fn main() {
    let times = std::env::args()
        .find_map(|a| a.parse::<u64>().ok())
        .unwrap_or(1);
    println!(
        "| hold: read for, every | noise | lag | offset in 95 % interval | half width C | cycle within 5 % | no cycle |"
    );
    println!("| --- | --- | --- | --- | --- | --- | --- |");
    for (minutes, gap, noise, lag) in [
        (60.0, 20.0, 0.5, 0.0),
        (60.0, 45.0, 1.0, 0.0),
        (60.0, 60.0, 1.0, 30.0),
        (90.0, 60.0, 1.5, 0.0),
        (120.0, 30.0, 0.5, 0.0),
        (40.0, 30.0, 1.0, 0.0),
    ] {
        let look = Look {
            gap,
            noise,
            step: 0.5,
            lag,
        };
        hold(minutes, &look, OVENS * times);
    }
    println!();
    println!(
        "| door: read for, every | thermostat | noise | lag | tau in 90 % interval | median width / tau | drop in 90 % interval | none |"
    );
    println!("| --- | --- | --- | --- | --- | --- | --- | --- |");
    for answers in [false, true] {
        for (minutes, gap, noise, lag) in [
            (15.0, 15.0, 0.5, 0.0),
            (15.0, 30.0, 1.0, 0.0),
            (15.0, 20.0, 0.5, 20.0),
            (8.0, 15.0, 0.5, 0.0),
        ] {
            let look = Look {
                gap,
                noise,
                step: 0.1,
                lag,
            };
            door(minutes, &look, OVENS * times, answers);
        }
    }
}

fn hold(minutes: f64, look: &Look, ovens: u64) {
    let habits = Habits {
        resolution: look.step,
        accuracy: 0.0,
        lag: look.lag,
        half_swing: Habits::BAKING_HALF_SWING,
    };
    let (mut inside, mut judged, mut width, mut near, mut cycles, mut none) =
        (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for seed in 0..ovens {
        let run = SimulatedOven::drawn(seed + 1000).hold(minutes, 12.0, look);
        let got = holding(&run.samples, &habits).expect("readings");
        let (lo, hi) = got.mean.with_type_b(habits.common_sd()).interval(0.95);
        judged += 1.0;
        inside += f64::from(u8::from(lo <= run.mean && run.mean <= hi));
        width += 0.5 * (hi - lo);
        match got.cycle {
            Some(cycle) => {
                cycles += 1.0;
                near += f64::from(u8::from((cycle.value / run.cycle - 1.0).abs() < 0.05));
            }
            None => none += 1.0,
        }
    }
    println!(
        "| {minutes} min, {} s | {} C | {} s | {:.1} % | {:.2} | {:.1} % | {:.1} % |",
        look.gap,
        look.noise,
        look.lag,
        100.0 * inside / judged,
        width / judged,
        100.0 * near / cycles,
        100.0 * none / judged
    );
}

fn door(minutes: f64, look: &Look, ovens: u64, answers: bool) {
    let habits = Habits {
        resolution: look.step,
        accuracy: 0.0,
        lag: look.lag,
        half_swing: Habits::BAKING_HALF_SWING,
    };
    let (mut inside, mut fell, mut found, mut none) = (0.0, 0.0, 0.0, 0.0);
    let mut widths = Vec::new();
    for seed in 0..ovens {
        let drawn = SimulatedOven::drawn(seed + 9000);
        let oven = if answers {
            drawn
        } else {
            drawn.with_thermostat_in_the_wall()
        };
        let (hold, run) = oven.recover(minutes, look);
        let around = Surroundings {
            lag: look.lag,
            swing: holding(&hold, &habits).as_ref().and_then(Swing::of),
        };
        let Ok(got) = recovery(&run, &around) else {
            none += 1.0;
            continue;
        };
        found += 1.0;
        let (lo, hi) = got.tau_interval(0.9);
        inside += f64::from(u8::from(lo <= oven.tau && oven.tau <= hi));
        widths.push((hi - lo) / oven.tau);
        let (lo, hi) = got.drop_interval(0.9);
        fell += f64::from(u8::from(lo <= oven.drop && oven.drop <= hi));
    }
    println!(
        "| {minutes} min, {} s | {} | {} C | {} s | {:.1} % | {:.2} | {:.1} % | {none} |",
        look.gap,
        if answers {
            "feels the air"
        } else {
            "in the wall"
        },
        look.noise,
        look.lag,
        100.0 * inside / found,
        quantile(&widths, 0.5),
        100.0 * fell / found
    );
}
