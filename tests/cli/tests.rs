//! `tests` and `layout`: laying slices out.

use crate::kit::{Kitchen, WALL};

#[test]
fn a_test_is_laid_out_scored_in_one_line_and_shown() {
    let k = Kitchen::demo();
    let new = k.say("tests new --oven wall-oven --mode fan --racks 2,4 --counts 4x3 --dial 325F --minutes 10 --when 2026-05-01T09:00 --json");
    let new = new.json();
    assert_eq!(new["id"], "2026-05-01-wall-oven");
    assert_eq!(
        (&new["slice_count"], &new["mode"]),
        (&24.into(), &"fan".into())
    );
    let id = "2026-05-01-wall-oven";
    let scored = k.run(&["score", id, "--rack", "4", "5544 4.544 443.", "--json"]);
    scored.refused("rack 4 has 12 slices but 11 scores were given", "--rack 4");
    k.run(&["score", id, "--rack", "4", "5544 54.544 443x"])
        .refused("'x' at place 16", "443x");
    let scored = k
        .run(&["score", id, "--rack", "4", "5544 54.544 443.", "--json"])
        .json();
    assert_eq!(
        (&scored["scored"], &scored["next_slice"]),
        (&11.into(), &1.into())
    );
    let slices = scored["slices"].as_array().unwrap();
    let shades: Vec<_> = slices[12..].iter().map(|s| s["shade"].as_f64()).collect();
    assert_eq!(shades[5], Some(4.5));
    assert_eq!(slices[23]["state"], "skipped");
    assert!(k.run(&["tests", "show", id]).done().contains("shade 4.5"));
    assert!(k.say("tests --oven wall-oven").done().contains("11 of 24"));
    assert_eq!(
        k.say("tests list --json").json()["tests"]
            .as_array()
            .unwrap()
            .len(),
        9
    );
    k.run(&["tests", "remove", id]).done();
    k.run(&["tests", "show", id])
        .refused("there is no toast test", id);
    assert!(k.path().join("removed").join(format!("{id}.json")).exists());
    let back = k.run(&["tests", "restore", id, "--json"]).json();
    assert_eq!((&back["scored"], &back["id"]), (&11.into(), &id.into()));
    assert!(k.run(&["tests", "show", id]).done().contains("shade 4.5"));
    k.run(&["tests", "restore", id])
        .refused("there is a toast test", id);
    k.say("tests restore none")
        .refused("no toast test 'none' was set aside", "none");
}

/// Of several that were set aside under one id, the last one counts.
#[test]
fn a_test_removed_twice_comes_back_as_it_was_last() {
    let k = Kitchen::demo();
    let shown = k.run(&["tests", "show", WALL, "--json"]).json();
    let first = &shown["slices"][0]["rack"];
    let slices = shown["slices"].as_array().unwrap().iter();
    let row = "7".repeat(slices.filter(|s| s["rack"] == *first).count());
    let at = |part: &str| k.path().join(part).join(format!("{WALL}.json"));
    k.run(&["tests", "remove", WALL]).done();
    std::fs::copy(at("removed"), at("tests")).unwrap();
    k.run(&["score", WALL, "--rack", &first.to_string(), &row])
        .done();
    k.run(&["tests", "remove", WALL]).done();
    let last = k.run(&["tests", "restore", WALL, "--json"]).json();
    assert_eq!(last["slices"][0]["shade"], 7.0, "{last}");
}

#[test]
fn layouts_are_drawn_up_and_wrong_ones_refused() {
    let k = Kitchen::demo();
    let layout = |more: &str| k.say(format!("layout --oven wall-oven {more}"));
    let text = layout("--racks 2,4").done();
    assert!(
        text.contains("dial at 350 F: 9:30 min, as the last test took")
            && text.contains("Stay with the oven"),
        "{text}"
    );
    let said = layout("--racks 2,4 --json").json();
    let minutes = ["minutes_lo", "minutes_hi", "minutes_before"].map(|key| said[key].as_f64());
    assert_eq!(minutes, [Some(9.5); 3], "{said}");
    // Nothing was toasted at that setting: what bread usually takes.
    let hotter = layout("--racks 2,4 --dial 375F").done();
    assert!(!hotter.contains("as the last test took"), "{hotter}");
    let laid = layout("--racks 4 --slice 4x4in --json").json();
    let slices = laid["slices"].as_array().unwrap();
    assert_eq!(slices.len() as u64, laid["per_rack"].as_u64().unwrap());
    assert!(slices.len() >= 12);
    for slice in slices {
        let (x, y) = (
            slice["x_cm"].as_f64().unwrap(),
            slice["y_cm"].as_f64().unwrap(),
        );
        // 5 cm of air and half a slice of 4 in to every wall of 63.5 x 48.26 cm.
        assert!(
            (10.0..=53.5).contains(&x) && (10.0..=38.3).contains(&y),
            "{x} {y}"
        );
    }
    layout("--racks 9").refused("no rack position 9", "--racks 9");
    layout("--racks 2 --clearance 40").refused("air to the walls", "--clearance 40");
    layout("--racks 2 --gap -1").refused("air between slices", "--gap -1");
    layout("--racks 2 --slice -1x3in").refused("'-1x3in'", "--slice -1x3in");
    layout("--racks 2 --counts 30x3").refused("30 slices along the door", "--counts 30x3");
    layout("--racks 2 --slice big").refused("'big'", "--slice big");
    layout("--racks 2 --mode steam").refused("'steam'", "--mode");
    layout("--racks 2 --slice 90x90cm").refused("90", "90x90cm");
    k.say("layout --oven wall-oven")
        .refused("something is missing", "--racks");
}

#[test]
fn what_to_mind_stands_under_a_new_test_and_gas_only_where_it_burns() {
    let k = Kitchen::empty();
    for (template, name, gas) in [
        ("gas-range-slide-in", "range", true),
        ("wall-oven-30-inch", "wall", false),
    ] {
        k.say(format!("ovens add --from {template} --name {name}"))
            .done();
        let new = format!("tests new --oven {name} --racks 2");
        let said = k.say(&new).done();
        assert!(said.contains("! Stay with the oven"), "{said}");
        assert_eq!(said.contains("Smell of gas"), gas, "{said}");
        let json = k.say(format!("{new} --json")).json();
        let cautions = json["cautions"].to_string();
        assert!(cautions.contains("Stay with the oven"), "{cautions}");
        assert_eq!(cautions.contains("Smell of gas"), gas, "{cautions}");
        let when = json["when"].as_str().unwrap();
        assert_eq!(
            when.len(),
            "2026-05-01T09:00".len(),
            "to the minute: {when}"
        );
    }
}
