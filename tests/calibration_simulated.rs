//! The thermometer's figures on invented ovens whose truth is known: a small part of the study in
//! `tests/bench/calibration_study.rs`, whose figures stand in DEVELOPERS.md.

use rackshade::calibration::{Habits, Surroundings, Swing, holding, recovery};
use simulated_oven::{Look, SimulatedOven};

mod simulated_oven;

/// Ovens looked at here. Of 80, a share of 95 % lies within 72 and 80 and one of 90 % within 65 and 79 by
/// chance, but for once in a hundred.
const OVENS: u64 = 80;

const LOOK: Look = Look {
    gap: 30.0,
    noise: 0.7,
    step: 0.1,
    lag: 0.0,
};

fn habits() -> Habits {
    Habits {
        resolution: LOOK.step,
        accuracy: 0.0,
        lag: LOOK.lag,
        half_swing: Habits::BAKING_HALF_SWING,
    }
}

#[test]
fn offsets_lie_in_their_intervals_and_cycles_are_right_within_five_per_cent() {
    let (mut inside, mut near) = (0, 0);
    for seed in 0..OVENS {
        let run = SimulatedOven::drawn(seed).hold(60.0, 6.0, &LOOK);
        let got = holding(&run.samples, &habits()).unwrap();
        let (lo, hi) = got.mean.interval(0.95);
        inside += u32::from(lo <= run.mean && run.mean <= hi);
        let cycle = got.cycle.unwrap().value;
        near += u32::from((cycle / run.cycle - 1.0).abs() < 0.05);
        assert!(hi - lo < 6.0, "an interval that says nothing: {lo} to {hi}");
    }
    assert!(inside >= 72, "{inside} of {OVENS} inside");
    assert!(near >= 76, "{near} of {OVENS} cycles");
}

#[test]
fn the_return_after_the_door_lies_in_its_interval() {
    let (mut inside, mut judged) = (0, 0);
    for seed in 0..OVENS {
        let oven = SimulatedOven::drawn(seed + 500).with_thermostat_in_the_wall();
        let (hold, back) = oven.recover(15.0, &LOOK);
        let around = Surroundings {
            lag: 0.0,
            swing: Swing::of(&holding(&hold, &habits()).unwrap()),
        };
        let Ok(got) = recovery(&back, &around) else {
            continue;
        };
        let (lo, hi) = got.tau_interval(0.9);
        judged += 1;
        inside += u32::from(lo <= oven.tau && oven.tau <= hi);
    }
    assert!(judged >= 76, "{judged} of {OVENS} fitted");
    assert!(
        f64::from(inside) >= 0.81 * f64::from(judged),
        "{inside} of {judged} inside"
    );
}
