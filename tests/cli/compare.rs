//! `compare`: from samples and from stored tests.

use crate::kit::{COUNTER, Kitchen, WALL};
use std::fmt::Write as _;

const BEFORE: &str = "2026-03-07-wall-oven";

/// Lightness of 5 x 4 slices with a hot back-left corner of `size` L*, and a fixed scatter that
/// differs from place to place and from file to file.
fn samples(size: f64, turn: usize) -> String {
    let mut text = "rack,x_cm,y_cm,lightness\n".to_owned();
    for i in 0..20 {
        let (x, y) = (10.0 + 10.0 * f64::from(i % 5), 8.0 + 9.5 * f64::from(i / 5));
        let corner = (-((x - 5.0_f64).powi(2) + (y - 40.0_f64).powi(2)) / 600.0).exp();
        let scatter =
            [0.7, -1.1, 0.2, 1.3, -0.6, -0.9, 0.4][(usize::try_from(i).unwrap() * 3 + turn) % 7];
        let _ = writeln!(text, "2,{x},{y},{:.2}", 60.0 - size * corner + scatter);
    }
    text
}

#[test]
fn a_comparison_of_samples_keeps_the_contract() {
    let k = Kitchen::empty();
    let (before, after) = (
        k.file("before.csv", &samples(20.0, 0)),
        k.file("after.csv", &samples(8.0, 2)),
    );
    let size = "--width-cm 60 --depth-cm 45 --grid 12x9";
    let run = |more: &str| {
        k.say(format!(
            "compare --samples '{before}' '{after}' {size} {more}"
        ))
    };
    let json = run("--json").json();
    let rack = &json["racks"][0];
    assert_eq!(rack["rack"], 2);
    assert_eq!(rack["verdict"], "better");
    assert!(rack["probability"].as_f64().unwrap() > 0.98);
    for key in [
        "level_change_shade",
        "spread_change_shade",
        "sd_change_shade",
        "zone_area_change_cm2",
    ] {
        let figure = |end: &str| rack[format!("{key}{end}")].as_f64().unwrap();
        assert!(
            figure("_lo") <= figure("") && figure("") <= figure("_hi"),
            "{key}"
        );
        assert!(figure("") < 0.0, "{key}");
    }
    assert!(rack["sd_change_shade_hi"].as_f64().unwrap() < 0.0);
    for key in ["difference_mean", "difference_sd"] {
        let rows = rack[key].as_array().unwrap();
        assert_eq!(rows.len(), 9, "{key}");
        assert!(
            rows.iter().all(|r| r.as_array().unwrap().len() == 12),
            "{key}"
        );
    }
    let cell = |row: usize, col: usize| rack["difference_mean"][row][col].as_f64().unwrap();
    assert!(cell(0, 0) < -0.5 && cell(8, 11) > cell(0, 0));
    for key in ["t", "p", "w", "p_w", "n"] {
        assert!(rack["paired"][key].is_number(), "{key}");
    }
    assert_eq!(rack["paired"]["n"], 20);
    // Before was darker in the corner: before minus after is positive.
    assert!(rack["paired"]["t"].as_f64().unwrap() > 0.0);
    assert!(json["warnings"].is_array());
    let text = run("").done();
    for what in [
        "before -- back",
        "after -- back",
        "change -- back",
        "better",
        "shades",
        "paired t",
    ] {
        assert!(text.contains(what), "{what}\n{text}");
    }
    assert!(text.lines().all(|l| l.chars().count() <= 78));
}

#[test]
fn the_demo_visit_is_told_with_repeated_tests_pooled() {
    let k = Kitchen::demo();
    let pooled = format!("{WALL},2026-04-11-wall-oven");
    let json = k.run(&["compare", BEFORE, &pooled, "--json"]).json();
    let verdicts: Vec<(u64, &str)> = json["racks"]
        .as_array()
        .unwrap()
        .iter()
        .map(|r| (r["rack"].as_u64().unwrap(), r["verdict"].as_str().unwrap()))
        .collect();
    assert_eq!(
        verdicts,
        [
            (2, "no change that can be told"),
            (4, "better"),
            (5, "better")
        ]
    );
    // The hot corner that the visit was for, and no other place.
    for rack in json["racks"].as_array().unwrap() {
        let zones = rack["changed_zones"].as_array().unwrap();
        assert_eq!(zones.is_empty(), rack["rack"] != 5, "{zones:?}");
        for zone in zones {
            assert_eq!(
                (&zone["name"], &zone["browns"]),
                (&"back-left".into(), &"less".into())
            );
            let peak = |end: &str| zone["peak_shade"][end].as_f64().unwrap();
            assert!(peak("lo") < -1.0 && peak("hi") < 0.0, "{zone}");
        }
    }
    let text = k.run(&["compare", BEFORE, &pooled]).done();
    assert!(
        text.contains("Rack 5: evenness: better: it browns more evenly than before"),
        "{text}"
    );
}

#[test]
fn the_tests_that_count_on_each_side_are_named() {
    let k = Kitchen::demo();
    let json = k.run(&["compare", BEFORE, WALL, "--json"]).json();
    let after = [WALL, "2026-04-11-wall-oven", "2026-04-11-wall-oven-2"];
    assert_eq!(json["tests_before"], serde_json::json!([BEFORE]));
    assert_eq!(json["tests_after"], serde_json::json!(after));
    let named = format!("* Before: {BEFORE}. After: {WALL},");
    let said = |more: &[&str]| k.run(&[&["compare", BEFORE, WALL], more].concat()).done();
    assert!(said(&[]).contains(&named), "{}", said(&[]));
    assert!(!said(&["--alone"]).contains("* Before: "));
}

/// Rewrites the slices of rack 4 in two tests of the demo, and says what a comparison of rack 4 found.
fn rack_four(change: impl Fn(usize, &mut serde_json::Value)) -> serde_json::Value {
    let k = Kitchen::demo();
    for (id, side) in [(BEFORE, 0), (WALL, 1)] {
        let file = k.path().join(format!("tests/{id}.json"));
        let mut test: serde_json::Value =
            serde_json::from_str(&std::fs::read_to_string(&file).unwrap()).unwrap();
        test["racks"] = serde_json::json!([4]);
        test["cursor"] = 12.into();
        test["slices"]
            .as_array_mut()
            .unwrap()
            .retain(|s| s["rack"] == 4);
        change(side, &mut test);
        std::fs::write(&file, test.to_string()).unwrap();
    }
    let json = k
        .run(&["compare", BEFORE, WALL, "--alone", "--json"])
        .json();
    json["racks"][0].clone()
}

/// A lean of the light from corner to corner passes for a pattern that changed.
#[test]
fn what_would_have_shown_allows_for_how_photos_lean() {
    let detectable = |lean: f64| {
        let rack = rack_four(|side, test| {
            for (i, slice) in test["slices"]
                .as_array_mut()
                .unwrap()
                .iter_mut()
                .enumerate()
            {
                let x = slice["x_cm"].as_f64().unwrap();
                let scatter = [0.7, -1.1, 0.2, 1.3, -0.6, -0.9, 0.4][(3 * i + side) % 7];
                slice.as_object_mut().unwrap().remove("shade");
                slice["lightness"] = (50.0 - 0.4 * (x - 32.0) + scatter).into();
                slice["lightness_sd"] = 0.4.into();
            }
            test["photos"] = serde_json::json!([{
                "rack": 4, "file": "a.jpg", "sha256": "0".repeat(64), "rows": 3, "cols": 4,
                "corners_px": [[0, 0], [1, 0], [1, 1], [0, 1]], "light_lean": lean, "level_sd": 4.0
            }]);
        });
        let found = rack["to_settle"]["detectable_sd_change_shade"].as_f64();
        found.unwrap()
    };
    let (straight, leaning) = (detectable(0.0), detectable(0.07));
    assert!(leaning > 1.5 * straight, "{straight} {leaning}");
}

/// Slices burnt before and after say "at least" twice, and nothing of a change.
#[test]
fn only_pairs_that_carry_a_figure_are_counted() {
    let burnt = |count: usize| {
        rack_four(|_, test| {
            for slice in test["slices"]
                .as_array_mut()
                .unwrap()
                .iter_mut()
                .take(count)
            {
                slice["shade"] = 8.5.into();
            }
        })
    };
    for (count, pairs) in [(0, 12), (6, 6)] {
        assert_eq!(burnt(count)["paired"]["n"], pairs, "{count}");
    }
    // No line through three: nothing is promised of it.
    assert!(burnt(9)["to_settle"].is_null());
}

#[test]
fn what_cannot_be_compared_is_refused() {
    let k = Kitchen::demo();
    let alone = k.run(&["compare", BEFORE]);
    assert!(alone.err.contains("2026-04-10-wall-oven"), "{}", alone.err);
    alone.refused("a comparison needs two tests", "compare");
    k.run(&["compare", BEFORE, "nope"])
        .refused("no toast test 'nope'", "nope");
    k.run(&["compare", BEFORE, BEFORE])
        .refused("both sides", BEFORE);
    let twice = format!("{WALL},{WALL}");
    k.run(&["compare", &twice, BEFORE])
        .refused("is named twice", WALL);
    let mixed = format!("{WALL},{COUNTER}");
    k.run(&["compare", BEFORE, &mixed])
        .refused("belongs to oven", COUNTER);
    let one = k.file("one.csv", &samples(8.0, 0));
    k.run(&["compare", "--samples", &one, &one])
        .refused("something is missing", "--width-cm");
    let wrong = k.file("wrong.csv", "rack,x_cm,y_cm,lightness\n2,10,10,x\n");
    let size = "--width-cm 60 --depth-cm 45";
    k.say(format!("compare --samples '{one}' '{wrong}' {size}"))
        .refused("column lightness: 'x'", "wrong.csv");
    let elsewhere = k.file("elsewhere.csv", &samples(8.0, 0).replace("\n2,", "\n3,"));
    k.say(format!("compare --samples '{one}' '{elsewhere}' {size}"))
        .refused(
            "before was toasted on rack 2, after on rack 3",
            "elsewhere.csv",
        );
}
