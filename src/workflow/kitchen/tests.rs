use super::*;
use crate::model::{Reading, Shade};
use jiff::civil::date;

fn demo() -> Kitchen {
    let (kitchen, warnings) = Kitchen::throwaway_copy().unwrap();
    assert!(warnings.is_empty(), "{warnings:?}");
    kitchen
}

fn ids(tests: &[&ToastTest]) -> Vec<String> {
    tests.iter().map(|t| t.id.to_string()).collect()
}

#[test]
fn the_demo_kitchen_has_what_its_readme_says() {
    let kitchen = demo();
    assert_eq!(
        (
            kitchen.ovens().len(),
            kitchen.tests().len(),
            kitchen.bakes().len()
        ),
        (2, 8, 1)
    );
    assert!(
        kitchen
            .tests()
            .windows(2)
            .all(|pair| pair[0].when <= pair[1].when)
    );
    let wall = kitchen.find_oven("Wall Oven").unwrap();
    let visit = wall.visits[0].when.date();
    let days: Vec<_> = kitchen
        .tests_of(&wall.id)
        .iter()
        .map(|t| t.when.date())
        .collect();
    assert!(
        days[0] < visit && visit < days[days.len() - 1],
        "a visit between two tests"
    );
    let open: Vec<_> = kitchen
        .tests()
        .iter()
        .filter(|t| !t.is_complete())
        .collect();
    assert_eq!(open.len(), 1);
    assert_eq!(open[0].cursor, 7);
}

#[test]
fn the_throwaway_copy_goes_when_the_kitchen_goes() {
    let kitchen = demo();
    let folder = kitchen.folder().to_owned();
    assert!(folder.join("ovens/wall-oven.json").exists());
    drop(kitchen);
    assert!(!folder.exists());
}

#[test]
fn a_saved_score_is_in_memory_and_on_the_disk() {
    let mut kitchen = demo();
    let mut test = kitchen
        .find_test("2026-04-12-counter-oven")
        .unwrap()
        .clone();
    test.slices[7].reading = Reading::ByEye(Shade::whole(3).unwrap());
    kitchen.save_test(test.clone()).unwrap();
    assert_eq!(kitchen.test(&test.id), Some(&test));
    let (again, _) = Kitchen::open(kitchen.folder(), Access::Read).unwrap();
    assert_eq!(again.test(&test.id), Some(&test));
    assert_eq!(again.tests(), kitchen.tests());
}

#[test]
fn a_test_with_a_new_date_takes_its_place_once() {
    let mut kitchen = demo();
    let mut test = kitchen.tests()[7].clone();
    test.when = date(2026, 1, 1).at(8, 0, 0, 0);
    kitchen.save_test(test.clone()).unwrap();
    assert_eq!(kitchen.tests().len(), 8);
    assert_eq!(kitchen.tests()[0], test);
}

#[test]
fn memory_keeps_what_the_disk_refuses() {
    let source = demo();
    let (mut kitchen, _) = Kitchen::open(source.folder(), Access::Read).unwrap();
    let mut test = kitchen.tests()[7].clone();
    test.note = "changed".to_owned();
    let error = kitchen.save_test(test.clone()).unwrap_err();
    assert!(matches!(
        error,
        KitchenError::Store(StoreError::ReadOnly { .. })
    ));
    assert_eq!(kitchen.test(&test.id), Some(&test));
    assert!(!kitchen.can_write());
}

#[test]
fn a_wrong_oven_is_not_taken() {
    let mut kitchen = demo();
    let mut oven = kitchen.ovens()[0].clone();
    oven.racks.clear();
    assert!(matches!(
        kitchen.save_oven(oven),
        Err(KitchenError::Oven(_))
    ));
    assert_eq!(kitchen.ovens()[0].racks.len(), 3);
}

#[test]
fn removing_an_oven_takes_its_tests_along_and_leaves_the_other() {
    let mut kitchen = demo();
    let wall = OvenId::new("wall-oven").unwrap();
    kitchen.remove_oven(&wall).unwrap();
    assert_eq!(
        (
            kitchen.ovens().len(),
            kitchen.tests().len(),
            kitchen.bakes().len()
        ),
        (1, 3, 0)
    );
    let removed = kitchen.folder().join("removed");
    assert!(removed.join("wall-oven.json").exists());
    assert!(removed.join("2026-03-07-wall-oven.json").exists());
    assert!(kitchen.remove_oven(&wall).is_err());
    let test = kitchen.tests()[0].id.clone();
    kitchen.remove_test(&test).unwrap();
    assert!(kitchen.remove_test(&test).is_err());
    let (again, warnings) = Kitchen::open(kitchen.folder(), Access::Read).unwrap();
    assert_eq!((again.tests().len(), warnings.len()), (2, 0));
}

#[test]
fn fresh_ids_are_free_and_readable() {
    let kitchen = demo();
    assert_eq!(kitchen.fresh_oven_id("Wall oven").as_str(), "wall-oven-2");
    assert_eq!(
        kitchen.fresh_oven_id("Grandma's range").as_str(),
        "grandma-s-range"
    );
    let counter = OvenId::new("counter-oven").unwrap();
    let id = kitchen.fresh_test_id(&counter, date(2026, 3, 15));
    assert_eq!(id.as_str(), "2026-03-15-counter-oven-3");
    let long = OvenId::new(&"long-".repeat(12)).unwrap();
    let id = kitchen.fresh_bake_id(&long, date(2026, 3, 15));
    assert!(id.as_str().starts_with("2026-03-15-long-long") && BakeId::new(id.as_str()).is_ok());
}

#[test]
fn what_is_not_there_is_answered_with_what_is() {
    let kitchen = demo();
    let said = kitchen.find_oven("walloven").unwrap_err().to_string();
    assert!(
        said.contains("'walloven'") && said.contains("counter-oven, wall-oven"),
        "{said}"
    );
    let said = kitchen.find_test("x").unwrap_err().to_string();
    assert!(said.contains("2026-04-12-counter-oven"), "{said}");
    assert_eq!(
        ids(&kitchen.tests_of(&OvenId::new("none").unwrap())),
        Vec::<String>::new()
    );
}

#[test]
fn a_name_is_one_line_of_eighty_letters_at_most() {
    let mut kitchen = demo();
    let mut oven = kitchen.ovens()[0].clone();
    for wrong in ["x".repeat(81), "a\nb".to_owned(), "a\u{1b}[2J".to_owned()] {
        oven.name = wrong;
        let said = kitchen.save_oven(oven.clone()).unwrap_err();
        assert!(matches!(said, KitchenError::Name(_)), "{said}");
        assert_ne!(kitchen.ovens()[0].name, oven.name);
    }
    oven.name = "é".repeat(80);
    kitchen.save_oven(oven).unwrap();
}

/// What belonged to a removed oven or thermometer is not of the next one that is named so.
#[test]
fn a_fresh_id_is_none_that_was_removed_or_that_something_names() {
    let mut kitchen = demo();
    let wall = OvenId::new("wall-oven").unwrap();
    kitchen.remove_oven(&wall).unwrap();
    let fresh = |kitchen: &Kitchen| kitchen.fresh_oven_id("Wall oven").to_string();
    assert_eq!(fresh(&kitchen), "wall-oven-2");
    let set_aside = kitchen.folder().join("removed/wall-oven.json");
    std::fs::remove_file(set_aside).unwrap();
    assert_eq!(fresh(&kitchen), "wall-oven");
    kitchen.restore_test("2026-04-11-wall-oven").unwrap();
    assert_eq!(fresh(&kitchen), "wall-oven-2");
}

#[test]
fn nothing_takes_a_new_name_that_finds_another_of_its_kind() {
    let mut kitchen = demo();
    let known = kitchen.thermometers()[0].clone();
    let mut other = known.clone();
    other.id = crate::model::ThermometerId::new("other").unwrap();
    for name in [known.id.to_string(), known.name.to_uppercase()] {
        other.name = name;
        let refused = kitchen.save_thermometer(other.clone());
        assert!(matches!(refused, Err(KitchenError::NameTaken { .. })));
        assert!(kitchen.thermometer(&other.id).is_none());
    }
    other.name = "other".to_owned();
    kitchen.save_thermometer(other).unwrap();
    kitchen.save_thermometer(known).unwrap();
}

/// A write while a second window reads is seen by its next look.
#[test]
fn a_second_window_sees_what_was_written_while_it_opened() {
    let mut kitchen = demo();
    let folder = kitchen.folder().to_owned();
    let oven = kitchen.ovens()[0].clone();
    for (round, micros) in (0..40).zip((0..).step_by(200)) {
        let mut window = thread::scope(|scope| {
            let window = scope.spawn(|| Kitchen::open_or_look(&folder).unwrap().0);
            thread::sleep(Duration::from_micros(micros));
            let mut oven = oven.clone();
            oven.note = "x".repeat(round + 1);
            kitchen.save_oven(oven).unwrap();
            window.join().unwrap()
        });
        window.follow(false);
        assert_eq!(window.ovens()[0].note.len(), round + 1, "round {round}");
    }
}
