//! Pictures of every screen at 80x24 and 120x40, in true colour and without colour, kept in `tests/golden/`.
//!
//! Every picture is reached by keys alone from an empty or a small kitchen, so the way there is tested too.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test helper may stop the test"
)]

mod air_screens;
mod clock_screens;
mod day_screens;
mod photo_kit;
mod photo_screens;
mod screens_kit;

use rackshade::tui::{keys::Key, theme::Depth};
use ratatui::layout::Rect;
use screens_kit::{Stage, pictures, snapshots};

pictures! {
    welcome "welcome" Stage::empty "";
    oven_templates "oven-templates" Stage::empty "n↓";
    oven_form_with_a_wrong_figure "oven-form" Stage::empty "n\nWall oven↓↓250";
    layout "layout" Stage::laid_out "";
    layout_changed_by_hand "layout-by-hand" Stage::laid_out "x  →↓";
    cautions "cautions" Stage::laid_out "\n";
    scoring "score" Stage::toasted "34.5sx6";
    help "help" Stage::toasted "?";
    kitchen "kitchen" Stage::toasted "345\x1b";
    kitchen_with_tests_bakes_and_a_map "kitchen-demo" Stage::demo "↓";
    record_with_a_visit_being_written "record" Stage::toasted "345\x1brvnew door seal\nvdial set right";
    map_with_one_rack_large "map" Stage::mapped "";
    map_with_the_scores "map-scores" Stage::mapped "sd";
    map_from_the_side "map-side" Stage::mapped "vd";
    map_and_why "map-why" Stage::mapped "i";
    plan_with_its_moves "plan" planned "m";
    plan_before_the_turn_and_why "plan-why" planned "i";
    clock_before_the_start "clock-loading" planned "\n";
    clock_that_was_pressed_twice "clock-baking" planned "\n  ";
    before_and_after "compare" Stage::compared "";
    before_and_after_blinking "compare-before" Stage::compared " ";
    history_of_evenness "history" Stage::remembered "";
    history_of_the_hottest_place "history-hottest" Stage::remembered "v";
    history_of_the_offset "history-offset" Stage::remembered "vv";
}

/// The plan of two trays on the map of [`Stage::mapped`], moved up to two times.
fn planned(size: (u16, u16), depth: Depth) -> Stage {
    let mut stage = Stage::mapped(size, depth);
    stage.keys("\n↓↓↓↓→↓↓↓↓→");
    stage
}

#[test]
fn plan_with_a_place_looked_at() {
    snapshots("plan-look", |size, depth| {
        let mut stage = planned(size, depth);
        stage.keys("\t\t");
        for _ in 0..14 {
            stage.keys("←↑");
        }
        stage
    });
}

#[test]
fn a_wide_window_shows_map_and_plan_side_by_side() {
    let mut stage = planned((200, 60), Depth::NoColour);
    let text = stage.text();
    let both = text.lines().filter(|l| l.matches(" rack 3 ").count() == 2);
    assert_eq!(both.count(), 1, "{text}");
}

#[test]
fn scores_on_a_pooled_map_are_those_of_the_newest_test() {
    let mut stage = Stage::mapped((80, 24), Depth::NoColour);
    stage.keys("s");
    assert!(
        !stage.text().contains("Scores: test of"),
        "one test: nothing to tell apart"
    );
    stage.keys("\x1b\x1bt\n\n222222222222\ns");
    let text = stage.text();
    assert!(text.contains("2 toast tests"), "{text}");
    assert!(text.contains("Scores: test of"), "{text}");
    assert!(text.contains("2026-11-25, dial 350 F."), "{text}");
}

#[test]
fn one_key_blinks_between_before_and_after_under_one_cursor() {
    let mut stage = Stage::compared((80, 24), Depth::NoColour);
    assert!(
        stage.text().contains("change, after minus before"),
        "{}",
        stage.text()
    );
    assert!(
        stage.text().contains("The visit helped: rack"),
        "{}",
        stage.text()
    );
    for _ in 0..15 {
        stage.keys("←↑");
    }
    let read_out = |stage: &mut Stage| {
        let text = stage.text();
        let line = text.lines().find(|l| l.contains("back left:"));
        let line = line.unwrap_or_else(|| panic!("{text}"));
        line[line.rfind("Rack").unwrap()..].to_owned()
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
    stage.keys("345\x1br c");
    assert!(
        stage.text().contains("mark two toast tests"),
        "{}",
        stage.text()
    );
}

#[test]
fn from_an_empty_kitchen_to_the_first_plan_in_39_keys() {
    let mut stage = Stage::empty((80, 24), Depth::NoColour);
    stage.keys("n\nWall oven");
    stage.press(Key::Function(2));
    stage.keys("\n\n765565444443\n\n");
    let text = stage.text();
    assert!(
        text.contains("ack 3. ") && text.contains("Set 350 F."),
        "{text}"
    );
    assert!(stage.pressed <= 39, "{} keys", stage.pressed);
}

#[test]
fn forty_ovens_stand_on_two_screens_and_are_found_by_typing() {
    let mut stage = Stage::of_a_class(40, (80, 24), Depth::NoColour);
    stage.press(Key::Up);
    let first = stage.text();
    for _ in 0..39 {
        stage.press(Key::Down);
    }
    let last = stage.text();
    for n in 1..=40 {
        let name = format!("Oven {n:02}");
        assert_eq!(first.contains(&name), n <= 20, "{name}: {first}");
        assert_eq!(last.contains(&name), n > 20, "{name}: {last}");
    }
    assert!(
        first.contains("never") && first.contains("test now"),
        "{first}"
    );
    stage.keys("/37");
    assert!(stage.text().contains("1 of 40 ovens"), "{}", stage.text());
    stage.keys("\nt");
    assert!(stage.text().contains("Oven 37"), "{}", stage.text());
}

#[test]
fn a_finished_test_opens_its_map_and_a_key_corrects_its_scores() {
    let mut stage = Stage::mapped((80, 24), Depth::NoColour);
    stage.keys("\x1b\x1br\n");
    assert!(stage.text().contains("correct scores"), "{}", stage.text());
    assert!(stage.text().contains("browns fastest"), "{}", stage.text());
    stage.keys("e");
    assert!(
        stage.text().contains("rackshade  correct scores"),
        "{}",
        stage.text()
    );
    stage.keys("←9");
    assert!(
        stage
            .text()
            .contains("has shade 3; the same key again changes it"),
        "{}",
        stage.text()
    );
    // Any other key keeps it.
    stage.keys("←→9");
    assert!(stage.text().contains("has shade 3"), "{}", stage.text());
    stage.keys("9←5");
    assert!(stage.text().contains("has shade"), "{}", stage.text());
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
    stage.click_on("s score");
    stage.click_on("#2");
    stage.keys("4");
    assert!(stage.text().contains("for slice 3 of"));
    stage.click_on("Esc back");
    stage.click_on("q quit");
    assert!(stage.quit);
}

#[test]
fn the_kitchen_map_and_the_places_of_a_plan_are_reached_by_mouse() {
    let mut stage = Stage::demo((80, 24), Depth::NoColour);
    stage.press(Key::Down);
    stage.click_on("k recipes");
    assert!(stage.text().contains("recipes"), "{}", stage.text());
    stage.press(Key::Escape);
    stage.click_on("+1.4 shades");
    assert!(stage.text().contains("wall oven, no fan, "));
    stage.keys("\x1bp");
    stage.click_on("tray 1");
    let looked = stage.text();
    assert!(
        looked.contains("back") && looked.contains("shade"),
        "{looked}"
    );
    stage.press(Key::Escape);
    assert!(stage.text().contains("Set the dial"), "{}", stage.text());
}

/// The README shows the map and the plan screen of the demo kitchen.
///
/// `RACKSHADE_WRITE_README=1 cargo test --test screens readme` draws them again.
#[test]
fn pictures_for_the_readme() {
    let assets = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("assets");
    let size = (100, 30);
    for (name, keys, label) in [
        ("map.svg", "m", "the map of an oven"),
        ("plan.svg", "p", "a plan for a bake"),
    ] {
        let mut stage = Stage::demo(size, Depth::TrueColour);
        // The wall oven is the second.
        stage.press(Key::Down);
        stage.keys(keys);
        let picture = stage.picture(label);
        assert!(picture.len() > 3_000, "{name}");
        if std::env::var_os("RACKSHADE_WRITE_README").is_some() {
            #[expect(clippy::disallowed_methods, reason = "no data of a user's")]
            std::fs::write(assets.join(name), &picture).unwrap();
        }
        // A picture may lag behind the screen, but it is there and is one of ours.
        let kept = std::fs::read_to_string(assets.join(name)).unwrap();
        assert!(kept.starts_with("<svg ") && kept.contains(label), "{name}");
    }
}
