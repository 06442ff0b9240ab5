//! Order, whole minutes, and what rounding costs.

use super::*;
use crate::{
    field::Evidence,
    model::{Cavity, Mode, Tray},
    planner::{
        BrowningSource,
        door::DoorModel,
        dose::{Dose, Heat, TOAST},
        search::{Effort, TrayAt, search},
        space::{Load, Site},
    },
    units::{Celsius, Centimetres},
};

/// Slopes to the right, more so higher up; upper racks brown more.
struct Sloped;

impl BrowningSource for Sloped {
    fn browning(&self, rack: u8, x: f64, y: f64) -> Option<f64> {
        let r = f64::from(rack);
        Some(0.5 + 0.03 * r + 0.002 * r * (x - 25.0) + 0.003 * (y - 20.0))
    }

    fn samples(&self, _: &[(u8, f64, f64)], _: usize) -> Vec<Vec<f64>> {
        Vec::new()
    }
}

const HEAT: Heat = Heat::new(Celsius(177.0), 70_000.0);

fn space(trays: usize) -> Space {
    let load = Load {
        cavity: Cavity::new(Centimetres(50.0), Centimetres(40.0), Centimetres(40.0)),
        tray: Tray::new(Centimetres(40.0), Centimetres(30.0), 4, 3),
        trays,
        sites: (1..=3)
            .map(|rack| Site {
                rack,
                height: Centimetres(f64::from(rack) * 10.0),
                evidence: Evidence::Tested,
            })
            .collect(),
    };
    load.spread(&Sloped).unwrap()
}

fn timed(trays: usize, openings: usize, minutes: f64) -> (Space, Option<Schedule>, f64) {
    let space = space(trays);
    let found = search(&space, &Effort::exhaustive(openings)).unwrap();
    let handling = &found.handlings[openings];
    let dose = Dose::new(&TOAST, &HEAT, Minutes(minutes));
    let clock = DoorClock::new(&dose, &DoorModel::typical(Mode::StillAir, trays), &HEAT);
    let schedule = schedule(&space, handling, &clock, Minutes(0.0));
    (space, schedule, handling.variance)
}

#[test]
fn one_turn_belongs_at_half_the_browning() {
    let (space, schedule, _) = timed(1, 1, 30.0);
    let schedule = schedule.unwrap();
    let segments = schedule.segments(&space);
    assert_eq!(segments.len(), 2);
    assert!((segments[0].share - 0.5).abs() < 0.03, "{segments:?}");
    assert!(
        segments[0].to.0 > 16.0,
        "well after half-time: {segments:?}"
    );
    assert_eq!(segments[0].to, Minutes(segments[0].to.0.round()));
    assert!(!segments[0].trays[0].turned && segments[1].trays[0].turned);
    // The opening is paid for.
    assert!(segments[1].to.0 > 30.0);
}

#[test]
fn the_first_trays_go_in_unturned_and_rising() {
    for openings in 0..=4 {
        let (space, schedule, variance) = timed(2, openings, 40.0);
        let schedule = schedule.unwrap();
        let first = &schedule.segments(&space)[0].trays;
        assert!(first.iter().all(|t| !t.turned));
        assert!(first[0].rack < first[1].rack);
        assert!(schedule.variance >= variance - 1e-12);
        assert!((schedule.timeline.shares.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        let mut last = 0.0;
        for t in &schedule.timeline.openings {
            assert!(t.0 >= last + f64::from(BETWEEN_OPENINGS), "{schedule:?}");
            last = t.0;
        }
        assert!(schedule.timeline.bake.0 >= last + f64::from(BETWEEN_OPENINGS));
    }
}

/// Whole minutes against every other whole minute: no single other time is better.
#[test]
fn one_opening_is_at_the_best_whole_minute() {
    let (space, schedule, _) = timed(2, 1, 22.0);
    let schedule = schedule.unwrap();
    let gram = gram_between(&space, &schedule.arrangements);
    let dose = Dose::new(&TOAST, &HEAT, Minutes(22.0));
    let clock = DoorClock::new(&dose, &DoorModel::typical(Mode::StillAir, 2), &HEAT);
    let least = (2..=20)
        .map(|m| gram.variance(&[0, 1], &clock.at_minutes(&[Minutes(f64::from(m))]).shares))
        .fold(f64::INFINITY, f64::min);
    assert!((schedule.variance - least).abs() < 1e-12);
}

#[test]
fn a_bake_too_short_for_its_openings_is_refused() {
    let space = space(1);
    let at = |turned| vec![TrayAt { spot: 0, turned }];
    let handling = Handling {
        arrangements: vec![at(false), at(true), at(false)],
        shares: vec![0.3, 0.4, 0.3],
        variance: 0.0,
    };
    let dose = Dose::new(&TOAST, &HEAT, Minutes(3.0));
    let clock = DoorClock::new(&dose, &DoorModel::typical(Mode::Fan, 1), &HEAT);
    assert!(schedule(&space, &handling, &clock, Minutes(0.0)).is_none());
}

#[test]
fn the_order_moves_as_few_trays_as_it_can() {
    let at = |spot, turned| vec![TrayAt { spot, turned }];
    let handling = Handling {
        arrangements: vec![at(0, false), at(1, true), at(0, true), at(1, false)],
        shares: vec![0.25; 4],
        variance: 0.0,
    };
    assert_eq!(tray_moves(&handling, &[0, 2, 1, 3]), 3);
    assert_eq!(orders(4).len(), 24);
    let all_equal = Handling {
        arrangements: vec![at(0, false), at(0, true), at(0, false)],
        ..handling
    };
    assert_eq!(tray_moves(&all_equal, &[0, 2, 1]), 1);
}
