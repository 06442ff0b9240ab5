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
