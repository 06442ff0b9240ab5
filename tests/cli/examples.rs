//! Every example of every help text does what it says on the demo kitchen.

use crate::kit::{Kitchen, program, words};
use std::process::Output;

/// Examples that need more than the demo kitchen holds, by a word in them.
const NEEDS_MORE: [&str; 3] = [".csv", ".jpg", "bakes learn"];

/// Returns the words that a help text lists as its verbs.
fn verbs(help: &str) -> Vec<String> {
    let listed = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    listed
        .take_while(|line| !line.is_empty())
        .filter_map(|line| line.strip_prefix("  "))
        // What a verb does may go on in a line of its own, further in.
        .filter(|line| !line.starts_with(' '))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|verb| *verb != "help")
        .map(str::to_owned)
        .collect()
}

/// Returns the examples of a help text, without what they are piped or sent into.
fn examples(help: &str) -> Vec<String> {
    help.lines()
        .filter_map(|line| line.strip_prefix("  rackshade "))
        .map(|line| {
            let end = line.find([';', '|', '>', '(']).unwrap_or(line.len());
            line[..end].trim().to_owned()
        })
        .collect()
}

fn run(k: &Kitchen, line: &str) -> Output {
    program()
        .current_dir(k.beside(""))
        .arg("--data")
        .arg(k.path())
        .args(words(line))
        .output()
        .unwrap()
}

/// A demo kitchen with a file of it beside.
fn kitchen() -> Kitchen {
    let k = Kitchen::demo();
    let out = run(&k, "export --out kitchen.json");
    assert!(out.status.success());
    k
}

/// An example works after those before it in its verb, or by itself.
#[test]
fn every_example_that_the_demo_kitchen_can_show_works() {
    let help = |line: &str| Kitchen::empty().say(format!("{line} --help")).done();
    let (mut shown, mut left_out) = (0, 0);
    let whole = help("");
    for verb in verbs(&whole) {
        let k = kitchen();
        let of_verb = help(&verb);
        let below = verbs(&of_verb);
        let below = below.iter().map(|word| help(&format!("{verb} {word}")));
        let texts: Vec<String> = std::iter::once(of_verb.clone()).chain(below).collect();
        for line in texts.iter().flat_map(|text| examples(text)) {
            if NEEDS_MORE.iter().any(|word| line.contains(word)) {
                left_out += 1;
                continue;
            }
            let answers = |output: &Output| matches!(output.status.code(), Some(0 | 1));
            let first = run(&k, &line);
            if !answers(&first) {
                let alone = run(&kitchen(), &line);
                let said = String::from_utf8_lossy(&first.stderr);
                assert!(answers(&alone), "rackshade {line}\n{said}");
            }
            shown += 1;
        }
    }
    assert!(shown >= 70, "{shown}");
    assert!(left_out <= 25, "{left_out}");
}
