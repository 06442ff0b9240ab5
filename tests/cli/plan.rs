//! `plan`: the contract of its JSON, and what is refused.

use crate::kit::{Kitchen, demo_data};

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
