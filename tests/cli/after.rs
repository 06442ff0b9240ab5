//! `bakes score`, `bakes learn`, `bakes fold` and `where`.

use crate::kit::Kitchen;

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
    k.run(&["bakes", "score", "none", "1=5"])
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
    k.run(&["bakes", "learn", "thin-cookie"])
        .refused("tell nothing of when it browns", "kind thin-cookie");
    k.run(&["bakes", "learn", "bread-of-air"])
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
    let json = k.run(&["where", "--bake", "thin-cookie", "--json"]).json();
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
    let text = k.run(&["where", "--bake", "thin-cookie"]).done();
    assert!(
        text.contains("toast test") && text.contains("shades ("),
        "{text}"
    );
    k.run(&["where", "--bake", "stone"])
        .refused("is no kind of bake", "--bake stone");
    Kitchen::empty()
        .run(&["where", "--bake", "thin-cookie"])
        .refused("there is no oven yet", "--bake thin-cookie");
}
