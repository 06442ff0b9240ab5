//! `map`: from samples and from stored tests.

use crate::kit::{Kitchen, WALL, demo_data};

#[test]
fn a_map_of_samples_keeps_the_contract() {
    let k = Kitchen::empty();
    let samples = demo_data().join("samples.csv");
    let map = |more: &str| k.say(format!("map --samples '{}' {more}", samples.display()));
    let size = "--width-cm 63.5 --depth-cm 48.26";
    let json = map(&format!("{size} --grid 12x9 --json")).json();
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
    assert!(map(size).done().contains("door"));
    map("--width-cm 63.5").refused("something is missing", "--depth-cm");
    map(&format!("{size} --grid 0x9")).refused("'0x9' cannot be used", "--grid");
    map("--width-cm 5 --depth-cm 48")
        .refused("'5' cannot be used: it is no oven's inside", "--width-cm");
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
        k.say(format!(
            "map --samples '{path}' --width-cm 60 --depth-cm 45"
        ))
        .refused(expected, "samples.csv");
    }
    k.say("map --samples /no.csv --width-cm 60 --depth-cm 45 --json")
        .refused("cannot read /no.csv", "/no.csv");
}

#[test]
fn a_map_of_stored_tests_is_printed_and_written_as_json() {
    let k = Kitchen::demo();
    let text = k.say("map --oven wall-oven").done();
    assert!(text.contains("back-left") && text.contains(" F"), "{text}");
    assert!(text.is_ascii());
    let json = k
        .run(&["map", "--test", WALL, "--grid", "8x6", "--json"])
        .json();
    assert_eq!(json["racks"][0]["grid"]["cols"], 8);
    let json = k.say("map --oven wall-oven --mode fan --grid 8x6 --json");
    let warnings = json.json()["warnings"].to_string();
    assert!(
        warnings.contains("older than the service visit"),
        "{warnings}"
    );
    k.run(&["map"]).refused("no oven was named", "map");
    k.say("map --oven wall-oven --mode proofing")
        .refused("no scored toast test while proofing", "proofing");
    k.say("map --oven none")
        .refused("there is no oven 'none'", "--oven none");
    k.say("map --test none")
        .refused("there is no toast test 'none'", "--test none");
}

#[test]
fn a_rack_is_drawn_into_a_file_and_one_that_is_not_there_refused() {
    let k = Kitchen::demo();
    let path = k.beside("map; of rack 4.png");
    let path = path.to_str().unwrap();
    let draw = |rack: &str| {
        let fixed = format!("map --oven wall-oven --grid 8x6 --png '{path}'");
        k.say(format!("{fixed} {rack}"))
    };
    assert!(draw("--rack 4").done().contains("rack 4 drawn to"));
    assert!(std::fs::read(path).unwrap().starts_with(b"\x89PNG"));
    // What was typed holds the sign that parts what is wrong from what to do.
    draw("--rack 9 --force").refused("the map has no rack position 9", "--rack 9");
    let left = std::fs::read_dir(k.beside("")).unwrap();
    let temporary =
        |e: &std::fs::DirEntry| e.file_name().to_string_lossy().starts_with(".rackshade");
    assert_eq!(left.flatten().filter(temporary).count(), 0);
}

/// Between tested racks the map is a guess: what is plain on them is probable there at most.
#[test]
fn nothing_is_plain_on_a_rack_that_was_not_tested() {
    let k = Kitchen::empty();
    k.say("ovens add --from built-in-60-cm --name probe").done();
    let new = "tests new --oven probe --racks 2,4";
    let test = k.say(format!("{new} --slice 8x8cm --json"));
    let test = test.json()["id"].as_str().unwrap().to_owned();
    for rack in ["2", "4"] {
        k.run(&["score", &test, "--rack", rack, "7777 4444 4444"])
            .done();
    }
    let map = k.say("map --oven probe --json").json();
    let strengths = |rack: u64| -> Vec<&str> {
        let zones = map["zones"].as_array().unwrap().iter();
        let here = zones.filter(|z| z["rack"] == rack);
        here.map(|z| z["strength"].as_str().unwrap()).collect()
    };
    assert!(strengths(2).contains(&"plain"), "{map}");
    assert!(!strengths(3).is_empty(), "{map}");
    assert!(!strengths(3).contains(&"plain"), "{map}");
}

/// A wall oven with a toast test of twelve slices on each of these rack positions, scored so.
fn scored(racks: &[&str]) -> Kitchen {
    let k = Kitchen::empty();
    k.say("ovens add --from wall-oven-30-inch --name probe")
        .done();
    let numbers: Vec<String> = (1..=racks.len()).map(|rack| rack.to_string()).collect();
    let new = format!("tests new --oven probe --racks {}", numbers.join(","));
    let test = k.say(format!("{new} --slice 10x10cm --counts 4x3 --json"));
    let test = test.json()["id"].as_str().unwrap().to_owned();
    for (rack, row) in numbers.iter().zip(racks) {
        k.run(&["score", &test, "--rack", rack, row]).done();
    }
    k
}

/// Of five racks alike, read by an eye that is off by a third of a shade, the darkest and the lightest were told apart.
#[test]
fn racks_are_told_apart_only_by_what_so_many_pairs_would_not_show() {
    let alike = [
        "4 4 4 4 4 4 4+ 4+ 4 3+ 4 4",
        "3 4 3+ 3+ 4 4 4 4+ 4 4+ 4 4",
        "4+ 4 3+ 3+ 4 4 3+ 4 4 4 4 4",
        "4 4 4+ 4+ 3+ 4+ 4+ 4+ 4 4 4+ 4+",
        "4+ 4+ 4 3+ 4 4 3+ 4 4 4 3+ 4",
    ];
    let said = |racks: &[&str]| scored(racks).say("map --oven probe").done();
    let even = said(&alike);
    assert!(!even.contains("browns like one"), "{even}");
    let mut unlike = alike;
    unlike[3] = "6 6 6+ 6+ 5+ 6+ 6+ 6+ 6 6 6+ 6+";
    let hotter = said(&unlike);
    assert!(hotter.contains("Rack 4 browns like one"), "{hotter}");
}

/// Scores that jump by two shades from slice to slice are read carelessly, and make no zone sure.
#[test]
fn nothing_is_plain_where_the_eye_is_rough() {
    let careless = ["7+ 4+ 5 2 7 4 5+ 2+ 5 4+ 3 2"];
    let map = scored(&careless).say("map --oven probe --json").json();
    let zones = map["zones"].as_array().unwrap();
    assert!(!zones.is_empty(), "{map}");
    assert!(zones.iter().all(|z| z["strength"] != "plain"), "{map}");
    let warnings = map["warnings"].to_string();
    assert!(warnings.contains("more than an eye should"), "{warnings}");
}

#[test]
fn a_test_of_two_slices_is_a_test_that_gives_no_map_yet() {
    let two = ["4 4 . . . . . . . . . ."];
    let life = scored(&two).say("history probe").done();
    assert!(life.contains("give no map yet"), "{life}");
}
