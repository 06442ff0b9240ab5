//! Help, completions, the manual page, and output that nobody reads.

use crate::kit::{Answer, Kitchen};
use std::process::Command;

#[test]
fn without_a_terminal_the_screens_are_refused_and_without_sense_so_is_the_rest() {
    let k = Kitchen::demo();
    k.run(&[]).refused("need a terminal", "rackshade");
    k.run(&["mop"]).refused("'mop'", "mop");
    k.say("ovens --colour").refused("'--colour'", "--colour");
}

#[test]
#[cfg(unix)]
fn a_reader_that_goes_away_is_no_trouble() {
    let k = Kitchen::demo();
    let piped = Command::new("sh")
        .args(["-c", "\"$@\" | head -1; exit 0", "sh"])
        .arg(env!("CARGO_BIN_EXE_rackshade"))
        .args([
            "map",
            "--oven",
            "wall-oven",
            "--json",
            "--grid",
            "200x150",
            "--data",
        ])
        .arg(k.path())
        .output()
        .unwrap();
    let answer = Answer::of(piped);
    assert_eq!((answer.out.as_str(), answer.err.as_str()), ("{\n", ""));
}

#[test]
fn every_verb_has_help_with_an_example() {
    let verbs = [
        "try",
        "ovens",
        "tests",
        "layout",
        "score",
        "map",
        "plan",
        "rise",
        "bakes",
        "card",
        "keys",
        "completions",
        "man",
    ];
    let k = Kitchen::empty();
    for verb in verbs {
        let help = k.run(&[verb, "--help"]).done();
        assert!(
            help.contains("Example") && help.contains("rackshade "),
            "{verb}: {help}"
        );
    }
    for (verb, word) in [
        ("ovens", "add"),
        ("ovens", "visit"),
        ("ovens", "edit"),
        ("tests", "new"),
        ("bakes", "show"),
    ] {
        assert!(
            k.run(&[verb, word, "--help"]).done().contains("Example"),
            "{verb} {word}"
        );
    }
    let whole = k.run(&["--help"]).done();
    assert!(verbs.iter().all(|verb| whole.contains(verb)), "{whole}");
    assert!(k.run(&["--version"]).done().starts_with("rackshade "));
}

#[test]
fn completions_and_the_manual_page_come_from_the_same_definitions() {
    let k = Kitchen::empty();
    for shell in ["bash", "zsh", "fish"] {
        let text = k.run(&["completions", shell]).done();
        assert!(
            text.contains("layout") && text.contains("samples"),
            "{shell}"
        );
    }
    k.say("completions tcsh").refused("'tcsh'", "tcsh");
    let page = k.run(&["man"]).done();
    assert!(page.starts_with(".ie") || page.contains(".TH"), "{page}");
    assert!(k.say("man map").done().contains("samples"));
    let keys = k.run(&["keys"]).done();
    assert!(keys.lines().count() > 100, "{keys}");
    for expected in ["Everywhere\n", "leave; asks first", "Kitchen\n"] {
        assert!(keys.contains(expected), "{expected}");
    }
    assert!(page.contains(".SH KEYS") && page.contains("leave; asks first"));
    let json = k.say("keys --json").json();
    assert!(json["screens"].as_array().unwrap().len() > 15);
    k.say("man mop").refused("'mop' is no verb", "mop");
}
