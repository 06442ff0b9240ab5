//! The real program in a pseudo-terminal: a newcomer's way by the hints on screen, the mouse, and a
//! terminal that is left as it was, whatever ends the program.
//!
//! Nothing here depends on timing: every step waits for what the screen must show.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test helper may stop the test, and waits by the clock"
)]

mod photo_kit;
mod terminal_kit;

use rackshade::workflow::kitchen::{Access, Kitchen};
use std::path::Path;
use tempfile::TempDir;
use terminal_kit::{ENTER, ESCAPE, F2, F3, F11, F12, Term};

/// From an empty kitchen to the first slice to score, by what the screen says.
fn to_scoring(data: &Path) -> Term {
    let mut term = Term::start(data);
    term.follow("n: describe your oven", "n");
    term.follow("then Enter", ENTER);
    term.follow("F2 saves", F2);
    term.follow("Enter when the slices lie like this", ENTER);
    term.follow("Stay with the oven while bread toasts", ENTER);
    term.follow("then Space: start", "s");
    term.wait_for("slice 1 of 12");
    term
}

fn scored(data: &Path) -> usize {
    let (kitchen, warnings) = Kitchen::open(data, Access::Read).unwrap();
    assert!(warnings.is_empty(), "{warnings:?}");
    kitchen
        .tests()
        .last()
        .map_or(0, rackshade::model::ToastTest::scored)
}

#[test]
fn a_newcomer_goes_from_a_new_oven_to_a_plan_by_the_hints() {
    let data = TempDir::new().unwrap();
    let mut term = to_scoring(data.path());
    term.assert_taken();
    for (i, digit) in "345434543454".chars().enumerate() {
        term.follow(&format!("slice {} of 12", i + 1), &digit.to_string());
    }
    term.follow("Enter: read the map", ENTER);
    term.follow("Enter: plan a bake", ENTER);
    term.follow("Enter: bake", "q");
    assert!(term.ended());
    term.assert_sane();
    assert_eq!(scored(data.path()), 12);
}

/// From an empty kitchen to a dial setting and a plan that uses it, by the hints alone. The clock is the real
/// one, so the hold is told from two looks: enough for a setting, and the screen says how little it is.
#[test]
fn a_newcomer_goes_from_a_new_oven_to_a_dial_setting_and_a_plan_that_uses_it() {
    let data = TempDir::new().unwrap();
    let mut term = Term::start(data.path());
    term.follow("n: describe your oven", "n");
    term.follow("then Enter", ENTER);
    term.follow("F2 saves", F2);
    term.follow("now its first toast test", ESCAPE);
    term.follow("a: read a thermometer", "a");
    term.follow("n: prepare a round with the thermometer", "n");
    term.follow("burn", ENTER);
    term.follow("Enter: begin the round", F3);
    term.follow("describe your thermometer", "wire probe");
    term.send(F2);
    term.follow("wire probe is saved", ENTER);
    term.follow("s: at the preheat signal", "s");
    term.follow("type what the thermometer shows, Enter", "330");
    term.send(ENTER);
    term.follow("330 F at", "h");
    term.follow("it is taken to hold from now on", "300");
    // Two readings of one second are refused and the digits stay: Enter again, once the clock has moved on.
    while !term.text().contains("last 300 F at") {
        term.send(ENTER);
        std::thread::sleep(std::time::Duration::from_millis(100));
    }
    term.send(ESCAPE);
    term.follow("again: end the round", ESCAPE);
    term.follow("w: what to set for a wanted temperature", "w");
    term.follow("Wanted in the oven", "350");
    // 50 F cold: set 50 F more (common practice).
    term.wait_for("SET THE DIAL TO 400 F (");
    term.wait_for("only 1 reading");
    term.follow("Three whole cycles in one round would settle it", ENTER);
    term.follow("p: plan a bake with it", "p");
    term.wait_for("Set the dial to 400 F");
    term.follow("dial: by its readings", "q");
    assert!(term.ended());
    term.assert_sane();
    let (kitchen, warnings) = Kitchen::open(data.path(), Access::Read).unwrap();
    assert!(warnings.is_empty(), "{warnings:?}");
    assert_eq!(kitchen.rounds()[0].readings.len(), 2);
    assert!(kitchen.rounds()[0].thermometer.is_some());
}

#[test]
fn a_photo_dropped_on_the_terminal_becomes_scores_and_a_map() {
    let data = TempDir::new().unwrap();
    let photos = TempDir::new().unwrap();
    let mut term = to_scoring(data.path());
    term.send("f");
    term.wait_for("type, paste or drop the path");
    let dropped = |path: &Path| format!("\x1b[200~'{}' \x1b[201~", path.display());
    term.send(&dropped(&photo_kit::counter(photos.path())));
    term.follow("counter.png", ENTER);
    term.follow("no bread found", ESCAPE);
    term.wait_gone("no bread found");
    term.send("f");
    term.follow(
        "type, paste or drop the path",
        &dropped(&photo_kit::tray(photos.path())),
    );
    term.follow("toast tray.png", ENTER);
    term.follow("corners found by themselves", ENTER);
    term.follow("found: untoasted slice", ENTER);
    term.follow("Enter: accept as rack", "t");
    term.follow(
        "turned end for end",
        &dropped(&photo_kit::turned_tray(photos.path())),
    );
    term.follow("turned tray.png", ENTER);
    term.follow("cancelled by the turned", ENTER);
    // the score screen opens, so that minutes and eyes can still have their say
    term.wait_for("10 of 12 slices scored from the photo");
    term.follow("Enter: read the map", ENTER);
    term.follow("Enter: plan a bake", "q");
    assert!(term.ended());
    term.assert_sane();
    // twelve places: one is empty, one slice is the untoasted reference
    assert_eq!(scored(data.path()), 10);
}

#[test]
fn a_click_puts_the_cursor_on_a_slice_and_hints_can_be_clicked() {
    let data = TempDir::new().unwrap();
    let mut term = to_scoring(data.path());
    term.click_on("#8");
    term.follow("slice 8 of 12", "5");
    term.wait_for("slice 9 of 12");
    term.click_on("undo");
    term.wait_for("slice 8 of 12");
    term.click_on("help");
    term.wait_for("put half a step on");
    term.click_on("put half a step on");
    term.wait_gone("put half a step on");
    term.click_on("q quit");
    assert!(term.ended());
    term.assert_sane();
}

#[test]
fn a_small_window_says_so_and_nothing_is_lost_when_it_grows_again() {
    let data = TempDir::new().unwrap();
    let mut term = to_scoring(data.path());
    term.send("4");
    term.wait_for("slice 2 of 12");
    term.resize(60, 20);
    term.wait_for("This window is 60 x 20");
    term.resize(120, 40);
    term.wait_for("slice 2 of 12");
    term.resize(80, 24);
    term.follow("slice 2 of 12", "q");
    assert!(term.ended());
    term.assert_sane();
}

#[test]
fn a_panic_leaves_the_terminal_as_it_was_and_its_message_readable() {
    let data = TempDir::new().unwrap();
    let mut term = to_scoring(data.path());
    term.send("4");
    term.follow("slice 2 of 12", F12);
    assert!(!term.ended());
    term.assert_sane();
    term.wait_for("broken on purpose");
    assert_eq!(scored(data.path()), 1);
}

#[test]
fn a_panic_of_every_worker_leaves_the_screen_alone_and_the_program_running() {
    let data = TempDir::new().unwrap();
    let mut term = to_scoring(data.path());
    let before = term.text();
    for _ in 0..20 {
        term.send(F11);
    }
    // Whatever a worker wrote on the screen would be there once later keys are dealt with.
    for slice in 2..=7 {
        term.send("4");
        term.wait_for(&format!("slice {slice} of 12"));
    }
    assert!(!term.text().contains("on purpose"), "{}", term.text());
    assert_eq!(
        before.lines().next(),
        term.text().lines().next(),
        "nothing has moved the screen"
    );
    term.assert_taken();
    term.send("q");
    assert!(term.ended());
    term.assert_sane();
    assert_eq!(scored(data.path()), 6);
}

#[cfg(unix)]
#[test]
fn the_systems_request_to_end_leaves_the_terminal_as_it_was() {
    for signal in ["TERM", "HUP", "INT", "QUIT"] {
        let data = TempDir::new().unwrap();
        let mut term = Term::start(data.path());
        term.wait_for("n: describe your oven");
        let sent = std::process::Command::new("sh")
            .args(["-c", &format!("kill -s {signal} {}", term.process())])
            .status();
        assert!(sent.unwrap().success());
        assert!(term.ended(), "{signal}");
        term.assert_sane();
    }
}

#[cfg(unix)]
#[test]
fn ctrl_z_gives_the_terminal_to_the_shell_and_fg_brings_the_program_back() {
    let data = TempDir::new().unwrap();
    let script =
        "set -m; \"$0\" --data \"$1\"; echo back in the shell; read x; fg; echo ended with $?";
    let mut term = Term::start_shell(script, data.path());
    term.wait_for("n: describe your oven");
    term.assert_taken();
    term.send("\u{1a}");
    term.wait_for("back in the shell");
    term.assert_sane();
    term.send("\r");
    term.wait_for("n: describe your oven");
    term.assert_taken();
    term.send("n");
    term.follow("then Enter", "\u{3}");
    term.wait_for("ended with 0");
    assert!(term.ended());
    term.assert_sane();
}

#[cfg(unix)]
#[test]
fn nothing_that_was_begun_swallows_ctrl_c() {
    for begun in ["\x1b[<0;5", "\x1b[200~pasted without end", "\x1b[", "\x1bO"] {
        let data = TempDir::new().unwrap();
        let mut term = Term::start(data.path());
        term.follow("n: describe your oven", begun);
        // Long enough for the program to be in the middle of it.
        std::thread::sleep(std::time::Duration::from_millis(200));
        term.send("\u{3}");
        assert!(term.ended(), "{begun:?}");
        term.assert_sane();
    }
}

#[test]
fn a_second_window_looks_and_takes_over_when_the_first_ends() {
    let data = TempDir::new().unwrap();
    let mut first = to_scoring(data.path());
    first.send("4");
    first.wait_for("slice 2 of 12");
    let mut second = Term::start(data.path());
    second.wait_for("(only looking)");
    second.wait_for("1 of 12 slices done");
    first.send("5");
    second.wait_for("2 of 12 slices done");
    first.send("q");
    assert!(first.ended());
    second.wait_gone("(only looking)");
    second.send("s");
    second.follow("slice 3 of 12", "6");
    second.follow("slice 4 of 12", "q");
    assert!(second.ended());
    assert_eq!(scored(data.path()), 3);
}

#[test]
fn the_next_start_resumes_at_the_same_slice() {
    let data = TempDir::new().unwrap();
    let mut term = to_scoring(data.path());
    term.send("45.");
    term.follow("slice 3 of 12", ESCAPE);
    term.follow("2 of 12 slices done", "q");
    assert!(term.ended());
    let mut term = Term::start(data.path());
    term.follow("2 of 12 slices done", "s");
    term.wait_for("slice 3 of 12");
}

#[test]
fn no_color_is_heeded_on_every_cell() {
    let data = TempDir::new().unwrap();
    let mut term = Term::start_with(data.path(), &[("NO_COLOR", "1")]);
    term.wait_for("n: describe your oven");
    assert!(!term.has_colour());
    term.send("n");
    term.wait_for("Which oven is most like yours?");
    assert!(!term.has_colour());
    drop(term);
    let term = Term::start(data.path());
    term.wait_for("n: describe your oven");
    assert!(term.has_colour(), "or the check above could not fail");
}

/// Ends the program without warning after a varying count of scores; whatever the screen had
/// acknowledged must be on disk. `RACKSHADE_KILLS` sets how often (8 here, 1000 by hand).
#[test]
fn a_score_the_screen_has_acknowledged_survives_a_kill() {
    let rounds = std::env::var("RACKSHADE_KILLS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(8_usize);
    let mut data = TempDir::new().unwrap();
    let mut term = to_scoring(data.path());
    let mut acknowledged = 0;
    for round in 0..rounds {
        if acknowledged >= 10 {
            data = TempDir::new().unwrap();
            term = to_scoring(data.path());
            acknowledged = 0;
        }
        term.send("6");
        acknowledged += 1;
        term.wait_for(&format!("slice {} of 12", acknowledged + 1));
        if round % 2 == 1 {
            // One more key that nobody waits for: it may be on disk or not, but breaks nothing.
            term.send("7");
        }
        term.kill();
        let kept = scored(data.path());
        assert!(
            (acknowledged..=acknowledged + 1).contains(&kept),
            "{kept} of {acknowledged}"
        );
        acknowledged = kept;
        term = Term::start(data.path());
        term.follow("slices done", "s");
        term.wait_for(&format!("slice {} of 12", kept + 1));
    }
}

/// A window that is closed takes its terminal away; what was scored is on disk, so all is well.
#[cfg(unix)]
#[test]
fn a_terminal_that_is_gone_is_no_fault_when_all_is_saved() {
    use std::io::Read;
    let data = TempDir::new().unwrap();
    let pair = portable_pty::native_pty_system()
        .openpty(portable_pty::PtySize {
            rows: 24,
            cols: 80,
            ..portable_pty::PtySize::default()
        })
        .unwrap();
    let mut command = portable_pty::CommandBuilder::new(env!("CARGO_BIN_EXE_rackshade"));
    command.arg("--data");
    command.arg(data.path());
    command.env("TERM", "xterm-256color");
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut reader = pair.master.try_clone_reader().unwrap();
    let mut seen = Vec::new();
    while !String::from_utf8_lossy(&seen).contains("describe your oven") {
        let mut bytes = [0; 4096];
        let count = reader.read(&mut bytes).unwrap();
        assert_ne!(count, 0, "ended before it drew");
        seen.extend_from_slice(&bytes[..count]);
    }
    drop(reader);
    drop(pair.master);
    assert_eq!(child.wait().unwrap().exit_code(), 0);
}
