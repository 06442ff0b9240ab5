//! `plan --at-once`: a baking day in loads.

use crate::kit::Kitchen;

const DAY: &str = "plan --oven wall-oven --mode still-air --kind thin-cookie";

#[test]
fn a_day_keeps_the_contract() {
    let k = Kitchen::demo();
    let day = k.say(format!("{DAY} --trays 6 --at-once 2 --json")).json();
    let batches = day["batches"].as_array().unwrap();
    assert_eq!(batches.len(), 3);
    let trays: Vec<u64> = batches
        .iter()
        .flat_map(|b| b["trays"].as_array().unwrap())
        .map(|t| t.as_u64().unwrap())
        .collect();
    assert_eq!(trays, [1, 2, 3, 4, 5, 6]);
    let figure = |i: usize, key: &str| batches[i][key].as_f64().unwrap();
    assert!(figure(0, "start_min").abs() < 1e-12);
    for i in 1..3 {
        let gap = figure(i, "start_min") - figure(i - 1, "end_min");
        assert!(gap > 0.0 && (gap - figure(i, "wait_before_min")).abs() < 1e-9);
    }
    assert!((day["total_min"].as_f64().unwrap() - figure(2, "end_min")).abs() < 1e-9);
    for batch in batches {
        assert_eq!(batch["oven"], "wall-oven");
        let moves = batch["moves"].as_array().unwrap();
        assert_eq!(
            (&moves[0]["kind"], &moves[0]["at_min"]),
            (&"in".into(), &batch["start_min"])
        );
        let last = &moves[moves.len() - 1];
        assert_eq!(
            (&last["kind"], &last["at_min"]),
            (&"out".into(), &batch["end_min"])
        );
    }
    // The first load is the plan of two trays.
    let plan = k.say(format!("{DAY} --trays 2 --json")).json();
    let of_plan = plan["bake_min"].as_f64().unwrap();
    assert!((figure(0, "end_min") - of_plan).abs() < 1e-9);
    let text = k
        .say("plan --oven wall-oven --recipe-name 'oat biscuits' --trays 3 --at-once 1")
        .done();
    assert!(
        text.contains("oat biscuits (325 F, fan), 3 trays: all done after"),
        "{text}"
    );
}

#[test]
fn all_ovens_share_the_trays() {
    let k = Kitchen::demo();
    let day = k.say("plan --all-ovens --kind thin-cookie --tray 33x24cm --pieces 3x2 --trays 4 --at-once 1 --json").json();
    let batches = day["batches"].as_array().unwrap();
    assert_eq!(batches.len(), 4);
    let ovens: std::collections::BTreeSet<&str> = batches
        .iter()
        .map(|b| b["oven"].as_str().unwrap())
        .collect();
    assert_eq!(ovens.len(), 2, "{day}");
}

#[test]
fn what_is_no_day_is_refused() {
    let k = Kitchen::demo();
    let day = |more: &str| k.say(format!("{DAY} {more}"));
    day("--trays 0 --at-once 2").refused("0 trays cannot", "--trays 0");
    day("--trays 13 --at-once 2").refused("13 trays cannot", "--trays 13");
    day("--trays 6 --at-once 5").refused("5 trays at once", "--at-once 5");
    day("--trays 6 --at-once 0").refused("0 trays at once", "--at-once 0");
    day("--trays -1 --at-once 2").refused("'-1'", "--trays");
    day("--trays 6").refused("'6' cannot be used: it is out of range", "--trays 6");
    day("--trays 0").refused("'0' cannot be used: it is out of range", "--trays 0");
    let limit = |figure| day(&format!("--trays 4 --at-once 2 --least-even {figure}"));
    limit("0").refused("no limit of unevenness", "--least-even 0");
    limit("NaN").refused("not a number", "NaN");
    limit("0.001").refused("less even than 0.0 shades", "--least-even 0.001");
    let none = "plan --all-ovens --kind thin-cookie --trays 2 --at-once 1";
    Kitchen::empty().say(none).refused("no oven", "--all-ovens");
    assert_eq!(
        k.say("plan --all-ovens --kind thin-cookie --trays 2").code,
        Some(2)
    );
}
