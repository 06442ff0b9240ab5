//! What an oven's record costs: papers, history and comparing, over a few stored toast tests and over many.

#![expect(clippy::unwrap_used, reason = "a bench on a broken set-up may stop")]

use divan::Bencher;
use jiff::{ToSpan, civil::date};
use long_sittings::long_sittings;
use rackshade::{
    model::Mode,
    tui::{
        app::App,
        effect::Effect,
        event::Event,
        keys::Key,
        step,
        theme::{Depth, Theme},
        view::view,
        worker::work,
    },
    workflow::{
        history::{Desk, Mapped, history},
        kitchen::{Kitchen, Records},
        paper::{
            Document, NoPaper, PageSize, PaperFormat, PaperRequest, card, fonts, sheet, write,
        },
        readings::summary,
    },
};
use ratatui::{Terminal, backend::TestBackend};

mod long_sittings;

/// Toast tests of the wall oven in still air since its service visit: the demo's own, and many.
const SINCE_THE_VISIT: [usize; 2] = [3, 100];
/// Stored tests behind a comparison.
const STORED: usize = 500;

fn main() {
    divan::main();
}

/// The demo kitchen, repeats added until the wall oven has so many tests since its visit.
fn kitchen(tests: usize) -> Kitchen {
    let (mut kitchen, _) = Kitchen::throwaway_copy().unwrap();
    let first = kitchen.find_test("2026-04-10-wall-oven").unwrap().clone();
    for i in 3..tests {
        let mut test = first.clone();
        test.when += (i64::try_from(i).unwrap() * 6).hours();
        test.id = kitchen.fresh_test_id(&test.setup.oven, test.when.date());
        kitchen.save_test(test).unwrap();
    }
    kitchen
}

type Maker = fn(&Records, &rackshade::model::Oven, &PaperRequest) -> Result<Document, NoPaper>;

/// From the open kitchen to the bytes of a PDF.
fn print(bencher: Bencher, tests: usize, maker: Maker) {
    let kitchen = kitchen(tests);
    let oven = kitchen.find_oven("wall-oven").unwrap();
    let request = PaperRequest {
        mode: None,
        visit: None,
        today: date(2026, 11, 25),
    };
    bencher.bench_local(|| {
        let document = maker(&kitchen, oven, &request).unwrap();
        write(&document, PaperFormat::Pdf, PageSize::A4, &fonts().unwrap()).unwrap()
    });
}

#[divan::bench(args = SINCE_THE_VISIT, max_time = 10)]
fn card_as_pdf(bencher: Bencher, tests: usize) {
    print(bencher, tests, card);
}

#[divan::bench(args = SINCE_THE_VISIT, max_time = 10)]
fn sheet_as_pdf(bencher: Bencher, tests: usize) {
    print(bencher, tests, sheet);
}

#[divan::bench(args = SINCE_THE_VISIT, max_time = 10)]
fn whole_history(bencher: Bencher, tests: usize) {
    let kitchen = kitchen(tests);
    let oven = kitchen.find_oven("wall-oven").unwrap();
    let nothing = Mapped::default();
    let desk = Desk {
        folder: None,
        known: &nothing,
        progress: &|_, _| {},
    };
    bencher.bench_local(|| history(&kitchen, oven, date(2026, 11, 25), &desk));
}

#[divan::bench(max_time = 10)]
fn readings_of_six_long_sittings(bencher: Bencher) {
    let kitchen = long_sittings();
    let oven = kitchen.find_oven("wall-oven").unwrap();
    bencher.bench_local(|| summary(&kitchen, oven, Mode::StillAir));
}

/// Presses a key, does the worker's work at once, and draws.
fn press(app: &mut App, key: Key, terminal: &mut Terminal<TestBackend>) {
    let mut events = vec![Event::Key(key)];
    while let Some(event) = events.pop() {
        for effect in step(app, event) {
            if let Effect::Work(job) = effect {
                events.push(Event::Finished(work(job)));
            }
        }
    }
    terminal.draw(|frame| view(app, frame)).unwrap();
}

/// Over many stored tests: the record of the wall oven with the two newest tests marked.
fn marked() -> (App, Terminal<TestBackend>) {
    let now = date(2026, 11, 25).at(9, 30, 0, 0);
    let mut app = App::new(kitchen(STORED), Theme::new(Depth::TrueColour), now, &[]);
    app.set_size(200, 60);
    let mut terminal = Terminal::new(TestBackend::new(200, 60)).unwrap();
    for _ in 0..4 {
        press(&mut app, Key::Char('r'), &mut terminal);
        let shown = format!("{}", terminal.backend());
        if shown.contains("record of wall oven") {
            break;
        }
        press(&mut app, Key::Escape, &mut terminal);
        press(&mut app, Key::Down, &mut terminal);
    }
    for key in [Key::Char(' '), Key::Down, Key::Char(' ')] {
        press(&mut app, key, &mut terminal);
    }
    (app, terminal)
}

#[divan::bench]
fn comparing_over_500_tests_until_it_is_drawn(bencher: Bencher) {
    let (mut app, mut terminal) = marked();
    bencher.bench_local(|| {
        press(&mut app, Key::Char('c'), &mut terminal);
        press(&mut app, Key::Escape, &mut terminal);
    });
}

#[divan::bench]
fn moving_the_cursor_over_a_comparison(bencher: Bencher) {
    let (mut app, mut terminal) = marked();
    press(&mut app, Key::Char('c'), &mut terminal);
    assert!(format!("{}", terminal.backend()).contains("after"));
    let mut keys = [Key::Left, Key::Up, Key::Right, Key::Down]
        .into_iter()
        .cycle();
    bencher.bench_local(|| press(&mut app, keys.next().unwrap(), &mut terminal));
}
