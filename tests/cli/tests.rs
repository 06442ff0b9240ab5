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

/// A new test of that day and oven takes no id that a removed one would come back to.
#[test]
fn a_removed_test_comes_back_beside_a_new_one_of_its_day() {
    let k = Kitchen::demo();
    k.run(&["tests", "remove", WALL]).done();
    let new = k.say("tests new --oven wall-oven --racks 2 --when 2026-04-10T12:00 --json");
    assert_eq!(new.json()["id"], "2026-04-10-wall-oven-2");
    let back = k.run(&["tests", "restore", WALL, "--json"]).json();
    assert!(back["scored"].as_u64().unwrap() > 0, "{back}");
    // Where one was put there by hand all the same, the way that is named leads there.
    let at = |part: &str| k.path().join(part).join(format!("{WALL}.json"));
    std::fs::copy(at("tests"), at("removed")).unwrap();
    k.run(&["tests", "restore", WALL])
        .refused("there is a toast test", WALL);
    let hint = k.run(&["tests", "restore", WALL]).err;
    assert!(
        hint.contains(&format!("move {WALL}.json from 'removed' to 'tests'")),
        "{hint}"
    );
}

#[test]
fn a_test_whose_oven_is_gone_comes_back_with_a_word_on_it() {
    let k = Kitchen::demo();
    k.say("ovens remove wall-oven").done();
    let back = k.run(&["tests", "restore", WALL]);
    assert!(
        back.err.contains("its oven 'wall-oven' is not here")
            && back
                .err
                .contains("move wall-oven.json from 'removed' to 'ovens'"),
        "{}",
        back.err
    );
    back.done();
    let new = k.say("ovens add --from wall-oven-30-inch --name 'wall oven' --json");
    assert_eq!(new.json()["id"], "wall-oven-2", "the old test is not of it");
}

#[test]
fn what_would_change_a_test_without_a_word_is_refused() {
    let k = Kitchen::demo();
    let new = |more: &str| k.say(format!("tests new --oven wall-oven --racks 2 {more}"));
    for at in ["+14:00", "Z"] {
        let when = format!("2026-04-20T23:30{at}");
        new(&format!("--when {when}")).refused("it names an offset or a zone", &when);
        k.say(format!("ovens visit wall-oven --what seal --when {when}"))
            .refused("it names an offset or a zone", &when);
    }
    for note in ["quick check", "quick check: changed"] {
        new(&format!("--note '{note}'")).refused("is what a quick check is noted as", note);
    }
    assert_eq!(
        k.say("tests --json").json()["tests"]
            .as_array()
            .unwrap()
            .len(),
        8
    );
    new("--note 'a quick check of rack 2'").done();
}
