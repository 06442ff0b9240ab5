//! Laying out the next toast test where it tells most.

use crate::kit::Kitchen;
use serde_json::Value;

const ASKED: &str = "--oven wall-oven --racks 2,4 --next";

fn then(way: &Value) -> f64 {
    way["then_shade"].as_f64().unwrap()
}

#[test]
fn the_next_test_goes_where_it_tells_most() {
    let k = Kitchen::demo();
    let laid = k.say(format!("layout {ASKED} --json")).json();
    let ways = laid["next"]["ways"].as_array().unwrap();
    let now = laid["next"]["now_shade"].as_f64().unwrap();
    assert!(ways.len() >= 2, "{ways:?}");
    assert!(ways.windows(2).all(|w| then(&w[0]) <= then(&w[1])));
    // more slices never tell less
    assert!(ways.iter().all(|w| then(w) < now), "{ways:?} {now}");
    assert_eq!(laid["slices"], ways[0]["slices"]);
    let text = k.say(format!("layout {ASKED}")).done();
    assert!(text.contains("shade"), "{text}");
    let new = k.say(format!("tests new {ASKED} --json")).json();
    let places = |slices: &Value| -> Vec<(Value, Value, Value)> {
        let slices = slices.as_array().unwrap().iter();
        slices
            .map(|s| (s["rack"].clone(), s["x_cm"].clone(), s["y_cm"].clone()))
            .collect()
    };
    assert!(!places(&new["slices"]).is_empty());
    assert_eq!(places(&new["slices"]), places(&laid["slices"]));
}

#[test]
fn a_rack_never_tested_has_no_next_test() {
    let k = Kitchen::demo();
    let args = ["layout", "--oven", "wall-oven", "--racks", "1", "--next"];
    k.run(&args)
        .refused("has no toast test yet", "--next wall oven");
}
