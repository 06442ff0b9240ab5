//! What a visit parts, what a drift and a change over days are told from, and places that no one sitting holds.

use super::{
    tests::{Bench, bench},
    *,
};
use crate::model::{AirPlace, Mode, ServiceVisit, Spot};
use jiff::civil::{Date, DateTime, date};
use std::f64::consts::TAU;

fn visited(when: DateTime) -> Bench {
    let mut b = bench();
    b.oven.visits = vec![ServiceVisit {
        when,
        what: "new sensor".to_owned(),
    }];
    b.kitchen.save_oven(b.oven.clone()).unwrap();
    b
}

#[test]
fn a_visit_in_the_middle_of_a_sitting_parts_it() {
    let day = date(2026, 5, 1);
    let mut b = visited(day.at(10, 26, 0, 0));
    let swing = |t: f64| 6.0 * (TAU * t / 480.0).sin();
    b.sit_by("probe", (day, 175.0), AirPlace::CENTRE, |t| {
        swing(t) - if t < 1560.0 { 12.0 } else { 0.0 }
    });
    for (spot, side) in [(Spot::BackLeft, 1.0), (Spot::FrontRight, -1.0)] {
        let place = AirPlace::new(Some(3), spot);
        b.sit_by("probe", (day, 175.0), place, |t| {
            swing(t) + side * if t < 1560.0 { 9.0 } else { 3.0 }
        });
    }
    assert_eq!(b.kitchen.rounds().len(), 1, "it is kept as one");
    let found = b.summary();
    assert_eq!(found.now.len(), 1);
    assert!(
        found.settings[0].offset.value.abs() < 0.6,
        "{:?}",
        found.settings
    );
    let jump = found.visits[0].jump.unwrap();
    assert!(
        (jump.change.value - 12.0).abs() < 1.0 && jump.shows(),
        "{jump:?}"
    );
    let map = air_map(&b.kitchen, &b.oven, Mode::StillAir);
    let back = map.iter().find(|p| p.place.spot == Spot::BackLeft).unwrap();
    assert!((back.offset.value - 3.0).abs() < 0.6, "{map:?}");
}

/// Several settings of a date share that day: they are no more dates, and what they differ by is no scatter.
#[test]
fn a_drift_counts_each_date_once() {
    let days = [(1, 10), (2, 20), (4, 5), (5, 20), (7, 5)];
    let moved = [0.0, 1.2, 0.4, 1.8, 2.2];
    let told = |own: &[(f64, f64)], left_out: usize| {
        let mut b = bench();
        for (i, ((month, day), moved)) in days.into_iter().zip(moved).enumerate() {
            for (k, (dial, offset)) in own.iter().enumerate() {
                if k > 0 && i == left_out {
                    continue;
                }
                let began = date(2026, month, day).at(9 + i8::try_from(k).unwrap(), 0, 0, 0);
                // Five cycles.
                b.sit_from("probe", (began, 41, *dial), AirPlace::CENTRE, |t| {
                    offset + moved + 6.0 * (TAU * t / 480.0).sin()
                });
            }
        }
        b.summary().drift.unwrap()
    };
    let one = told(&[(175.0, -5.0)], 9);
    assert!(!one.is_told() && one.trend.p > 0.05, "{one:?}");
    let three = [(175.0, -5.0), (168.0, -1.0), (182.0, -9.0)];
    for drift in [told(&three, 9), told(&three, 4), told(&three, 0)] {
        assert_eq!(drift.points.len(), 5);
        assert!((drift.trend.p - one.trend.p).abs() < 1e-9, "{drift:?}");
        assert!(
            (drift.slope.value / one.slope.value - 1.0).abs() < 0.02,
            "{drift:?}"
        );
        assert!(!drift.is_told(), "{drift:?}");
    }
}

fn change(before: &[(Date, f64)], after: &[(Date, f64)]) -> crate::calibration::drift::Jump {
    let mut b = visited(date(2026, 3, 1).at(9, 0, 0, 0));
    for (day, offset) in before.iter().chain(after) {
        b.sit(*day, 175.0, *offset, AirPlace::CENTRE);
    }
    b.summary().visits[0].jump.unwrap()
}

#[test]
fn single_sittings_do_not_show_a_change_that_days_make_by_themselves() {
    let on = |month: i8, day: i8, offset: f64| (date(2026, month, day), offset);
    for by in [0.0, 1.5, -2.0] {
        let jump = change(&[on(1, 5, -5.0)], &[on(4, 5, -5.0 + by)]);
        assert!(!jump.shows(), "{by}: {jump:?}");
        // A day's 1 C on either side, and little besides.
        assert!((jump.change.sd - 2.0_f64.sqrt()).abs() < 0.1, "{jump:?}");
    }
    assert!(change(&[on(1, 5, -15.0)], &[on(4, 5, -5.0)]).shows());
    // Days enough on both sides that show hardly any scatter show a small change too.
    let days = |month: i8, offset: f64| [5, 12, 20].map(|day| on(month, day, offset));
    let jump = change(&days(1, -6.5), &days(4, -5.0));
    assert!(jump.shows() && jump.change.sd < 0.4, "{jump:?}");
}

#[test]
fn places_are_compared_by_the_places_they_share() {
    let mut b = bench();
    let at = |spot| AirPlace::new(Some(3), spot);
    let (middle, back, front) = (at(Spot::Centre), at(Spot::BackLeft), at(Spot::FrontRight));
    // The oven itself is another one each day.
    for (day, level, place, by) in [
        (1, 0.0, back, 6.0),
        (2, 3.0, front, -6.0),
        (3, -2.0, front, -6.0),
        (4, 1.0, front, -6.0),
    ] {
        b.sit(date(2026, 5, day), 175.0, level, middle);
        b.sit(date(2026, 5, day), 175.0, level + by, place);
    }
    let map = air_map(&b.kitchen, &b.oven, Mode::StillAir);
    let of = |map: &[PlaceOffset], place| map.iter().find(|p| p.place == place).cloned().unwrap();
    for (place, want, rounds) in [(middle, 0.0, 4), (back, 6.0, 1), (front, -6.0, 3)] {
        let got = of(&map, place);
        assert!((got.offset.value - want).abs() < 0.5, "{got:?}");
        assert_eq!((got.rounds, got.mean_of, got.apart), (rounds, 3, false));
        assert_eq!(got.against(), "the mean of all places");
    }
    // Two places of another rack that were read with none of these.
    let low = |spot| AirPlace::new(Some(1), spot);
    b.sit(date(2026, 5, 9), 175.0, 4.0, low(Spot::BackLeft));
    b.sit(date(2026, 5, 9), 175.0, -4.0, low(Spot::FrontRight));
    let map = air_map(&b.kitchen, &b.oven, Mode::StillAir);
    assert!((of(&map, low(Spot::BackLeft)).offset.value - 4.0).abs() < 0.5);
    assert!((of(&map, back).offset.value - 6.0).abs() < 0.5, "{map:?}");
    let said = of(&map, low(Spot::BackLeft)).against();
    assert_eq!(said, "the mean of the 2 places read together");
}
