//! The data folder: where it is, what damages it, who holds it, what its disk refuses.

use crate::kit::{Answer, COUNTER, Kitchen, WALL, program};
use std::{fs, process::Command};

#[test]
fn the_data_folder_comes_from_the_option_or_the_environment() {
    let k = Kitchen::demo();
    let from_environment = program()
        .arg("ovens")
        .env("RACKSHADE_DATA", k.path())
        .output()
        .unwrap();
    assert!(Answer::of(from_environment).done().contains("wall-oven"));
    let other = Kitchen::empty();
    let both = program()
        .args(["ovens", "--data"])
        .arg(other.path())
        .env("RACKSHADE_DATA", k.path())
        .output()
        .unwrap();
    assert!(Answer::of(both).done().contains("no oven yet"));
}

#[test]
fn a_damaged_file_is_told_beside_the_answer() {
    let k = Kitchen::demo();
    k.file("tests/bad.json", "{");
    let answer = k.run(&["tests"]);
    assert!(answer.err.contains("bad.json is damaged"), "{}", answer.err);
    assert!(answer.done().contains(WALL));
    let json = k.say("tests --json").json();
    assert!(json["warnings"][0].as_str().unwrap().contains("bad.json"));
}

#[test]
fn a_second_writer_is_told_what_to_do() {
    let k = Kitchen::demo();
    let mut first = k.scoring();
    let second = k.say("ovens visit wall-oven --what x");
    assert!(
        second.err.contains(&format!("process {}", first.id())),
        "{}",
        second.err
    );
    second.refused("in use by another rackshade", "");
    assert!(
        k.run(&["ovens"]).done().contains("wall-oven"),
        "looking needs no lock"
    );
    drop(first.stdin.take());
    assert!(first.wait().unwrap().success());
}

#[test]
#[cfg(unix)]
fn a_disk_that_takes_no_more_is_told_and_the_old_file_stays() {
    let k = Kitchen::demo();
    let stored = k.path().join("tests").join(format!("{COUNTER}.json"));
    let before = fs::read_to_string(&stored).unwrap();
    // A limit of one block (512 bytes) on what a file may hold stands in for a full disk; the
    // signal it raises is turned off, so that the write itself fails.
    let limited = Command::new("sh")
        .args(["-c", "trap '' XFSZ; ulimit -f 1; exec \"$@\"", "sh"])
        .arg(env!("CARGO_BIN_EXE_rackshade"))
        .args(["score", COUNTER, "--csv"])
        .arg(k.file("s.csv", "slice,shade\n9,4\n"))
        .arg("--data")
        .arg(k.path())
        .output()
        .unwrap();
    let answer = Answer::of(limited);
    // A command has no screen to try again from.
    assert!(!answer.err.contains("screen"), "{}", answer.err);
    answer.refused("disk is full", "");
    assert_eq!(fs::read_to_string(&stored).unwrap(), before);
    assert_eq!(
        fs::read_dir(k.path().join("tests")).unwrap().count(),
        8,
        "no litter"
    );
}
