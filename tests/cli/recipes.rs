//! `recipes`, and every verb that takes one.

use crate::kit::Kitchen;

const ADD: [&str; 10] = [
    "recipes",
    "add",
    "--name",
    "Plum cake",
    "--temperature",
    "350F",
    "--minutes",
    "32",
    "--kind",
    "sheet-cake",
];

#[test]
fn a_recipe_is_kept_changed_and_set_aside() {
    let k = Kitchen::empty();
    assert!(k.run(&["recipes"]).done().contains("no recipe yet"));
    k.run(&ADD).done();
    let show = |name: &str| k.run(&["recipes", "show", name, "--json"]).json();
    let kept = show("plum-cake");
    assert_eq!(kept["name"], "Plum cake");
    assert_eq!(kept["written_as"], "350 F, no fan");
    assert_eq!(kept["minutes"], 32.0);
    assert!(kept["wanted_shade"].is_null());
    // common practice, no source: 25 F lower with a fan
    let apart = kept["still_air_c"].as_f64().unwrap() - kept["fan_c"].as_f64().unwrap();
    assert!((apart - 25.0 / 1.8).abs() < 1e-9, "{apart}");
    k.say("recipes edit 'plum CAKE' --gas-mark 1/2 --shade 4.5")
        .done();
    let kept = show("plum-cake");
    assert_eq!(
        (&kept["gas_mark"], &kept["minutes"]),
        (&"1/2".into(), &32.0.into())
    );
    assert_eq!(kept["wanted_shade"], 4.5);
    // common practice, no source: gas mark 1/2 is 250 F
    assert!((kept["still_air_c"].as_f64().unwrap() - 121.1).abs() < 0.1);
    // Written for another oven: the figure stays.
    k.say("recipes edit plum-cake --temperature 325F --no-fan")
        .done();
    k.say("recipes edit plum-cake --fan").done();
    assert_eq!(show("plum-cake")["written_as"], "325 F, fan");
    let list = k.say("recipes list --json").json();
    assert_eq!(list["recipes"].as_array().unwrap().len(), 1);
    k.say("recipes remove plum-cake").done();
    assert!(k.path().join("removed").is_dir());
    k.say("recipes show plum-cake")
        .refused("there is no recipe 'plum-cake'", "plum-cake");
}

#[test]
fn what_is_no_recipe_is_refused() {
    let k = Kitchen::empty();
    let but = |flag: &str, value: &str| {
        let at = ADD.iter().position(|a| *a == flag).unwrap();
        let mut args = ADD;
        args[at + 1] = value;
        k.run(&args)
    };
    but("--temperature", "900F").refused("nobody bakes at 900 F", "--temperature 900F");
    but("--temperature", "-5").refused("nobody bakes at -5 F", "--temperature -5");
    let unsure = but("--temperature", "175");
    assert!(unsure.err.contains("write 175C or 175F"), "{}", unsure.err);
    unsure.refused("175 F is hardly a baking temperature", "--temperature 175");
    but("--temperature", "hot").refused("'hot' is not a number", "--temperature hot");
    but("--minutes", "0").refused("0 min cannot be planned", "--minutes 0");
    but("--minutes", "-3").refused("-3 min", "--minutes -3");
    but("--kind", "stew").refused("'stew' is no kind of bake", "--kind stew");
    but("--name", " ").refused("needs a name", "--name");
    but("--name", "a\u{1b}[31mb").refused("cannot be used", "--name");
    let long = "x".repeat(81);
    but("--name", &long).refused("81 characters", "--name");
    let gas = "recipes add --name x --minutes 9 --kind scone";
    for (mark, said) in [("11", "'11' is no gas mark"), ("-1", "'-1' is no gas mark")] {
        k.say(format!("{gas} --gas-mark {mark}"))
            .refused(said, mark);
    }
    k.say(gas).refused("needs a temperature", "--temperature");
    assert!(
        k.run(&["recipes"]).done().contains("no recipe yet"),
        "none was kept"
    );
    for odd in ["\u{70e4}\u{7bb1}", "../../etc", "(x)", "a/b:c*?"] {
        but("--name", odd).done();
        let shown = k.run(&["recipes", "show", odd, "--json"]).json();
        assert_eq!(shown["name"], odd);
    }
    but("--name", "A/B:C*?").refused("already", "--name A/B:C*?");
    let files = std::fs::read_dir(k.path().join("recipes")).unwrap();
    assert_eq!(files.count(), 4);
}

#[test]
fn a_plan_and_where_take_a_recipe_in_place_of_a_kind() {
    let k = Kitchen::demo();
    let plan = "plan --oven wall-oven --mode still-air --json";
    let own = k.say(format!("{plan} --recipe-name 'oat biscuits'")).json();
    assert_eq!(
        (&own["recipe"], &own["kind"]),
        (&"oat biscuits".into(), &"thin-cookie".into())
    );
    // The same by hand: 325 F with a fan is 350 F without (common practice, no source).
    let by_hand = "--kind thin-cookie --recipe 350F --minutes 13";
    let size = "--tray 45.7x33cm --pieces 4x3";
    let mut same = k.say(format!("{plan} {by_hand} {size}")).json();
    assert!(same["recipe"].is_null());
    same["recipe"] = own["recipe"].clone();
    assert_eq!(own, same);
    let text = k.say("plan --oven wall-oven --recipe-name harvest-rolls --trays 2");
    assert!(text.done().contains("harvest rolls (gas mark 7), 2 trays"));
    let ways = k.say("where --recipe-name 'OAT biscuits' --json").json();
    let first = &ways["ways"][0]["plan"];
    assert_eq!(first["recipe"], "oat biscuits");
    k.say("plan --oven wall-oven --recipe-name stew")
        .refused("there is no recipe 'stew'", "--recipe-name stew");
    k.say("where --recipe-name stew")
        .refused("there is no recipe 'stew'", "--recipe-name stew");
    assert_eq!(k.say("where --recipe-name stew --bake scone").code, Some(2));
    // Too few of its own bakes to learn from: it says so.
    k.say("bakes learn 'oat biscuits'")
        .refused("scored pieces tell nothing", "oat biscuits");
}

#[test]
fn recipes_go_along_and_can_be_taken_back() {
    let (here, there) = (Kitchen::demo(), Kitchen::empty());
    let file = here.beside("all.json");
    let file = file.to_str().unwrap();
    here.run(&["export", "--out", file]).done();
    there.run(&["import", file]).done();
    let count = |k: &Kitchen| {
        let list = k.say("recipes --json").json();
        list["recipes"].as_array().unwrap().len()
    };
    assert_eq!(count(&there), 2);
    there.say("import --undo").done();
    assert_eq!(count(&there), 0);
}

#[test]
fn a_bare_temperature_is_in_the_unit_of_the_ovens() {
    let k = Kitchen::empty();
    k.say("ovens add --from wall-oven-30-inch --name deck --dial-unit C --lengths cm")
        .done();
    k.say("recipes add --name buns --temperature 180 --minutes 15 --kind dinner-roll --tray 40x30 --pieces 4x3").done();
    let kept = k.say("recipes show buns --json").json();
    assert_eq!(kept["written_as"], "180 C, no fan");
    assert_eq!(kept["still_air_c"], 180.0);
}

#[test]
fn a_tray_is_shown_in_the_unit_of_the_kitchen_and_goes_into_an_oven_of_it() {
    let k = Kitchen::demo();
    k.run(&ADD).done();
    let shown = k.say("recipes edit plum-cake --tray 18x13").done();
    assert!(shown.contains("Tray of 18 in x 13 in"), "{shown}");
    k.say("recipes edit plum-cake --tray 46x33")
        .refused("46 in by 33 in goes into no oven here", "--tray 46x33");
}

/// By its name or its id a recipe is found, so no other may go by either.
#[test]
fn no_recipe_takes_a_name_that_finds_another() {
    let k = Kitchen::empty();
    k.run(&ADD).done();
    k.say("recipes edit plum-cake --name 'Apple tart'").done();
    let add = "recipes add --temperature 350F --minutes 30 --kind sheet-cake --name";
    k.say(format!("{add} Plum-Cake")).refused(
        "there is a recipe 'Plum-Cake' already (plum-cake)",
        "--name Plum-Cake",
    );
    k.say(format!("{add} buns")).done();
    k.say("recipes edit buns --name plum-cake")
        .refused("already (plum-cake)", "--name plum-cake");
    k.say("recipes edit plum-cake --minutes 31").done();
    k.say("recipes edit plum-cake --name Plum-cake").done();
}

#[test]
fn a_bare_temperature_no_oven_here_gets_is_asked_about() {
    let k = Kitchen::empty();
    k.say("ovens add --from wall-oven-30-inch --name deck --dial-unit C --lengths cm")
        .done();
    let add = "recipes add --name buns --minutes 15 --kind dinner-roll --temperature";
    let unsure = "350 C is hotter than any oven here gets";
    let asked = k.say(format!("{add} 350"));
    assert!(asked.err.contains("write 350F or 350C"), "{}", asked.err);
    asked.refused(unsure, "--temperature 350");
    k.say(format!("{add} 350F")).done();
    // A figure for one that is changed is in its own unit.
    let changed = k.say("recipes edit buns --temperature 375 --json").json();
    assert_eq!(changed["written_as"], "375 F, no fan");
    k.say("recipes edit buns --temperature 180C").done();
    k.say("recipes edit buns --temperature 350")
        .refused(unsure, "--temperature 350");
    let changed = k.say("recipes edit buns --temperature 200 --json").json();
    assert_eq!(changed["written_as"], "200 C, no fan");
}
