//! Study of the thermometer's figures on invented ovens: do the intervals cover what they claim?
//!
//! `cargo bench --bench calibration_study` prints the tables that RESULTS.md quotes; `-- 5` runs five
//! times as many ovens. Ovens, noise and seeds are invented here; the truth of each is known.

#![expect(clippy::print_stdout, reason = "a bench prints")]

use rackshade::{
    calibration::{Habits, Surroundings, Swing, holding, recovery},
    numeric::quantile::quantile,
};
use simulated_oven::{Build, Look, SimulatedOven};

#[path = "../simulated_oven/mod.rs"]
mod simulated_oven;

const OVENS: u64 = 400;

/// Which ovens a row is about.
#[derive(Clone, Copy)]
enum Ovens {
    /// Those the estimators' constants were chosen on, the thermostat in the air.
    Air,
    /// The same, the thermostat in the wall.
    Wall,
    /// The same, any share of the opening felt, any time open.
    Any,
    /// Ovens and seeds that no constant was chosen on.
    Unseen(Build),
}

impl Ovens {
    fn draw(self, seed: u64) -> SimulatedOven {
        match self {
            Self::Air => SimulatedOven::drawn(seed),
            Self::Wall => SimulatedOven::drawn(seed).with_thermostat_in_the_wall(),
            Self::Any => SimulatedOven::drawn(seed).with_any_opening(),
            Self::Unseen(build) => SimulatedOven::unseen(build, seed + 170_000),
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Air => "feels the air",
            Self::Wall => "in the wall",
            Self::Any => "any opening",
            Self::Unseen(Build::HeavyElectric) => "heavy electric",
            Self::Unseen(Build::Gas) => "gas",
            Self::Unseen(Build::Countertop) => "countertop",
        }
    }
}

/// One way of reading: minutes, mean gap in seconds, noise in C, lag in seconds, step of the display in C.
type Way = (f64, f64, f64, f64, f64);

fn look((_, gap, noise, lag, step): Way) -> Look {
    Look {
        gap,
        noise,
        step,
        lag,
    }
}

fn main() {
    let times = std::env::args()
        .find_map(|a| a.parse::<u64>().ok())
        .unwrap_or(1);
    let ovens = OVENS * times;
    println!(
        "| hold: read for, every | ovens | noise | step | lag | offset in 95 % interval | half width C | cycle within 5 % | no cycle |"
    );
    println!("| --- | --- | --- | --- | --- | --- | --- | --- | --- |");
    for way in [
        (60.0, 20.0, 0.5, 0.0, 0.5),
        (60.0, 45.0, 1.0, 0.0, 0.5),
        (60.0, 60.0, 1.0, 30.0, 0.5),
        (90.0, 60.0, 1.5, 0.0, 0.5),
        (120.0, 30.0, 0.5, 0.0, 0.5),
        (40.0, 30.0, 1.0, 0.0, 0.5),
    ] {
        hold(Ovens::Air, way, ovens);
    }
    for build in Build::ALL {
        for way in [
            (75.0, 25.0, 0.3, 10.0, 0.1),
            (75.0, 50.0, 1.3, 45.0, 1.0),
            (150.0, 40.0, 0.8, 90.0, 2.8),
        ] {
            hold(Ovens::Unseen(build), way, ovens);
        }
    }
    println!();
    println!(
        "| door: read for, every | ovens | noise | step | lag | tau in 90 % interval | median width / tau | drop in 90 % interval | none |"
    );
    println!("| --- | --- | --- | --- | --- | --- | --- | --- | --- |");
    for kind in [Ovens::Air, Ovens::Wall, Ovens::Any] {
        for way in [
            (15.0, 15.0, 0.5, 0.0, 0.1),
            (15.0, 30.0, 1.0, 0.0, 0.1),
            (15.0, 20.0, 0.5, 20.0, 0.1),
            (8.0, 15.0, 0.5, 0.0, 0.1),
            (12.0, 10.0, 0.2, 10.0, 0.1),
        ] {
            door(kind, way, ovens);
        }
    }
    for build in Build::ALL {
        for way in [
            (12.0, 10.0, 0.3, 10.0, 0.1),
            (20.0, 25.0, 0.8, 40.0, 0.5),
            (10.0, 20.0, 1.3, 5.0, 1.0),
        ] {
            door(Ovens::Unseen(build), way, ovens);
        }
    }
}

fn hold(kind: Ovens, way: Way, ovens: u64) {
    let (minutes, look) = (way.0, look(way));
    let habits = Habits {
        resolution: look.step,
        accuracy: 0.0,
        lag: look.lag,
        half_swing: Habits::BAKING_HALF_SWING,
    };
    let (mut inside, mut judged, mut width, mut near, mut cycles, mut none) =
        (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for seed in 0..ovens {
        let run = kind.draw(seed + 1000).hold(minutes, 12.0, &look);
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
        "| {minutes} min, {} s | {} | {} C | {} C | {} s | {:.1} % | {:.2} | {:.1} % | {:.1} % |",
        look.gap,
        kind.name(),
        look.noise,
        look.step,
        look.lag,
        100.0 * inside / judged,
        width / judged,
        100.0 * near / cycles,
        100.0 * none / judged
    );
}

fn door(kind: Ovens, way: Way, ovens: u64) {
    let (minutes, look) = (way.0, look(way));
    let habits = Habits {
        resolution: look.step,
        accuracy: 0.0,
        lag: look.lag,
        half_swing: Habits::BAKING_HALF_SWING,
    };
    let (mut inside, mut fell, mut found, mut none) = (0.0, 0.0, 0.0, 0.0);
    let mut widths = Vec::new();
    for seed in 0..ovens {
        let oven = kind.draw(seed + 9000);
        let (hold, run) = oven.recover(minutes, &look);
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
        "| {minutes} min, {} s | {} | {} C | {} C | {} s | {:.1} % | {:.2} | {:.1} % | {none} |",
        look.gap,
        kind.name(),
        look.noise,
        look.step,
        look.lag,
        100.0 * inside / found,
        quantile(&widths, 0.5),
        100.0 * fell / found
    );
}
