//! `plan`: the contract of its JSON, and what is refused.

use crate::kit::{Kitchen, demo_data};
use std::fs;

#[test]
fn a_plan_keeps_the_contract() {
    let k = Kitchen::demo();
    let plan = |more: &str| k.say(format!("plan --oven wall-oven --kind thin-cookie {more}"));
    let json = plan("--trays 2 --openings 2 --json").json();
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
    assert!(plan("--trays 1 --openings 1").done().contains(" F"));
    let samples = demo_data().join("samples.csv");
    let on_samples = k.say(format!(
        "plan --samples '{}' --width-cm 63.5 --depth-cm 48.26 --kind sheet-cake --json",
        samples.display()
    ));
    assert!(on_samples.json()["bake_min"].as_f64().unwrap() >= 30.0);
    // Untested: the trade's defaults still make a plan.
    let untested =
        k.say("plan --oven counter-oven --mode top-only --kind dinner-roll --tray 30x20cm --json");
    assert!(untested.json()["advice"].to_string().len() > 10);
    k.say("plan --oven wall-oven --kind stew")
        .refused("'stew' is no kind of bake", "--kind stew");
    plan("--trays 4").refused("'4' cannot be used: it is out of range", "--trays");
    plan("--openings 5").refused("'5' cannot be used: it is out of range", "--openings");
    plan("--tray huge").refused("'huge'", "--tray huge");
    plan("--tray 90x90cm").refused("90", "90x90cm");
    plan("--recipe hot").refused("'hot' is not a number", "--recipe hot");
    plan("--pieces 0x3").refused("'0x3' cannot be used", "--pieces");
    let nowhere = k.say("plan --kind thin-cookie");
    assert!(nowhere.err.contains("counter-oven, wall-oven"));
    nowhere.refused("no oven was named", "plan");
}

/// What a plan is asked for is read back, bare figures are in the oven's own unit, and the map's warnings come along.
#[test]
fn a_plan_says_what_it_was_asked_and_what_speaks_against_it() {
    let k = Kitchen::demo();
    let wall = "plan --oven wall-oven --kind choux";
    let plan = |more: &str| k.say(format!("{wall} {more}"));
    let text = plan("--tray 18x13 --openings 1").done();
    let first = text.lines().next().unwrap();
    assert!(
        first.starts_with("wall oven, no fan: choux puffs, 1 tray of 18 in x 13 in, 4 x 3"),
        "{text}"
    );
    let json = plan("--openings 0 --json").json();
    let warnings = json["warnings"].as_array().unwrap();
    assert!(!warnings.is_empty());
    for (i, warning) in warnings.iter().enumerate() {
        let said = format!("Careful: {}.", warning.as_str().unwrap());
        assert_eq!(json["advice"][i], said);
    }
    plan("--recipe 180").refused("nothing browns below 221 F", "plan");
    plan("--pieces 13x3").refused("13 x 3 pieces", "plan");
    // Where the mode taken by default was not tested, the tested ones are named.
    for entry in fs::read_dir(k.path().join("tests")).unwrap() {
        let path = entry.unwrap().path();
        if fs::read_to_string(&path).unwrap().contains("still-air") {
            fs::remove_file(path).unwrap();
        }
    }
    let json = plan("--openings 0 --json").json();
    let advice = json["advice"][0].as_str().unwrap();
    assert!(
        advice.contains("without a fan") && advice.contains("there are tests in fan"),
        "{advice}"
    );
}

#[test]
fn a_plan_of_nothing_lists_what_can_be_baked() {
    let k = Kitchen::demo();
    let run = k.say("plan --oven wall-oven");
    assert!(run.err.contains("name one of thin-cookie, "), "{}", run.err);
    run.refused("what to bake is missing", "--kind (nothing)");
    k.run(&["where"])
        .refused("what to bake is missing", "--kind (nothing)");
}

/// Racks that brown alike before the palest and the darkest, which a missed turn would leave four shades apart.
#[test]
fn two_trays_go_where_it_browns_alike() {
    let k = Kitchen::empty();
    let racks = "--racks 4cm,15cm,26cm,37cm";
    k.say(format!(
        "ovens add --from wall-oven-30-inch --name probe {racks}"
    ))
    .done();
    let test = k.say("tests new --oven probe --racks 1,2,3,4 --slice 8x8cm --json");
    let test = test.json()["id"].as_str().unwrap().to_owned();
    for (rack, shade) in [("1", "2"), ("2", "4"), ("3", "4"), ("4", "6")] {
        k.run(&["score", &test, "--rack", rack, &shade.repeat(24)])
            .done();
    }
    let plan = k.say("plan --oven probe --kind thin-cookie --trays 2 --json");
    for segment in plan.json()["segments"].as_array().unwrap() {
        let trays = segment["trays"].as_array().unwrap().iter();
        let mut on: Vec<_> = trays.map(|t| t["rack"].as_u64().unwrap()).collect();
        on.sort_unstable();
        assert_eq!(on, [2, 3]);
    }
}

/// What a turn gains is known no better than the map: an even oven is promised nothing plainly.
#[test]
fn an_opening_is_worth_what_the_map_is_sure_of() {
    let plan = |row: &str| {
        let k = Kitchen::empty();
        k.say("ovens add --from wall-oven-30-inch --name probe")
            .done();
        let test = k.say("tests new --oven probe --racks 3 --slice 8x8cm --json");
        let test = test.json()["id"].as_str().unwrap().to_owned();
        k.run(&["score", &test, "--rack", "3", row]).done();
        let said = k.say("plan --oven probe --kind thin-cookie").done();
        said.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let even = plan("454345 345454 543454 434545");
    assert!(even.contains("may make the pieces up to"), "{even}");
    let tilted = plan("765432 765432 765432 765432");
    assert!(tilted.contains("1 opening pays"), "{tilted}");
    assert!(tilted.contains("shade more alike ("), "{tilted}");
}

#[test]
fn trays_go_on_the_racks_that_are_free() {
    let k = Kitchen::demo();
    let wall = "plan --oven wall-oven --kind thin-cookie --tray 33x24cm";
    let plan = |more: &str| k.say(format!("{wall} {more}"));
    let json = plan("--racks 4 --json").json();
    for segment in json["segments"].as_array().unwrap() {
        assert_eq!(segment["trays"][0]["rack"], 4, "{json}");
    }
    let day = plan("--racks 2,4 --trays 5 --at-once 2 --json").json();
    assert!(!day.to_string().contains("\"rack\":3"), "{day}");
    plan("--racks 9").refused("no rack position 9", "--racks 9");
    for rack in [3, 4] {
        let free = format!("on the rack positions that are free ({rack}), which take 1 at a time");
        plan(&format!("--racks {rack} --trays 2")).refused(&free, "--trays 2");
    }
    plan("--racks 6").refused("rack position 6 was not tested", "--racks 6");
    let alone = plan("--racks 5").done();
    let alone = alone.split_whitespace().collect::<Vec<_>>().join(" ");
    let weighed = "no other placement on the racks that are free that browns alike";
    assert!(alone.contains(weighed), "{alone}");
    plan("--racks 4 --trays 5 --at-once 2").refused("more than wall oven takes", "--at-once 2");
}
