use crate::{
    model::{Reading, Shade},
    tui::{fixture::Fixture, screens::score::Score},
    units::Minutes,
};
use jiff::civil::date;
use std::time::Duration;

/// A test laid out, its slices about to go in; the cautions closed.
fn loaded() -> Fixture {
    let mut fixture = Fixture::with_oven();
    fixture.keys("t\n\n");
    fixture
}

#[test]
fn the_bell_rings_for_every_look_and_for_the_end_and_the_minutes_go_into_the_test() {
    let mut fixture = loaded();
    let times = fixture.room::<super::Toasting>().times;
    assert_eq!((times.first_look.0, times.out.0), (10.0, 16.0), "350 F");
    fixture.guides("Space: start");
    fixture.keys(" ");
    assert!(fixture.test().toasting.is_some(), "kept on disk at once");
    let rung: Vec<f64> = (1..=16 * 2)
        .map(|half| f64::from(half) / 2.0)
        .filter(|minutes| fixture.at(*minutes))
        .collect();
    assert_eq!(rung, [10.0, 11.0, 12.0, 13.0, 14.0, 15.0, 16.0]);
    assert!(!fixture.at(16.1) && fixture.at(16.5), "it insists");
    fixture.keys(" ");
    assert!(fixture.app.shows::<Score>());
    assert_eq!(fixture.test().minutes, Some(Minutes(16.5)));
    assert_eq!(fixture.test().toasting, None);
}

#[test]
fn the_next_test_takes_the_same_places_and_expects_the_same_minutes() {
    let mut fixture = loaded();
    fixture.keys(" ");
    fixture.at(12.0);
    fixture.keys(" 3\x1b");
    let first = fixture.test().clone();
    fixture.keys("t");
    fixture.guides("as in the last test");
    fixture.keys("\n\n");
    let second = fixture.test();
    let places = |t: &crate::model::ToastTest| -> Vec<_> {
        t.slices.iter().map(|s| (s.rack, s.place)).collect()
    };
    assert_eq!(places(second), places(&first));
    assert!(second.slices.iter().all(|s| s.reading == Reading::Unscored));
    assert_eq!(fixture.room::<super::Toasting>().times.out, Minutes(12.0));
}

#[test]
fn the_bell_rings_on_other_screens_and_the_kitchen_leads_back() {
    let mut fixture = loaded();
    fixture.keys(" ");
    fixture.at(3.0);
    fixture.keys("\x1b");
    assert!(
        !fixture.app.shows::<crate::tui::screens::home::Home>(),
        "asks first"
    );
    fixture.keys("\x1b");
    assert!(fixture.app.shows::<crate::tui::screens::home::Home>());
    assert!(!fixture.at(9.9) && fixture.at(10.0));
    fixture.says("look in");
    assert!(!fixture.at(10.5) && fixture.at(16.0));
    fixture.says("everything out");
    fixture.guides("a toast is in the oven");
    fixture.keys("\n");
    assert!(fixture.app.shows::<super::Toasting>());
    fixture.keys(" ");
    assert_eq!(fixture.test().minutes, Some(Minutes(16.0)));
}

#[test]
fn wrong_keys_are_caught_and_the_clock_survives_the_program() {
    let mut fixture = loaded();
    fixture.keys(" ");
    fixture.at(1.0);
    fixture.keys(" ");
    assert!(
        fixture.app.shows::<super::Toasting>(),
        "out after a minute: asks"
    );
    fixture.keys(" ");
    assert!(
        fixture.app.shows::<super::Toasting>(),
        "a key that bounced is no answer"
    );
    fixture.keys("5");
    assert!(
        fixture.app.shows::<super::Toasting>(),
        "nothing to score yet"
    );
    fixture.keys("q");
    fixture.says("after you quit");
    let now = date(2026, 11, 25).at(9, 38, 0, 0);
    let mut again = fixture.reopened_at(now.into());
    again.keys("\n");
    let elapsed = again.room::<super::Toasting>().elapsed(&again.app.shared);
    assert_eq!(elapsed, Some(Minutes(8.0)));
    again.keys("u");
    assert!(again.test().toasting.is_some(), "u asks first");
    again.app.set_clock(now, Duration::from_secs(2));
    again.keys("u");
    assert_eq!(again.test().toasting, None);
}

#[test]
fn a_toast_broken_off_or_forgotten_leaves_no_minutes_and_can_still_be_scored() {
    // 24 seconds by a slip of the thumb, and again; 1:30 where the first look is at one minute.
    for (sooner, minutes) in [("", 0.4), ("-------------", 1.5)] {
        let mut fixture = loaded();
        fixture.keys(sooner);
        fixture.keys(" ");
        fixture.at(minutes);
        fixture.keys(" ");
        assert!(fixture.app.shows::<super::Toasting>(), "asks at {minutes}");
        fixture.at(minutes + 0.02);
        fixture.keys(" ");
        assert!(fixture.app.shows::<Score>());
        assert_eq!(fixture.test().minutes, None, "{minutes}");
        fixture.says("no time is noted");
    }
    // Left on over night: what was expected is not what it took.
    for hours in [9.0, 15.0] {
        let mut fixture = loaded();
        fixture.keys("+ ");
        fixture.at(hours * 60.0);
        fixture.keys(" 4");
        let said = format!("{:?}", fixture.app.shared);
        assert!(fixture.app.shared.unsaved.is_empty(), "{said}");
        let again = fixture.reopened();
        assert_eq!(again.test().minutes, None);
        assert_eq!((again.test().toasting, again.test().scored()), (None, 1));
    }
}

#[test]
fn an_end_set_late_is_waited_for_and_noted() {
    let mut fixture = loaded();
    fixture.keys(&"+".repeat(140));
    fixture.keys(" ");
    assert_eq!(fixture.room::<super::Toasting>().times.out, Minutes(156.0));
    assert!(!fixture.at(149.0) && fixture.at(156.0));
    fixture.keys("\x1b\x1b");
    assert!(fixture.at(157.0), "the bell rings on other screens");
    fixture.keys("\n ");
    assert_eq!(fixture.test().minutes, Some(Minutes(157.0)));
}

#[test]
fn the_toasting_clock_goes_on_when_the_wall_clock_is_set() {
    for set in [-60.0, 180.0] {
        let mut fixture = loaded();
        fixture.keys(" \x1b\x1b");
        assert!(!fixture.at_with_clock_set(9.9, set), "{set}");
        assert!(fixture.at_with_clock_set(10.0, set), "{set}");
        fixture.guides("a toast is in the oven");
        fixture.keys("\n");
        fixture.at_with_clock_set(12.0, set);
        fixture.keys(" ");
        assert_eq!(fixture.test().minutes, Some(Minutes(12.0)), "{set}");
    }
}

#[test]
fn each_of_two_toasts_rings_and_the_kitchen_leads_to_the_one_due_first() {
    let mut fixture = loaded();
    fixture.keys(" ");
    let first = fixture.test().clone();
    fixture.keys("\x1b\x1b");
    // Another oven's, that went in three minutes later.
    let mut oven = fixture.oven().clone();
    oven.name = "Deck oven".to_owned();
    oven.id = fixture.app.shared.kitchen.fresh_oven_id(&oven.name);
    let mut other = first.clone();
    other.id = crate::model::TestId::new("zz-other").unwrap();
    other.setup.oven = oven.id.clone();
    other.toasting = first
        .toasting
        .map(|at| at + Duration::from_mins(3).try_into().unwrap());
    let kitchen = &mut fixture.app.shared.kitchen;
    kitchen.save_oven(oven).unwrap();
    kitchen.save_test(other.clone()).unwrap();
    assert!(!fixture.at(9.9) && fixture.at(10.0));
    fixture.says("TOAST, Wall oven: look in now; Esc to Kitchen, Enter: its clock");
    fixture.keys("\n");
    assert_eq!(fixture.room::<super::Toasting>().test.id, first.id);
    assert!(fixture.at(12.0) && fixture.at(13.0));
    fixture.says("TOAST, Deck oven: look in now");
    fixture.keys(" \x1b\n");
    assert_eq!(fixture.room::<super::Toasting>().test.id, other.id);
}

#[test]
fn a_space_too_many_after_the_clock_skips_no_slice() {
    let mut fixture = loaded();
    fixture.keys(" ");
    fixture.at(12.0);
    // Once more, or held down.
    fixture.keys("     ");
    fixture.says("slice 1 not skipped; press s to skip it");
    fixture.keys("45 ");
    let readings: Vec<_> = fixture.test().slices.iter().map(|s| s.reading).collect();
    let shade = |digit| Reading::ByEye(Shade::whole(digit).unwrap());
    assert_eq!(readings[..3], [shade(4), shade(5), Reading::Skipped]);
    // It can be meant.
    let mut fixture = loaded();
    fixture.keys(" ");
    fixture.at(12.0);
    fixture.keys("  ");
    fixture.at(12.1);
    fixture.keys("s");
    assert_eq!(fixture.test().slices[0].reading, Reading::Skipped);
}

#[test]
fn a_digit_or_s_scores_without_the_clock() {
    let mut fixture = loaded();
    fixture.keys("4");
    assert!(fixture.app.shows::<Score>());
    let four = Reading::ByEye(Shade::whole(4).unwrap());
    assert_eq!(fixture.test().slices[0].reading, four);
    assert_eq!(fixture.test().cursor, 1);
    assert_eq!(fixture.test().minutes, None);
    let mut fixture = loaded();
    fixture.keys("s");
    assert!(fixture.app.shows::<Score>());
}

#[test]
fn more_minutes_move_the_looks_too() {
    let mut fixture = loaded();
    fixture.keys("++ ");
    assert!(!fixture.at(11.9) && fixture.at(12.0));
    fixture.keys("c");
    assert!(fixture.app.shared.popup.is_some());
}

#[test]
fn minutes_that_were_only_expected_are_not_noted_as_those_it_took() {
    let mut fixture = loaded();
    fixture.keys("+s");
    assert!(fixture.app.shows::<Score>());
    assert_eq!(fixture.test().minutes, None);
    // The same where the clock ran and was stopped.
    let mut fixture = loaded();
    fixture.keys("+ u");
    assert_eq!(fixture.test().minutes, Some(Minutes(17.0)));
    fixture.at(1.0);
    fixture.keys("us");
    assert!(fixture.app.shows::<Score>());
    assert_eq!(fixture.test().minutes, None);
}
