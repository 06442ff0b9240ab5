//! From the data folder to the first frame, with 500 stored toast tests; and one frame of a screen.

#![expect(clippy::unwrap_used, reason = "a bench on a broken set-up may stop")]

use divan::Bencher;
use jiff::civil::date;
use rackshade::{
    model::{Oven, ToastTest},
    tui::{
        app::App,
        event::Event,
        keys::Key,
        step,
        theme::{Depth, Theme},
        view::view,
    },
    workflow::{
        catalogue::oven_templates,
        kitchen::{Access, Kitchen},
    },
};
use ratatui::{Terminal, backend::TestBackend};
use tempfile::TempDir;

/// Stored tests, as the start-up goal names them.
const TESTS: usize = 500;

fn main() {
    divan::main();
}

/// Makes a kitchen with many scored tests of one oven, by the same steps a baker takes.
fn kitchen() -> TempDir {
    let folder = TempDir::new().unwrap();
    let mut app = app(&folder);
    for key in [
        Key::Char('n'),
        Key::Enter,
        Key::Function(2),
        Key::Enter,
        Key::Enter,
    ] {
        step(&mut app, Event::Key(key));
    }
    for digit in "345434543454".chars() {
        step(&mut app, Event::Key(Key::Char(digit)));
    }
    drop(app);
    let (mut kitchen, _) = Kitchen::open(folder.path(), Access::Write).unwrap();
    let first: ToastTest = kitchen.tests()[0].clone();
    let oven: Oven = oven_templates()[1].oven.clone();
    kitchen.save_oven(oven).unwrap();
    for _ in 1..TESTS {
        let mut test = first.clone();
        test.id = kitchen.fresh_test_id(&test.setup.oven, date(2026, 11, 25));
        kitchen.save_test(test).unwrap();
    }
    folder
}

fn app(folder: &TempDir) -> App {
    let (kitchen, warnings) = Kitchen::open(folder.path(), Access::Write).unwrap();
    let now = date(2026, 11, 25).at(9, 30, 0, 0);
    App::new(kitchen, Theme::new(Depth::TrueColour), now, &warnings)
}

#[divan::bench]
fn first_frame_over_500_tests(bencher: Bencher) {
    let folder = kitchen();
    bencher.bench_local(|| {
        let app = app(&folder);
        assert_eq!(app.shared().kitchen.tests().len(), TESTS);
        let mut terminal = Terminal::new(TestBackend::new(80, 24)).unwrap();
        terminal.draw(|frame| view(&app, frame)).unwrap();
        terminal
    });
}

#[divan::bench(args = [Key::Left, Key::Char('s')])]
fn one_frame_200x60(bencher: Bencher, key: Key) {
    let folder = kitchen();
    let mut app = app(&folder);
    app.set_size(200, 60);
    step(&mut app, Event::Key(key));
    let mut terminal = Terminal::new(TestBackend::new(200, 60)).unwrap();
    bencher.bench_local(|| {
        terminal.draw(|frame| view(&app, frame)).unwrap();
    });
}
