use super::{
    form::Form,
    view::{Sheet, why},
};
use crate::tui::prelude::*;
use crate::workflow::{
    catalogue::{bake_kind, oven_templates},
    plan::{Measured, NextLoad, PlanRequest, Planned},
};
use crate::{
    model::{Mode, Plan, Tray, Warning, Yardstick},
    tui::{
        theme::Depth,
        widgets::synthetic::{plain, plan},
    },
    units::{Celsius, Centimetres, Minutes},
};

fn planned(mut plan: Plan, warnings: Vec<Warning>) -> Planned {
    plan.tray = Some(Tray::new(Centimetres(45.7), Centimetres(33.0), 4, 3));
    Planned {
        plan,
        warnings,
        advice: vec!["A second opening would cost a minute and buy 0.1 shade.".to_owned()],
        measured: Measured::default(),
        is_weighed: true,
        of_every_load: Vec::new(),
        next: NextLoad {
            handling: Minutes(0.5),
            wait: Minutes(2.0),
            bake: Minutes(12.0),
        },
        expected: None,
    }
}

fn drawn(planned: &Planned, stage: usize, size: (u16, u16)) -> String {
    let oven = &oven_templates()[0].oven;
    let mut buf = Buffer::empty(Rect::new(0, 0, size.0, size.1));
    Sheet {
        stage,
        ..Sheet::of(planned, None, oven)
    }
    .draw(buf.area, &mut buf, &Theme::new(Depth::NoColour));
    plain(&buf)
}

#[test]
fn the_trays_stand_on_their_racks_before_and_after_the_move_in_80_columns() {
    let planned = planned(plan(), Vec::new());
    let before = drawn(&planned, 0, (80, 20));
    assert!(before.contains("load: tray 1 on rack 2"), "{before}");
    let after = drawn(&planned, 1, (80, 20));
    assert!(after.contains(", turned"), "{after}");
    insta::assert_snapshot!(format!("{before}{after}"));
}

#[test]
fn what_other_ways_give_stands_one_key_deeper() {
    let said = why(&planned(plan(), Vec::new())).join("\n");
    for way in [
        "door stays shut",
        "1 opening",
        "turned at half-time",
        "A second opening",
    ] {
        assert!(said.contains(way), "{way}: {said}");
    }
}

#[test]
fn the_first_caution_stands_in_sight_and_is_never_cut() {
    let warning = Warning::new("short", "look");
    let said = drawn(&planned(plan(), vec![warning.clone()]), 0, (80, 20));
    assert!(said.contains(&format!("! {warning}")), "{said}");
    let long = Warning::new("a caution ".repeat(20), "read it");
    let both = planned(plan(), vec![long.clone(), long]);
    let said = drawn(&both, 0, (80, 20));
    assert!(said.contains("! 2 cautions. i: read them"), "{said}");
}

#[test]
fn a_plan_without_a_map_tells_no_figures_it_does_not_have() {
    let mut plan = plan();
    let unknown = Yardstick::unknown(plan.bake);
    (plan.evenness, plan.unturned, plan.halfway) = (unknown, unknown, unknown);
    for way in &mut plan.alternatives {
        way.evenness = unknown;
    }
    let planned = planned(plan, Vec::new());
    let text = drawn(&planned, 0, (80, 20));
    assert!(!text.contains("NaN"), "{text}");
    assert!(text.contains("can't tell yet"), "{text}");
    assert!(!why(&planned).join("\n").contains("NaN"));
}

#[test]
fn three_trays_keep_their_pictures_in_80_columns() {
    let mut plan = plan();
    for segment in &mut plan.segments {
        let mut third = segment.trays[0];
        (third.tray, third.rack) = (3, 6);
        segment.trays.push(third);
    }
    let planned = planned(plan, Vec::new());
    for stage in 0..planned.plan.segments.len() {
        let text = drawn(&planned, stage, (80, 20));
        assert!(text.contains(" rack 6 "), "{stage}: {text}");
        assert!(text.contains('3'), "{stage}: {text}");
    }
}

#[test]
fn the_verdict_says_rack_move_and_dial_in_a_dozen_words() {
    let oven = &oven_templates()[0].oven;
    let two = planned(plan(), Vec::new());
    let said = two.verdict(oven);
    assert!(said.starts_with("Swap and turn at "), "{said}");
    assert!(said.split_whitespace().count() <= 12, "{said}");
    let mut one = two;
    one.plan.segments.truncate(1);
    one.plan.segments[0].trays.truncate(1);
    let said = one.verdict(oven);
    assert!(
        said.starts_with("Use rack 2. Nothing needs turning. Set "),
        "{said}"
    );
}

#[test]
fn a_bake_asked_for_elsewhere_is_planned_as_it_was_asked_for() {
    let oven = &oven_templates()[0].oven;
    let request = PlanRequest {
        kind: bake_kind("scone").unwrap().clone(),
        trays: 2,
        tray: Tray::new(Centimetres(40.0), Centimetres(30.0), 5, 4),
        racks: Vec::new(),
        max_openings: 0,
        mode: Mode::Fan,
        recipe: Some(Celsius(190.0)),
        time: Some(Minutes(14.0)),
        seed: 1,
    };
    let form = Form::new(oven, None).asked_for(&request);
    assert_eq!(form.request(), Some(request));
}
