use crate::tui::prelude::*;
use crate::{
    tui::{app::App, event::Event, run::step, theme::Depth, worker::work},
    workflow::kitchen::Kitchen,
};
use jiff::civil::date;
use ratatui::{Terminal, backend::TestBackend};

/// Presses keys and lets the worker's jobs be done at once.
fn press(app: &mut App, key: Key) {
    let mut events = vec![Event::Key(key)];
    while let Some(event) = events.pop() {
        for effect in step(app, event) {
            if let Effect::Work(job) = effect {
                events.push(Event::Finished(work(job)));
            }
        }
    }
}

#[test]
fn every_way_on_record_is_ranked_and_one_can_be_taken() {
    for (columns, rows) in [(80, 24), (120, 40)] {
        let (kitchen, warnings) = Kitchen::throwaway_copy().unwrap();
        let now = date(2026, 5, 1).at(9, 0, 0, 0);
        let mut app = App::new(kitchen, Theme::new(Depth::NoColour), now, &warnings);
        app.set_size(columns, rows);
        press(&mut app, Key::Char('p'));
        press(&mut app, Key::Char('w'));
        assert!(app.shows::<crate::tui::screens::choice::ChoiceScreen>());
        let mut terminal = Terminal::new(TestBackend::new(columns, rows)).unwrap();
        insta::assert_snapshot!(
            format!("where_{columns}x{rows}"),
            drawn(&app, &mut terminal)
        );
        press(&mut app, Key::Down);
        let listed = drawn(&app, &mut terminal);
        press(&mut app, Key::Enter);
        assert!(app.shows::<crate::tui::screens::plan::PlanScreen>());
        // What is planned is the way under the cursor: its rack position, and no other.
        let way = listed
            .lines()
            .find(|l| l.contains('\u{25b8}') && l.contains("shades"));
        let rack = way.and_then(|l| l.split("shades").next()?.split_whitespace().nth_back(1));
        let planned = drawn(&app, &mut terminal);
        for words in [
            format!("only {}", rack.unwrap()),
            format!("ack {}.", rack.unwrap()),
        ] {
            assert!(planned.contains(&words), "{words}\n{listed}\n{planned}");
        }
    }
}

fn drawn(app: &App, terminal: &mut Terminal<TestBackend>) -> String {
    terminal
        .draw(|frame| crate::tui::view::view(app, frame))
        .unwrap();
    terminal.backend().to_string()
}
