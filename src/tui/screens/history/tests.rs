use super::*;
use crate::model::Mode;
use crate::tui::prelude::*;
use crate::tui::{event::Event, fixture::Fixture, run::step, worker::work};

/// Presses keys and does the worker's work of the last.
fn worked(fixture: &mut Fixture, keys: &str) {
    for effect in fixture.keys(keys) {
        if let Effect::Work(job) = effect {
            step(&mut fixture.app, Event::Finished(work(job)));
        }
    }
}

/// On the history of the fixture's oven, the worker's answer there.
fn opened() -> Fixture {
    let mut fixture = Fixture::with_oven();
    worked(&mut fixture, "rh");
    assert!(fixture.app.shows::<HistoryScreen>());
    fixture
}

#[test]
fn an_oven_without_a_past_says_so_and_every_key_is_safe() {
    let mut fixture = opened();
    fixture.guides("next chart");
    let life = fixture.app.shared.history.clone().unwrap();
    assert!(life.moments.is_empty() && life.again.due);
    fixture.keys("vvvm");
    for key in [Key::Up, Key::Down, Key::Tab] {
        fixture.press(key);
    }
    fixture.press(Key::Escape);
    assert!(fixture.app.shows::<crate::tui::screens::record::Record>());
}

#[test]
fn the_papers_are_written_into_the_data_folder_and_named() {
    let mut fixture = opened();
    worked(&mut fixture, "w");
    let said = format!("{:?}", fixture.app.shared.banner);
    assert!(
        said.contains("-card.pdf") && said.contains("-sheet.pdf"),
        "{said}"
    );
    let papers = fixture.folder.path().join("papers");
    let count = std::fs::read_dir(papers).unwrap().count();
    assert_eq!(count, 2);
}

#[test]
fn the_papers_are_about_the_mode_of_the_charts() {
    let mut fixture = opened();
    let mut screen = HistoryScreen::new(fixture.oven().id.clone());
    let shared = &mut fixture.app.shared;
    screen.entered(shared);
    for effect in shared.take_effects() {
        if let Effect::Work(job) = effect {
            screen.answered(&work(job), shared);
        }
    }
    for mode in [Mode::StillAir, Mode::Fan] {
        screen.mode = Some(mode);
        screen.act(Act::Paper, &mut fixture.app.shared);
        let effects = fixture.app.shared.take_effects();
        assert!(matches!(effects[..], [Effect::Work(_)]), "{effects:?}");
        let said = format!("{:?}", fixture.app.shared.banner);
        assert!(said.contains(mode.words()), "{said}");
    }
}
