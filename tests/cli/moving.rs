//! `export` and `import`: a kitchen in one file, taken in, taken back, and every file that must not be taken in.

use crate::kit::Kitchen;
use std::{collections::BTreeMap, fs, path::Path};

/// Every file of a kitchen with its bytes, but the lock that a running program holds.
fn files(root: impl AsRef<Path>) -> BTreeMap<String, Vec<u8>> {
    let mut out = BTreeMap::new();
    for entry in fs::read_dir(root).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            out.extend(files(&path));
        } else if path.file_name().unwrap() != "lock" {
            out.insert(path.display().to_string(), fs::read(&path).unwrap());
        }
    }
    out
}

/// A file of the whole demo kitchen, outside the kitchen it is taken into.
fn exported(from: &Kitchen) -> String {
    let file = from.beside("kitchen.json");
    let file = file.to_str().unwrap().to_owned();
    from.run(&["export", "--force", "--out", &file]).done();
    file
}

#[test]
fn a_kitchen_moves_and_the_move_can_be_taken_back() {
    let (from, to) = (Kitchen::demo(), Kitchen::empty());
    let file = &exported(&from);
    let dry = to.run(&["import", file, "--dry-run"]).done();
    assert!(
        dry.contains("would be added") && dry.contains("nothing was changed"),
        "{dry}"
    );
    assert!(to.run(&["ovens"]).done().contains("no oven yet"));
    to.run(&["import", file]).done();
    assert!(to.run(&["ovens"]).done().contains("wall-oven"));
    let again = to.run(&["import", file, "--json"]).json();
    assert_eq!(again["added"].as_array().unwrap().len(), 0);
    assert_eq!(again["same"].as_array().unwrap().len(), 21);
    let undone = to.say("import --undo").done();
    assert!(undone.contains("taken back"), "{undone}");
    assert!(to.run(&["ovens"]).done().contains("no oven yet"));
    to.say("import --undo")
        .refused("no import to take back", "--undo");
}

#[test]
fn an_export_without_what_is_damaged_says_so() {
    let k = Kitchen::demo();
    let out = k.beside("kitchen.json");
    let out = out.to_str().unwrap();
    let whole = k.run(&["export", "--out", out]).done();
    assert!(whole.starts_with("the whole kitchen written to"), "{whole}");
    fs::write(k.path().join("tests/2026-03-07-wall-oven.json"), "{").unwrap();
    let less = k.run(&["export", "--force", "--out", out]).done();
    assert!(
        less.starts_with("the kitchen, as far as it could be read,"),
        "{less}"
    );
    let json = k.run(&["export", "--force", "--out", out, "--json"]).json();
    assert_eq!(json["warnings"].as_array().unwrap().len(), 1, "{json}");
}

#[test]
fn one_oven_moves_into_a_kitchen_that_has_others() {
    let (from, to) = (Kitchen::demo(), Kitchen::empty());
    let [wall, counter] = ["wall-oven", "counter-oven"].map(|oven| {
        let file = from.beside(&format!("{oven}.json"));
        let file = file.to_str().unwrap().to_owned();
        from.run(&["export", oven, "--out", &file]).done();
        file
    });
    to.run(&["import", &counter]).done();
    let only = to.run(&["ovens"]).done();
    assert!(
        only.contains("counter-oven") && !only.contains("wall-oven"),
        "{only}"
    );
    let both = to.run(&["import", &wall]).done();
    // Thermometers and recipes belong to no oven and come with each; the second time they are here already.
    assert!(both.contains("4 here already"), "{both}");
    let told = |k: &Kitchen| k.say("history wall-oven --json").json();
    assert_eq!(told(&to), told(&from));
    // Only the last import is taken back.
    to.say("import --undo").done();
    let left = to.run(&["ovens"]).done();
    assert!(
        left.contains("counter-oven") && !left.contains("wall-oven"),
        "{left}"
    );
}

#[test]
fn what_differs_is_not_overwritten_unless_told_to() {
    let (from, to) = (Kitchen::demo(), Kitchen::demo());
    to.say("ovens visit wall-oven --what 'new lamp' --when 2026-05-02")
        .done();
    let before = files(to.path());
    let file = &exported(&from);
    to.run(&["import", file])
        .refused("differ from what has the same name here", "kitchen.json");
    assert_eq!(files(to.path()), before);
    let kept = to.run(&["import", file, "--keep"]).done();
    assert!(kept.contains("1 differ, left as they are here"), "{kept}");
    assert_eq!(files(to.path()), before);
    to.run(&["import", file, "--replace"]).done();
    let oven = to.path().join("ovens/wall-oven.json");
    assert!(!fs::read_to_string(&oven).unwrap().contains("new lamp"));
    to.say("import --undo").done();
    assert!(fs::read_to_string(&oven).unwrap().contains("new lamp"));
}

#[test]
fn what_cannot_be_taken_in_is_refused_and_the_store_stays_as_it_is() {
    let to = Kitchen::demo();
    let file = to.beside("list.json");
    fs::write(&file, "[1, 2, 3]").unwrap();
    let huge = to.beside("huge.json");
    fs::File::create(&huge).unwrap().set_len(65 << 20).unwrap();
    let missing = to.beside("missing.json");
    let folder = to.beside("");
    let before = files(to.path());
    for (file, what) in [
        (file, "is not a file of rackshade's export"),
        (huge, "larger than 64 MiB"),
        (missing, "missing.json"),
        (folder, ""),
    ] {
        let file = file.to_str().unwrap();
        for more in ["", "--replace", "--dry-run"] {
            to.say(format!("import '{file}' {more}"))
                .refused(what, file);
            assert_eq!(files(to.path()), before, "{file} {more}");
        }
    }
}

/// What an import replaced has its only copy in the record of the import.
#[test]
fn what_an_import_replaced_is_never_lost() {
    let k = Kitchen::demo();
    let file = &exported(&k);
    let replace = || k.run(&["import", file, "--replace"]).done();
    let change = |note: &str| {
        k.say(format!("ovens edit wall-oven --note '{note}'"))
            .done()
    };
    let aside = |name: &str| fs::read_to_string(k.path().join("removed").join(name));
    change("mine");
    replace();
    change("again");
    let undone = k.say("import --undo --json").json();
    assert_eq!(undone["left"], serde_json::json!(["ovens/wall-oven"]));
    assert!(
        aside("wall-oven.json").unwrap().contains("mine"),
        "{undone}"
    );
    assert!(k.say("ovens show wall-oven").done().contains("again"));
    // The next import writes over the record of the one before.
    replace();
    change("later");
    assert!(aside("2-wall-oven.json").is_err());
    replace();
    assert!(aside("2-wall-oven.json").unwrap().contains("again"));
    let undone = k.say("import --undo").done();
    assert!(undone.starts_with("1 taken back"), "{undone}");
    assert!(k.say("ovens show wall-oven").done().contains("later"));
    // What was removed since is not put back, nor lost.
    replace();
    k.say("ovens remove wall-oven").done();
    let undone = k.say("import --undo").done();
    assert!(
        undone.contains("what they had replaced lies now in:"),
        "{undone}"
    );
    assert!(aside("4-wall-oven.json").unwrap().contains("later"));
}
