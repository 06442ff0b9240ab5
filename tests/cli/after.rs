//! `bakes score`, `bakes learn`, `bakes fold` and `where`.

use crate::kit::Kitchen;
use rackshade::{
    model::{BakeId, BakeLog, Mode, Tray},
    units::Centimetres,
    workflow::{
        catalogue::bake_kind,
        ground::ground_of_oven,
        kitchen::{Access, Kitchen as Store},
        plan::{PlanRequest, Told, plan_of},
    },
};

const BAKE: &str = "2026-03-21-wall-oven";

#[test]
fn whole_trays_are_scored_and_what_is_wrong_is_refused() {
    let k = Kitchen::demo();
    let shown = k
        .run(&["bakes", "score", BAKE, "1=5.5", "--wanted", "4"])
        .done();
    assert!(shown.contains("tray 1   came out at shade 5.5"), "{shown}");
    let json = k.run(&["bakes", "show", BAKE, "--json"]).json();
    assert_eq!(json["outcome"][0]["shade"], 5.5);
    assert!(
        json["after"].is_null(),
        "an old plan expected nothing of single places"
    );
    assert!(
        json["notes"][0]
            .as_str()
            .unwrap()
            .contains("expected nothing")
    );
    k.run(&["bakes", "score", BAKE, "3=5"])
        .refused("there is no tray 3", "score 3=5");
    k.run(&["bakes", "score", BAKE, "1:1,1=5"])
        .refused("without its tray's pieces", "score 1:1,1=5");
    k.run(&["bakes", "score", BAKE, "much"])
        .refused("'much' is no score", "score much");
    k.say("bakes score none 1=5")
        .refused("there is no bake 'none'", "none");
    let json = k.run(&["bakes", "show", BAKE, "--json"]).json();
    assert_eq!(
        json["outcome"][0]["shade"], 5.5,
        "what was refused changed nothing"
    );
}

#[test]
fn a_kind_without_scored_pieces_teaches_nothing_and_says_what_to_do() {
    let k = Kitchen::demo();
    k.say("bakes learn thin-cookie")
        .refused("tell nothing of when it browns", "kind thin-cookie");
    k.say("bakes learn bread-of-air")
        .refused("is no kind of bake", "kind bread-of-air");
}

#[test]
fn a_bake_counts_for_the_map_and_no_longer() {
    let k = Kitchen::demo();
    let shown = k.run(&["bakes", "fold", BAKE]).done();
    assert!(shown.contains("counts for this oven's map"), "{shown}");
    let json = k.run(&["bakes", "fold", BAKE, "--out", "--json"]).json();
    assert_eq!(json["in_map"], false);
}

#[test]
fn ovens_modes_and_racks_are_ranked_with_what_they_rest_on() {
    let k = Kitchen::demo();
    let json = k.say("where --kind thin-cookie --json").json();
    let ways = json["ways"].as_array().unwrap();
    assert!(ways.len() > 3, "{}", ways.len());
    let bases: Vec<_> = ways.iter().map(|w| w["basis"].as_str().unwrap()).collect();
    let tested = bases.iter().filter(|b| **b == "tests").count();
    assert!(tested > 2);
    assert!(bases[..tested].iter().all(|b| *b == "tests"), "{bases:?}");
    for way in &ways[..tested] {
        assert!(way["newest_test"].is_string() && way["tests"].as_u64().unwrap() > 0);
        assert!(
            way["plan"]["sd_shade_lo"].as_f64().unwrap()
                <= way["plan"]["sd_shade"].as_f64().unwrap()
        );
    }
    let text = k.say("where --kind thin-cookie").done();
    assert!(
        text.contains("toast test") && text.contains("shades ("),
        "{text}"
    );
    k.say("where --kind stone")
        .refused("is no kind of bake", "--kind stone");
    Kitchen::empty()
        .say("where --kind thin-cookie")
        .refused("there is no oven yet", "--kind thin-cookie");
}

/// Puts a finished bake of 4 x 3 cookies by a plan of its own into the kitchen, nothing scored.
fn baked(k: &Kitchen, number: u8) -> (String, f64) {
    let (mut kitchen, _) = Store::open(&k.path(), Access::Write).unwrap();
    let oven = kitchen.find_oven("wall-oven").unwrap().clone();
    let ground = ground_of_oven(&kitchen, &oven, Some(Mode::StillAir), (12, 9)).unwrap();
    let kind = bake_kind("thin-cookie").unwrap().clone();
    let tray = Tray::new(Centimetres(44.0), Centimetres(31.0), 4, 3);
    let request = PlanRequest {
        max_openings: 0,
        ..PlanRequest::of(kind, Mode::StillAir, tray)
    };
    let plan = plan_of(&ground, &Told::default(), &request).unwrap().plan;
    let id = format!("bake-{number}");
    let mut bake = BakeLog::begin(
        BakeId::new(&id).unwrap(),
        oven.id.clone(),
        Mode::StillAir,
        jiff::civil::date(2026, 5, 1).at(9, 0, 0, 0).into(),
        plan.clone(),
    );
    bake.baked = Some(plan.bake);
    kitchen.save_bake(bake).unwrap();
    (id, plan.bake.0)
}

#[test]
fn a_bake_with_a_forecast_shows_expected_and_actual_with_intervals_and_what_to_do() {
    let k = Kitchen::demo();
    let (id, _) = baked(&k, 1);
    let before = k.run(&["bakes", "show", &id]).done();
    assert!(before.contains("is scored yet"), "{before}");
    let scores: Vec<String> = (0..12)
        .map(|i| {
            let shade = if i == 0 { 7.5 } else { 5.0 };
            format!("1:{},{}={shade}", i / 4 + 1, i % 4 + 1)
        })
        .collect();
    let mut args = vec!["bakes", "score", &id];
    args.extend(scores.iter().map(String::as_str));
    args.extend(["--wanted", "3.5"]);
    let text = k.run(&args).done();
    assert!(text.contains("at 350 F"), "the dial has its unit: {text}");
    let line = |start: &str| {
        let found = text.lines().find(|l| l.trim_start().starts_with(start));
        found
            .unwrap_or_else(|| panic!("{start}: {text}"))
            .to_owned()
    };
    let level = line("level");
    assert!(
        level.contains('(') && level.contains(" to ") && level.contains("than the 3.5 wanted"),
        "{level}"
    );
    assert!(
        level.contains("Next time about") && level.contains("min less"),
        "{level}"
    );
    assert!(line("pattern").contains("but for 1 of 12 pieces"));
    let darkest = line("tray 1, row 1, column 1");
    assert!(
        darkest.contains("7.5") && darkest.contains("further off than map and eye explain"),
        "{darkest}"
    );
    assert!(
        text.contains("Can't tell yet whether the map is right: scored bakes 1 of 3"),
        "{text}"
    );
    let json = k.run(&["bakes", "show", &id, "--json"]).json();
    let after = &json["after"];
    let places = after["places"].as_array().unwrap();
    assert_eq!(places.len(), 12);
    for place in places {
        let at = |end: &str| place["expected_shade"][end].as_f64().unwrap();
        assert!(at("lo") < at("value") && at("value") < at("hi"), "{place}");
    }
    let shade = |end: &str| after["level_shade"][end].as_f64().unwrap();
    assert!(shade("lo") < shade("value") && shade("value") < shade("hi"));
    // Eleven pieces at 5 and one at 7.5: about 5.2 on the whole, and the eye is good to half a step.
    assert!((shade("value") - 5.2).abs() < 0.4, "{after}");
    assert!(
        after["minutes_to_wanted"].as_f64().unwrap() < -0.5,
        "{after}"
    );
    assert_eq!(json["map"]["verdict"], "too-little");
}

/// What came out early cannot be held against the plan; its scores are shown all the same.
#[test]
fn the_scores_of_a_bake_that_went_another_way_are_shown() {
    let k = Kitchen::demo();
    let (id, minutes) = baked(&k, 1);
    let (mut kitchen, _) = Store::open(&k.path(), Access::Write).unwrap();
    let mut bakes = kitchen.bakes().iter();
    let mut bake = bakes.find(|b| b.id.as_str() == id).unwrap().clone();
    bake.baked = Some(rackshade::units::Minutes(0.5 * minutes));
    kitchen.save_bake(bake).unwrap();
    drop(kitchen);
    k.run(&["bakes", "score", &id, "1:2,3=2.5", "1:1,1=3@2"])
        .done();
    let shown = k.run(&["bakes", "show", &id]).done();
    let line = |place: &str| shown.lines().find(|l| l.starts_with(place)).unwrap();
    assert!(line("tray 1, row 2, column 3").contains("2.5"), "{shown}");
    let pulled = line("tray 1, row 1, column 1");
    assert!(
        pulled.contains('3') && pulled.contains("pulled at 2 min"),
        "{shown}"
    );
    assert!(!shown.contains("expected shade"), "{shown}");
}

#[test]
fn pieces_pulled_at_several_times_teach_when_a_kind_browns() {
    let k = Kitchen::demo();
    // These come out as if half of the browning were done at six tenths of the time.
    for number in 1..=3 {
        let (id, minutes) = baked(&k, number);
        let scores: Vec<String> = (0..12)
            .map(|i| {
                let (share, browned) = [(0.6, 0.5), (0.8, 0.75), (1.0, 1.0)][i % 3];
                let place = format!("1:{},{}", i / 4 + 1, i % 4 + 1);
                let shade = (5.0_f64 * browned * 2.0).round() / 2.0;
                let pulled = if share < 1.0 {
                    format!("@{:.2}", share * minutes)
                } else {
                    String::new()
                };
                format!("{place}={shade}{pulled}")
            })
            .collect();
        let mut args = vec!["bakes", "score", &id];
        args.extend(scores.iter().map(String::as_str));
        k.run(&args).done();
    }
    let learned = k.say("bakes learn thin-cookie").done();
    assert!(
        learned.contains("from your 3 bakes (36 pieces)"),
        "{learned}"
    );
    assert!(
        learned.contains(" min of 11 min (") && learned.contains("By the default curve alone:"),
        "{learned}"
    );
    assert!(
        learned.contains("use your own curve from now on"),
        "{learned}"
    );
    let json = k.say("bakes learn thin-cookie --json").json();
    let half = |which: &str, end: &str| json[which][end].as_f64().unwrap();
    assert!(
        half("half_share", "lo") < half("half_share", "value"),
        "{json}"
    );
    assert!(
        half("half_share", "value") < half("half_share", "hi"),
        "{json}"
    );
    // The default says about four fifths; the bakes say six tenths, so it lies in between or there.
    assert!(
        half("half_share", "value") < half("half_share_default", "value") - 0.05,
        "{json}"
    );
    let plan = k
        .say("plan --oven wall-oven --kind thin-cookie --openings 1")
        .done();
    let plan = plan.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        plan.contains("Turn times follow your own curve, from your 3 bakes (36 pieces)"),
        "{plan}"
    );
}

#[test]
fn the_ways_to_bake_are_told_with_units_intervals_and_age() {
    let k = Kitchen::demo();
    let text = k.say("where --kind sheet-cake --openings 1").done();
    assert!(
        text.starts_with("sheet cake, 1 tray of 18 in x 13 in, 4 x 3 pieces on each"),
        "{text}"
    );
    let head = text.lines().nth(1).unwrap();
    for column in ["oven", "mode", "rack", "unevenness", "takes", "rests on"] {
        assert!(head.contains(column), "{column}: {head}");
    }
    let first = text.lines().nth(2).unwrap();
    assert!(
        first.contains("shades (") && first.contains(" to ") && first.contains(" min"),
        "{first}"
    );
    assert!(
        first.contains("toast test") && first.contains("20"),
        "{first}"
    );
    if text.contains("1 =") {
        assert!(
            text.contains("too close to call, so the quickest comes first"),
            "{text}"
        );
    }
    let json = k.say("where --kind sheet-cake --openings 1 --json").json();
    let ways = json["ways"].as_array().unwrap();
    for way in ways {
        let plan = &way["plan"];
        let at = |key: &str| plan[key].as_f64().unwrap();
        if way["basis"] == "tests" {
            assert!(
                at("sd_shade_lo") <= at("sd_shade") && at("sd_shade") <= at("sd_shade_hi"),
                "{way}"
            );
            assert!(way["age_days"].as_u64().is_some(), "{way}");
        } else {
            assert!(
                plan["sd_shade"].is_null(),
                "nothing is promised of what nobody tested: {way}"
            );
        }
    }
    k.say("where --bake thin-cookie --trays 4")
        .refused("'4' cannot be used: it is out of range", "--trays 4");
    k.say("where --kind thin-cookie --tray wide")
        .refused("'wide'", "--tray wide");
    k.say("where --kind thin-cookie --tray 90x90cm")
        .refused("no oven on record bakes this", "--kind thin-cookie");
}
