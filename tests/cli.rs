//! The command line from outside: every verb's ordinary use, its wrong uses, and how it ends.

#![expect(
    clippy::disallowed_methods,
    reason = "a test writes its own input files"
)]
#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use serde_json::Value;
use std::{
    fs,
    io::Write,
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
};

struct Kitchen {
    folder: tempfile::TempDir,
}

struct Answer {
    code: Option<i32>,
    out: String,
    err: String,
}

impl Answer {
    fn of(output: Output) -> Self {
        Self {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    #[track_caller]
    fn done(self) -> String {
        assert_eq!(self.code, Some(0), "{}\n{}", self.out, self.err);
        self.out
    }

    #[track_caller]
    fn json(self) -> Value {
        serde_json::from_str(&self.done()).unwrap()
    }

    /// Ends with 2 and tells, in three lines, what is wrong, with which value, and what to do.
    #[track_caller]
    fn refused(self, what: &str, value: &str) {
        assert_eq!(self.code, Some(2), "{}\n{}", self.out, self.err);
        let lines: Vec<_> = self
            .err
            .lines()
            .filter(|l| !l.starts_with("note:"))
            .collect();
        assert_eq!(lines.len(), 3, "{}", self.err);
        assert!(
            lines[0].starts_with("error: ") && lines[0].contains(what),
            "{}",
            self.err
        );
        assert!(
            lines[1].starts_with("value: ") && lines[1].contains(value),
            "{}",
            self.err
        );
        assert!(
            lines[2].starts_with("hint:  ") && lines[2].len() > 12,
            "{}",
            self.err
        );
        assert!(!self.err.contains("panicked"), "{}", self.err);
    }
}

fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_rackshade"));
    command.env_remove("RACKSHADE_DATA").env_remove("NO_COLOR");
    command
}

fn demo_data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data")
}

impl Kitchen {
    fn empty() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    /// A copy of the demo kitchen.
    fn demo() -> Self {
        let kitchen = Self::empty();
        let mut copied = 0;
        for part in ["ovens", "tests", "bakes"] {
            fs::create_dir(kitchen.path().join(part)).unwrap();
            for entry in fs::read_dir(demo_data().join(part)).unwrap() {
                let entry = entry.unwrap();
                fs::copy(
                    entry.path(),
                    kitchen.path().join(part).join(entry.file_name()),
                )
                .unwrap();
                copied += 1;
            }
        }
        assert_eq!(copied, 11);
        kitchen
    }

    fn path(&self) -> &Path {
        self.folder.path()
    }

    fn run(&self, args: &[&str]) -> Answer {
        Answer::of(
            program()
                .arg("--data")
                .arg(self.path())
                .args(args)
                .output()
                .unwrap(),
        )
    }

    fn feed(&self, args: &[&str], input: &str) -> Answer {
        let mut child = program()
            .arg("--data")
            .arg(self.path())
            .args(args)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child
            .stdin
            .take()
            .unwrap()
            .write_all(input.as_bytes())
            .unwrap();
        Answer::of(child.wait_with_output().unwrap())
    }

    fn file(&self, name: &str, text: &str) -> String {
        let path = self.path().join(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    }
}

const WALL: &str = "2026-04-10-wall-oven";
const COUNTER: &str = "2026-04-12-counter-oven";

#[test]
fn ovens_are_added_listed_shown_visited_and_removed() {
    let k = Kitchen::empty();
    assert!(k.run(&["ovens"]).done().contains("no oven yet"));
    assert!(
        k.run(&["ovens", "templates"])
            .done()
            .contains("gas-range-slide-in")
    );
    let added = k.run(&[
        "ovens",
        "add",
        "--from",
        "built-in-60-cm",
        "--name",
        "Left oven",
        "--width",
        "45cm",
        "--racks",
        "4, 10, 17",
        "--json",
    ]);
    let added = added.json();
    assert_eq!(
        (&added["id"], &added["width_cm"]),
        (&"left-oven".into(), &45.0.into())
    );
    assert_eq!(added["racks"][2]["height_cm"], 17.0);
    assert_eq!(
        k.run(&["ovens", "--json"]).json()["ovens"]
            .as_array()
            .unwrap()
            .len(),
        1
    );
    let shown = k.run(&["ovens", "show", "left oven"]).done();
    assert!(
        shown.contains("45 cm wide") && shown.contains("30 C to 250 C"),
        "{shown}"
    );
    let visit = [
        "ovens",
        "visit",
        "left-oven",
        "--date",
        "2026-04-02",
        "--what",
        "new seal",
    ];
    assert!(k.run(&visit).done().contains("2026-04-02: new seal"));
    k.run(&["ovens", "remove", "left-oven"]).done();
    assert!(k.path().join("removed/left-oven.json").exists());
    assert!(k.run(&["ovens"]).done().contains("no oven yet"));
}

#[test]
fn wrong_ovens_are_refused_with_the_value() {
    let k = Kitchen::empty();
    let add = |more: &[&str]| {
        let mut args = vec!["ovens", "add", "--from", "built-in-60-cm"];
        args.extend(more);
        k.run(&args)
    };
    k.run(&["ovens", "add", "--from", "castle"])
        .refused("'castle' is no oven template", "castle");
    add(&["--width", "wide"]).refused("'wide' is not a number", "wide");
    add(&["--width", "500cm"]).refused("width of 500.0 cm", "500cm");
    add(&["--racks", "10cm,4cm"]).refused("rack position 2", "10cm,4cm");
    add(&["--modes", "steam"]).refused("'steam' is not known", "steam");
    add(&["--dial-unit", "K"]).refused("invalid value 'K'", "--dial-unit");
    k.run(&["ovens", "show", "none"])
        .refused("there is no oven 'none'", "oven none");
    k.run(&["ovens", "visit", "x", "--date", "soon", "--what", "y"])
        .refused("'soon'", "--date");
    assert!(!k.path().join("ovens/60-cm-built-in-oven.json").exists());
}

#[test]
fn a_test_is_laid_out_scored_in_one_line_and_shown() {
    let k = Kitchen::demo();
    let new = k.run(&[
        "tests",
        "new",
        "--oven",
        "wall-oven",
        "--mode",
        "fan",
        "--racks",
        "2,4",
        "--counts",
        "4x3",
        "--dial",
        "325F",
        "--minutes",
        "10",
        "--when",
        "2026-05-01T09:00",
        "--json",
    ]);
    let new = new.json();
    assert_eq!(new["id"], "2026-05-01-wall-oven");
    assert_eq!((&new["slices"], &new["mode"]), (&24.into(), &"fan".into()));
    let id = "2026-05-01-wall-oven";
    let scored = k.run(&["score", id, "--rack", "4", "5544 4.544 443.", "--json"]);
    scored.refused("rack 4 has 12 slices but 11 scores were given", "--rack 4");
    k.run(&["score", id, "--rack", "4", "5544 54.544 443x"])
        .refused("'x' at place 16", "443x");
    let scored = k
        .run(&["score", id, "--rack", "4", "5544 54.544 443.", "--json"])
        .json();
    assert_eq!(
        (&scored["scored"], &scored["next_slice"]),
        (&11.into(), &1.into())
    );
    let slices = scored["slice_list"].as_array().unwrap();
    let shades: Vec<_> = slices[12..].iter().map(|s| s["shade"].as_f64()).collect();
    assert_eq!(shades[5], Some(4.5));
    assert_eq!(slices[23]["state"], "skipped");
    assert!(k.run(&["tests", "show", id]).done().contains("shade 4.5"));
    assert!(
        k.run(&["tests", "--oven", "wall-oven"])
            .done()
            .contains("11 of 24")
    );
    assert_eq!(
        k.run(&["tests", "list", "--json"]).json()["tests"]
            .as_array()
            .unwrap()
            .len(),
        9
    );
    k.run(&["tests", "remove", id]).done();
    k.run(&["tests", "show", id])
        .refused("there is no toast test", id);
    assert!(k.path().join("removed").join(format!("{id}.json")).exists());
}

#[test]
fn layouts_are_drawn_up_and_wrong_ones_refused() {
    let k = Kitchen::demo();
    let layout = |more: &[&str]| {
        let mut args = vec!["layout", "--oven", "wall-oven"];
        args.extend(more);
        k.run(&args)
    };
    let text = layout(&["--racks", "2,4"]).done();
    assert!(
        text.contains("dial at 350 F: 11 to 16 min") && text.contains("Stay with the oven"),
        "{text}"
    );
    let laid = layout(&["--racks", "4", "--slice", "4x4in", "--json"]).json();
    let slices = laid["slices"].as_array().unwrap();
    assert_eq!(slices.len() as u64, laid["per_rack"].as_u64().unwrap());
    assert!(slices.len() >= 12);
    for slice in slices {
        let (x, y) = (
            slice["x_cm"].as_f64().unwrap(),
            slice["y_cm"].as_f64().unwrap(),
        );
        // 5 cm of air and half a slice of 4 in to every wall of 63.5 x 48.26 cm.
        assert!(
            (10.0..=53.5).contains(&x) && (10.0..=38.3).contains(&y),
            "{x} {y}"
        );
    }
    layout(&["--racks", "9"]).refused("no rack position 9", "layout");
    layout(&["--racks", "2", "--slice", "big"]).refused("'big'", "--slice big");
    layout(&["--racks", "2", "--mode", "steam"]).refused("'steam'", "--mode");
    layout(&["--racks", "2", "--slice", "90x90cm"]).refused("90", "90x90cm");
    k.run(&["layout", "--oven", "wall-oven"])
        .refused("required", "--racks");
}

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
    k.run(&["score", COUNTER]).refused("required", "");
    k.run(&["score", COUNTER, "345"])
        .refused("required", "--rack");
    k.run(&["score", "nothing", "--stdin"])
        .refused("there is no toast test 'nothing'", "nothing");
    assert_eq!(fs::read_to_string(&stored).unwrap(), before);
}

#[test]
fn keys_are_answered_one_by_one_and_a_wrong_one_is_told() {
    let k = Kitchen::demo();
    let answer = k.feed(
        &["score", COUNTER, "--stdin"],
        "4\n+\nq\n.\nu\n@1\n<\n\n7\n",
    );
    assert_eq!(answer.code, Some(1), "one key was refused");
    let lines: Vec<_> = answer.out.lines().collect();
    assert_eq!(lines.len(), 8, "{}", answer.out);
    assert_eq!((lines[0], lines[1], lines[7]), ("ok 1", "ok 2", "ok 8"));
    assert!(lines[2].starts_with("no 3 'q' is no key"), "{}", lines[2]);
    let shown = k.run(&["tests", "show", COUNTER, "--json"]).json();
    let shade = |i: usize| shown["slice_list"][i]["shade"].as_f64();
    assert_eq!((shade(7), shade(8), shade(0)), (Some(4.5), None, Some(7.0)));
    let all = k.feed(&["score", COUNTER, "--stdin"], "@9\n4\n4\n4\n4\n");
    assert_eq!(all.code, Some(0), "{}", all.out);
}

#[test]
fn a_map_of_samples_keeps_the_contract() {
    let k = Kitchen::empty();
    let samples = demo_data().join("samples.csv");
    let map = |more: &[&str]| {
        let mut args = vec!["map", "--samples", samples.to_str().unwrap()];
        args.extend(more);
        k.run(&args)
    };
    let size = ["--width-cm", "63.5", "--depth-cm", "48.26"];
    let json = map(&[&size[..], &["--grid", "12x9", "--json"]].concat()).json();
    let racks = json["racks"].as_array().unwrap();
    let numbers: Vec<_> = racks.iter().map(|r| r["rack"].as_u64().unwrap()).collect();
    assert!(numbers.contains(&2) && numbers.contains(&4), "{numbers:?}");
    for rack in racks {
        assert_eq!(
            (&rack["grid"]["cols"], &rack["grid"]["rows"]),
            (&12.into(), &9.into())
        );
        let cell = |key: &str, row: usize, col: usize| rack[key][row][col].as_f64().unwrap();
        for key in [
            "browning_mean",
            "browning_sd",
            "lightness_mean",
            "lightness_lo",
            "lightness_hi",
        ] {
            let rows = rack[key].as_array().unwrap();
            assert_eq!(rows.len(), 9, "{key}");
            assert!(
                rows.iter().all(|r| r.as_array().unwrap().len() == 12),
                "{key}"
            );
        }
        for (row, col) in [(0, 0), (4, 6), (8, 11)] {
            let (b, sd) = (
                cell("browning_mean", row, col),
                cell("browning_sd", row, col),
            );
            assert!((cell("lightness_mean", row, col) - 84.0 * (-b).exp()).abs() < 1e-9);
            assert!(sd > 0.0);
            assert!(cell("lightness_lo", row, col) < cell("lightness_mean", row, col));
            assert!(cell("lightness_hi", row, col) > cell("lightness_mean", row, col));
        }
        for key in ["zones", "evenness"] {
            assert!(!rack[key].is_null(), "{key}");
        }
        if rack["rack"] == 4 {
            // The back-left of rack 4 is the oven's hot corner; row 0 is the back.
            assert!(cell("browning_mean", 0, 0) > cell("browning_mean", 8, 11) + 0.1);
        }
    }
    for key in ["zones", "warnings", "noise_sd", "evenness"] {
        assert!(!json[key].is_null(), "{key}");
    }
    let hot = json["zones"]
        .as_array()
        .unwrap()
        .iter()
        .find(|z| z["kind"] == "hot")
        .unwrap();
    assert_eq!(
        (&hot["rack"], &hot["name"]),
        (&4.into(), &"back-left".into())
    );
    for key in [
        "centre_cm",
        "area_cm2",
        "probability",
        "peak_shade",
        "peak_c",
        "cells",
    ] {
        assert!(!hot[key].is_null(), "{key}");
    }
    assert!(map(&size).done().contains("door"));
    map(&["--width-cm", "63.5"]).refused("required", "--depth-cm");
    map(&[&size[..], &["--grid", "0x9"]].concat()).refused("invalid value '0x9'", "--grid");
    map(&["--width-cm", "5", "--depth-cm", "48"]).refused("width of 5 cm", "samples.csv");
}

#[test]
fn wrong_samples_are_refused_by_line_column_and_value() {
    let k = Kitchen::empty();
    let cases = [
        (
            "rack,x_cm,y_cm,shade\n2,10,10,3\n2,90,10,3\n",
            "line 3, column x_cm: '90'",
        ),
        (
            "rack,x_cm,y_cm,lightness\n2,10,10,dark\n",
            "line 2, column lightness: 'dark'",
        ),
        (
            "rack,x_cm,y_cm\n2,10,10\n",
            "'shade' or 'lightness' is missing",
        ),
        ("rack,x_cm,y_cm,shade\n", "no sample"),
        ("", "is missing"),
    ];
    for (text, expected) in cases {
        let path = k.file("samples.csv", text);
        k.run(&[
            "map",
            "--samples",
            &path,
            "--width-cm",
            "60",
            "--depth-cm",
            "45",
        ])
        .refused(expected, "samples.csv");
    }
    k.run(&[
        "map",
        "--samples",
        "/no.csv",
        "--width-cm",
        "60",
        "--depth-cm",
        "45",
        "--json",
    ])
    .refused("cannot read /no.csv", "/no.csv");
}

#[test]
fn a_map_of_stored_tests_is_printed_and_written_as_json() {
    let k = Kitchen::demo();
    let text = k.run(&["map", "--oven", "wall-oven"]).done();
    assert!(text.contains("back-left") && text.contains(" F"), "{text}");
    assert!(text.is_ascii());
    let json = k
        .run(&["map", "--test", WALL, "--grid", "8x6", "--json"])
        .json();
    assert_eq!(json["racks"][0]["grid"]["cols"], 8);
    let json = k.run(&[
        "map",
        "--oven",
        "wall-oven",
        "--mode",
        "fan",
        "--grid",
        "8x6",
        "--json",
    ]);
    let warnings = json.json()["warnings"].to_string();
    assert!(
        warnings.contains("older than the service visit"),
        "{warnings}"
    );
    k.run(&["map"]).refused("nothing was named", "map");
    k.run(&["map", "--oven", "wall-oven", "--mode", "proofing"])
        .refused("no scored toast test in mode proofing", "proofing");
    k.run(&["map", "--oven", "none"])
        .refused("there is no oven 'none'", "--oven none");
    k.run(&["map", "--test", "none"])
        .refused("there is no toast test 'none'", "--test none");
}

#[test]
fn a_plan_keeps_the_contract() {
    let k = Kitchen::demo();
    let plan = |more: &[&str]| {
        let mut args = vec!["plan", "--oven", "wall-oven", "--kind", "thin-cookie"];
        args.extend(more);
        k.run(&args)
    };
    let json = plan(&["--trays", "2", "--openings", "2", "--json"]).json();
    let segments = json["segments"].as_array().unwrap();
    assert_eq!(
        json["openings"].as_u64().unwrap() + 1,
        segments.len() as u64
    );
    assert_eq!(segments[0]["from_min"], 0.0);
    assert_eq!(segments[segments.len() - 1]["to_min"], json["bake_min"]);
    let trays = segments[0]["trays"].as_array().unwrap();
    assert_eq!(trays.len(), 2);
    for key in ["tray", "rack", "turned", "shift_cm"] {
        assert!(!trays[0][key].is_null(), "{key}");
    }
    for key in [
        "dial",
        "steps_to_dial",
        "spread_shade",
        "sd_shade",
        "unturned",
        "halfway",
    ] {
        assert!(!json[key].is_null(), "{key}");
    }
    let openings: Vec<_> = json["alternatives"]
        .as_array()
        .unwrap()
        .iter()
        .map(|a| a["openings"].as_u64().unwrap())
        .collect();
    assert_eq!(openings, [0, 1, 2]);
    assert!(
        plan(&["--trays", "1", "--openings", "1"])
            .done()
            .contains(" F")
    );
    let samples = demo_data().join("samples.csv");
    let on_samples = k.run(&[
        "plan",
        "--samples",
        samples.to_str().unwrap(),
        "--width-cm",
        "63.5",
        "--depth-cm",
        "48.26",
        "--kind",
        "sheet-cake",
        "--json",
    ]);
    assert!(on_samples.json()["bake_min"].as_f64().unwrap() >= 30.0);
    // Untested: the trade's defaults still make a plan.
    let untested = k.run(&[
        "plan",
        "--oven",
        "counter-oven",
        "--mode",
        "top-only",
        "--kind",
        "dinner-roll",
        "--tray",
        "30x20cm",
        "--json",
    ]);
    assert!(untested.json()["advice"].to_string().len() > 10);
    k.run(&["plan", "--oven", "wall-oven", "--kind", "stew"])
        .refused("'stew' is no kind of bake", "--kind stew");
    plan(&["--trays", "4"]).refused("invalid value '4'", "--trays");
    plan(&["--openings", "5"]).refused("invalid value '5'", "--openings");
    plan(&["--tray", "huge"]).refused("'huge'", "--tray huge");
    plan(&["--tray", "90x90cm"]).refused("90", "90x90cm");
    plan(&["--recipe", "hot"]).refused("'hot' is not a number", "--recipe hot");
    plan(&["--pieces", "0x3"]).refused("invalid value '0x3'", "--pieces");
    k.run(&["plan", "--kind", "thin-cookie"])
        .refused("nothing was named", "plan");
}

/// What a plan is asked for is read back, bare figures are in the oven's own unit, and the map's warnings come along.
#[test]
fn a_plan_says_what_it_was_asked_and_what_speaks_against_it() {
    let k = Kitchen::demo();
    let wall = ["plan", "--oven", "wall-oven", "--kind", "choux"];
    let plan = |more: &[&str]| k.run(&[&wall[..], more].concat());
    let text = plan(&["--tray", "18x13", "--openings", "1"]).done();
    let first = text.lines().next().unwrap();
    assert!(
        first.starts_with("wall oven, still air: choux puffs, 1 tray of 18 in x 13 in, 4 x 3"),
        "{text}"
    );
    let json = plan(&["--openings", "0", "--json"]).json();
    let warnings = json["warnings"].as_array().unwrap();
    assert!(!warnings.is_empty());
    for (i, warning) in warnings.iter().enumerate() {
        let said = format!("Careful: {}.", warning.as_str().unwrap());
        assert_eq!(json["advice"][i], said);
    }
    plan(&["--recipe", "180"]).refused("nothing browns below 221 F", "plan");
    plan(&["--pieces", "13x3"]).refused("13 x 3 pieces", "plan");
    // Where the mode taken by default was not tested, the tested ones are named.
    for entry in fs::read_dir(k.path().join("tests")).unwrap() {
        let path = entry.unwrap().path();
        if fs::read_to_string(&path).unwrap().contains("still-air") {
            fs::remove_file(path).unwrap();
        }
    }
    let json = plan(&["--openings", "0", "--json"]).json();
    let advice = json["advice"][0].as_str().unwrap();
    assert!(
        advice.contains("still air") && advice.contains("there are tests in fan"),
        "{advice}"
    );
}

#[test]
fn bakes_and_the_card_are_shown() {
    let k = Kitchen::demo();
    assert!(k.run(&["bakes"]).done().contains("thin-cookie"));
    assert!(
        k.run(&["bakes", "--oven", "counter-oven"])
            .done()
            .contains("no bake yet")
    );
    let bakes = k.run(&["bakes", "--json"]).json();
    assert_eq!(bakes["bakes"][0]["openings"][0]["at_min"], 5.5);
    assert!(
        k.run(&["bakes", "show", "2026-03-21-wall-oven"])
            .done()
            .contains("took")
    );
    k.run(&["bakes", "show", "none"])
        .refused("there is no bake 'none'", "none");
    let card = k.run(&["card"]).done();
    assert!(
        card.contains("burnt black") && !card.contains('\u{1b}'),
        "{card}"
    );
    let card = k.run(&["card", "--json"]).json();
    let lightness: Vec<_> = card["shades"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| (s["lightness"].as_f64().unwrap() * 10.0).round() / 10.0)
        .collect();
    // The card's own definition, one decimal.
    assert_eq!(
        lightness,
        [84.0, 73.4, 64.2, 56.1, 49.0, 42.8, 37.4, 32.7, 28.6, 25.0]
    );
}

#[test]
fn try_without_a_terminal_prints_a_tour_and_leaves_nothing_behind() {
    let temp = tempfile::tempdir().unwrap();
    let output = program()
        .arg("try")
        .env("TMPDIR", temp.path())
        .output()
        .unwrap();
    let tour = Answer::of(output).done();
    for word in ["wall oven", "rack 4", "back-left", "door", "Plan"] {
        assert!(tour.contains(word), "{word}: {tour}");
    }
    assert_eq!(fs::read_dir(temp.path()).unwrap().count(), 0);
}

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
fn without_a_terminal_the_screens_are_refused_and_without_sense_so_is_the_rest() {
    let k = Kitchen::demo();
    k.run(&[]).refused("need a terminal", "rackshade");
    k.run(&["mop"]).refused("'mop'", "mop");
    k.run(&["ovens", "--colour"])
        .refused("'--colour'", "--colour");
}

#[test]
fn a_damaged_file_is_told_beside_the_answer() {
    let k = Kitchen::demo();
    k.file("tests/bad.json", "{");
    let answer = k.run(&["tests"]);
    assert!(answer.err.contains("bad.json is damaged"), "{}", answer.err);
    assert!(answer.done().contains(WALL));
    let json = k.run(&["tests", "--json"]).json();
    assert!(json["warnings"][0].as_str().unwrap().contains("bad.json"));
}

#[test]
fn a_second_writer_is_told_what_to_do() {
    let k = Kitchen::demo();
    let mut first = program()
        .args(["score", COUNTER, "--stdin", "--data"])
        .arg(k.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    first.stdin.as_mut().unwrap().write_all(b"4\n").unwrap();
    // Its first answer says that it has the lock.
    let mut answer = [0; 5];
    std::io::Read::read_exact(first.stdout.as_mut().unwrap(), &mut answer).unwrap();
    assert_eq!(&answer, b"ok 1\n");
    let second = k.run(&["ovens", "visit", "wall-oven", "--what", "x"]);
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
    Answer::of(limited).refused("disk is full", "");
    assert_eq!(fs::read_to_string(&stored).unwrap(), before);
    assert_eq!(
        fs::read_dir(k.path().join("tests")).unwrap().count(),
        8,
        "no litter"
    );
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
        "bakes",
        "card",
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
    k.run(&["completions", "tcsh"]).refused("'tcsh'", "tcsh");
    let page = k.run(&["man"]).done();
    assert!(page.starts_with(".ie") || page.contains(".TH"), "{page}");
    assert!(k.run(&["man", "map"]).done().contains("samples"));
    k.run(&["man", "mop"]).refused("'mop' is no verb", "mop");
}
