use super::bench::Bench;
use crate::tui::keys::Key;
use crate::{
    model::{CHECK_NOTE, Reading},
    tui::fixture::Fixture,
    units::{Centimetres, Minutes},
};

fn fixture() -> Fixture {
    let mut fixture = Fixture::with_oven();
    fixture.keys("t");
    fixture
}

#[test]
fn number_keys_load_rack_positions_and_the_test_keeps_them() {
    let mut fixture = fixture();
    let one = Fixture::scoring().test().slices.len();
    fixture.keys("15\n");
    assert_eq!(fixture.test().setup.racks, [1, 3, 5]);
    assert_eq!(fixture.test().slices.len(), 3 * one);
    let racks: Vec<u8> = fixture.test().slices.iter().map(|s| s.rack).collect();
    assert!(racks.is_sorted(), "reading order: from the bottom up");
}

#[test]
fn a_quick_check_is_no_lay_out_to_begin_from() {
    let mut fixture = fixture();
    fixture.keys("15\n");
    let full = fixture.test().clone();
    let oven = fixture.oven().clone();
    let shared = &mut fixture.app.shared;
    let mut check = full.clone();
    check.id = shared.kitchen.fresh_test_id(&oven.id, full.when.date());
    check.slices.truncate(4);
    CHECK_NOTE.clone_into(&mut check.note);
    shared.kitchen.save_test(check).unwrap();
    assert_eq!(shared.kitchen.tests().len(), 2);
    let mut bench = Bench::new(oven, shared);
    assert_eq!(bench.slices().len(), full.slices.len());
    bench.other_lay_out(shared).unwrap();
    let said = bench.other_lay_out(shared).unwrap();
    assert_eq!(said, "as in the last test of this oven");
    assert_eq!(bench.slices().len(), full.slices.len());
}

#[test]
fn a_rack_position_the_oven_has_not_is_refused_with_its_number() {
    let mut fixture = fixture();
    fixture.keys("9");
    fixture.says("no rack position 9");
}

#[test]
fn digits_typed_on_the_dial_empty_no_rack() {
    let mut fixture = fixture();
    fixture.keys("↓↓350");
    let banner = format!("{:?}", fixture.app.shared.banner);
    assert!(
        banner.contains("left and right change the dial"),
        "{banner}"
    );
    fixture.keys("↑5\n");
    assert_eq!(fixture.test().setup.racks, [3, 5]);
}

#[test]
fn how_to_pull_the_slices_is_in_sight_however_much_there_is_to_say() {
    use ratatui::{Terminal, backend::TestBackend};
    let mut fixture = fixture();
    for key in ["", "1", "5", "6", "2"] {
        fixture.keys(key);
        let mut terminal = Terminal::new(TestBackend::new(80, 24)).unwrap();
        let drawn = terminal.draw(|frame| crate::tui::view::view(&fixture.app, frame));
        let text = crate::tui::widgets::synthetic::plain(drawn.unwrap().buffer);
        let words = text.lines().map(|l| l.chars().take(35).collect::<String>());
        let words = words.collect::<Vec<_>>().join(" ");
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        let whole = words.contains("stay with the oven throughout.");
        let short = words.contains("Stay with the oven.") && words.contains("i: all of it");
        assert!(whole || short, "{key}: {text}");
        let why = fixture.app.screen().unwrap().why(&fixture.app.shared);
        let why = why
            .iter()
            .map(|s| s.words.as_str())
            .collect::<Vec<_>>()
            .join(" ");
        assert!(why.contains("keep two slices untoasted"), "{why}");
    }
}

#[test]
fn emptying_every_rack_position_cannot_start_a_test() {
    let mut fixture = fixture();
    fixture.keys("3");
    fixture.guides("rack position");
    fixture.press(Key::Enter);
    assert!(fixture.app.shared.kitchen.tests().is_empty());
}

#[test]
fn a_slice_can_be_missing_nudged_and_extra() {
    let mut fixture = fixture();
    fixture.keys("\tx ");
    for key in [Key::Right, Key::Right, Key::Up] {
        fixture.press(key);
    }
    let plain = Fixture::scoring();
    fixture.keys("\n\n");
    let (plain, changed) = (plain.test(), fixture.test());
    assert_eq!(changed.slices[0].reading, Reading::Missing);
    assert_eq!(changed.cursor, 1, "a missing slice is not asked for");
    let (before, after) = (plain.slices[1].place, changed.slices[1].place);
    assert!((after.x.0 - before.x.0 - 2.0).abs() < 1e-9);
    assert!((after.y.0 - before.y.0 - 1.0).abs() < 1e-9);
    assert_eq!(plain.slices[2], changed.slices[2]);
}

#[test]
fn slices_on_each_other_are_named_and_stop_the_start() {
    let mut fixture = fixture();
    fixture.keys("a\n");
    fixture.says("lie on each other");
    assert!(fixture.app.shared.kitchen.tests().is_empty());
    fixture.keys("u\n");
    assert_eq!(fixture.app.shared.kitchen.tests().len(), 1);
}

#[test]
fn a_nudged_slice_stops_at_the_wall() {
    let mut fixture = fixture();
    fixture.press(Key::Tab);
    fixture.keys(&"←↑".repeat(100));
    fixture.press(Key::Enter);
    let slice = fixture.test().slices[0];
    let depth = fixture.oven().cavity.depth.0;
    assert_eq!(slice.place.x, Centimetres(5.0));
    assert!((slice.place.y.0 - (depth - 5.0)).abs() < 1e-9);
}

#[test]
fn dial_mode_and_minutes_go_into_the_test() {
    let mut fixture = fixture();
    fixture.keys("↓→↓→↓↓↓↓↓→→\n");
    let (oven, test) = (fixture.oven(), fixture.test());
    assert_eq!(test.setup.mode, oven.modes[1]);
    let figure = oven.dial.unit.figure(test.setup.dial);
    assert!((figure / oven.dial.step).fract().abs() < 1e-9, "{figure}");
    assert!(test.minutes.is_some_and(|m| m > Minutes(1.0)));
}

#[test]
fn advice_for_another_loading_that_comes_late_is_not_taken() {
    let mut fixture = Fixture::scoring();
    while fixture.test().next_unscored(0).is_some() {
        fixture.keys("4");
    }
    fixture.press(Key::Escape);
    while !fixture.app.shows::<crate::tui::screens::home::Home>() {
        fixture.press(Key::Escape);
    }
    fixture.keys("t");
    assert!(fixture.app.shows::<super::LayoutScreen>());
    let asked = fixture.keys("b");
    let loaded = fixture.keys("1");
    assert!(!asked.is_empty());
    fixture.works = true;
    fixture.work(asked);
    fixture.work(loaded);
    fixture.press(Key::Enter);
    let test = fixture.test();
    let racks: std::collections::BTreeSet<u8> = test.slices.iter().map(|s| s.rack).collect();
    assert_eq!(racks.into_iter().collect::<Vec<_>>(), test.setup.racks);
}
