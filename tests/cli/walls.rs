//! What must hold whatever the command line is given: no file destroyed, no terminal steered, no wait without end.

use crate::kit::{COUNTER, Kitchen};
use std::fs;

/// A colour, a window title with a bell, a cleared screen in C1, and a turned direction of writing.
const NASTY: &str = "a\u{1b}[31mb\u{1b}]0;x\u{7}c\u{9b}2Jd\u{202e}e";

#[track_caller]
fn assert_harmless(text: &str) {
    let wrong = |c: char| {
        c != '\n' && (c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'))
    };
    assert!(!text.chars().any(wrong), "{text:?}");
}

#[test]
fn no_output_replaces_a_file_unasked_nor_lands_among_the_records() {
    let k = Kitchen::demo();
    let record = k.path().join(format!("tests/{COUNTER}.json"));
    let before = fs::read(&record).unwrap();
    let record = record.to_str().unwrap();
    let new = k.path().join("ovens/x.json");
    let new = new.to_str().unwrap();
    let picture = k.beside("mine.png");
    fs::write(&picture, "my own picture").unwrap();
    let picture = picture.to_str().unwrap();
    let map: &[&str] = &["map", "--oven", "wall-oven", "--grid", "8x6", "--png"];
    let verbs: [&[&str]; 5] = [
        map,
        &["card", "--png"],
        &["export", "--out"],
        &["report", "card", "wall-oven", "--format", "png", "--out"],
        &["photo", "tests/data/photos/cup.jpg", "--rows", "1", "--cols", "1", "--png"],
    ];
    for verb in verbs {
        let option = verb[verb.len() - 1];
        let to = |path: &str, more: &[&str]| k.run(&[verb, &[path], more].concat());
        to(picture, &[]).refused("is there already", option);
        assert_eq!(fs::read(picture).unwrap(), b"my own picture", "{verb:?}");
        for inside in [record, new] {
            to(inside, &["--force"]).refused("lies in the data folder", option);
        }
        to(k.beside("").to_str().unwrap(), &["--force"]).refused("a folder", option);
    }
    assert_eq!(fs::read(record).unwrap(), before);
    assert!(!k.path().join("ovens/x.json").exists());
    k.run(&["card", "--force", "--png", picture]).done();
    assert!(fs::read(picture).unwrap().starts_with(b"\x89PNG"));
}

#[test]
fn a_dash_is_standard_output_and_carries_the_result_alone() {
    let k = Kitchen::demo();
    let text = k.run(&["export", "--out", "-"]).done();
    let bundle: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(bundle["things"].as_array().unwrap().len(), 18);
    let paper = ["report", "card", "wall-oven", "--format", "md", "--out", "-"];
    assert!(k.run(&paper).done().starts_with("# "));
    k.run(&["export", "--json", "--out", "-"])
        .refused("cannot both go to standard output", "--out");
    let sheet: &[&str] = &["report", "technician", "wall-oven", "--format", "png", "--out", "-"];
    k.run(sheet).refused("as many files", "--out");
}

#[test]
fn papers_are_told_as_json_too() {
    let k = Kitchen::demo();
    let out = k.beside("card.svg");
    let out = out.to_str().unwrap();
    let said = k.run(&["report", "card", "wall-oven", "--json", "--out", out]).json();
    assert_eq!(said["files"][0], out);
}

#[test]
fn nothing_typed_or_read_steers_the_terminal() {
    let k = Kitchen::demo();
    // What was typed wrong comes back in the three lines.
    for args in [
        &["map", "--oven", NASTY][..],
        &["map", "--grid", NASTY],
        &[NASTY],
        &["tests", "show", NASTY],
        &["line", "--csv", NASTY],
        &["score", COUNTER, "--rack", "2", NASTY],
    ] {
        let answer = k.run(args);
        assert_eq!(answer.code, Some(2), "{args:?}");
        assert_harmless(&answer.err);
    }
    // Cells of a file that cannot be used.
    let cells = format!("rack,x_cm,y_cm,shade\n{NASTY},1,1,3\n");
    let csv = k.file("s.csv", &cells);
    let samples = ["map", "--width-cm", "60", "--depth-cm", "45", "--samples", &csv];
    let answer = k.run(&samples);
    assert!(answer.err.contains("line 2"), "{}", answer.err);
    assert_harmless(&answer.err);
    // Names and notes are refused where they come in.
    let long = "x".repeat(81);
    for (name, why) in [(NASTY, "control character"), (&*long, "81 characters")] {
        let add = ["ovens", "add", "--from", "counter-oven-small", "--name", name];
        k.run(&add).refused(why, "--name");
    }
    k.run(&["ovens", "visit", "wall-oven", "--what", NASTY])
        .refused("control character", "--what");
    // A record that has them nevertheless is read, and shown without.
    let path = k.path().join("ovens/wall-oven.json");
    let text = fs::read_to_string(&path).unwrap();
    let mut oven: serde_json::Value = serde_json::from_str(&text).unwrap();
    oven["name"] = NASTY.into();
    oven["note"] = format!("{NASTY}\nsecond line").into();
    oven["visits"][0]["what"] = NASTY.into();
    fs::write(&path, oven.to_string()).unwrap();
    for args in [
        &["ovens"][..],
        &["ovens", "show", "wall-oven"],
        &["ovens", "--json"],
        &["tests"],
        &["history", "wall-oven"],
        &["report", "card", "wall-oven", "--format", "md", "--out", "-"],
    ] {
        assert_harmless(&k.run(args).done());
    }
    let shown = k.run(&["ovens", "show", "wall-oven"]).done();
    assert!(shown.contains("a[31mb]0;xc2Jde second line"), "{shown}");
}

#[test]
fn columns_stand_straight_under_wide_and_joined_letters() {
    let k = Kitchen::empty();
    for name in ["オーブン", "Four a\u{301} pizza", "תנור", "plain"] {
        let add = ["ovens", "add", "--from", "wall-oven-30-inch", "--name", name];
        k.run(&add).done();
    }
    let table = k.run(&["ovens"]).done();
    let columns: Vec<usize> = table
        .lines()
        .filter_map(|line| {
            let at = line.find("76 x ").or_else(|| line.find(" in"))?;
            Some(unicode_width::UnicodeWidthStr::width(&line[..at]))
        })
        .collect();
    assert!(columns.len() >= 4, "{table}");
    assert!(columns.windows(2).all(|two| two[0] == two[1]), "{table}");
}

/// Scores key by key and gives the child back with its first answer read.
fn scorer(k: &Kitchen) -> std::process::Child {
    use std::io::{Read, Write};
    let mut child = crate::kit::program()
        .args(["score", COUNTER, "--stdin", "--data"])
        .arg(k.path())
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.as_mut().unwrap().write_all(b"4\n").unwrap();
    let mut answer = [0; 5];
    child.stdout.as_mut().unwrap().read_exact(&mut answer).unwrap();
    assert_eq!(&answer, b"ok 1\n");
    child
}

#[test]
fn scores_changed_from_outside_are_not_overwritten_even_without_the_lock() {
    use std::io::Write;
    let k = Kitchen::demo();
    let mut first = scorer(&k);
    // A sync tool takes the lock file away, and another rackshade scores.
    fs::remove_file(k.path().join("lock")).unwrap();
    let said = k.feed(&["score", COUNTER, "--stdin"], "@9\n7\n@10\n6\n").done();
    assert!(said.contains("ok 4"), "{said}");
    first.stdin.as_mut().unwrap().write_all(b"@11\n2\n").unwrap();
    drop(first.stdin.take());
    let answer = crate::kit::Answer::of(first.wait_with_output().unwrap());
    answer.refused("was changed by something else", "");
    let shades = |folder: &str| {
        let file = k.path().join(folder).join(format!("{COUNTER}.json"));
        let test: serde_json::Value = serde_json::from_slice(&fs::read(file).unwrap()).unwrap();
        let slices = test["slices"].as_array().unwrap();
        [8, 9, 10].map(|i| slices[i].to_string().contains("shade"))
    };
    assert_eq!(shades("tests"), [true, true, false], "acknowledged by the second");
    assert_eq!(shades("conflicts"), [false, false, true], "of the first");
}

#[test]
fn a_command_waits_a_moment_for_the_lock() {
    let k = Kitchen::demo();
    let mut first = scorer(&k);
    let ending = std::thread::spawn(move || {
        std::thread::sleep(std::time::Duration::from_millis(500));
        drop(first.stdin.take());
        first.wait().unwrap()
    });
    k.run(&["ovens", "visit", "wall-oven", "--what", "new lamp"]).done();
    assert!(ending.join().unwrap().success());
}
