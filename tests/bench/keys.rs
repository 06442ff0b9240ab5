//! How long the thread that draws takes for a key, whatever the screen, where the record is as large as it may
//! be: six sittings of 25,000 readings. Keys are struck at random; the slowest are printed, and one over the
//! limit ends the run with a failure. What workers do is theirs and not timed.

#![expect(clippy::unwrap_used, reason = "a bench on a broken set-up may stop")]
#![expect(
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a bench prints its table and takes the time"
)]

use jiff::civil::date;
use long_sittings::long_sittings;
use rackshade::tui::{
    app::App,
    effect::Effect,
    event::Event,
    keys::Key,
    step,
    theme::{Depth, Theme},
    view::view,
    worker::work,
};
use rand_pcg::Pcg64;
use rand_pcg::rand_core::{Rng, SeedableRng};
use ratatui::{Terminal, backend::TestBackend};
use std::{
    collections::BTreeMap,
    process::ExitCode,
    sync::OnceLock,
    time::{Duration, Instant},
};

mod long_sittings;

/// A key answers within this.
const LIMIT: Duration = Duration::from_millis(50);
const STROKES: usize = 10_400;
/// After so many keys the kitchen is a fresh one: begun bakes would hold the walk.
const FRESH: usize = 200;

/// How long this thread has had a processor, which other programs on the machine do not lengthen (Linux;
/// elsewhere the time of day).
fn at_work() -> Duration {
    static BEGUN: OnceLock<Instant> = OnceLock::new();
    let spent = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanos = spent.and_then(|s| s.split(' ').next()?.parse().ok());
    nanos.map_or_else(
        || BEGUN.get_or_init(Instant::now).elapsed(),
        Duration::from_nanos,
    )
}

/// Deals with one event and draws; workers' answers come after it, timed as events of their own.
fn answered(app: &mut App, event: Event, terminal: &mut Terminal<TestBackend>) -> Duration {
    let mut slowest = Duration::ZERO;
    let mut events = vec![event];
    while let Some(event) = events.pop() {
        let begun = at_work();
        let effects = step(app, event);
        terminal.draw(|frame| view(app, frame)).unwrap();
        slowest = slowest.max(at_work().saturating_sub(begun));
        for effect in effects {
            if let Effect::Work(job) = effect {
                events.push(Event::Finished(work(job)));
            }
        }
    }
    slowest
}

/// Returns what the first line says of where one is.
fn place(terminal: &Terminal<TestBackend>) -> String {
    let shown = terminal.backend().to_string();
    let first = shown.lines().next().unwrap_or_default();
    first
        .trim_matches('"')
        .split_whitespace()
        .take(4)
        .collect::<Vec<_>>()
        .join(" ")
}

fn main() -> ExitCode {
    let mut random = Pcg64::seed_from_u64(11);
    let named = [
        Key::Enter,
        Key::Escape,
        Key::Up,
        Key::Down,
        Key::Left,
        Key::Right,
        Key::Tab,
        Key::Backspace,
    ];
    let now = date(2026, 11, 25).at(9, 30, 0, 0);
    let mut slowest: BTreeMap<(String, String), Duration> = BTreeMap::new();
    let start = |kitchen| {
        let mut app = App::new(kitchen, Theme::new(Depth::TrueColour), now, &[]);
        app.set_size(120, 40);
        app
    };
    let mut app = start(long_sittings());
    let mut terminal = Terminal::new(TestBackend::new(120, 40)).unwrap();
    terminal.draw(|frame| view(&app, frame)).unwrap();
    let mut strokes: BTreeMap<String, usize> = BTreeMap::new();
    for stroke in 0..STROKES {
        if stroke % FRESH == 0 && stroke > 0 {
            app = start(long_sittings());
            terminal.draw(|frame| view(&app, frame)).unwrap();
            // Each room of each oven in its turn; the rest is chance.
            let round = stroke / FRESH;
            if round % 2 == 1 {
                answered(&mut app, Event::Key(Key::Down), &mut terminal);
            }
            let first = Key::Char(char::from(b'a' + u8::try_from(round / 2 % 26).unwrap()));
            answered(&mut app, Event::Key(first), &mut terminal);
        }
        let pick = random.next_u32() as usize;
        let key = if pick.is_multiple_of(3) {
            named[pick / 3 % named.len()]
        } else {
            Key::Char(char::from(b' ' + u8::try_from(pick / 3 % 95).unwrap()))
        };
        let at = place(&terminal);
        let took = answered(&mut app, Event::Key(key), &mut terminal);
        *strokes.entry(at.clone()).or_default() += 1;
        let known = slowest.entry((at, format!("{key:?}"))).or_default();
        *known = took.max(*known);
    }
    let mut table: Vec<_> = slowest.into_iter().collect();
    table.sort_by_key(|row| std::cmp::Reverse(row.1));
    println!("{STROKES} keys on {} screens; the slowest:", strokes.len());
    for ((place, key), took) in table.iter().take(15) {
        println!("{:7.1} ms  {key:20} {place}", took.as_secs_f64() * 1e3);
    }
    for (place, count) in strokes {
        println!("{count:7} keys on {place}");
    }
    match table.first() {
        Some((_, took)) if *took <= LIMIT => ExitCode::SUCCESS,
        _ => ExitCode::FAILURE,
    }
}
