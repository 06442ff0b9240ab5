//! Pictures of every screen at 80x24 and 120x40, in true colour and without colour, kept in `tests/golden/`.
//!
//! Every picture is reached by keys alone from an empty or a small kitchen, so the way there is tested too.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test helper may stop the test"
)]

mod photo_kit;
mod photo_screens;
mod screens_kit;

use rackshade::tui::{keys::Key, theme::Depth};
use ratatui::layout::Rect;
use screens_kit::{Stage, snapshots};

#[test]
fn welcome() {
    snapshots("welcome", Stage::empty);
}

#[test]
fn oven_templates() {
    snapshots("oven-templates", |size, depth| {
        let mut stage = Stage::empty(size, depth);
        stage.keys("n");
        stage.press(Key::Down);
        stage
    });
}

#[test]
fn oven_form_with_a_wrong_figure() {
    snapshots("oven-form", |size, depth| {
        let mut stage = Stage::empty(size, depth);
        stage.keys("n");
        stage.press(Key::Enter);
        stage.keys("Wall oven");
        stage.press(Key::Down);
        stage.press(Key::Down);
        stage.keys("250");
        stage
    });
}

#[test]
fn layout() {
    snapshots("layout", Stage::laid_out);
}

#[test]
fn layout_changed_by_hand() {
    snapshots("layout-by-hand", |size, depth| {
        let mut stage = Stage::laid_out(size, depth);
        stage.keys("x  ");
        stage.press(Key::Right);
        stage.press(Key::Down);
        stage
    });
}

#[test]
fn cautions() {
    snapshots("cautions", |size, depth| {
        let mut stage = Stage::laid_out(size, depth);
        stage.press(Key::Enter);
        stage
    });
}

#[test]
fn scoring() {
    snapshots("score", |size, depth| {
        let mut stage = Stage::toasted(size, depth);
        stage.keys("34.5sx6");
        stage
    });
}

#[test]
fn help() {
    snapshots("help", |size, depth| {
        let mut stage = Stage::toasted(size, depth);
        stage.keys("?");
        stage
    });
}

#[test]
fn kitchen() {
    snapshots("kitchen", |size, depth| {
        let mut stage = Stage::toasted(size, depth);
        stage.keys("345");
        stage.press(Key::Escape);
        stage
    });
}

#[test]
fn record_with_a_visit_being_written() {
    snapshots("record", |size, depth| {
        let mut stage = Stage::toasted(size, depth);
        stage.keys("345");
        stage.press(Key::Escape);
        stage.keys("r");
        stage.keys("vnew door seal");
        stage.press(Key::Enter);
        stage.keys("vdial set right");
        stage
    });
}

#[test]
fn map_with_every_rack() {
    snapshots("map-all", Stage::mapped);
}

#[test]
fn map_with_one_rack_large() {
    snapshots("map-large", |size, depth| {
        let mut stage = Stage::mapped(size, depth);
        stage.keys("vs");
        stage
    });
}

#[test]
fn map_from_the_side() {
    snapshots("map-side", |size, depth| {
        let mut stage = Stage::mapped(size, depth);
        stage.keys("vvd");
        stage
    });
}

/// The plan of two trays on the map of [`Stage::mapped`], moved up to two times.
fn planned(size: (u16, u16), depth: Depth) -> Stage {
    let mut stage = Stage::mapped(size, depth);
    stage.press(Key::Enter);
    for _ in 0..4 {
        stage.press(Key::Down);
    }
    stage.press(Key::Right);
    for _ in 0..4 {
        stage.press(Key::Down);
    }
    stage.press(Key::Right);
    stage
}

#[test]
fn plan_with_its_moves() {
    snapshots("plan-moves", |size, depth| {
        let mut stage = planned(size, depth);
        stage.keys("m");
        stage
    });
}

#[test]
fn plan_with_other_ways_and_advice() {
    snapshots("plan-ways", |size, depth| {
        let mut stage = planned(size, depth);
        stage.press(Key::Tab);
        stage
    });
}

#[test]
fn clock_before_the_start() {
    snapshots("clock-loading", |size, depth| {
        let mut stage = planned(size, depth);
        stage.press(Key::Enter);
        stage
    });
}

#[test]
fn clock_that_was_pressed_twice() {
    snapshots("clock-baking", |size, depth| {
        let mut stage = planned(size, depth);
        stage.press(Key::Enter);
        stage.keys("  ");
        stage
    });
}

#[test]
fn scores_on_a_pooled_map_are_those_of_the_newest_test() {
    let mut stage = Stage::mapped((80, 24), Depth::NoColour);
    stage.keys("s");
    assert!(
        !stage.text().contains("scores: test of"),
        "one test: nothing to tell apart"
    );
    stage.press(Key::Escape);
    stage.press(Key::Escape);
    stage.keys("t");
    stage.press(Key::Enter);
    stage.press(Key::Enter);
    stage.keys("222222222222");
    stage.press(Key::Enter);
    stage.keys("s");
    let text = stage.text();
    assert!(text.contains("2 toast tests"), "{text}");
    assert!(
        text.contains("scores: test of 2026-11-25, dial 350 F"),
        "{text}"
    );
}

#[test]
fn before_and_after() {
    snapshots("compare", |size, depth| {
        let mut stage = Stage::compared(size, depth);
        stage.press(Key::BackTab);
        stage
    });
}

#[test]
fn before_and_after_blinking() {
    snapshots("compare-before", |size, depth| {
        let mut stage = Stage::compared(size, depth);
        stage.press(Key::BackTab);
        stage.keys(" ");
        stage
    });
}

#[test]
fn one_key_blinks_between_before_and_after_under_one_cursor() {
    let mut stage = Stage::compared((80, 24), Depth::NoColour);
    assert!(
        stage.text().contains("change, after minus before"),
        "{}",
        stage.text()
    );
    stage.press(Key::BackTab);
    assert!(stage.text().contains("rack 5: better"), "{}", stage.text());
    for _ in 0..15 {
        stage.press(Key::Left);
        stage.press(Key::Up);
    }
    let read_out = |stage: &mut Stage| {
        let text = stage.text();
        let line = text.lines().find(|l| l.contains("back-left: before"));
        line.unwrap_or_else(|| panic!("{text}")).to_owned()
    };
    let first = read_out(&mut stage);
    stage.keys(" ");
    let before = stage.text();
    stage.keys(" ");
    let after = stage.text();
    stage.keys(" ");
    assert_eq!(before, stage.text());
    assert!(before.contains(" before\n") || before.contains(" before "));
    assert!(after.contains("after, at the level of before"));
    assert_ne!(before, after);
    assert_eq!(first, read_out(&mut stage), "the cursor stays where it is");
}

#[test]
fn the_record_compares_only_two_marked_tests() {
    let mut stage = Stage::toasted((80, 24), Depth::NoColour);
    stage.keys("345");
    stage.press(Key::Escape);
    stage.keys("r c");
    assert!(
        stage.text().contains("mark two toast tests"),
        "{}",
        stage.text()
    );
}

#[test]
fn a_window_too_small_says_so() {
    let mut stage = Stage::empty((60, 20), Depth::NoColour);
    let text = stage
        .text()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(text.contains("60 x 20"), "{text}");
    assert!(text.contains("80 columns x 24 rows"), "{text}");
    stage.resize((80, 24));
    assert!(stage.text().contains("Welcome"));
    assert_eq!(stage.area(), Rect::new(0, 0, 80, 24));
}

#[test]
fn the_mouse_does_what_the_keys_do() {
    let mut stage = Stage::empty((80, 24), Depth::NoColour);
    stage.click_on("Press  n");
    stage.click_on("24-inch wall oven");
    assert!(stage.text().contains("A 24 in front"));
    stage.click_on("24-inch wall oven");
    assert!(stage.text().contains("Cavity width"));
    stage.click_on("Dial step");
    stage.keys("25");
    stage.click_on("F2 save");
    assert!(stage.text().contains("lay-out of a toast test"));
    stage.click_on("Slice width");
    stage.click_on("Enter start");
    stage.click_on("Before you start");
    stage.click_on("#2");
    stage.keys("4");
    assert!(stage.text().contains("for slice 3 of"));
    stage.click_on("Esc back");
    stage.click_on("q quit");
    assert!(stage.quit);
}
