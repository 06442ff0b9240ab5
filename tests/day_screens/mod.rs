//! A baking day from the kitchen screen on: recipes written down, planned, and baked in loads.

use crate::screens_kit::{Stage, pictures};
use rackshade::tui::{keys::Key, theme::Depth};

const SMALL: ((u16, u16), Depth) = ((80, 24), Depth::NoColour);

#[track_caller]
fn shows(stage: &mut Stage, words: &str) {
    let text = stage.text();
    assert!(text.contains(words), "no '{words}' here:\n{text}");
}

/// Types over what stands in a row of the form, and goes on to the next row.
fn fill(stage: &mut Stage, text: &str) {
    stage.keys(text);
    stage.press(Key::Enter);
}

pictures! {
    recipes_in_a_list "recipes" Stage::demo "↓k";
    a_recipe_in_its_form "recipe-form" Stage::demo "↓k\n↓↓";
    a_baking_day_that_is_planned "baking-day" Stage::demo "↓k↓pl";
}

/// The way a baker goes at 80x24: wrong figures first, then the right ones, then the oven.
#[test]
fn a_recipe_is_written_down_planned_and_set_aside() {
    let mut stage = Stage::demo(SMALL.0, SMALL.1);
    stage.press(Key::Down);
    shows(&mut stage, "kitchen");
    stage.keys("k");
    shows(&mut stage, "harvest rolls");
    shows(&mut stage, "gas mark 7");
    stage.keys("n");
    fill(&mut stage, "Plum \u{fc}ber-slice");
    stage.keys("→→");
    shows(&mut stage, "a gas oven");
    stage.press(Key::Enter);
    fill(&mut stage, "11");
    fill(&mut stage, "32");
    stage.press(Key::Function(2));
    shows(&mut stage, "'11' is no gas mark");
    shows(&mut stage, "\u{25b8} Gas mark");
    stage.keys("4");
    stage.press(Key::Function(2));
    shows(&mut stage, "Plum \u{fc}ber-slice is saved");
    shows(&mut stage, "Without a fan 350 F, with one 325 F");
    stage.keys("x");
    shows(&mut stage, "press x again");
    stage.keys("x");
    shows(&mut stage, "is set aside");
    shows(&mut stage, "2 recipes");
    stage.keys("u");
    shows(&mut stage, "3 recipes");
    // The demo's oat biscuits, written for a fan, in this oven.
    stage.keys("↑↑↑↓p");
    shows(&mut stage, "oat biscuits");
    shows(&mut stage, "13 min");
    stage.keys("\x1bw");
    shows(&mut stage, "where to bake oat biscuits");
}

/// Four trays, two at once, by the clock: every load in, moved and out, one after the other, and each in the record.
#[test]
fn a_day_runs_from_the_kitchen_to_the_last_tray() {
    let mut stage = Stage::demo(SMALL.0, SMALL.1);
    stage.keys("↓k↓pl");
    shows(&mut stage, "3 trays, 1 at once");
    shows(&mut stage, "All done after");
    for _ in 0..20 {
        stage.press(Key::Right);
    }
    shows(&mut stage, "12 trays");
    shows(&mut stage, "1 to 12 trays");
    for _ in 0..10 {
        stage.press(Key::Left);
    }
    shows(&mut stage, "2 trays");
    stage.keys("a");
    shows(&mut stage, "all ovens");
    stage.keys("a\n");
    shows(&mut stage, "NOW, ");
    shows(&mut stage, "put in tray 1");
    shows(&mut stage, "Once begun, this day is kept");
    stage.keys(" ");
    shows(&mut stage, "0 of 2 loads out");
    let bells = stage.bells;
    let mut outs = 0;
    for _ in 0..4000 {
        let text = stage.text();
        if text.contains("Every tray is out") {
            break;
        }
        if text.contains("NOW, ") {
            let due = text.lines().find(|line| line.contains("NOW, ")).unwrap();
            outs += usize::from(due.contains("take tray"));
            stage.keys(" ");
            shows(&mut stage, "noted: ");
        } else {
            stage.pass(30);
        }
    }
    shows(&mut stage, "Every tray is out. All is noted.");
    assert_eq!(outs, 2);
    assert!(stage.bells > bells, "the bell rang");
    stage.keys("\x1b\x1b\x1b");
    shows(&mut stage, "kitchen");
    stage.keys("r");
    let text = stage.text();
    // Both loads in the list, and the one under the cursor beside it.
    assert!(text.matches("oat biscuits").count() >= 2, "{text}");
}

#[test]
fn an_oven_with_dough_in_it_is_not_heated_without_a_word() {
    let mut stage = Stage::demo(SMALL.0, SMALL.1);
    stage.keys("↓y\n\x1b");
    shows(&mut stage, "is rising");
    stage.keys("p\n");
    shows(
        &mut stage,
        "is rising in wall oven: take the dough out before you heat it",
    );
}
