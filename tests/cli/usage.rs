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

/// Command lines with a figure below nothing, each with what its refusal names.
const BELOW_NOTHING: &str = "\
ovens add --from wall-oven-30-inch --width -5in  => --width
ovens add --from wall-oven-30-inch --highest -500F  => --highest
tests new --oven wall-oven --racks 2 --dial -500F  => --dial
tests new --oven wall-oven --racks 2 --minutes -3  => --minutes
tests new --oven wall-oven --racks -2  => --racks
layout --oven wall-oven --racks 2 --clearance -1in  => --clearance
layout --oven wall-oven --racks 2 --counts -4x3  => --counts
check --oven wall-oven --slices -1  => --slices
check --oven wall-oven --slice -1x3  => --slice
check --oven wall-oven --scores 444444 --minutes -1  => --minutes
check --oven wall-oven --scores -4  => --scores
plan --oven wall-oven --kind thin-cookie --minutes -9  => --minutes
plan --test 2026-03-07-wall-oven --mode fan --kind thin-cookie  => --mode
plan --oven wall-oven --kind thin-cookie --recipe -9F  => --recipe
plan --oven wall-oven --kind thin-cookie --tray -9x9in  => --tray
plan --oven wall-oven --kind thin-cookie --pieces -4x3  => --pieces
plan --oven wall-oven --kind thin-cookie --openings -1  => --openings
plan --oven wall-oven --kind thin-cookie --seed -1  => --seed
map --oven wall-oven --grid -4x3  => --grid
map --oven wall-oven --rack -4  => --rack
dial --oven wall-oven --want -999F  => --want
readings add --oven wall-oven --dial 350F --reads -999F  => reading -999F
readings add --oven wall-oven --dial -999F --reads 350F  => a dial setting of -999 F
thermometers add --name p --resolution -1F --accuracy 2F  => resolution
thermometers add --name p --resolution 1F --accuracy -2F  => accuracy
thermometers add --name p --resolution 1F --accuracy 2F --lag -3  => lag
bakes score 2026-03-21-wall-oven 1=4 --wanted -4  => --wanted
rise --known 60min@75F --at 85F --dough yeast --ready-at 17:00 --heat-min -1  => --heat-min
recipes add --name x --temperature 350F --minutes 9 --kind thin-cookie --pieces -4x3  => --pieces
recipes add --name x --temperature 350F --minutes 9 --kind thin-cookie --tray -4x3in  => --tray
";

/// What is wrong with a figure below nothing is said by whoever reads it, with its option and value.
#[test]
fn figures_below_nothing_are_refused_by_their_readers() {
    let k = Kitchen::demo();
    for row in BELOW_NOTHING.lines() {
        let (line, option) = row
            .split_once("  => ")
            .expect("a command line and what is named");
        let answer = k.say(line);
        assert_eq!(answer.code, Some(2), "{line}\n{}", answer.out);
        let said = &answer.err;
        assert!(!said.contains("unexpected argument"), "{line}\n{said}");
        assert!(said.contains(option), "{line}\n{said}");
    }
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
    for line in ["man", "completions bash", "try"] {
        k.say(format!("{line} --json"))
            .refused("has no JSON form", "--json");
    }
    k.say("man mop").refused("'mop' is no verb", "mop");
}
