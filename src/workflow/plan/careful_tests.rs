//! What a plan says where it was not free: by custom, on the racks that are left, in a mode that is not for it.

use super::{
    tests::{EVEN, SLOPED, ground, oven, plan, request, said},
    *,
};
use crate::{
    model::{HeatSource, Mode, Tray, bake::SetAt},
    units::{Celsius, Centimetres, Minutes, TemperatureUnit},
    workflow::catalogue::bake_kind,
};

#[test]
fn heat_from_one_side_is_warned_of() {
    let mut oven = oven(5);
    oven.modes = vec![Mode::TopOnly, Mode::BottomOnly];
    let first = |mode, sugared_base| {
        let mut asked = request(1, 1);
        asked.mode = mode;
        asked.kind.sugared_base = sugared_base;
        plan_on(&oven, None, &asked, &Measured::default())
            .unwrap()
            .sentences()
            .remove(0)
    };
    assert!(first(Mode::TopOnly, false).contains("for finishing only"));
    assert!(first(Mode::BottomOnly, true).contains("burns a sugared base"));
    assert!(first(Mode::BottomOnly, false).contains("leaves the top pale"));
}

#[test]
fn guides_too_close_and_too_many_pieces_are_refused() {
    let mut close = oven(2);
    close.racks[1].height = Centimetres(10.0);
    for ground in [None, Some(&ground(&EVEN, &[1, 2]))] {
        let error = plan_on(&close, ground, &request(2, 1), &Measured::default());
        let error = error.unwrap_err().to_string();
        assert!(error.contains("this oven has 1 such"), "{error}");
        assert!(error.contains("bake 1 at a time") && !error.contains("toast-test"));
    }
    let mut many = request(1, 1);
    many.tray.across = 13;
    let racks = ground(&EVEN, &[1, 2]);
    for ground in [None, Some(&racks)] {
        let error = plan_on(&oven(5), ground, &many, &Measured::default());
        let error = error.unwrap_err().to_string();
        assert!(
            error.contains("13 x 3 pieces") && error.contains("12 x 12"),
            "{error}"
        );
    }
}

#[test]
fn custom_and_its_sentence_agree() {
    let mut wall = oven(6);
    wall.cavity.height = Centimetres(17.5 * 2.54);
    for (rack, inches) in wall.racks.iter_mut().zip([1.5, 4.0, 6.5, 9.0, 11.5, 14.0]) {
        rack.height = Centimetres(inches * 2.54);
    }
    for sugared in [false, true] {
        let mut two = request(2, 1);
        two.kind.sugared_base = sugared;
        let plan = plan_on(&wall, None, &two, &Measured::default()).unwrap();
        let racks: Vec<u8> = plan.plan.segments[0].trays.iter().map(|t| t.rack).collect();
        assert_eq!(racks, [3, 5]);
        assert!(said(
            &plan,
            "a third and two thirds of the oven's height, rack positions 3 and 5"
        ));
    }
}

#[test]
fn only_what_was_weighed_needs_no_turning() {
    let wall = oven(5);
    let verdict = |planned: &Planned| planned.verdict(&wall);
    let even = verdict(&plan(&EVEN, &request(1, 1)));
    assert!(even.contains("Nothing needs turning."), "{even}");
    let shut = verdict(&plan(&SLOPED, &request(1, 0)));
    assert!(shut.contains("The door stays shut."), "{shut}");
    let mut short = request(2, 1);
    short.kind.set_at = Some(SetAt {
        share: 0.98,
        reason: "it would fall".to_owned(),
    });
    let planned = plan(&SLOPED, &short);
    assert_eq!(planned.plan.segments.len(), 1);
    assert!(verdict(&planned).contains("The door stays shut."));
    let untested = plan_on(&wall, None, &request(1, 0), &Measured::default()).unwrap();
    let said = verdict(&untested);
    assert!(!said.contains("Nothing needs"), "{said}");
}

/// One cake, as wide as four cookies: its dark side is as dark as theirs, and a turn helps it as much.
#[test]
fn one_large_piece_has_a_dark_side() {
    let with = |across, deep| {
        let mut asked = request(1, 1);
        asked.tray = Tray::new(Centimetres(40.0), Centimetres(30.0), across, deep);
        plan(&SLOPED, &asked)
    };
    let (cookies, cake) = (with(4, 3), with(1, 1));
    let (still, turned) = (cake.plan.unturned.spread, cake.plan.evenness.spread);
    assert!((still - cookies.plan.unturned.spread).abs() < 0.05 * still);
    assert!(turned < 0.6 * still, "{turned} {still}");
    assert_eq!(cake.plan.forecast.len(), 1);
    assert_eq!(cake.expected.unwrap().unturned.len(), 1);
}

#[test]
fn custom_on_the_racks_that_are_free_does_not_claim_the_middle() {
    let mut wall = oven(5);
    wall.heat = vec![HeatSource::BottomElement];
    let on = |racks: &[u8]| {
        let mut asked = request(1, 1);
        asked.kind.sugared_base = true;
        asked.racks = racks.to_vec();
        let free = asked.free_in(&wall).unwrap();
        plan_on(&free, None, &asked, &Measured::default()).unwrap()
    };
    let rack = |planned: &Planned| planned.plan.segments[0].trays[0].rack;
    let two = on(&[3, 5]);
    assert_eq!(rack(&two), 3);
    assert!(
        !said(&two, "in the middle of the oven"),
        "{:#?}",
        two.advice
    );
    assert!(!said(&two, "burns a sugared base"));
    let lowest = on(&[1]);
    assert_eq!(rack(&lowest), 1);
    assert!(
        lowest.sentences()[0].contains("burns a sugared base"),
        "{:#?}",
        lowest.sentences()
    );
}

#[test]
fn a_tray_that_hardly_goes_in_is_told_first_and_one_that_does_not_is_refused() {
    let with = |width: f64, depth: f64| {
        let mut asked = request(1, 1);
        asked.tray = Tray::new(Centimetres(width), Centimetres(depth), 4, 3);
        plan_on(&oven(5), None, &asked, &Measured::default())
    };
    let tight = with(57.0, 33.0).unwrap().sentences();
    assert!(tight[0].contains("only 0.6 in of air"), "{tight:#?}");
    let refused = with(60.0, 45.0).unwrap_err().to_string();
    assert!(refused.contains("use a smaller one"), "{refused}");
    let endways = with(40.0, 50.0).unwrap_err().to_string();
    assert!(endways.contains("the other way round"), "{endways}");
}

/// Meringues dry: three degrees of a coarse dial change what little browns by much, and the drying hardly.
#[test]
fn what_is_dried_keeps_its_time_at_another_mark() {
    let mut wall = oven(5);
    wall.dial.unit = TemperatureUnit::Celsius;
    for step in [5.0, 10.0] {
        wall.dial.step = step;
        wall.dial.lowest = Celsius(50.0);
        let mut asked = request(1, 0);
        asked.kind = bake_kind("meringue").unwrap().clone();
        let planned = plan_on(&wall, None, &asked, &Measured::default()).unwrap();
        assert_eq!(planned.plan.bake, Minutes(90.0), "{step}");
        assert!(said(&planned, "Keep the door shut before 63 min"));
    }
}
