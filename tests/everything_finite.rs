//! Two thousand small toast tests thrown at every face of the map, the plan, the choice and the comparison:
//! no figure may be anything but a number, no output may hold "NaN" or "inf", nor a `null` where a number
//! belongs, and browning is never below zero in means, intervals or joint samples (bread does not get lighter
//! in an oven: common knowledge, no source).
//!
//! The tests are invented (`small_tests`); what is refused in one sentence is as good as what is answered.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "invented tests count in small whole numbers"
)]

#[path = "everything_finite/faces.rs"]
mod faces;
#[path = "everything_finite/kitchen.rs"]
mod kitchen;
mod small_tests;

use faces::{Faults, compared, mapped, planned};
use kitchen::with_kitchen;
use rackshade::{
    model::{Mode, ToastTest, Tray},
    units::Centimetres,
    workflow::{
        catalogue::bake_kind,
        compare::{TestGroup, compare_tests},
        ground::{Ground, ground_of_pool},
        plan::{PlanRequest, Told, plan_of},
        pool::Pool,
    },
};
use small_tests::{Drawn, draw};

/// Tests thrown in each of the four ways below; `RACKSHADE_TESTS=500` throws two thousand in all.
const EACH: u64 = 100;
/// Cells of the maps, along the door and front to back.
const GRID: (usize, usize) = (8, 6);
/// One in so many is planned, one in so many compared, and one in so many goes through papers and screens.
const PLANNED: u64 = 25;
const COMPARED: u64 = 25;
const ON_PAPER: u64 = 250;

#[test]
fn one_test_by_eye() {
    throw(0, true, false);
}

#[test]
fn one_measured_test() {
    throw(1, false, false);
}

#[test]
fn two_pooled_tests_by_eye() {
    throw(2, true, true);
}

#[test]
fn two_pooled_measured_tests() {
    throw(3, false, true);
}

#[expect(
    clippy::disallowed_methods,
    reason = "the count is the one choice of whoever runs it"
)]
fn throw(way: u64, by_eye: bool, pooled: bool) {
    let mut faults = Faults::default();
    let mut answered = 0;
    let each = std::env::var("RACKSHADE_TESTS").map_or(EACH, |text| {
        text.parse().expect("RACKSHADE_TESTS is a count")
    });
    for i in 0..each {
        let seed = 500 * way + i;
        let drawn = draw(seed, by_eye);
        faults.begin(seed);
        let mut tests = vec![&drawn.first];
        if pooled {
            tests.push(&drawn.second);
        }
        // What gives no map is refused in words.
        let pool = Pool::of(&drawn.oven, &tests);
        let ground =
            ground_of_pool(pool, Mode::StillAir, GRID).expect("tests of one oven in one mode");
        match ground.tested() {
            Ok(view) => {
                answered += 1;
                mapped(&drawn.oven, view, &mut faults);
                if i % PLANNED == 0 {
                    plan(&drawn, &ground, &mut faults);
                }
            }
            Err(why) => faults.words("refusal of a map", &why.to_string()),
        }
        if i % COMPARED == 0 {
            compare(&drawn, &mut faults);
        }
        if i % ON_PAPER == 0 {
            with_kitchen(&drawn, &request(&drawn, i), &mut faults);
        }
    }
    assert!(answered > each * 6 / 10, "only {answered} gave a map");
    assert!(faults.is_empty(), "of {answered} maps\n{faults}");
}

/// A tray that goes into every oven drawn.
fn request(drawn: &Drawn, seed: u64) -> PlanRequest {
    let cavity = drawn.oven.cavity;
    let kinds = ["thin-cookie", "sheet-cake", "dinner-roll"];
    let number = seed as usize / 10 % 3;
    let kind = bake_kind(kinds[number]).expect("a kind of bake").clone();
    let [width, depth] = [cavity.width, cavity.depth].map(|side| Centimetres(side.0 * 0.7));
    PlanRequest {
        max_openings: number,
        ..PlanRequest::of(kind, Mode::StillAir, Tray::new(width, depth, 3, 2))
    }
}

fn plan(drawn: &Drawn, ground: &Ground, faults: &mut Faults) {
    let request = request(drawn, faults.seed());
    match plan_of(ground, &Told::default(), &request) {
        Ok(plan) => planned(&drawn.oven, &plan, faults),
        Err(why) => faults.words("refusal of a plan", &why.to_string()),
    }
}

fn compare(drawn: &Drawn, faults: &mut Faults) {
    let (before, after): (&[&ToastTest], &[&ToastTest]) = (&[&drawn.first], &[&drawn.second]);
    let side = |tests| TestGroup {
        oven: &drawn.oven,
        tests,
    };
    match compare_tests(side(before), side(after), GRID) {
        Ok(view) => compared(&view, faults),
        Err(why) => faults.words("refusal of a comparison", &why.to_string()),
    }
}
