//! What comes from outside the window: another window that has the kitchen, a file changed by something else.

use super::{
    app::App,
    bell::day,
    conflict::CHOICE,
    effect::Effect,
    event::Event,
    keys::Key,
    place::Place,
    saving::save_all,
    screens::open,
    shared::{Banner, first_of},
};
use crate::workflow::kitchen::Followed;

/// Takes the answer to which version counts, while that is asked; `None` when the event is for others.
pub(super) fn answer(app: &mut App, event: &Event) -> Option<Vec<Effect>> {
    app.shared.conflict.as_ref()?;
    match event {
        Event::Key(Key::Char('m')) => mine_counts(app),
        Event::Key(Key::Char('t')) => theirs_counts(app),
        // Leaving has its own question; and time goes on.
        Event::Key(Key::Char('q') | Key::Interrupt)
        | Event::Tick
        | Event::Resize(..)
        | Event::Finished(_)
        | Event::Terminate
        | Event::Suspend
        | Event::Resume => return None,
        Event::Key(_) | Event::Mouse(_) | Event::Paste(_) => {}
    }
    Some(Vec::new())
}

fn mine_counts(app: &mut App) {
    let Some(conflict) = app.shared.conflict.take() else {
        return;
    };
    match app.shared.kitchen.overrule(&conflict.path) {
        Ok(theirs) => {
            if save_all(app) {
                let words = format!("saved; the other version is in {}", theirs.display());
                app.shared.say(words);
            }
        }
        Err(error) => {
            app.shared
                .complain(format!("{error}. {}", conflict.question()));
            app.shared.conflict = Some(conflict);
        }
    }
}

fn theirs_counts(app: &mut App) {
    let Some(conflict) = app.shared.conflict.take() else {
        return;
    };
    let told = match app.shared.kitchen.give_way(&conflict.path) {
        Ok(told) => told,
        Err(error) => {
            app.shared
                .complain(format!("{error}. {}", conflict.question()));
            app.shared.conflict = Some(conflict);
            return;
        }
    };
    app.shared
        .unsaved
        .retain(|save| !save.same_thing(&conflict.save));
    app.screens.clear();
    show_again(app);
    // What else waits is asked in its turn, or tried again.
    save_all(app);
    if app.shared.unsaved.is_empty() {
        let yours = format!("yours is in {}", conflict.mine.display());
        match first_of(&told) {
            Some(first) => app.shared.complain(format!("{first}; {yours}")),
            None => app.shared.say(format!("the other version counts; {yours}")),
        }
    }
}

/// Keeps the choice in sight while it is open, whatever else there is to say.
pub(super) fn keep_asking(app: &mut App) {
    let Some(conflict) = &app.shared.conflict else {
        return;
    };
    let words = match &app.shared.banner {
        Some(Banner::Done(words) | Banner::Wrong(words)) if words.contains(CHOICE) => return,
        Some(Banner::Done(words) | Banner::Wrong(words)) => format!("{words}  {CHOICE}"),
        None => conflict.question(),
    };
    app.shared.complain(words);
}

/// Looks again, in a window that only looks; what the other has changed is shown.
pub(super) fn follow(app: &mut App) {
    let keep = !app.shared.unsaved.is_empty();
    match app.shared.kitchen.follow(keep) {
        Followed::Same => {}
        Followed::Changed(told) => {
            show_again(app);
            if let Some(first) = first_of(&told) {
                app.shared.complain(first);
            }
        }
        Followed::TookOver(_) if keep => {
            save_all(app);
            if app.shared.unsaved.is_empty() {
                follow(app);
            }
        }
        Followed::TookOver(told) => {
            day::take_up(&mut app.shared);
            show_again(app);
            let ended = "the other window has ended: this one saves now";
            match first_of(&told) {
                Some(first) => app.shared.complain(format!("{ended}. {first}")),
                None => app.shared.say(ended),
            }
        }
    }
}

/// Leaves every screen that may hold a copy of an older state.
fn show_again(app: &mut App) {
    let App { screens, shared } = app;
    let stale = screens.iter_mut().position(|s| !s.refreshed(shared));
    if let Some(first) = stale {
        screens.truncate(first);
    }
    if screens.is_empty() {
        screens.extend(open(Place::Home, shared));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::{Reading, Shade, ToastTest},
        tui::{effect::Save, fixture::Fixture, run::step, theme::Theme},
        workflow::kitchen::{Access, Kitchen},
    };
    use std::{fs, io::Write as _};

    /// What a sync tool does: another version of the file takes its place, whatever the lock says.
    fn change_outside(fixture: &Fixture, change: impl FnOnce(&mut ToastTest)) {
        let id = fixture.test().id.to_string();
        let copy = tempfile::TempDir::new().unwrap();
        for part in ["ovens", "tests"] {
            fs::create_dir(copy.path().join(part)).unwrap();
            for entry in fs::read_dir(fixture.folder.path().join(part)).unwrap() {
                let entry = entry.unwrap();
                fs::copy(entry.path(), copy.path().join(part).join(entry.file_name())).unwrap();
            }
        }
        let (mut other, _) = Kitchen::open(copy.path(), Access::Write).unwrap();
        let mut test = other.find_test(&id).unwrap().clone();
        change(&mut test);
        other.save_test(test).unwrap();
        let name = format!("tests/{id}.json");
        fs::copy(copy.path().join(&name), fixture.folder.path().join(&name)).unwrap();
    }

    /// Opens a window on a kitchen that another one has.
    fn second(first: &Fixture) -> App {
        let (kitchen, warnings) = Kitchen::open_or_look(first.folder.path()).unwrap();
        assert!(warnings[0].what.contains("only looks"), "{warnings:?}");
        let now = jiff::civil::date(2026, 11, 25).at(9, 30, 0, 0);
        App::new(kitchen, Theme::default(), now, &warnings)
    }

    fn note(text: &str) -> impl FnOnce(&mut ToastTest) {
        move |test| text.clone_into(&mut test.note)
    }

    fn set_aside(fixture: &Fixture) -> Vec<String> {
        let folder = fixture.folder.path().join("conflicts");
        let entries = fs::read_dir(folder).unwrap();
        entries
            .map(|e| fs::read_to_string(e.unwrap().path()).unwrap())
            .collect()
    }

    #[test]
    fn scores_changed_by_something_else_are_not_overwritten_and_the_screen_asks() {
        for (key, scored, note_left) in [('m', 2, ""), ('t', 1, "theirs")] {
            let mut fixture = Fixture::scoring();
            fixture.keys("3");
            change_outside(&fixture, note("theirs"));
            fixture.keys("4");
            let Some(Banner::Wrong(words)) = &fixture.app.shared.banner else {
                panic!("{:?}", fixture.app.shared.banner)
            };
            assert!(
                words.contains("m: mine") && words.contains("2 scores"),
                "{words}"
            );
            assert_eq!(
                fixture.on_disk().tests()[0].note,
                "theirs",
                "not overwritten"
            );
            let mine = set_aside(&fixture);
            assert_eq!(mine.len(), 1);
            assert!(
                mine[0].contains("\"shade\": 4"),
                "kept on the disk: {mine:?}"
            );
            fixture.keys("7");
            assert_eq!(
                fixture.on_disk().tests()[0].scored(),
                1,
                "no key scores while it asks"
            );
            fixture.keys(&key.to_string());
            assert_eq!(fixture.on_disk().tests()[0].scored(), scored);
            assert_eq!(fixture.on_disk().tests()[0].note, note_left);
            assert_eq!(fixture.test(), &fixture.on_disk().tests()[0]);
            assert_eq!(set_aside(&fixture).len(), 1, "the other version is kept");
            assert!(fixture.app.shared.unsaved.is_empty());
            assert!(matches!(fixture.app.shared.banner, Some(Banner::Done(_))));
        }
    }

    #[test]
    fn another_version_that_cannot_be_read_is_not_said_to_count() {
        let mut fixture = Fixture::scoring();
        fixture.keys("3");
        let id = fixture.test().id.to_string();
        let path = fixture.folder.path().join(format!("tests/{id}.json"));
        let mut file = fs::File::create(&path).unwrap();
        file.write_all(b"{ \"version\": 3, ").unwrap();
        fixture.keys("4");
        assert!(fixture.app.shared.conflict.is_some());
        fixture.keys("t");
        let Some(Banner::Wrong(words)) = &fixture.app.shared.banner else {
            panic!("{:?}", fixture.app.shared.banner)
        };
        assert!(
            words.contains("damaged") && words.contains("yours is in"),
            "{words}"
        );
        assert!(!words.contains("counts"), "{words}");
    }

    #[test]
    fn a_second_window_looks_follows_and_takes_over() {
        let mut first = Fixture::scoring();
        first.keys("3");
        let mut second = second(&first);
        assert!(second.tick().is_some(), "it looks again by itself");
        let scored = |app: &App| app.shared.kitchen.tests()[0].scored();
        first.keys("4");
        assert_eq!(scored(&second), 1);
        step(&mut second, Event::Tick);
        assert_eq!(scored(&second), 2);
        // What is done here meanwhile is not saved, and not lost.
        step(&mut second, Event::Key(Key::Char('s')));
        step(&mut second, Event::Key(Key::Char('9')));
        assert_eq!(second.shared.unsaved.len(), 1);
        assert_eq!(first.on_disk().tests()[0].scored(), 2);
        step(&mut second, Event::Tick);
        assert!(second.shared.kitchen.is_looking());
        let Fixture { app, folder, .. } = first;
        drop(app);
        step(&mut second, Event::Tick);
        assert!(second.shared.kitchen.can_write() && !second.shared.kitchen.is_looking());
        assert!(
            second.shared.unsaved.is_empty(),
            "saved as soon as it could be"
        );
        let reading = Reading::ByEye(Shade::whole(9).unwrap());
        let (kitchen, _) = Kitchen::open(folder.path(), Access::Read).unwrap();
        assert_eq!(kitchen.tests()[0].slices[2].reading, reading);
    }

    #[test]
    fn what_was_done_in_a_window_that_only_looked_never_undoes_what_the_other_did() {
        let mut first = Fixture::scoring();
        first.keys("3");
        let mut second = second(&first);
        step(&mut second, Event::Key(Key::Char('s')));
        step(&mut second, Event::Key(Key::Char('9')));
        first.keys("45");
        let Fixture { app, folder, .. } = first;
        drop(app);
        step(&mut second, Event::Tick);
        assert!(
            second.shared.conflict.is_some(),
            "{:?}",
            second.shared.banner
        );
        let (kitchen, _) = Kitchen::open(folder.path(), Access::Read).unwrap();
        assert_eq!(kitchen.tests()[0].scored(), 3, "all three are there");
    }

    #[test]
    fn what_the_other_window_did_is_known_after_taking_over_with_something_unsaved() {
        let mut first = Fixture::scoring();
        let mut second = second(&first);
        step(&mut second, Event::Key(Key::Char('s')));
        step(&mut second, Event::Key(Key::Char('9')));
        assert_eq!(second.shared.unsaved.len(), 1);
        let mut oven = first.oven().clone();
        "behind the bar".clone_into(&mut oven.note);
        first.app.shared.kitchen.save_oven(oven).unwrap();
        let Fixture { app, folder, .. } = first;
        drop(app);
        step(&mut second, Event::Tick);
        let kitchen = &second.shared.kitchen;
        assert!(kitchen.can_write() && !kitchen.is_looking());
        assert_eq!(kitchen.ovens()[0].note, "behind the bar");
        let (on_disk, _) = Kitchen::open(folder.path(), Access::Read).unwrap();
        assert_eq!(on_disk.tests()[0].scored(), 1);
    }

    #[test]
    fn of_two_conflicts_each_is_asked_and_neither_answer_counts_for_both() {
        for (keys, note, scored) in [("tm", "mine", 2), ("tt", "theirs", 2), ("mt", "theirs", 1)] {
            let mut fixture = Fixture::scoring();
            fixture.keys("3");
            let oven = fixture.oven().clone();
            let path = fixture
                .folder
                .path()
                .join("ovens")
                .join(format!("{}.json", oven.id));
            let text = fs::read_to_string(&path).unwrap();
            change_outside(&fixture, |test| {
                test.slices[1].reading = Reading::ByEye(Shade::whole(5).unwrap());
            });
            let empty = "\"note\": \"\"";
            assert!(text.contains(empty), "{text}");
            let theirs = text.replacen(empty, "\"note\": \"theirs\"", 1);
            let mut file = fs::File::create(&path).unwrap();
            file.write_all(theirs.as_bytes()).unwrap();
            let mut mine = oven;
            "mine".clone_into(&mut mine.note);
            let test = Save::Test(Box::new(ToastTest {
                note: "mine".to_owned(),
                ..fixture.test().clone()
            }));
            for save in [test, Save::Oven(Box::new(mine))] {
                fixture.app.shared.save(save);
            }
            step(&mut fixture.app, Event::Tick);
            fixture.says("yours has 1 score, the other 2");
            for key in keys.chars() {
                assert!(fixture.app.shared.conflict.is_some(), "{keys}");
                fixture.keys(&key.to_string());
            }
            assert!(fixture.app.shared.conflict.is_none(), "{keys}");
            let kitchen = fixture.on_disk();
            assert_eq!(kitchen.ovens()[0].note, note, "{keys}");
            assert_eq!(kitchen.tests()[0].scored(), scored, "{keys}");
        }
    }

    #[test]
    fn what_was_set_aside_comes_back_with_its_scores() {
        let mut fixture = Fixture::scoring();
        fixture.keys("3\x1b\txx");
        assert!(fixture.app.shared.kitchen.tests().is_empty());
        fixture.keys("uu");
        assert_eq!(fixture.reopened().test().scored(), 1);
    }

    #[test]
    fn the_choice_stays_in_sight_when_somebody_wants_to_leave() {
        let mut fixture = Fixture::scoring();
        fixture.keys("3");
        change_outside(&fixture, note("theirs"));
        fixture.keys("4");
        assert!(fixture.keys("q").is_empty(), "asked first");
        fixture.says("NOT ON DISK");
        fixture.says(CHOICE);
        fixture.keys("t");
        assert!(fixture.app.shared.conflict.is_none());
    }
}
