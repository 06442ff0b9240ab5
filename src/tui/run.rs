//! The run loop: one event, one update, its effects, then a frame.

use super::{
    TuiError,
    action::Action,
    app::{App, Banner},
    effect::{Effect, Save},
    event::Event,
    terminal::Taken,
    update::{action_of, update},
    view::view,
    worker::Worker,
};
use std::{
    io::Write,
    sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel},
    thread,
    time::Instant,
};

/// Runs the program until the user leaves.
pub(crate) fn run(app: &mut App) -> Result<(), TuiError> {
    #[expect(
        clippy::disallowed_methods,
        reason = "the loop is where the clock is read and handed on"
    )]
    let start = Instant::now();
    let (sender, events) = channel();
    let worker = Worker::start(sender.clone()).map_err(TuiError::Thread)?;
    let mut taken = Taken::new().map_err(TuiError::Terminal)?;
    listen(sender.clone()).map_err(TuiError::Thread)?;
    heed_signals(sender).map_err(TuiError::Thread)?;
    let size = taken.screen().size().map_err(TuiError::Terminal)?;
    app.set_size(size.width, size.height);
    loop {
        taken
            .screen()
            .draw(|frame| view(app, frame))
            .map_err(TuiError::Terminal)?;
        // Everything that already waits is dealt with before the next frame; saves never wait for it.
        let mut next = wait(app, &events)?;
        while let Some(event) = next {
            app.set_clock(super::local_now(), start.elapsed());
            if handle(app, event, &worker) {
                return Ok(());
            }
            next = events.try_recv().ok();
        }
    }
}

/// Waits for an event; a screen with a clock gets its tick when nothing else comes in time.
fn wait(app: &App, events: &Receiver<Event>) -> Result<Option<Event>, TuiError> {
    let tick = app.screen().and_then(|s| s.state().tick());
    match tick {
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
fn handle(app: &mut App, event: Event, worker: &Worker) -> bool {
    let mut leave = false;
    for effect in step(app, event) {
        match effect {
            Effect::Work(job) => worker.give(job),
            Effect::Bell => ring(),
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
    let Some(action) = action_of(app, event) else {
        return Vec::new();
    };
    let retry = !matches!(action, Action::Tick | Action::Finished(_));
    let mut rest = Vec::new();
    let mut any = false;
    for effect in update(app, action) {
        match effect {
            Effect::Save(save) => {
                any = true;
                put_by(app, save);
            }
            Effect::SetAside(test) => {
                if let Err(error) = app.shared.kitchen.remove_test(&test) {
                    app.shared.complain(error.to_string());
                }
            }
            Effect::Work(_) | Effect::Bell | Effect::Quit => rest.push(effect),
        }
    }
    if retry || any {
        save_all(app);
    }
    rest
}

/// Puts a save last in the row of unsaved things, in place of an older state of the same thing.
fn put_by(app: &mut App, save: Save) {
    app.shared.unsaved.retain(|old| !old.same_thing(&save));
    app.shared.unsaved.push(save);
}

/// Puts everything unsaved on disk; what the disk refuses stays, with a lasting message.
fn save_all(app: &mut App) {
    let had_trouble = matches!(app.shared.banner, Some(Banner::Wrong(_)));
    let mut refused = Vec::new();
    let mut reason = None;
    let rows = std::mem::take(&mut app.shared.unsaved);
    let any = !rows.is_empty();
    for save in rows {
        let kitchen = &mut app.shared.kitchen;
        let saved = match save.clone() {
            Save::Oven(oven) => kitchen.save_oven(*oven),
            Save::Test(test) => kitchen.save_test(*test),
            Save::Bake(bake) => kitchen.save_bake(*bake),
        };
        if let Err(error) = saved {
            reason = Some(error.to_string());
            refused.push(save);
        }
    }
    app.shared.unsaved = refused;
    match reason {
        Some(reason) => app.shared.complain(format!(
            "not saved: {reason}; all is kept on screen and tried again with every key"
        )),
        None if any && had_trouble => app.shared.say("saved again"),
        None => {}
    }
}

fn ring() {
    // A terminal that cannot ring is no reason to stop.
    let mut out = std::io::stdout();
    out.write_all(b"\x07").and_then(|()| out.flush()).ok();
}

/// Starts the thread that reads keys and mouse; it ends with the program.
fn listen(sender: Sender<Event>) -> std::io::Result<()> {
    thread::Builder::new()
        .name("input".to_owned())
        .spawn(move || {
            while let Ok(event) = crossterm::event::read() {
                if let Some(event) = Event::from_terminal(event)
                    && sender.send(event).is_err()
                {
                    return;
                }
            }
            // The terminal is gone: leave as if asked to.
            sender.send(Event::Terminate).ok();
        })
        .map(|_| ())
}

/// Turns the system's requests to end into an event, so that the terminal is restored first.
#[cfg(unix)]
fn heed_signals(sender: Sender<Event>) -> std::io::Result<()> {
    use signal_hook::{
        consts::{SIGHUP, SIGTERM},
        iterator::Signals,
    };
    let mut signals = Signals::new([SIGTERM, SIGHUP])?;
    thread::Builder::new()
        .name("signals".to_owned())
        .spawn(move || {
            for _ in signals.forever() {
                if sender.send(Event::Terminate).is_err() {
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
    use crate::tui::{fixture::Fixture, keys::Key};

    #[test]
    fn what_the_disk_refuses_stays_in_memory_is_told_and_tried_again() {
        let mut fixture = Fixture::scoring();
        let tests = fixture.folder.path().join("tests");
        assert!(tests.is_dir(), "the store keeps tests elsewhere now");
        // A file where the folder was: no write into it can work, not even for root.
        let aside = fixture.folder.path().join("aside");
        std::fs::rename(&tests, &aside).unwrap();
        #[expect(clippy::disallowed_methods, reason = "the test breaks the store")]
        std::fs::write(&tests, "").unwrap();
        fixture.keys("34");
        assert!(matches!(fixture.app.shared.banner, Some(Banner::Wrong(_))));
        assert_eq!(fixture.test().scored(), 2, "kept in memory");
        fixture.press(Key::Escape);
        assert!(
            matches!(fixture.app.shared.banner, Some(Banner::Wrong(_))),
            "the message stays while something is unsaved"
        );
        std::fs::remove_file(&tests).unwrap();
        std::fs::rename(&aside, &tests).unwrap();
        fixture.press(Key::Left);
        assert_eq!(
            fixture.app.shared.banner,
            Some(Banner::Done("saved again".to_owned()))
        );
        assert_eq!(fixture.reopened().test().scored(), 2);
    }

    #[test]
    fn quit_is_left_to_the_loop() {
        let mut fixture = Fixture::new();
        assert!(matches!(fixture.keys("q")[..], [Effect::Quit]));
        assert!(matches!(fixture.press(Key::Interrupt)[..], [Effect::Quit]));
    }
}
