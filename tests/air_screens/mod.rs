//! The thermometer from its charts to a round read to its end, and a newcomer's way to a plan that uses it.

use crate::screens_kit::{Stage, pictures, snapshots};
use rackshade::tui::{keys::Key, theme::Depth};

pictures! {
    thermometer_and_the_figures_behind_it "air-why" Stage::measured "vvi";
    thermometer_with_a_round_over_time "air-time" Stage::measured "";
    thermometer_with_the_dial_for_a_wanted_temperature "air-dial" Stage::measured "vw375";
    thermometer_over_the_months "air-months" Stage::measured "vv";
    thermometer_before_a_round "air-setup" Stage::laid_out "\x1ban\n";
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
    stage.keys("\nWall oven");
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
    stage.keys("v");
    assert!(stage.text().contains("door: falls"), "{}", stage.text());
    stage.press(Key::Escape);
    assert!(stage.text().contains("Esc again: end the round"));
    stage.press(Key::Escape);
    stage.follow("w: what to set for a wanted temperature", "w");
    stage.keys("350");
    // 15 F cold: the dial goes 15 F higher.
    let text = stage.text();
    assert!(text.contains("SET THE DIAL TO 365 F"), "{text}");
    assert!(text.contains("whole cycles"), "{text}");
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
