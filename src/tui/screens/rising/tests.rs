use crate::tui::prelude::*;
use crate::tui::{fixture::Fixture, screens::home::Home};
use crate::{model::id::DoughId, units::Minutes};

/// A kitchen with one oven, its dough room in sight.
fn room() -> Fixture {
    let mut fixture = Fixture::working();
    fixture.keys("y");
    assert!(fixture.app.shows::<super::Rising>());
    fixture
}

/// How long the rise in sight takes, minutes.
fn whole_rise(fixture: &Fixture) -> f64 {
    let now = fixture.room::<super::Rising>().now(&fixture.app.shared);
    now.unwrap().total.0.0
}

fn banner(fixture: &Fixture) -> String {
    format!("{:?}", fixture.app.shared.banner)
}

#[test]
fn a_dough_is_named_put_in_looked_at_and_teaches_its_pace() {
    let mut fixture = room();
    fixture.keys("rolls");
    for _ in 0..5 {
        fixture.press(Key::Down);
    }
    // as warm as where its time is known, in a place as warm
    fixture.press(Key::Right);
    fixture.press(Key::Right);
    fixture.press(Key::Enter);
    let dough = fixture.app.shared.kitchen.doughs()[0].clone();
    assert_eq!((dough.name.as_str(), dough.rises.len()), ("rolls", 1));
    let first = fixture
        .room::<super::Rising>()
        .now(&fixture.app.shared)
        .unwrap();
    fixture.at(20.0);
    fixture.keys("7");
    assert!(
        banner(&fixture).contains("4 doubled"),
        "{}",
        banner(&fixture)
    );
    fixture.keys("2");
    let second = fixture
        .room::<super::Rising>()
        .now(&fixture.app.shared)
        .unwrap();
    assert!(second.total.0 < first.total.0, "faster than was known");
    fixture.keys("1");
    assert!(banner(&fixture).contains("does not shrink"));
    fixture.press(Key::Enter);
    assert!(banner(&fixture).contains("early"), "{}", banner(&fixture));
    fixture.keys("4");
    fixture.press(Key::Enter);
    assert!(
        banner(&fixture).contains("out after 20 min"),
        "{}",
        banner(&fixture)
    );
    assert!(!fixture.room::<super::Rising>().is_rising());
    let after = fixture
        .room::<super::Rising>()
        .form
        .question()
        .pace
        .unwrap();
    assert!(after.factor > 1.1, "{after:?}");
}

#[test]
fn the_bell_rings_on_other_screens_and_the_room_leads_back() {
    let mut fixture = room();
    fixture.press(Key::Enter);
    let total = whole_rise(&fixture);
    fixture.press(Key::Escape);
    assert!(fixture.app.shows::<Home>());
    assert!(!fixture.at(total * 0.2));
    assert!(fixture.at(total * 0.8), "half grown: a look");
    assert!(!fixture.at(total * 0.9));
    assert!(fixture.at(total + 0.5), "ready");
    assert!(banner(&fixture).contains("DOUGH"), "{}", banner(&fixture));
    fixture.keys("y");
    assert!(fixture.room::<super::Rising>().is_rising());
    fixture.guides("ready");
}

#[test]
fn each_of_two_doughs_rings_and_the_one_due_first_is_opened() {
    let mut fixture = room();
    fixture.press(Key::Enter);
    let slow = fixture.app.shared.kitchen.doughs()[0].clone();
    let total = whole_rise(&fixture);
    fixture.press(Key::Escape);
    // Begun at the same time, it takes half as long; its id comes after the other's.
    let mut quick = slow.clone();
    quick.id = DoughId::new("zz-quick").unwrap();
    quick.name = "quick".to_owned();
    quick.known = Minutes(slow.known.0 / 2.0);
    fixture
        .app
        .shared
        .kitchen
        .save_dough(quick.clone())
        .unwrap();
    let ready = (1..100).find(|percent| {
        let rings = fixture.at(total * f64::from(*percent) / 100.0);
        rings && banner(&fixture).contains("quick: it should be ready")
    });
    // Warming takes as long for both, so the quick one is ready after half of the time and a little more.
    assert!((45..75).contains(&ready.unwrap()), "{ready:?}");
    fixture.keys("y");
    assert_eq!(fixture.room::<super::Rising>().dough().id, quick.id);
    fixture.press(Key::Enter);
    fixture.press(Key::Escape);
    assert!(fixture.at(total + 0.5), "the slow one is ready");
    fixture.keys("y");
    assert_eq!(fixture.room::<super::Rising>().dough().id, slow.id);
}

#[test]
fn every_dough_can_be_looked_at_while_one_rises() {
    let mut fixture = room();
    fixture.press(Key::Enter);
    let first = fixture.app.shared.kitchen.doughs()[0].clone();
    fixture.press(Key::Tab);
    let id = |fixture: &Fixture| fixture.room::<super::Rising>().dough().id.clone();
    assert!(!fixture.room::<super::Rising>().is_rising(), "a new one");
    for _ in 0..30 {
        fixture.press(Key::Backspace);
    }
    fixture.keys("rye");
    fixture.press(Key::Enter);
    assert_eq!(fixture.app.shared.kitchen.doughs().len(), 2);
    let second = id(&fixture);
    fixture.press(Key::Tab);
    fixture.press(Key::Tab);
    let seen = [id(&fixture), second];
    assert!(seen.contains(&first.id) && seen[0] != seen[1], "{seen:?}");
    assert!(fixture.room::<super::Rising>().is_rising());
}

#[test]
fn a_dough_rises_by_the_stopwatch_when_the_wall_clock_is_set() {
    for set in [-60.0, 180.0] {
        let mut fixture = room();
        fixture.press(Key::Enter);
        let total = whole_rise(&fixture);
        assert!(!fixture.at_with_clock_set(total * 0.2, set), "{set}");
        let now = fixture.room::<super::Rising>().now(&fixture.app.shared);
        assert!((now.unwrap().elapsed.0 - total * 0.2).abs() < 0.01, "{set}");
        assert!(fixture.at_with_clock_set(total + 0.5, set), "{set}");
        fixture.press(Key::Enter);
        let ended = fixture.app.shared.kitchen.doughs()[0].rises[0].ended;
        assert!((ended.unwrap().0 - total - 0.5).abs() < 0.01, "{set}");
    }
}

#[test]
fn a_dough_is_not_started_on_an_answer_to_an_older_question() {
    let mut fixture = room();
    for _ in 0..6 {
        fixture.press(Key::Down);
    }
    // Far too warm, and the answer is not there yet.
    fixture.works = false;
    for _ in 0..60 {
        fixture.press(Key::Right);
    }
    fixture.press(Key::Enter);
    fixture.says("still being worked out");
    assert!(fixture.app.shared.kitchen.doughs().is_empty());
}

#[test]
fn a_dough_forgotten_for_days_comes_out_and_is_on_disk() {
    let mut fixture = room();
    fixture.press(Key::Enter);
    fixture.at(8.0 * 24.0 * 60.0);
    fixture.press(Key::Enter);
    assert!(!fixture.room::<super::Rising>().is_rising());
    let said = banner(&fixture);
    assert!(said.contains("out after a week or more"), "{said}");
    assert!(fixture.app.shared.unsaved.is_empty());
    let again = fixture.reopened();
    assert!(again.app.shared.kitchen.doughs()[0].rising().is_none());
}

#[test]
fn a_rise_survives_the_program_and_wrong_figures_are_said() {
    let mut fixture = room();
    fixture.press(Key::Enter);
    let mut again = fixture.reopened();
    again.keys("y");
    assert!(again.room::<super::Rising>().is_rising());
    again.keys("u");
    assert!(banner(&again).contains("no look"), "{}", banner(&again));
    let mut fixture = room();
    for _ in 0..30 {
        fixture.press(Key::Backspace);
    }
    fixture.press(Key::Enter);
    assert!(banner(&fixture).contains("name"), "{}", banner(&fixture));
    assert!(fixture.app.shared.kitchen.doughs().is_empty());
    fixture.keys("rye");
    for _ in 0..6 {
        fixture.press(Key::Down);
    }
    for _ in 0..60 {
        fixture.press(Key::Right);
    }
    fixture.press(Key::Enter);
    assert!(
        banner(&fixture).contains("does not rise"),
        "{}",
        banner(&fixture)
    );
    assert!(fixture.app.shared.kitchen.doughs().is_empty());
}

#[test]
fn a_second_dough_has_a_name_of_its_own_and_takes_no_others() {
    let mut fixture = room();
    fixture.press(Key::Enter);
    fixture.press(Key::Tab);
    assert_eq!(fixture.room::<super::Rising>().dough().name, "dough 2");
    for _ in 0..30 {
        fixture.press(Key::Backspace);
    }
    fixture.keys("dough");
    fixture.press(Key::Enter);
    let said = banner(&fixture);
    assert!(said.contains("there is a dough 'dough' already"), "{said}");
    assert_eq!(fixture.app.shared.kitchen.doughs().len(), 1);
}
