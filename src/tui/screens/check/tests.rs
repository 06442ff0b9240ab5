use crate::tui::{fixture::Fixture, keys::Key, screens::score::Score};

/// A kitchen with one oven, tested once in full with even slices.
fn tested() -> Fixture {
    let mut fixture = Fixture::working();
    fixture.keys("t");
    fixture.press(Key::Enter);
    fixture.press(Key::Enter);
    fixture.keys("444444444444");
    fixture.press(Key::Escape);
    fixture
}

fn text(fixture: &Fixture) -> String {
    let room: &super::CheckScreen = fixture.room();
    match (room.answer.held(), room.places.held()) {
        (Some(Ok(checked)), _) => checked.headline.clone(),
        (Some(Err(why)), _) | (None, Some(Err(why))) => why.to_string(),
        (None, Some(Ok(places))) => places.sentences(&room.oven).join(" "),
        (None, None) => String::new(),
    }
}

#[test]
fn the_places_follow_count_and_racks_and_wrong_keys_are_answered() {
    let mut fixture = tested();
    fixture.keys("v");
    assert!(
        text(&fixture).contains("Lay 6 slices on rack 3"),
        "{}",
        text(&fixture)
    );
    fixture.keys("--");
    assert!(
        text(&fixture).contains("Lay 4 slices"),
        "{}",
        text(&fixture)
    );
    fixture.keys("--");
    fixture.says("3 to 8 slices");
    fixture.keys("9");
    fixture.says("no rack position 9");
    fixture.keys("3");
    fixture.guides("rack position");
    fixture.press(Key::Enter);
    fixture.says("load a rack position");
    assert_eq!(
        fixture.app.shared.kitchen.tests().len(),
        1,
        "nothing was kept"
    );
}

#[test]
fn a_check_goes_by_the_clock_to_its_answer_and_has_a_map_of_its_own() {
    for (shades, answer) in [
        ("444444", "As before."),
        ("744444", "Changed"),
        ("944444", "Slice 1 is as good as burnt: look at back left"),
    ] {
        let mut fixture = tested();
        fixture.keys("v");
        fixture.press(Key::Enter);
        fixture.press(Key::Enter);
        fixture.guides("Space: start");
        fixture.keys(shades);
        assert!(fixture.app.shows::<Score>());
        fixture.guides("what the check says");
        fixture.press(Key::Enter);
        assert!(
            text(&fixture).starts_with(answer),
            "{shades}: {}",
            text(&fixture)
        );
        let test = fixture.test().clone();
        assert_eq!(test.slices.len(), 6);
        assert_eq!(
            fixture.app.shared.beside(&test),
            [test.id],
            "never pooled with the full test before"
        );
        fixture.press(Key::Enter);
        assert!(fixture.app.shows::<crate::tui::screens::map::MapScreen>());
    }
}

#[test]
fn an_oven_that_was_never_tested_is_looked_at_for_the_first_time() {
    let mut fixture = Fixture::working();
    fixture.keys("v");
    assert!(
        text(&fixture).contains("No earlier test"),
        "{}",
        text(&fixture)
    );
    fixture.press(Key::Enter);
    fixture.press(Key::Enter);
    fixture.keys("444444");
    fixture.press(Key::Enter);
    assert!(
        text(&fixture).contains("Can't tell yet"),
        "{}",
        text(&fixture)
    );
}
