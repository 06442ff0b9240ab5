use crate::tui::fixture::Fixture;
use crate::tui::keys::Key;
use jiff::civil::date;

#[test]
fn a_visit_is_kept_on_disk_with_its_day() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("rv");
    fixture.keys("new thermostat, by the fitter");
    fixture.press(Key::Tab);
    fixture.keys("2026-11-20");
    fixture.press(Key::Enter);
    let again = fixture.reopened();
    let visits = &again.oven().visits;
    assert_eq!(visits.len(), 1);
    assert_eq!(visits[0].what, "new thermostat, by the fitter");
    assert_eq!(visits[0].when.date(), date(2026, 11, 20));
}

#[test]
fn a_wrong_day_or_no_words_keep_the_window_open() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("rv");
    fixture.press(Key::Enter);
    fixture.says("what was done");
    fixture.keys("seal");
    fixture.press(Key::Tab);
    fixture.keys("20.11.2026");
    fixture.press(Key::Enter);
    fixture.says("20.11.2026");
    assert!(fixture.oven().visits.is_empty());
    fixture.press(Key::Escape);
    assert!(fixture.app.shows::<crate::tui::screens::record::Record>());
    fixture.press(Key::Escape);
    assert!(fixture.app.shows::<crate::tui::screens::home::Home>());
}

#[test]
fn a_load_of_the_day_that_runs_has_no_second_clock() {
    let mut fixture = Fixture::working();
    fixture.keys("pl");
    fixture.press(Key::Enter);
    fixture.keys(" ");
    for _ in 0..4 {
        fixture.press(Key::Escape);
    }
    fixture.keys("r");
    fixture.press(Key::Enter);
    assert!(
        fixture
            .app
            .shows::<crate::tui::screens::batches::BatchesScreen>()
    );
    fixture.guides("wait for the bell");
}

#[test]
fn a_visit_under_the_cursor_can_be_put_right() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("rvseal");
    fixture.press(Key::Enter);
    fixture.press(Key::Enter);
    fixture.press(Key::Backspace);
    fixture.keys("ed");
    fixture.press(Key::Enter);
    assert_eq!(fixture.oven().visits.len(), 1);
    assert_eq!(fixture.oven().visits[0].what, "seaed");
}

#[test]
fn a_visit_still_to_come_is_refused() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("rvseal");
    fixture.press(Key::Tab);
    for _ in 0..20 {
        fixture.press(Key::Backspace);
    }
    fixture.keys("2026-11-26");
    fixture.press(Key::Enter);
    fixture.says("2026-11-26 is still to come");
    assert!(fixture.oven().visits.is_empty());
}

#[test]
fn a_visit_is_noted_with_its_time_so_that_a_test_that_day_falls_before_or_after() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("rvseal");
    fixture.press(Key::Enter);
    assert_eq!(
        fixture.oven().visits[0].when,
        date(2026, 11, 25).at(9, 30, 0, 0)
    );
    fixture.press(Key::Enter);
    fixture.press(Key::Tab);
    for _ in 0..20 {
        fixture.press(Key::Backspace);
    }
    fixture.keys("2026-11-25 08:15");
    fixture.press(Key::Enter);
    assert_eq!(
        fixture.oven().visits[0].when,
        date(2026, 11, 25).at(8, 15, 0, 0)
    );
}
