//! Pictures of a baking day: the toasting clock, a quick check, a dough that rises; each by keys from the kitchen.

use crate::screens_kit::{Stage, snapshots};

#[test]
fn toasting_clock_at_its_second_look() {
    snapshots("toasting", |size, depth| {
        let mut stage = Stage::laid_out(size, depth);
        stage.keys("\n\n ");
        stage.pass(11 * 60 + 20);
        stage
    });
}

/// From the kitchen through a quick check to its answer, by keys alone.
#[test]
fn quick_check_from_the_kitchen() {
    snapshots("check-places", |size, depth| {
        let mut stage = Stage::mapped(size, depth);
        stage.keys("\x1b\x1bv");
        stage
    });
    snapshots("check-answer", |size, depth| {
        let mut stage = Stage::mapped(size, depth);
        stage.keys("\x1b\x1bv\n\n ");
        stage.pass(12 * 60);
        stage.keys(" 754444\n");
        stage
    });
}

/// From the kitchen to a dough that rises, by keys alone.
#[test]
fn rising_dough_from_the_kitchen() {
    snapshots("dough", |size, depth| {
        let mut stage = Stage::laid_out(size, depth);
        stage.keys("\x1byrolls↓↓→");
        stage
    });
    snapshots("dough-clock", |size, depth| {
        let mut stage = Stage::laid_out(size, depth);
        stage.keys("\x1byrolls\n");
        stage.pass(40 * 60);
        stage.keys("2");
        stage.pass(60);
        stage
    });
}
