use crate::model::ToastTest;
use crate::tui::prelude::*;
use crate::units::Minutes;
use crate::workflow::catalogue::Occasion;
use crate::{
    model::Reading,
    tui::{
        fixture::Fixture,
        popup::{Content, Popup},
    },
};

fn shades(test: &ToastTest) -> Vec<Option<f64>> {
    test.slices
        .iter()
        .map(|s| match s.reading {
            Reading::ByEye(shade) => Some(shade.value()),
            Reading::Unscored | Reading::Skipped | Reading::Missing | Reading::Measured { .. } => {
                None
            }
        })
        .collect()
}

#[test]
fn every_key_is_on_disk_when_it_returns_and_reopening_resumes_there() {
    let mut fixture = Fixture::scoring();
    fixture.keys("34.s");
    let mut again = fixture.reopened();
    assert_eq!(shades(again.test())[..3], [Some(3.0), Some(4.5), None]);
    assert_eq!(again.test().slices[2].reading, Reading::Skipped);
    assert_eq!(again.test().cursor, 3);
    again.guides("3 of 12");
    again.keys("s7");
    assert_eq!(shades(again.test())[3], Some(7.0));
}

/// The scoring screen may lie under the map that leads to another one of the same test.
#[test]
fn what_was_corrected_from_the_map_is_not_undone_on_the_way_back() {
    let mut fixture = Fixture {
        works: true,
        ..Fixture::scoring()
    };
    fixture.keys("44444\ne9t\x1b\x1b");
    fixture.guides("slice 7 of 12");
    fixture.keys("3");
    let kept = fixture.on_disk();
    let test = kept.test(&fixture.test().id).unwrap();
    assert_eq!(shades(test)[4..7], [Some(4.0), Some(9.0), Some(3.0)]);
    assert!(test.minutes.is_some());
}

#[test]
fn undo_and_redo_walk_the_scores_and_say_when_there_is_nothing() {
    let mut fixture = Fixture::scoring();
    fixture.keys("35u");
    assert_eq!(shades(fixture.test())[..2], [Some(3.0), None]);
    assert_eq!(fixture.test().cursor, 1);
    fixture.keys("r");
    assert_eq!(shades(fixture.test())[..2], [Some(3.0), Some(5.0)]);
    fixture.keys("r");
    assert!(fixture.app.shared.banner.is_some());
}

#[test]
fn arrows_and_the_mouse_jump_and_the_cursor_is_kept() {
    let mut fixture = Fixture::scoring();
    fixture.keys("→↓");
    let cursor = fixture.test().cursor;
    assert!(cursor > 1, "one column right, one row nearer the door");
    fixture.keys("6");
    assert_eq!(shades(fixture.test())[cursor], Some(6.0));
}

#[test]
fn the_map_is_asked_for_when_scores_change_and_not_when_the_cursor_moves() {
    let mut fixture = Fixture::scoring();
    assert!(fixture.keys("34").is_empty());
    assert!(matches!(fixture.keys("5")[..], [Effect::Work(_)]));
    assert!(matches!(fixture.keys("6")[..], [Effect::Work(_)]));
    assert!(fixture.keys("←").is_empty());
    assert!(matches!(fixture.keys("xx")[..], [Effect::Work(_)]));
}

#[test]
fn all_scored_leads_on_to_the_map() {
    let mut fixture = Fixture::scoring();
    let count = fixture.test().slices.len();
    fixture.keys(&"4".repeat(count));
    assert!(fixture.test().is_complete());
    fixture.guides("Enter: read the map");
    fixture.keys("\n");
    assert!(fixture.app.shows::<crate::tui::screens::map::MapScreen>());
}

#[test]
fn going_on_to_another_rack_is_said_and_every_rack_is_named_above() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("t15\n\ns");
    let count = fixture.test().slices.len() / 3;
    let said = |fixture: &Fixture| format!("{:?}", fixture.app.shared.banner);
    fixture.keys(&"4".repeat(count - 1));
    assert!(!said(&fixture).contains("now"), "{}", said(&fixture));
    fixture.keys("4");
    assert!(said(&fixture).contains("rack 3 now"), "{}", said(&fixture));
    fixture.keys("4");
    assert!(said(&fixture).contains("rack 3 now"), "{}", said(&fixture));
    for (width, words) in [(60, " rack 5: 0 of 12 "), (51, " 5: 0/12 ")] {
        let tabs = super::view::tab_areas(fixture.test(), Rect::new(0, 0, width, 1));
        let racks: Vec<u8> = tabs.iter().map(|t| t.0).collect();
        assert_eq!((racks, tabs[2].2.as_str()), (vec![1, 3, 5], words));
    }
}

#[test]
fn minutes_in_the_oven_are_noted_and_kept() {
    let mut fixture = Fixture::scoring();
    assert_eq!(fixture.test().minutes, None);
    fixture.keys("tt");
    assert_eq!(fixture.test().minutes, Some(Minutes(11.0)));
    fixture.keys("T");
    let again = fixture.reopened();
    assert_eq!(again.test().minutes, Some(Minutes(10.0)));
}

#[test]
fn the_cautions_come_before_the_first_score() {
    let mut fixture = Fixture::with_oven();
    fixture.keys("t\n");
    let cautions = Popup::of(Content::Cautions(Occasion::ToastTest));
    assert_eq!(fixture.app.shared.popup, Some(cautions));
    fixture.keys("5");
    assert_eq!(shades(fixture.test())[0], None, "a window takes the keys");
}
