use super::{KEYS, RecipesScreen};
use crate::{
    tui::{fixture::Fixture, keys::Key},
    units::{Centimetres, Minutes},
};

#[test]
fn a_first_recipe_is_written_with_the_usual_figures_and_kept() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("k");
    assert!(fixture.app.shows::<RecipesScreen>());
    fixture.guides("first recipe");
    assert!(KEYS.act(Key::Char('n')).is_some());
    fixture.keys("xupw\nnOat *biscuits*");
    fixture.press(Key::Function(2));
    let fixture = fixture.reopened();
    let [recipe] = fixture.app.shared.kitchen.recipes() else {
        panic!("one recipe")
    };
    assert_eq!(recipe.name, "Oat *biscuits*");
    assert_eq!(recipe.written_words(), "350 F, no fan");
}

#[test]
fn what_was_typed_is_not_lost_without_a_word() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("knScones\x1b");
    assert!(fixture.guide().contains("F2 saves"), "asked first");
    fixture.press(Key::Escape);
    fixture.guides("first recipe");
    fixture.press(Key::Escape);
    assert!(!fixture.app.shows::<RecipesScreen>());
}

#[test]
fn a_figure_that_was_not_touched_stays_as_it_was() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("knScones");
    fixture.press(Key::Function(2));
    let mut recipe = fixture.app.shared.kitchen.recipes()[0].clone();
    recipe.time = Minutes(12.25);
    recipe.tray.width = Centimetres(33.03);
    let kitchen = &mut fixture.app.shared.kitchen;
    kitchen.save_recipe(recipe.clone()).unwrap();
    fixture.keys("\n");
    for _ in 0..8 {
        fixture.press(Key::Down);
    }
    fixture.keys("with butter");
    fixture.press(Key::Function(2));
    "with butter".clone_into(&mut recipe.note);
    assert_eq!(fixture.on_disk().recipes(), [recipe]);
}
