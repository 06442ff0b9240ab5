//! `photo`: from a picture to scores, and into a toast test.

use crate::kit::Kitchen;
use std::path::{Path, PathBuf};

/// Pictures drawn by a program of this project, with the truth beside them.
fn picture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/photos")
        .join(name)
}

fn ask(k: &Kitchen, name: &str, more: &str) -> crate::kit::Answer {
    k.say(format!("photo '{}' {more}", picture(name).display()))
}

#[test]
fn a_photo_of_slices_keeps_the_contract() {
    let k = Kitchen::empty();
    let json = ask(&k, "two-missing.jpg", "--rows 4 --cols 5 --json").json();
    assert_eq!(json["corners_px"].as_array().unwrap().len(), 4);
    assert!(
        json["reference"]["given_as"]
            .as_str()
            .unwrap()
            .starts_with("slice:")
    );
    assert_eq!(json["light"]["kind"], "background");
    assert!(json["light"]["share_removed"].as_f64().unwrap() > 0.02);
    assert!(json["light"]["lean_left"].as_f64().unwrap() > 0.0);
    assert_eq!(json["fit"]["doubtful"], false);
    assert!(json["quality"]["sharpness"].as_f64().unwrap() > 0.75);
    let cells = json["cells"].as_array().unwrap();
    assert_eq!(cells.len(), 20);
    let absent = cells.iter().filter(|c| c["present"] == false).count();
    assert_eq!(absent, 2);
    for cell in cells {
        if cell["present"] == false {
            assert!(cell["lightness"].is_null());
            assert_eq!(cell["flags"][0], "missing");
            continue;
        }
        let figure = |key: &str| cell[key].as_f64().unwrap();
        let (l, shade) = (figure("lightness"), figure("shade"));
        assert!((figure("browning") - (84.0 / l).ln().max(0.0)).abs() < 1e-9);
        assert!(figure("shade_lo") <= shade && shade <= figure("shade_hi"));
        assert!(figure("lightness_se") > 0.0);
        for key in ["a_star", "b_star", "browning_index"] {
            figure(key);
        }
        assert_eq!(cell["centre_px"].as_array().unwrap().len(), 2);
        let is_reference = cell["flags"]
            .as_array()
            .unwrap()
            .contains(&"reference".into());
        assert_eq!(cell["relative"].is_null(), is_reference);
    }
}

#[test]
fn corners_and_a_reference_that_are_given_are_used_as_given() {
    let k = Kitchen::empty();
    let corners = "304.6,165.8 851.9,194.9 901.5,620.0 235.2,584.4";
    let json = ask(
        &k,
        "display-p3.jpg",
        &format!("--rows 2 --cols 3 --corners '{corners}' --json"),
    )
    .json();
    assert!((json["corners_px"][2][1].as_f64().unwrap() - 620.0).abs() < 1e-9);
    let text = ask(&k, "turned.jpg", "--rows 4 --cols 3 --reference slice:2,1").done();
    assert!(text.contains("reference: slice:2,1\n"), "{text}");
    // all six are toast, this one L* 46: named as untoasted it would lift every score
    ask(
        &k,
        "display-p3.jpg",
        "--rows 2 --cols 3 --reference slice:0,0",
    )
    .refused("an untoasted one is the lightest", "display-p3.jpg");
}

#[test]
fn what_is_wrong_with_a_photo_or_a_request_is_told_in_three_lines() {
    let k = Kitchen::empty();
    let counts = "--rows 3 --cols 4";
    ask(&k, "cat.png", counts).refused("no bread found", "cat.png");
    ask(&k, "truth.csv", counts).refused("no picture file", "truth.csv");
    ask(&k, "not-there.jpg", counts).refused("cannot read", "not-there.jpg");
    let with = |more: &str| ask(&k, "two-missing.jpg", &format!("{counts} {more}"));
    // counts that would leave slices out are refused, not cut to size: there are 4 rows and 5 columns
    for (rows, cols) in [("3", "4"), ("3", "5"), ("4", "4"), ("5", "5"), ("4", "6")] {
        ask(
            &k,
            "two-missing.jpg",
            &format!("--rows {rows} --cols {cols}"),
        )
        .refused("the slices seem to stand in", "two-missing.jpg");
    }
    // every second column makes a lattice too
    ask(&k, "two-missing.jpg", "--rows 4 --cols 3")
        .refused("more things like slices", "two-missing.jpg");
    with("--corners '1,2 3,4'").refused("is not four corners", "1,2 3,4");
    with("--corners '0,0 500,500 500,0 0,500'").refused("make no grid", "photo");
    with("--reference bread").refused("is no reference", "bread");
    with("--untoasted 5").refused("untoasted slice cannot be that", "5");
    ask(&k, "two-missing.jpg", "--rows 0 --cols 4").refused("cannot be looked for", "");
}

/// A wall oven with a toast test of twenty slices on each of these rack positions; returns the test's id.
fn laid_out(k: &Kitchen, racks: &str) -> String {
    k.say("ovens add --from wall-oven-30-inch --name 'wall oven'")
        .done();
    let setup = "--oven wall-oven --mode still-air --dial 350F";
    let slices = format!("--racks {racks} --slice 8x8cm --counts 5x4");
    let added = k.say(format!("tests new {setup} {slices} --json"));
    added.json()["id"].as_str().unwrap().to_owned()
}

#[test]
fn racks_of_one_test_rest_on_one_loaf() {
    let k = Kitchen::empty();
    let id = laid_out(&k, "2,4");
    // the same picture in another file: every rack needs a photo of its own
    let other = k.beside("other.jpg");
    let mut bytes = std::fs::read(picture("two-missing.jpg")).unwrap();
    bytes.push(0);
    std::fs::write(&other, bytes).unwrap();
    let onto = |rack: &str, more: &str| {
        let usual = format!("--rows 4 --cols 5 --into {id} --rack {rack}");
        let file = if rack == "2" {
            picture("two-missing.jpg")
        } else {
            other.clone()
        };
        k.say(format!("photo '{}' {usual} {more}", file.display()))
    };
    let lightness = |rack: u64| -> Vec<f64> {
        let test = k.run(&["tests", "show", &id, "--json"]).json();
        let slices = test["slices"].as_array().unwrap().iter();
        let here = slices.filter(|s| s["rack"] == rack);
        here.filter_map(|s| s["lightness"].as_f64()).collect()
    };
    onto("2", "--untoasted 90").done();
    let first = lightness(2);
    onto("4", "--untoasted 84").refused("read with an untoasted slice of L* 90.0", "4");
    assert!(lightness(4).is_empty() && lightness(2) == first);
    let usual = format!("--rows 4 --cols 5 --into {id} --untoasted 90");
    ask(&k, "two-missing.jpg", &format!("{usual} --rack 4"))
        .refused("was read for rack position 2 of this test already", "4");
    ask(&k, "two-missing.jpg", &format!("{usual} --rack 6"))
        .refused("no slice of this test lies on rack position 6", "6");
    // Left unsaid it is what the test says of its loaf.
    onto("4", "").done();
    assert_eq!((first.len(), lightness(4)), (17, first));
}

#[test]
fn scores_from_a_photo_go_into_a_test_and_remember_their_file() {
    let k = Kitchen::empty();
    let id = &laid_out(&k, "3");
    let into = |rows: &str, cols: &str| {
        ask(
            &k,
            "two-missing.jpg",
            &format!("--rows {rows} --cols {cols} --into {id} --rack 3"),
        )
    };
    let said = into("4", "5").done();
    assert!(
        said.contains("17 slices of rack 3 scored from the photo"),
        "{said}"
    );
    let test = k.run(&["tests", "show", id, "--json"]).json();
    let slices = test["slices"].as_array().unwrap();
    let measured = slices.iter().filter(|s| s["lightness"].is_number()).count();
    assert_eq!(measured, 17);
    let stored = std::fs::read_to_string(k.path().join("tests").join(format!("{id}.json")));
    let stored: serde_json::Value = serde_json::from_str(&stored.unwrap()).unwrap();
    let photo = &stored["photos"][0];
    assert_eq!(photo["rack"], 3);
    assert_eq!(photo["sha256"].as_str().unwrap().len(), 64);
    assert!(photo["file"].as_str().unwrap().ends_with("two-missing.jpg"));
    // the same scores make a map
    k.run(&["map", "--test", id, "--json"]).json();
}

#[test]
fn a_picture_of_the_scored_tray_is_saved_whole() {
    let k = Kitchen::empty();
    let out = k.beside("tray.png");
    ask(
        &k,
        "two-missing.jpg",
        &format!("--rows 4 --cols 5 --png '{}'", out.display()),
    )
    .done();
    let drawn = image::open(out).unwrap();
    assert_eq!((drawn.width(), drawn.height()), (1000, 810));
}

#[test]
fn free_pieces_are_compared_without_a_lattice() {
    let k = Kitchen::empty();
    let json = ask(&k, "two-missing.jpg", "--pieces --json").json();
    let pieces = json["pieces"].as_array().unwrap();
    assert!((16..=18).contains(&pieces.len()), "{}", pieces.len());
    // one under glare or a shadow has none
    let relative: Vec<f64> = pieces
        .iter()
        .filter_map(|p| p["relative"].as_f64())
        .collect();
    assert!(relative.len() >= 16, "{}", relative.len());
    let mean = relative.iter().sum::<f64>() / relative.len() as f64;
    assert!((mean - 1.0).abs() < 1e-9);
    ask(&k, "gravel.webp", "--pieces").refused("no pieces found", "gravel.webp");
}

#[test]
fn a_photo_tells_no_more_of_the_level_than_it_can() {
    let k = Kitchen::empty();
    let oven = ["--from", "wall-oven-30-inch", "--name", "wall oven"];
    k.run(&[&["ovens", "add"][..], &oven].concat()).done();
    let test = ["--oven", "wall-oven", "--mode", "still-air", "--dial"];
    let more = ["350F", "--racks", "2,4", "--counts", "3x2", "--json"];
    let added = k
        .run(&[&["tests", "new"][..], &test, &more].concat())
        .json();
    let id = added["id"].as_str().unwrap();
    // the picture without its two cards: nothing of known lightness is left in sight
    let mut bare = image::open(picture("display-p3.jpg")).unwrap().to_rgb8();
    for (x, y, side) in [(130, 309, 95), (90, 475, 104)] {
        let ground = *bare.get_pixel(x - 20, y + 10);
        for (dx, dy) in (0..side).flat_map(|dx| (0..side).map(move |dy| (dx, dy))) {
            bare.put_pixel(x + dx, y + dy, ground);
        }
    }
    let file = k.beside("bare.png");
    bare.save(&file).unwrap();
    bare.put_pixel(0, 0, image::Rgb([9, 9, 9]));
    let again = k.beside("again.png");
    bare.save(&again).unwrap();
    let onto = |rack: &str, more: &[&str]| {
        let file = if rack == "2" { &file } else { &again };
        let usual = [
            "photo",
            file.to_str().unwrap(),
            "--into",
            id,
            "--rack",
            rack,
            "--accept",
        ];
        k.run(&[&usual[..], more].concat())
    };
    // as many slices, but laid out in two rows of three
    onto("2", &["--rows", "3", "--cols", "2", "--back", "left"])
        .refused("carries 6 slices in 2 rows and 3 columns", "2");
    for rack in ["2", "4"] {
        onto(rack, &["--rows", "2", "--cols", "3", "--untoasted", "78"]).done();
    }
    // what was said of the loaf is what the scores were reckoned by, and is kept with them
    let kept = std::fs::read_to_string(k.path().join("tests").join(format!("{id}.json"))).unwrap();
    let kept: serde_json::Value = serde_json::from_str(&kept).unwrap();
    assert_eq!(kept["bread"]["untoasted_lightness"], 78.0, "{kept}");
    // one picture for both racks, with nothing of known lightness in it: alike to the last figure, and yet not known to be
    let map = k.run(&["map", "--test", id, "--json"]).json();
    let said = map["findings"].to_string();
    assert!(
        said.contains("Can't tell yet whether racks 2 and 4 brown alike"),
        "{said}"
    );
    // what is not known of the level widens the map and moves it nowhere
    let shades = |b: f64| b / ((84.0_f64 / 25.0).ln() / 9.0);
    let shown = k.run(&["tests", "show", id, "--json"]).json();
    let slices = shown["slices"].as_array().unwrap();
    let read: Vec<f64> = slices
        .iter()
        .map(|s| shades((78.0 / s["lightness"].as_f64().unwrap()).ln()))
        .collect();
    let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
    let rows = map["racks"][0]["browning_mean"].as_array().unwrap();
    let cells: Vec<f64> = rows
        .iter()
        .flat_map(|row| row.as_array().unwrap())
        .map(|b| shades(b.as_f64().unwrap()))
        .collect();
    assert!(
        (mean(&cells) - mean(&read)).abs() < 0.5,
        "{} {}",
        mean(&cells),
        mean(&read)
    );
    let careful = map["warnings"].to_string();
    assert!(
        careful.contains("nothing of known lightness lay in the photo of rack 4"),
        "{careful}"
    );
}
