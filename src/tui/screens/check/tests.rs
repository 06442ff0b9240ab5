use crate::tui::{fixture::Fixture, screens::score::Score};

/// A kitchen with one oven, tested once in full with even slices.
fn tested() -> Fixture {
    let mut fixture = Fixture::working();
    fixture.keys("t\n\n444444444444\x1b");
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
    fixture.keys("\n");
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
        fixture.keys("v\n\n");
        fixture.guides("Space: start");
        fixture.keys(shades);
        assert!(fixture.app.shows::<Score>());
        fixture.guides("what the check says");
        fixture.keys("\n");
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
        fixture.keys("\n");
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
    fixture.keys("\n\n444444\n");
    assert!(
        text(&fixture).contains("Can't tell yet"),
        "{}",
        text(&fixture)
    );
}
