//! `score`: a line, a CSV file, or key by key.

use crate::kit::{COUNTER, Kitchen};
use std::fs;

#[test]
fn scores_come_from_csv_and_a_wrong_line_changes_nothing() {
    let k = Kitchen::demo();
    let good = k.file("scores.csv", "rack,row,col,shade\n2,1,2,4.5\n2,1,3,-\n");
    assert!(
        k.run(&["score", COUNTER, "--csv", &good])
            .done()
            .contains("8 of 12 slices scored")
    );
    let stored = k.path().join("tests").join(format!("{COUNTER}.json"));
    let before = fs::read_to_string(&stored).unwrap();
    let bad = k.file("bad.csv", "slice,shade\n9,4\n10,red\n");
    k.run(&["score", COUNTER, "--csv", &bad])
        .refused("line 3, column shade: 'red'", "bad.csv");
    k.run(&["score", COUNTER, "--csv", "/no/such.csv"])
        .refused("cannot read", "/no/such.csv");
    k.run(&["score", COUNTER])
        .refused("something is missing", "");
    k.run(&["score", COUNTER, "345"])
        .refused("something is missing", "--rack");
    // A row may begin without a slice.
    let minus = k.run(&["score", COUNTER, "--rack", "2", "-4"]);
    minus.refused("2 scores were given", "--rack 2");
    k.say("score nothing --stdin")
        .refused("there is no toast test 'nothing'", "nothing");
    assert_eq!(fs::read_to_string(&stored).unwrap(), before);
}

#[test]
fn keys_are_answered_one_by_one_and_a_wrong_one_is_told() {
    let k = Kitchen::demo();
    let answer = k.score("4\n+\nq\n.\nu\n@1\n<\n\n7\n");
    assert_eq!(answer.code, Some(1), "one key was refused");
    let lines: Vec<_> = answer.out.lines().collect();
    assert_eq!(lines.len(), 8, "{}", answer.out);
    assert_eq!((lines[0], lines[1], lines[7]), ("ok 1", "ok 2", "ok 8"));
    assert!(lines[2].starts_with("no 3 'q' is no key"), "{}", lines[2]);
    let shown = k.run(&["tests", "show", COUNTER, "--json"]).json();
    let shade = |i: usize| shown["slices"][i]["shade"].as_f64();
    assert_eq!((shade(7), shade(8), shade(0)), (Some(4.5), None, Some(7.0)));
    let all = k.score("@9\n4\n4\n4\n4\n");
    assert_eq!(all.code, Some(0), "{}", all.out);
}

#[test]
fn a_half_step_after_nine_is_answered_no() {
    let k = Kitchen::demo();
    let answer = k.score("9\n+\n");
    assert_eq!(answer.code, Some(1), "{}", answer.out);
    let last = answer.out.lines().last().unwrap();
    assert!(
        last.starts_with("no 2 shade 9 is the darkest on the card"),
        "{last}"
    );
}

#[test]
fn scores_that_are_replaced_are_named() {
    let k = Kitchen::demo();
    let id = "2026-04-11-wall-oven";
    let row = |typed: &str| k.run(&["score", id, "--rack", "4", typed]).done();
    row("5555 5555 4444");
    let said = row("5555 5565 4444");
    assert!(said.contains("1 earlier score replaced: slice "), "{said}");
    assert!(said.contains(" was 5.0"), "{said}");
    assert!(!row("5555 5565 4444").contains("replaced"));
}
