use super::{
    BatchesScreen,
    view::{in_room, row},
};
use crate::tui::{fixture::Fixture, keys::Key, shared::Banner, theme::Role};
use crate::{model::Mode, workflow::batches::What};

#[test]
fn a_day_by_custom_is_begun_left_and_found_again() {
    let mut fixture = Fixture::working();
    fixture.keys("pl");
    assert!(fixture.app.shows::<BatchesScreen>());
    fixture.press(Key::Enter);
    fixture.keys(" ");
    let bakes = fixture.app.shared.kitchen.bakes();
    assert_eq!(bakes.len(), 1);
    assert!(bakes[0].baked.is_none() && bakes[0].trays() == [1]);
    assert!(fixture.keys("q").is_empty(), "asked first");
    let Some(Banner::Done(said)) = &fixture.app.shared.banner else {
        panic!("{:?}", fixture.app.shared.banner)
    };
    assert!(said.contains("the bell cannot ring"), "{said}");
    fixture.press(Key::Escape);
    assert!(fixture.app.shows::<BatchesScreen>(), "asked first");
    fixture.press(Key::Escape);
    fixture.press(Key::Escape);
    assert!(!fixture.app.shows::<BatchesScreen>());
    fixture.keys("b");
    assert!(fixture.app.shows::<BatchesScreen>());
    fixture.guides("wait for the bell");
    // Far too early: it asks, and the same key again does it.
    fixture.keys(" ");
    assert!(fixture.app.shared.kitchen.bakes()[0].openings.is_empty());
    // A held key does nothing more, whatever is due next.
    fixture.keys(&" ".repeat(40));
    let bake = &fixture.app.shared.kitchen.bakes()[0];
    assert!(bake.openings.is_empty() && bake.baked.is_none());
    for _ in 0..6 {
        fixture.keys(" ");
        fixture.app.shared.elapsed += std::time::Duration::from_secs(1);
        fixture.keys(" ");
        fixture.app.shared.elapsed += std::time::Duration::from_secs(1);
    }
    assert!(fixture.app.shared.kitchen.bakes()[0].baked.is_some());
}

#[test]
fn a_day_goes_on_after_the_program_was_closed() {
    let mut fixture = Fixture::working();
    fixture.keys("pl");
    fixture.press(Key::Enter);
    fixture.keys(" ");
    let began = fixture.app.shared.moment;
    let due = |fixture: &Fixture| {
        let day = fixture.app.shared.day.as_ref().unwrap();
        let (due, left) = day.next(fixture.app.shared.elapsed).unwrap();
        (due.batch, due.what, left.0)
    };
    let before = due(&fixture);
    let loads = fixture.app.shared.day.as_ref().unwrap().run.out().1;
    assert!(loads > 1 && before.2 > 3.0, "{before:?}");
    // Two minutes later, in a new window: the same is due, two minutes sooner, and then the rest of the day.
    let later = |minutes| began + jiff::SignedDuration::from_mins(minutes);
    let mut fixture = fixture.reopened_at(later(2));
    let (batch, what, left) = due(&fixture);
    assert_eq!((batch, what), (before.0, before.1));
    assert!((before.2 - left - 2.0).abs() < 0.02, "{before:?} {left}");
    fixture.keys("b");
    assert!(fixture.app.shows::<BatchesScreen>());
    while fixture.app.shared.day.as_ref().unwrap().run.out().0 == 0 {
        fixture.keys(" ");
        fixture.app.shared.elapsed += std::time::Duration::from_secs(1);
    }
    assert_eq!(
        fixture.app.shared.kitchen.bakes().len(),
        1,
        "no second log of it"
    );
    let next = due(&fixture);
    assert_eq!((next.0, next.1), (1, What::In));
    let mut fixture = fixture.reopened_at(later(4));
    assert_eq!((due(&fixture).0, due(&fixture).1), (1, What::In));
    fixture.keys("b");
    for _ in 0..2 {
        fixture.keys(" ");
        fixture.app.shared.elapsed += std::time::Duration::from_secs(1);
    }
    assert_eq!(fixture.on_disk().bakes().len(), 2);
    // One that was forgotten is not taken up again, nor is one that was given up.
    let mut fixture = fixture.reopened_at(later(24 * 60));
    assert!(fixture.app.shared.day.is_none());
    fixture = fixture.reopened_at(later(5));
    fixture.keys("bx");
    assert!(fixture.app.shared.day.is_some(), "asked first");
    fixture.app.shared.elapsed += std::time::Duration::from_secs(1);
    fixture.keys("x");
    assert!(fixture.app.shared.day.is_none());
    assert!(fixture.reopened_at(later(6)).app.shared.day.is_none());
}

#[test]
fn a_caution_is_in_sight_however_long_the_day_is() {
    let said = |n: usize| {
        let mut said: Vec<(String, Role)> = (1..=n)
            .map(|i| (format!("{i} min turn the tray front to back"), Role::Plain))
            .collect();
        said.push((
            "! the tests are older than the last visit".to_owned(),
            Role::Caution,
        ));
        said.push((
            "From one load out to the next in: about 6 min.".to_owned(),
            Role::Quiet,
        ));
        said
    };
    assert_eq!(in_room(said(3), (78, 5)), said(3), "all of it in its order");
    for height in 3..8 {
        let shown = in_room(said(9), (78, height));
        assert!(shown.len() <= usize::from(height), "{shown:?}");
        assert_eq!(shown[0].1, Role::Caution);
        assert_eq!(shown.last().unwrap().0, "i: more, with 1 caution");
    }
    // Where the caution itself has no room it is counted.
    assert_eq!(in_room(said(9), (20, 2)).len(), 1);
}

#[test]
fn a_day_between_two_loads_is_not_replaced() {
    let mut fixture = Fixture::working();
    fixture.keys("pl");
    fixture.press(Key::Enter);
    // The first load in, turned as often as it is, and out: the next one waits for the oven.
    while fixture.app.shared.day.as_ref().unwrap().run.out().0 == 0 {
        for _ in 0..2 {
            fixture.keys(" ");
            fixture.app.shared.elapsed += std::time::Duration::from_secs(1);
        }
    }
    let day = fixture.app.shared.day.as_ref().unwrap();
    assert!(!day.run.is_baking() && !day.run.is_done());
    for _ in 0..3 {
        fixture.press(Key::Escape);
    }
    fixture.keys("pl");
    fixture.press(Key::Enter);
    let Some(Banner::Done(said)) = &fixture.app.shared.banner else {
        panic!("{:?}", fixture.app.shared.banner)
    };
    assert!(said.contains("another baking day runs"), "{said}");
    let day = fixture.app.shared.day.as_ref().unwrap();
    assert_eq!(day.run.out().0, 1, "the day that runs is kept");
}

#[test]
fn every_way_of_heating_leaves_the_columns_of_a_load_where_they_are() {
    let mut fixture = Fixture::working();
    fixture.keys("pl");
    let screen: &BatchesScreen = fixture.room();
    let day = screen.day(&fixture.app.shared).unwrap().unwrap();
    let mut batch = day.batches[0].clone();
    for mode in Mode::ALL {
        batch.mode = mode;
        let row = row(&batch, &fixture.app.shared);
        assert_eq!(row.chars().count(), 75, "{row}");
        assert!(row.contains(&format!("{} ", mode.short_words())), "{row}");
        assert!(row.ends_with(" min"), "{row}");
    }
}
