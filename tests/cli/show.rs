//! `bakes`, `card` and `try`: what is only shown.

use crate::kit::{Answer, Kitchen, program};
use std::fs;

#[test]
fn bakes_and_the_card_are_shown() {
    let k = Kitchen::demo();
    // As the screens name it.
    assert!(k.run(&["bakes"]).done().contains("thin cookies"));
    let shown = k.say("bakes show 2026-03-21-wall-oven").done();
    assert!(shown.contains(": thin cookies in wall-oven"), "{shown}");
    assert!(
        k.say("bakes --oven counter-oven")
            .done()
            .contains("no bake yet")
    );
    let bakes = k.say("bakes --json").json();
    assert_eq!(bakes["bakes"][0]["openings"][0]["at_min"], 5.5);
    assert!(
        k.say("bakes show 2026-03-21-wall-oven")
            .done()
            .contains("took")
    );
    k.say("bakes show none")
        .refused("there is no bake 'none'", "none");
    let card = k.run(&["card"]).done();
    assert!(
        card.contains("burnt black") && !card.contains('\u{1b}'),
        "{card}"
    );
    let card = k.say("card --json").json();
    let lightness: Vec<_> = card["shades"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| (s["lightness"].as_f64().unwrap() * 10.0).round() / 10.0)
        .collect();
    // The card's own definition, one decimal.
    assert_eq!(
        lightness,
        [84.0, 73.4, 64.2, 56.1, 49.0, 42.8, 37.4, 32.7, 28.6, 25.0]
    );
}

#[test]
fn try_without_a_terminal_prints_a_tour_and_leaves_nothing_behind() {
    let temp = tempfile::tempdir().unwrap();
    let output = program()
        .arg("try")
        .env("TMPDIR", temp.path())
        .output()
        .unwrap();
    let tour = Answer::of(output).done();
    for word in ["wall oven", "rack 4", "back-left", "door", "Plan"] {
        assert!(tour.contains(word), "{word}: {tour}");
    }
    assert_eq!(fs::read_dir(temp.path()).unwrap().count(), 0);
}

#[test]
fn the_card_is_drawn_into_a_file() {
    let k = Kitchen::empty();
    let path = k.beside("card.png");
    let path = path.to_str().unwrap();
    assert!(k.run(&["card", "--png", path]).done().contains("card.png"));
    assert!(fs::read(path).unwrap().starts_with(b"\x89PNG"));
    k.say("card --png /no/such/folder/card.png")
        .refused("cannot write /no/such/folder", "--png");
}
