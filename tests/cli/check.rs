//! A quick check of an oven with a few slices.

use crate::kit::Kitchen;
use std::fs;

const WALL: &str = "check --oven wall-oven --racks 2";

fn map_of_the_wall_oven(k: &Kitchen) -> serde_json::Value {
    k.say("map --oven wall-oven --mode still-air --json").json()
}

/// The shades the map expects on the places of a check, to half steps; one corner may be browned further.
fn scores(k: &Kitchen, laid: &serde_json::Value, further: f64) -> String {
    let map = map_of_the_wall_oven(k);
    let racks = map["racks"].as_array().unwrap();
    let here = &laid["slices"][0]["rack"];
    let rack = racks.iter().find(|r| r["rack"] == *here).unwrap();
    let grid = |key: &str| rack["grid"][key].as_f64().unwrap();
    let (cols, rows) = (grid("cols"), grid("rows"));
    let (width, depth) = (
        map["width_cm"].as_f64().unwrap(),
        map["depth_cm"].as_f64().unwrap(),
    );
    let slices = laid["slices"].as_array().unwrap();
    slices.iter().fold(String::new(), |typed, s| {
        let (x, y) = (s["x_cm"].as_f64().unwrap(), s["y_cm"].as_f64().unwrap());
        let (i, j) = (whole(x / width * cols), whole((1.0 - y / depth) * rows));
        // a shade is ln(84 / 25) / 9 of browning
        let known = rack["browning_mean"][j][i].as_f64().unwrap() / 0.1347;
        let far = (x / width).hypot((depth - y) / depth) / 0.35;
        let shade = known + further * (-0.5 * far * far).exp();
        let half = whole((2.0 * shade).round());
        let step = if half % 2 == 1 { "+" } else { "" };
        format!("{typed}{}{step}", half / 2)
    })
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small figures, not negative"
)]
fn whole(figure: f64) -> usize {
    figure as usize
}

#[test]
fn it_shows_where_to_lay_and_what_the_slices_can_show() {
    let k = Kitchen::demo();
    let laid = k.say(format!("{WALL} --json")).json();
    let slices = laid["slices"].as_array().unwrap();
    assert_eq!(slices.len(), 6);
    assert!(slices.iter().all(|s| s["rack"] == 2));
    let (few, full) = (&laid["shows_shade"], &laid["full_shows_shade"]);
    assert!(few.as_f64().unwrap() > full.as_f64().unwrap(), "{laid}");
    assert!(laid["known"].as_str().unwrap().contains("2026-04-11"));
    let minutes = ["minutes_lo", "minutes_hi", "minutes_before"].map(|key| laid[key].as_f64());
    assert!(minutes[0].is_some() && minutes == [minutes[0]; 3], "{laid}");
    k.say(format!("{WALL} --slice 13x12"))
        .refused("a slice width", "--slice 13x12");
    k.say(format!("{WALL} --slices 9"))
        .refused("no quick check", "--slices 9");
    let text = k.say(WALL).done();
    assert!(text.contains("Lay 6 slices on rack 2"), "{text}");
    assert!(text.contains("catch fire"), "{text}");
    // an oven without a test in its mode is looked at for the first time
    let first = k.say("check --oven counter-oven --mode top-only --json");
    let first = first.json();
    assert!(
        first["known"].as_str().unwrap().contains("No earlier test"),
        "{first}"
    );
    assert_eq!(first["slices"].as_array().unwrap().len(), 6);
    assert!(first["shows_shade"].is_null(), "{first}");
}

/// The example with scores has one for each slice.
#[test]
fn the_example_of_its_help_is_taken() {
    let k = Kitchen::demo();
    let help = k.say("check --help").done();
    let example = help
        .lines()
        .find(|l| l.starts_with("  rackshade") && l.contains("--scores"));
    let line = example.unwrap().replace("rackshade", "");
    assert!(k.say(line).done().contains("(6 slices, kept as"));
}

#[test]
fn an_oven_as_before_and_one_whose_corner_became_hotter_are_told_apart() {
    for (further, answer) in [(0.0, "as-before"), (2.5, "changed")] {
        let k = Kitchen::demo();
        let laid = k.say(format!("{WALL} --json")).json();
        let shades = scores(&k, &laid, further);
        let before = k.say("tests --json").json()["tests"]
            .as_array()
            .unwrap()
            .len();
        let told = k
            .say(format!("{WALL} --minutes 12 --scores {shades} --json"))
            .json();
        assert_eq!(told["answer"], answer, "{shades}: {told}");
        if further > 0.0 {
            assert_eq!(told["part"]["place"], "back-left", "{told}");
            assert!(told["says"].as_str().unwrap().contains("hotter"), "{told}");
        }
        let after = k.say("tests --json").json()["tests"]
            .as_array()
            .unwrap()
            .len();
        assert_eq!(after, before + 1, "its slices are kept");
        let test = told["test"].as_str().unwrap();
        // As a check that was laid out on the screen stands until it is answered.
        let file = k.path().join(format!("tests/{test}.json"));
        let stored = fs::read_to_string(&file).unwrap();
        let unanswered = stored.replace("quick check: changed", "quick check");
        fs::write(&file, unanswered).unwrap();
        let again = k
            .run(&["check", "--oven", "wall-oven", "--test", test, "--json"])
            .json();
        assert_eq!(again["answer"], answer, "the same when asked again");
        // What it found is said wherever the tests before it are gone by.
        let map = k.say("map --oven wall-oven --json").json();
        let plan = k.say("plan --oven wall-oven --kind thin-cookie --json");
        let plan = plan.json();
        for face in [map, plan] {
            let said = face["warnings"].to_string();
            assert_eq!(
                said.contains("found signs of a change"),
                further > 0.0,
                "{said}"
            );
        }
        let life = k.say("history wall-oven").done();
        assert_eq!(life.contains("found a change"), further > 0.0, "{life}");
    }
}

/// The racks of an oven brown unlike, so the mean of all of them is no measure for one; and what 350 F gave is too dark for
/// the 325 F of the newest test, which came out a shade and a half lighter in as many minutes.
#[test]
fn slices_as_brown_as_before_on_their_rack_are_called_neither_darker_nor_lighter() {
    for rack in [2, 4, 5] {
        let k = Kitchen::demo();
        let check = format!("check --oven wall-oven --racks {rack} --json");
        let shades = scores(&k, &k.say(&check).json(), 0.0);
        for (dial, is_said) in [("350F", false), ("325F", true)] {
            let asked = format!("{check} --dial {dial} --minutes 9.5 --scores {shades}");
            let said = k.say(asked).json()["reasons"].to_string();
            let darker = said.contains("All slices came out");
            assert_eq!(darker, is_said, "{dial} {shades}: {said}");
        }
    }
}

#[test]
fn what_is_no_quick_check_is_refused_with_what_to_do() {
    let k = Kitchen::demo();
    let refused = |more: &str, what: &str, place: &str| {
        k.say(format!("{WALL} {more}")).refused(what, place);
    };
    refused("--slices 2", "no quick check", "--slices 2");
    refused("--slices 12", "no quick check", "--slices 12");
    refused("--scores 44", "2 scores for 6 slices", "--scores 44");
    refused("--scores 44x444", "x", "--scores");
    refused(
        "--scores 444444 --minutes 0",
        "no time for a toast test",
        "--minutes 0",
    );
    k.say("check --oven counter-oven --test 2026-04-11-wall-oven")
        .refused("not of", "--test 2026-04-11-wall-oven");
}

#[test]
fn slices_that_are_burnt_all_over_are_refused_and_one_burnt_slice_is_named() {
    let k = Kitchen::demo();
    let tests = || k.say("tests --json").json().to_string();
    let before = tests();
    k.say(format!("{WALL} --minutes 12 --scores 999999"))
        .refused("6 of 6 slices are as good as burnt", "999999");
    assert_eq!(tests(), before, "nothing is kept");
    let said = k.say(format!("{WALL} --scores 444494")).done();
    assert!(
        said.contains("Slice 5 is as good as burnt: look at "),
        "{said}"
    );
    assert!(said.contains("The others by themselves: "), "{said}");
    assert!(said.contains("(5 slices, kept as "), "{said}");
    let told = k.say(format!("{WALL} --scores 444494 --json")).json();
    assert_eq!(told["scored"], 5, "{told}");
}

/// What is tested between laying and answering may move the usual rack.
#[test]
fn scores_name_the_rack_they_are_of() {
    let k = Kitchen::demo();
    let laid = k.say("check --oven wall-oven").done();
    let answer = "rackshade check --oven wall-oven --mode still-air --racks 4 --slices 6 \
                  --minutes MINUTES --scores SHADES";
    assert!(laid.contains(answer), "{laid}");
    let unnamed = k.say("check --oven wall-oven --scores 444444");
    assert!(unnamed.err.contains("add --racks 4"), "{}", unnamed.err);
    unnamed.refused("do not say which rack", "--scores 444444");
    let typed = answer.replace("rackshade ", "").replace("MINUTES", "9");
    let said = k.say(typed.replace("SHADES", "444444")).done();
    assert!(said.contains("Rack 4, slices at "), "{said}");
}

#[test]
fn a_test_that_is_burnt_all_over_leaves_the_map_of_the_others_as_it_was() {
    let k = Kitchen::demo();
    let before = map_of_the_wall_oven(&k);
    let made = k.say("tests new --oven wall-oven --racks 2 --json").json();
    let id = made["id"].as_str().unwrap();
    let burnt = "9".repeat(made["slices"].as_array().unwrap().len());
    k.run(&["score", id, "--rack", "2", &burnt]).done();
    let after = map_of_the_wall_oven(&k);
    assert_eq!(before["racks"], after["racks"]);
    assert!(
        after["warnings"]
            .to_string()
            .contains("as good as burnt or pale all over"),
        "{}",
        after["warnings"]
    );
}

#[test]
fn a_quick_check_does_not_put_off_the_full_test() {
    let k = Kitchen::demo();
    let due = || {
        let told = k.say("history wall-oven --json").json();
        (
            told["test_again_from"].clone(),
            told["test_again_why"].clone(),
        )
    };
    let before = due();
    k.say(format!("{WALL} --scores 444444")).done();
    assert_eq!(due(), before);
    assert!(before.0.is_string() && before.1.is_string(), "{before:?}");
}

#[test]
fn a_quick_check_changes_nothing_that_the_full_tests_say() {
    let k = Kitchen::demo();
    let told = || {
        let history = k.run(&["history", "wall-oven", "--json"]).json();
        let (map, points) = (map_of_the_wall_oven(&k), &history["evenness"]);
        let first = points.as_array().map(|p| p[..3].to_vec());
        (map["racks"].clone(), map["zones"].clone(), first.unwrap())
    };
    let before = told();
    // toasted at the usual setting though another was asked for: all is darker, and no oven is cooler for that
    for (scores, slip) in [("333333", false), ("777776", true), ("444333", false)] {
        let check = [
            "check",
            "--oven",
            "wall-oven",
            "--racks",
            "4",
            "--minutes",
            "9.5",
        ];
        let said = k.run(&[&check[..], &["--scores", scores]].concat()).done();
        assert_eq!(
            said.contains("darker than this dial and time gave before"),
            slip,
            "{said}"
        );
        assert!(before == told(), "after {scores}");
    }
}

#[test]
fn what_the_slices_cannot_be_laid_with_is_named() {
    let k = Kitchen::demo();
    k.say("check --oven wall-oven --racks 7 --slices 6")
        .refused("no rack position 7", "--racks 7");
    k.say("check --oven wall-oven --racks 2 --slices 60")
        .refused("60 slices are no quick check", "--slices 60");
    k.say("check --oven wall-oven --racks 2 --slices 6 --dial 350C")
        .refused("is not on this oven's dial", "--dial 350C");
    k.say("layout --oven wall-oven --racks 2 --dial 350C")
        .refused("is not on this oven's dial", "--dial 350C");
}
