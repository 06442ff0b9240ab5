//! Pictures of a baking day: the toasting clock, a quick check, a dough that rises; each by keys from the kitchen.

use crate::screens_kit::{Stage, snapshots};
use rackshade::tui::keys::Key;

#[test]
fn toasting_clock_at_its_second_look() {
    snapshots("toasting", |size, depth| {
        let mut stage = Stage::laid_out(size, depth);
        stage.press(Key::Enter);
        stage.press(Key::Enter);
        stage.keys(" ");
        stage.pass(11 * 60 + 20);
        stage
    });
}

/// From the kitchen through a quick check to its answer, by keys alone.
#[test]
fn quick_check_from_the_kitchen() {
    snapshots("check-places", |size, depth| {
        let mut stage = Stage::mapped(size, depth);
        stage.press(Key::Escape);
        stage.press(Key::Escape);
        stage.keys("v");
        stage
    });
    snapshots("check-answer", |size, depth| {
        let mut stage = Stage::mapped(size, depth);
        stage.press(Key::Escape);
        stage.press(Key::Escape);
        stage.keys("v");
        stage.press(Key::Enter);
        stage.press(Key::Enter);
        stage.keys(" ");
        stage.pass(12 * 60);
        stage.keys(" ");
        stage.keys("754444");
        stage.press(Key::Enter);
        stage
    });
}

/// From the kitchen to a dough that rises, by keys alone.
#[test]
fn rising_dough_from_the_kitchen() {
    snapshots("dough", |size, depth| {
        let mut stage = Stage::laid_out(size, depth);
        stage.press(Key::Escape);
        stage.keys("yrolls");
        stage.press(Key::Down);
        stage.press(Key::Down);
        stage.press(Key::Right);
        stage
    });
    snapshots("dough-clock", |size, depth| {
        let mut stage = Stage::laid_out(size, depth);
        stage.press(Key::Escape);
        stage.keys("yrolls");
        stage.press(Key::Enter);
        stage.pass(40 * 60);
        stage.keys("2");
        stage.pass(60);
        stage
    });
}
