//! `ovens`: adding, showing, visiting, removing, and what is refused.

use crate::kit::Kitchen;

#[test]
fn ovens_are_added_listed_shown_visited_and_removed() {
    let k = Kitchen::empty();
    assert!(k.run(&["ovens"]).done().contains("no oven yet"));
    assert!(
        k.say("ovens templates")
            .done()
            .contains("gas-range-slide-in")
    );
    let added = k.say("ovens add --from built-in-60-cm --name 'Left oven' --width 45cm --racks '4, 10, 17' --json");
    let added = added.json();
    assert_eq!(
        (&added["id"], &added["width_cm"]),
        (&"left-oven".into(), &45.0.into())
    );
    assert_eq!(added["racks"][2]["height_cm"], 17.0);
    // A dial in C says its step once, in C.
    let dial = &added["dial"];
    assert_eq!(
        (dial["unit"].as_str(), dial.get("step_f")),
        (Some("C"), None)
    );
    assert!(dial["step_c"].as_f64().unwrap() > 0.0, "{dial}");
    assert_eq!(
        k.say("ovens --json").json()["ovens"]
            .as_array()
            .unwrap()
            .len(),
        1
    );
    let shown = k.say("ovens show 'left oven'").done();
    assert!(
        shown.contains("45 cm wide") && shown.contains("30 C to 250 C"),
        "{shown}"
    );
    assert!(
        k.say("ovens visit left-oven --date 2026-04-02 --what 'new seal'")
            .done()
            .contains("2026-04-02: new seal")
    );
    k.say("ovens remove left-oven").done();
    assert!(k.path().join("removed/left-oven.json").exists());
    assert!(k.run(&["ovens"]).done().contains("no oven yet"));
}

#[test]
fn wrong_ovens_are_refused_with_the_value() {
    let k = Kitchen::empty();
    let add = |more: &str| k.say(format!("ovens add --from built-in-60-cm {more}"));
    k.say("ovens add --from castle")
        .refused("'castle' is no oven template", "castle");
    add("--width wide").refused("'wide' is not a number", "wide");
    add("--width 500cm").refused("width of 500 cm is not an oven's", "500cm");
    add("--racks 10cm,4cm").refused("rack position 2", "10cm,4cm");
    add("--modes steam").refused("'steam' is not known", "steam");
    add("--dial-unit K").refused("'K' cannot be used", "--dial-unit");
    let slip = "9".repeat(40);
    add(&format!("--width '{slip}'")).refused("width of 1e40 cm", &slip);
    add("--depth -5").refused("depth of -5 cm", "-5");
    add("--racks 10cm,11cm").refused("1 and 2 are 1 cm apart", "11cm");
    add("--name range").done();
    add("--name Range").refused("there is an oven 'range' already (range)", "Range");
    k.run(&["ovens", "visit", "range", "--what", ""])
        .refused("a word on what was done", "--what");
    k.say("ovens visit range --what y --when 2999-01-01")
        .refused("2999-01-01 is still to come", "2999-01-01");
    k.say("plan --kind 'a; b' --oven range")
        .refused("'a; b' is no kind of bake", "--kind a; b");
    k.say("ovens show none")
        .refused("there is no oven 'none'", "oven none");
    k.say("ovens visit x --date soon --what y")
        .refused("'soon' cannot be used: no such date", "--when");
    assert!(!k.path().join("ovens/60-cm-built-in-oven.json").exists());
}

#[test]
fn make_and_serial_number_stand_on_the_sheet_and_leave_only_when_asked() {
    let k = Kitchen::demo();
    let shown = k.say("ovens edit wall-oven --make 'Hearth & Sons' --serial SN-4711");
    let shown = shown.done();
    assert!(
        shown.contains("Hearth & Sons") && shown.contains("SN-4711"),
        "{shown}"
    );
    k.say("ovens edit wall-oven")
        .refused("something is missing", "--serial");
    k.say("ovens edit no-oven --make x")
        .refused("there is no oven", "no-oven");
    let sheet = k.beside("sheet.md");
    k.say(format!(
        "report technician wall-oven --out '{}'",
        sheet.display()
    ))
    .done();
    let sheet = std::fs::read_to_string(sheet).unwrap();
    assert!(sheet.contains("| serial number | SN-4711 |"), "{sheet}");
    for (more, goes) in [(None, false), (Some("--with-serial"), true)] {
        let file = k.beside(if goes { "with.json" } else { "without.json" });
        let mut args = vec!["export", "--out", file.to_str().unwrap()];
        args.extend(more);
        k.run(&args).done();
        let text = std::fs::read_to_string(file).unwrap();
        assert_eq!(text.contains("SN-4711"), goes);
    }
}

/// Every file by its name, and the folder it came from.
#[test]
fn an_oven_that_is_removed_can_be_had_back_as_it_is_told() {
    let k = Kitchen::demo();
    let before = k.say("history wall-oven --json").json();
    // Of an id that was removed before the newer file gets another name.
    let [test, removed] = ["tests", "removed"].map(|part| k.path().join(part));
    std::fs::create_dir(&removed).unwrap();
    let twin = "2026-04-10-wall-oven.json";
    std::fs::copy(test.join(twin), removed.join(twin)).unwrap();
    let told = k.say("ovens remove wall-oven").err;
    let mut moved = 0;
    for line in told.lines().skip(1) {
        let (files, folder) = line.trim_end_matches(',').rsplit_once(" to ").unwrap();
        for file in files.trim_start_matches("note: ").split(", ") {
            let (now, was) = match file.split_once(" (as ") {
                Some((now, was)) => (now, was.trim_end_matches(')')),
                None => (file, file),
            };
            let home = k.path().join(folder).join(was);
            std::fs::rename(removed.join(now), home).unwrap();
            moved += 1;
        }
    }
    assert_eq!(moved, 12, "{told}");
    assert!(told.contains(&format!("2-{twin} (as {twin})")), "{told}");
    assert_eq!(k.say("history wall-oven --json").json(), before);
}
