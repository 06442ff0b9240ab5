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
        terminal
            .draw(|frame| crate::tui::view::view(&app, frame))
            .unwrap();
        insta::assert_snapshot!(format!("where_{columns}x{rows}"), terminal.backend());
        press(&mut app, Key::Down);
        press(&mut app, Key::Enter);
        assert!(app.shows::<crate::tui::screens::plan::PlanScreen>());
    }
}
