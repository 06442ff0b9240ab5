//! Pictures of every screen at 80x24 and 120x40, in true colour and without colour, kept in `tests/golden/`.
//!
//! Every picture is reached by keys alone from an empty or a small kitchen, so the way there is tested too.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test helper may stop the test"
)]

mod clock_screens;
mod day_screens;
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
fn map_with_one_rack_large() {
    snapshots("map", Stage::mapped);
}

#[test]
fn map_with_the_scores() {
    snapshots("map-scores", |size, depth| {
        let mut stage = Stage::mapped(size, depth);
        stage.keys("sd");
        stage
    });
}

#[test]
fn map_from_the_side() {
    snapshots("map-side", |size, depth| {
        let mut stage = Stage::mapped(size, depth);
        stage.keys("vd");
        stage
    });
}

#[test]
fn map_and_why() {
    snapshots("map-why", |size, depth| {
        let mut stage = Stage::mapped(size, depth);
        stage.keys("i");
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
    snapshots("plan", |size, depth| {
        let mut stage = planned(size, depth);
        stage.keys("m");
        stage
    });
}

#[test]
fn plan_before_the_turn_and_why() {
    snapshots("plan-why", |size, depth| {
        let mut stage = planned(size, depth);
        stage.keys("i");
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
        !stage.text().contains("Scores: test of"),
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
    assert!(text.contains("Scores: test of"), "{text}");
    assert!(text.contains("2026-11-25, dial 350 F."), "{text}");
}

#[test]
fn before_and_after() {
    snapshots("compare", Stage::compared);
}

#[test]
fn before_and_after_blinking() {
    snapshots("compare-before", |size, depth| {
        let mut stage = Stage::compared(size, depth);
        stage.keys(" ");
        stage
    });
}

#[test]
fn history_of_evenness() {
    snapshots("history", Stage::remembered);
}

#[test]
fn history_of_the_hottest_place() {
    snapshots("history-hottest", |size, depth| {
        let mut stage = Stage::remembered(size, depth);
        stage.keys("v");
        stage
    });
}

#[test]
fn history_of_the_offset() {
    snapshots("history-offset", |size, depth| {
        let mut stage = Stage::remembered(size, depth);
        stage.keys("vv");
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
    assert!(
        stage.text().contains("The visit helped: rack"),
        "{}",
        stage.text()
    );
    for _ in 0..15 {
        stage.press(Key::Left);
        stage.press(Key::Up);
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
fn from_an_empty_kitchen_to_the_first_plan_in_39_keys() {
    let mut stage = Stage::empty((80, 24), Depth::NoColour);
    stage.keys("n");
    stage.press(Key::Enter);
    stage.keys("Wall oven");
    stage.press(Key::Function(2));
    stage.press(Key::Enter);
    stage.press(Key::Enter);
    stage.keys("765565444443");
    stage.press(Key::Enter);
    stage.press(Key::Enter);
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
    stage.press(Key::Enter);
    stage.keys("t");
    assert!(stage.text().contains("Oven 37"), "{}", stage.text());
}

#[test]
fn a_finished_test_opens_its_map_and_a_key_corrects_its_scores() {
    let mut stage = Stage::mapped((80, 24), Depth::NoColour);
    stage.press(Key::Escape);
    stage.press(Key::Escape);
    stage.keys("r");
    stage.press(Key::Enter);
    assert!(stage.text().contains("correct scores"), "{}", stage.text());
    assert!(stage.text().contains("browns fastest"), "{}", stage.text());
    stage.keys("e");
    assert!(
        stage.text().contains("rackshade  correct scores"),
        "{}",
        stage.text()
    );
    stage.press(Key::Left);
    stage.keys("9");
    assert!(
        stage
            .text()
            .contains("has shade 3; the same key again changes it"),
        "{}",
        stage.text()
    );
    // Any other key keeps it.
    stage.press(Key::Left);
    stage.press(Key::Right);
    stage.keys("9");
    assert!(stage.text().contains("has shade 3"), "{}", stage.text());
    stage.keys("9");
    stage.press(Key::Left);
    stage.keys("5");
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
fn thermometer_with_a_round_over_time() {
    snapshots("air-time", Stage::measured);
}

#[test]
fn thermometer_with_the_dial_for_a_wanted_temperature() {
    snapshots("air-dial", |size, depth| {
        let mut stage = Stage::measured(size, depth);
        stage.keys("vw375");
        stage
    });
}

#[test]
fn thermometer_over_the_months() {
    snapshots("air-months", |size, depth| {
        let mut stage = Stage::measured(size, depth);
        stage.keys("vv");
        stage
    });
}

#[test]
fn thermometer_before_a_round() {
    snapshots("air-setup", |size, depth| {
        let mut stage = Stage::laid_out(size, depth);
        stage.press(Key::Escape);
        stage.keys("an");
        stage.press(Key::Enter);
        stage
    });
}

/// The air of an invented oven in its round, F: cold, the signal at ten minutes, then 15 F cold and swinging.
fn air_at(seconds: u64) -> f64 {
    let t = seconds as f64;
    if seconds < 600 {
        70.0 + 275.0 * t / 600.0
    } else {
        335.0 + 8.0 * (std::f64::consts::TAU * t / 480.0).sin()
    }
}

fn type_reading(stage: &mut Stage, figure: f64) {
    stage.keys(&format!("{figure:.0}"));
    stage.press(Key::Enter);
}

/// From a kitchen without ovens to a round that runs, each key as the guide names it.
fn begun(size: (u16, u16), depth: Depth) -> Stage {
    let mut stage = Stage::empty(size, depth);
    stage.follow("n: describe your oven", "n");
    stage.press(Key::Enter);
    stage.keys("Wall oven");
    stage.press(Key::Function(2));
    stage.press(Key::Escape);
    stage.follow("a: read a thermometer", "a");
    stage.follow("n: prepare a round", "n");
    assert!(stage.text().contains("every opening upsets the cycling"));
    stage.press(Key::Enter);
    assert!(stage.text().contains("Enter: begin the round"));
    stage.press(Key::Enter);
    stage
}

/// Reads whenever it is asked for, with the signal at ten minutes, until the guide says it is enough.
fn read_until(stage: &mut Stage, enough: &str, most: u64) -> u64 {
    let mut seconds = 0;
    while !stage.text().contains(enough) {
        if seconds == 600 {
            stage.follow("s: at the preheat signal", "s");
        }
        if stage.text().contains("READ NOW") {
            type_reading(stage, air_at(seconds));
        }
        assert!(seconds < most, "never '{enough}':\n{}", stage.text());
        stage.pass(20);
        seconds += 20;
    }
    seconds
}

#[test]
fn a_round_that_runs() {
    snapshots("air-round", |size, depth| {
        let mut stage = begun(size, depth);
        read_until(&mut stage, "enough read", 4 * 3600);
        stage.keys("33");
        stage
    });
}

#[test]
fn a_newcomer_goes_from_an_empty_kitchen_to_a_dial_setting_and_a_plan_that_uses_it() {
    let mut stage = begun((80, 24), Depth::NoColour);
    let seconds = read_until(&mut stage, "enough read", 4 * 3600);
    assert!((2400..6000).contains(&seconds), "after {seconds} s");
    assert!(stage.bells > 30, "{} bells", stage.bells);
    stage.follow("o: open the door for half a minute", "o");
    stage.pass(30);
    stage.follow("o: the door is shut again", "o");
    for i in 0..20_u64 {
        assert!(stage.text().contains("READ NOW"), "{}", stage.text());
        let back = 45.0 * (-(20.0 * i as f64) / 90.0).exp();
        type_reading(&mut stage, air_at(seconds + 30 + 20 * i) - back);
        stage.pass(20);
    }
    stage.press(Key::Escape);
    assert!(stage.text().contains("Esc again: end the round"));
    stage.press(Key::Escape);
    stage.follow("w: what to set for a wanted temperature", "w");
    stage.keys("350");
    // 15 F cold: the dial goes 15 F higher.
    assert!(
        stage.text().contains("SET THE DIAL TO 365 F"),
        "{}",
        stage.text()
    );
    stage.press(Key::Enter);
    stage.follow("p: plan a bake with it", "p");
    let text = stage.text();
    assert!(text.contains("Set the dial to 365 F"), "{text}");
    assert!(text.contains("dial: by its readings"), "{text}");
    assert!(text.contains("door: by its readings"), "{text}");
    stage.keys("i");
    let mut said = String::new();
    for _ in 0..12 {
        said.push_str(&stage.text());
        stage.press(Key::PageDown);
    }
    assert!(said.contains("The dial is set by readings"), "{said}");
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
