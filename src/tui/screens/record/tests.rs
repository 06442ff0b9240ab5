use crate::tui::fixture::Fixture;
use jiff::civil::date;

#[test]
fn a_visit_is_kept_on_disk_with_its_day() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("rvnew thermostat, by the fitter\t2026-11-20\n");
    let again = fixture.reopened();
    let visits = &again.oven().visits;
    assert_eq!(visits.len(), 1);
    assert_eq!(visits[0].what, "new thermostat, by the fitter");
    assert_eq!(visits[0].when.date(), date(2026, 11, 20));
}

#[test]
fn a_wrong_day_or_no_words_keep_the_window_open() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("rv\n");
    fixture.says("what was done");
    fixture.keys("seal\t20.11.2026\n");
    fixture.says("20.11.2026");
    // Of another clock: its offset would be lost.
    fixture.keys(&"\x08".repeat(10));
    fixture.keys("2026-11-20T08:00+14:00\n");
    fixture.says("names an offset or a zone");
    assert!(fixture.oven().visits.is_empty());
    fixture.keys("\x1b");
    assert!(fixture.app.shows::<crate::tui::screens::record::Record>());
    fixture.keys("\x1b");
    assert!(fixture.app.shows::<crate::tui::screens::home::Home>());
}

#[test]
fn a_load_of_the_day_that_runs_has_no_second_clock() {
    let mut fixture = Fixture::working();
    fixture.keys("pl\n \x1b\x1b\x1b\x1br\n");
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
    fixture.keys("rvseal\n\n\x08ed\n");
    assert_eq!(fixture.oven().visits.len(), 1);
    assert_eq!(fixture.oven().visits[0].what, "seaed");
}

#[test]
fn a_visit_still_to_come_is_refused() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("rvseal\t");
    fixture.keys(&"\x08".repeat(20));
    fixture.keys("2026-11-26\n");
    fixture.says("2026-11-26 is still to come");
    assert!(fixture.oven().visits.is_empty());
}

#[test]
fn a_visit_is_noted_with_its_time_so_that_a_test_that_day_falls_before_or_after() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("rvseal\n");
    assert_eq!(
        fixture.oven().visits[0].when,
        date(2026, 11, 25).at(9, 30, 0, 0)
    );
    fixture.keys("\n\t");
    fixture.keys(&"\x08".repeat(20));
    fixture.keys("2026-11-25 08:15\n");
    assert_eq!(
        fixture.oven().visits[0].when,
        date(2026, 11, 25).at(8, 15, 0, 0)
    );
}
