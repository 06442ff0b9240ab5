//! The run loop: one event, one update, its effects, then a frame.

use super::{
    app::App,
    effect::{Effect, Save},
    event::Event,
    everywhere::{EVERYWHERE, POPUP},
    notice::Notices,
    outside,
    pixels::{Canvas, PaintError, Painter},
    saving::{put_by, save_all},
    screens::tables,
    terminal::Taken,
    theme::{Depth, Theme},
    update::{Handled, update},
    view::{painting, view, view_over},
    worker::Worker,
};
use crate::{
    model::{Moment, TestId, Warning},
    workflow::kitchen::Kitchen,
};
use ratatui::{Frame, layout::Size};
use std::{
    collections::BTreeMap,
    io::{IsTerminal, Write},
    sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel},
    thread,
    time::Duration,
};

/// Why the terminal face could not run.
#[derive(Debug, thiserror::Error)]
pub enum TuiError {
    /// The terminal refused to be taken over or drawn on.
    #[error(
        "the terminal could not be used: {0}; run it in a terminal window, or use a command such as 'rackshade map'"
    )]
    Terminal(#[source] std::io::Error),
    /// The system gave no thread.
    #[error("the system gave no thread: {0}; close other programs and try again")]
    Thread(#[source] std::io::Error),
    /// The program ended before everything was on disk.
    #[error(
        "these are not on disk: {0}; see that the data folder can be written to, then enter them again"
    )]
    NotSaved(String),
    /// Keys and mouse can no longer be read.
    #[error("keys can no longer be read; everything scored is saved, start again in a terminal")]
    InputLost,
}

/// How the terminal face is to be run.
#[derive(Debug, Clone, Default)]
pub struct TuiOptions {
    /// Colours to use; found out from the environment when `None`.
    pub depth: Option<Depth>,
    /// What opening the store had to say.
    pub warnings: Vec<Warning>,
}

/// Runs the terminal face until the user leaves.
///
/// # Errors
/// [`TuiError`]; the terminal is restored before it returns.
pub fn run(kitchen: Kitchen, options: TuiOptions) -> Result<(), TuiError> {
    let TuiOptions { depth, warnings } = options;
    let vars = environment();
    let detected = || Theme::detect(&vars, std::io::stdout().is_terminal());
    let theme = depth.map_or_else(detected, Theme::new);
    let mut app = App::new(kitchen, theme, local_now(), &warnings);
    run_loop(&mut app, Notices::detect(&vars))
}

/// Returns the environment; from it is told what the terminal can do, which itself is asked nothing.
fn environment() -> BTreeMap<String, String> {
    std::env::vars_os()
        .filter_map(|(k, v)| Some((k.into_string().ok()?, v.into_string().ok()?)))
        .collect()
}

fn local_now() -> Moment {
    Moment::from(&jiff::ZonedDateTime::now())
}

/// Starts a stopwatch that nobody can set and that counts on while the machine sleeps: bread bakes on under a shut lid.
#[cfg(unix)]
fn stopwatch() -> impl Fn() -> Duration {
    let start = uptime();
    move || uptime().saturating_sub(start)
}

/// Returns the time since the machine started, the time it slept included.
#[cfg(unix)]
fn uptime() -> Duration {
    use rustix::time::{ClockId, clock_gettime};
    #[cfg(any(target_os = "linux", target_os = "android"))]
    const COUNTS_SLEEP: ClockId = ClockId::Boottime;
    // On macOS this one counts sleep, and the clock of `Instant` does not (`man clock_gettime`).
    #[cfg(not(any(target_os = "linux", target_os = "android")))]
    const COUNTS_SLEEP: ClockId = ClockId::Monotonic;
    clock_gettime(COUNTS_SLEEP).try_into().unwrap_or_default()
}

/// Starts a stopwatch; what `Instant` reads on Windows (`QueryPerformanceCounter`) counts sleep.
#[cfg(not(unix))]
#[expect(
    clippy::disallowed_methods,
    reason = "the loop is where the clock is read and handed on"
)]
fn stopwatch() -> impl Fn() -> Duration {
    let start = std::time::Instant::now();
    move || start.elapsed()
}

/// The keys of one screen: what each is called, and what it does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyTable {
    /// The screen.
    pub title: &'static str,
    /// Keys and what they do, in the order of the screen's own table.
    pub keys: Vec<(String, &'static str)>,
}

/// Returns every table of keys, what holds everywhere first.
pub fn key_tables() -> Vec<KeyTable> {
    [EVERYWHERE.keys(), POPUP.keys()]
        .into_iter()
        .chain(tables())
        .map(|table| KeyTable {
            title: table.title,
            keys: table
                .lines
                .iter()
                .map(|line| (line.key_words(), line.help))
                .collect(),
        })
        .collect()
}

/// How often a program that gave the terminal back looks whether it has it again.
const AWAY_TICK: Duration = Duration::from_millis(500);

/// Runs the program until the user leaves.
fn run_loop(app: &mut App, notices: Notices) -> Result<(), TuiError> {
    let running_for = stopwatch();
    let (sender, events) = channel();
    let answers = sender.clone();
    let answered = move |answer| answers.send(Event::Finished(answer)).is_ok();
    let worker = Worker::start(answered).map_err(TuiError::Thread)?;
    // Before the terminal is taken, so that no signal can leave it so.
    heed_signals(sender.clone()).map_err(TuiError::Thread)?;
    let mut taken = Taken::new().map_err(TuiError::Terminal)?;
    listen(sender).map_err(TuiError::Thread)?;
    let size = taken.screen().size().map_err(TuiError::Terminal)?;
    app.set_size(size.width, size.height);
    if app.shared.theme.pixels == Some(super::graphics::Pixels::Sixel) && window_size().1.width == 0
    {
        // Of unknown cells it cannot be said how far a picture reaches.
        app.shared.theme.pixels = None;
    }
    // What the first screen asked for does not wait for a key.
    handle(app, Event::Tick, &worker, notices);
    let mut painter = Painter::default();
    loop {
        if taken.is_in_front() {
            // A shell that brings back what already runs may say nothing of it.
            let back = if Taken::holds() {
                Ok(())
            } else {
                taken.take_again()
            };
            if back
                .and_then(|()| show(app, &mut taken, &mut painter))
                .is_err()
            {
                // The terminal is gone; what matters is whether all is saved.
                return ended(app);
            }
        }
        // Everything that already waits is dealt with before the next frame; saves never wait for it.
        let mut next = wait(app, &events)?;
        while let Some(event) = next {
            app.set_clock(local_now(), running_for());
            if matches!(event, Event::Suspend | Event::Resume) {
                // the terminal is given back without it; should it be gone, the next frame tells
                painter.take_away(&mut std::io::stdout()).ok();
            }
            let over = match event {
                Event::Suspend => taken.suspend().is_err(),
                Event::Resume => taken.take_again().is_err(),
                event => {
                    // Another program in front gets the bell alone.
                    let heard = if taken.is_in_front() {
                        notices
                    } else {
                        Notices::NONE
                    };
                    handle(app, event, &worker, heard)
                }
            };
            if over {
                painter.take_away(&mut std::io::stdout()).ok();
                return ended(app);
            }
            next = events.try_recv().ok();
        }
    }
}

/// Draws a frame, and behind it the picture that the screen shows in pixels.
///
/// A picture that cannot be made into what the terminal takes is no reason to end: half blocks do without.
fn show(app: &mut App, taken: &mut Taken, painter: &mut Painter) -> std::io::Result<()> {
    let mut out = std::io::stdout();
    let wanted = painting(app);
    let drawn = |frame: &mut Frame<'_>| view_over(app, wanted.as_ref(), frame);
    let frame = taken.screen().draw(drawn)?;
    let wanted = wanted.zip(app.shared.theme.pixels).map(|(painting, how)| {
        let (cells, pixels) = window_size();
        (Canvas::new(how, cells, pixels), painting)
    });
    match painter.paint(wanted, frame.buffer, &mut out) {
        Ok(()) => Ok(()),
        Err(PaintError::Terminal(gone)) => Err(gone),
        Err(PaintError::Picture(_)) => {
            painter.take_away(&mut out)?;
            app.shared.theme.pixels = None;
            taken.screen().draw(|frame| view(app, frame)).map(|_| ())
        }
    }
}

/// Returns the terminal's size in cells and in pixels as the system has it; the terminal is not asked.
fn window_size() -> (Size, Size) {
    crossterm::terminal::window_size().map_or_else(
        |_| (Size::default(), Size::default()),
        |size| {
            let (cells, pixels) = ((size.columns, size.rows), (size.width, size.height));
            (cells.into(), pixels.into())
        },
    )
}

/// Ends the program: well when all is saved, else by saying what is not.
fn ended(app: &App) -> Result<(), TuiError> {
    if app.shared.unsaved.is_empty() {
        return Ok(());
    }
    let lost: Vec<String> = app.shared.unsaved.iter().map(Save::words).collect();
    Err(TuiError::NotSaved(lost.join(", ")))
}

/// Waits for an event; a screen with a clock gets its tick when nothing else comes in time. While the terminal is given
/// back, it looks now and then whether it is in front again.
fn wait(app: &App, events: &Receiver<Event>) -> Result<Option<Event>, TuiError> {
    let away = (!Taken::holds()).then_some(AWAY_TICK);
    match app.tick().or(away) {
        None => events
            .recv()
            .map(Some)
            .map_err(|_closed| TuiError::InputLost),
        Some(tick) => match events.recv_timeout(tick) {
            Ok(event) => Ok(Some(event)),
            Err(RecvTimeoutError::Timeout) => Ok(Some(Event::Tick)),
            Err(RecvTimeoutError::Disconnected) => Err(TuiError::InputLost),
        },
    }
}

/// Deals with one event and carries out its effects; tells whether to leave.
fn handle(app: &mut App, event: Event, worker: &Worker, notices: Notices) -> bool {
    let mut leave = false;
    for effect in step(app, event) {
        match effect {
            Effect::Work(job) => worker.give(job),
            Effect::Bell(words) => ring(&notices.bytes(&words)),
            Effect::Quit => leave = true,
            // Carried out by `step` before anything else could happen.
            Effect::Save(_) | Effect::SetAside(_) => {}
        }
    }
    leave
}

/// Deals with one event: updates the state, puts on disk what is to be kept, returns what is left to do.
///
/// What the disk refuses stays in memory, is told, and is tried again with every key.
pub fn step(app: &mut App, event: Event) -> Vec<Effect> {
    if let Some(effects) = outside::answer(app, &event) {
        return effects;
    }
    if matches!(event, Event::Tick) {
        outside::follow(app);
    }
    let retries = !matches!(event, Event::Tick | Event::Finished(_));
    let refused = !app.shared.unsaved.is_empty();
    let Handled { meant, by_hand } = update(app, event);
    if !meant {
        outside::keep_asking(app);
        return Vec::new();
    }
    let mut rest = Vec::new();
    let mut any = false;
    for effect in app.shared.take_effects() {
        match effect {
            Effect::Save(save) => {
                any = true;
                put_by(app, save);
            }
            Effect::SetAside(test) => {
                set_aside(app, &test);
            }
            Effect::Work(_) | Effect::Bell(_) | Effect::Quit => rest.push(effect),
        }
    }
    if (retries || any) && save_all(app) && refused {
        app.shared.say("saved again");
    }
    if by_hand {
        hold_back(app, &mut rest);
    }
    outside::keep_asking(app);
    rest
}

/// Lets nobody leave by the first key while something is not on disk; says what would be lost.
fn hold_back(app: &mut App, rest: &mut Vec<Effect>) {
    let leaves = rest.iter().any(|e| matches!(e, Effect::Quit));
    let asked = std::mem::take(&mut app.shared.leaving);
    if !leaves || asked || app.shared.unsaved.is_empty() {
        return;
    }
    rest.retain(|e| !matches!(e, Effect::Quit));
    app.shared.leaving = true;
    let lost: Vec<String> = app.shared.unsaved.iter().map(Save::words).collect();
    let advice = if app.shared.conflict.is_some() {
        "Choose which version counts"
    } else {
        "Put right what the disk refused, then any key tries again"
    };
    app.shared.complain(format!(
        "NOT ON DISK: {}. {advice}; q again leaves without",
        lost.join(", ")
    ));
}

/// Sets a test aside, its unsaved scores with it: a later key must not save it again.
fn set_aside(app: &mut App, test: &TestId) {
    let unsaved = std::mem::take(&mut app.shared.unsaved);
    let (own, others): (Vec<Save>, Vec<Save>) = unsaved.into_iter().partition(|s| is_of(s, test));
    app.shared.unsaved = others;
    let kitchen = &mut app.shared.kitchen;
    for save in &own {
        if let Save::Test(latest) = save {
            // A disk that refuses this refuses the removal too, which is told below.
            kitchen.save_test((**latest).clone()).ok();
        }
    }
    if let Err(error) = kitchen.remove_test(test) {
        app.shared.unsaved.extend(own);
        app.shared.complain(error.to_string());
    }
}

/// Tells whether a save is of this toast test.
fn is_of(save: &Save, test: &TestId) -> bool {
    match save {
        Save::Test(saved) => saved.id == *test,
        _ => false,
    }
}

fn ring(notice: &[u8]) {
    // A terminal that cannot ring is no reason to stop.
    let mut out = std::io::stdout();
    let rung = out.write_all(b"\x07").and_then(|()| out.write_all(notice));
    rung.and_then(|()| out.flush()).ok();
}

/// Starts the thread that reads keys and mouse; it ends with the program.
fn listen(sender: Sender<Event>) -> std::io::Result<()> {
    thread::Builder::new()
        .name("input".to_owned())
        .spawn(move || {
            // The terminal is gone, or what it sent broke this thread: leave as if asked to.
            let last = Last(sender);
            while let Ok(event) = crossterm::event::read() {
                if let Some(event) = Event::from_terminal(event)
                    && last.0.send(event).is_err()
                {
                    return;
                }
            }
        })
        .map(|_| ())
}

/// Asks the program to end when it goes.
struct Last(Sender<Event>);

impl Drop for Last {
    fn drop(&mut self) {
        self.0.send(Event::Terminate).ok();
    }
}

/// Turns the system's requests into events, so that the terminal is restored before they are met.
///
/// An interrupt is what Ctrl-C is, wherever it comes from: it asks first while something is not on disk.
#[cfg(unix)]
fn heed_signals(sender: Sender<Event>) -> std::io::Result<()> {
    use super::keys::Key;
    use signal_hook::{
        consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP},
        iterator::Signals,
    };
    let heeded = [SIGTERM, SIGHUP, SIGINT, SIGQUIT, SIGTSTP, SIGCONT];
    let mut signals = Signals::new(heeded)?;
    thread::Builder::new()
        .name("signals".to_owned())
        .spawn(move || {
            for signal in signals.forever() {
                let event = match signal {
                    SIGINT | SIGQUIT => Event::Key(Key::Interrupt),
                    SIGTSTP => Event::Suspend,
                    SIGCONT => Event::Resume,
                    _end => Event::Terminate,
                };
                if sender.send(event).is_err() {
                    return;
                }
            }
        })
        .map(|_| ())
}

/// Other systems end console programs without asking.
#[cfg(not(unix))]
fn heed_signals(_sender: Sender<Event>) -> std::io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::{fixture::Fixture, keys::Key, shared::Banner};
    use std::{collections::HashSet, path::PathBuf};

    #[test]
    fn no_key_is_used_twice_in_a_table() {
        let everywhere = EVERYWHERE.keys();
        let mut rows = 0;
        for keys in [POPUP.keys()].into_iter().chain(tables()) {
            let mut seen = HashSet::new();
            for line in keys.lines.iter().chain(&everywhere.lines) {
                rows += 1;
                assert!(!line.help.is_empty(), "{} {:?}", keys.title, line.keys);
                assert!(!line.keys.is_empty(), "{} {}", keys.title, line.help);
                for key in line.keys {
                    assert!(seen.insert(*key), "{}: {key:?} is used twice", keys.title);
                }
            }
        }
        assert!(rows > 200, "only {rows} rows: a table was not gathered");
    }

    #[test]
    fn a_field_takes_characters_and_leaves_the_other_keys() {
        let mut fixture = Fixture::new();
        fixture.keys("n\n");
        assert!(fixture.keys("q?").is_empty(), "q and ? are text here");
        assert!(fixture.app.shared.popup.is_none());
        fixture.press(Key::Function(1));
        assert!(fixture.app.shared.popup.is_some(), "F1 is a key");
    }

    /// Puts a file where the tests' folder was: no write into it can work, not even for root.
    fn broken(fixture: &Fixture) -> (PathBuf, PathBuf) {
        let tests = fixture.folder.path().join("tests");
        assert!(tests.is_dir(), "the store keeps tests elsewhere now");
        let aside = fixture.folder.path().join("aside");
        std::fs::rename(&tests, &aside).unwrap();
        #[expect(clippy::disallowed_methods, reason = "the test breaks the store")]
        std::fs::write(&tests, "").unwrap();
        (tests, aside)
    }

    fn mend((tests, aside): &(PathBuf, PathBuf)) {
        std::fs::remove_file(tests).unwrap();
        std::fs::rename(aside, tests).unwrap();
    }

    #[test]
    fn leaving_with_scores_not_on_disk_is_asked_first() {
        for key in [Key::Char('q'), Key::Interrupt] {
            let mut fixture = Fixture::scoring();
            broken(&fixture);
            fixture.keys("34");
            assert!(fixture.press(key).is_empty(), "{key:?} leaves at once");
            let Some(Banner::Wrong(words)) = &fixture.app.shared.banner else {
                panic!("{:?}", fixture.app.shared.banner)
            };
            assert!(
                words.contains("2 scores") && words.contains("q again"),
                "{words}"
            );
            fixture.press(Key::Left);
            assert!(
                fixture.press(key).is_empty(),
                "another key takes the question back"
            );
            assert!(matches!(fixture.press(key)[..], [Effect::Quit]));
        }
        let mut fixture = Fixture::scoring();
        let folders = broken(&fixture);
        fixture.keys("34q");
        mend(&folders);
        assert!(
            matches!(fixture.keys("q")[..], [Effect::Quit]),
            "saved by now: nothing to ask"
        );
        assert_eq!(fixture.reopened().test().scored(), 2);
    }

    #[test]
    fn the_systems_request_to_end_is_not_asked_about() {
        let mut fixture = Fixture::scoring();
        broken(&fixture);
        fixture.keys("34");
        assert!(matches!(
            step(&mut fixture.app, Event::Terminate)[..],
            [Effect::Quit]
        ));
    }

    #[test]
    fn what_is_set_aside_is_not_saved_again() {
        let mut fixture = Fixture::scoring();
        fixture.keys("3");
        let folders = broken(&fixture);
        fixture.keys("4");
        assert_eq!(fixture.app.shared.unsaved.len(), 1);
        fixture.keys("\x1b\tx");
        mend(&folders);
        fixture.keys("x");
        assert!(fixture.app.shared.kitchen.tests().is_empty());
        fixture.press(Key::Up);
        assert!(fixture.app.shared.unsaved.is_empty());
        assert!(fixture.reopened().app.shared.kitchen.tests().is_empty());
    }

    #[test]
    fn only_what_the_disk_refused_before_is_said_to_be_saved_again() {
        let mut fixture = Fixture::scoring();
        fixture.app.shared.complain("wall oven is in use");
        fixture.keys("3");
        let said = Some(Banner::Done("saved again".to_owned()));
        assert_ne!(fixture.app.shared.banner, said);
        assert_eq!(fixture.on_disk().tests()[0].scored(), 1);
    }

    #[test]
    fn what_the_disk_refuses_stays_in_memory_is_told_and_tried_again() {
        let mut fixture = Fixture::scoring();
        let (tests, aside) = broken(&fixture);
        fixture.keys("34");
        assert!(matches!(fixture.app.shared.banner, Some(Banner::Wrong(_))));
        assert_eq!(fixture.test().scored(), 2, "kept in memory");
        fixture.press(Key::Escape);
        assert!(
            matches!(fixture.app.shared.banner, Some(Banner::Wrong(_))),
            "the message stays while something is unsaved"
        );
        mend(&(tests, aside));
        fixture.press(Key::Left);
        assert_eq!(
            fixture.app.shared.banner,
            Some(Banner::Done("saved again".to_owned()))
        );
        assert_eq!(fixture.reopened().test().scored(), 2);
    }

    /// `/proc/uptime` counts sleep (man 5 proc), so on a machine that has slept any other clock is behind it.
    #[cfg(target_os = "linux")]
    #[test]
    fn clocks_go_on_while_the_machine_sleeps() {
        let told = std::fs::read_to_string("/proc/uptime").unwrap();
        let seconds: f64 = told.split(' ').next().unwrap().parse().unwrap();
        let ahead = uptime().as_secs_f64() - seconds;
        assert!(ahead > -1.0, "{ahead} s");
    }

    #[test]
    fn quit_is_left_to_the_loop() {
        let mut fixture = Fixture::new();
        assert!(matches!(fixture.keys("q")[..], [Effect::Quit]));
        assert!(matches!(fixture.press(Key::Interrupt)[..], [Effect::Quit]));
    }
}
