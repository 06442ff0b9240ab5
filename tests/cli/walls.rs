//! What must hold whatever the command line is given: no file destroyed, no terminal steered, no wait without end.

use crate::kit::{COUNTER, Kitchen};
use std::fs;

/// A colour, a window title with a bell, a cleared screen in C1, and a turned direction of writing.
const NASTY: &str = "a\u{1b}[31mb\u{1b}]0;x\u{7}c\u{9b}2Jd\u{202e}e";

#[track_caller]
fn assert_harmless(text: &str) {
    let wrong = |c: char| {
        c != '\n'
            && (c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'))
    };
    assert!(!text.chars().any(wrong), "{text:?}");
}

#[test]
fn no_output_replaces_a_file_unasked_nor_lands_among_the_records() {
    let k = Kitchen::demo();
    let record = k.path().join(format!("tests/{COUNTER}.json"));
    let before = fs::read(&record).unwrap();
    let record = record.to_str().unwrap();
    let new = k.path().join("ovens/x.json");
    let new = new.to_str().unwrap();
    let picture = k.beside("mine.png");
    fs::write(&picture, "my own picture").unwrap();
    let picture = picture.to_str().unwrap();
    for verb in [
        "map --oven wall-oven --grid 8x6 --png",
        "card --png",
        "export --out",
        "report card wall-oven --format png --out",
        "photo tests/data/photos/cup.jpg --rows 1 --cols 1 --png",
    ] {
        let option = verb.rsplit(' ').next().unwrap();
        let to = |path: &str, more: &str| k.say(format!("{verb} '{path}' {more}"));
        to(picture, "").refused("is there already", option);
        assert_eq!(fs::read(picture).unwrap(), b"my own picture", "{verb}");
        for inside in [record, new] {
            to(inside, "--force").refused("lies in the data folder", option);
        }
        to(k.beside("").to_str().unwrap(), "--force").refused("a folder", option);
    }
    assert_eq!(fs::read(record).unwrap(), before);
    assert!(!k.path().join("ovens/x.json").exists());
    k.run(&["card", "--force", "--png", picture]).done();
    assert!(fs::read(picture).unwrap().starts_with(b"\x89PNG"));
}

#[test]
fn a_dash_is_standard_output_and_carries_the_result_alone() {
    let k = Kitchen::demo();
    let text = k.say("export --out -").done();
    let bundle: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(bundle["things"].as_array().unwrap().len(), 21);
    assert!(
        k.say("report card wall-oven --format md --out -")
            .done()
            .starts_with("# ")
    );
    // A picture is not text, so it is only told by its first bytes.
    for verb in [
        &["card", "--png", "-"][..],
        &["map", "--oven", "wall-oven", "--grid", "8x6", "--png", "-"],
    ] {
        let output = crate::kit::program()
            .arg("--data")
            .arg(k.path())
            .args(verb)
            .output()
            .unwrap();
        assert!(output.stdout.starts_with(b"\x89PNG"), "{verb:?}");
    }
    k.say("export --json --out -")
        .refused("cannot both go to standard output", "--out");
    k.say("report technician wall-oven --format png --out -")
        .refused("as many files", "--out");
}

#[test]
fn papers_are_told_as_json_too() {
    let k = Kitchen::demo();
    let out = k.beside("card.svg");
    let out = out.to_str().unwrap();
    let said = k
        .run(&["report", "card", "wall-oven", "--json", "--out", out])
        .json();
    assert_eq!(said["files"][0], out);
}

#[test]
fn nothing_typed_or_read_steers_the_terminal() {
    let k = Kitchen::demo();
    // What was typed wrong comes back in the three lines.
    for args in [
        &["map", "--oven", NASTY][..],
        &["map", "--grid", NASTY],
        &[NASTY],
        &["tests", "show", NASTY],
        &["line", "--csv", NASTY],
        &["score", COUNTER, "--rack", "2", NASTY],
    ] {
        let answer = k.run(args);
        assert_eq!(answer.code, Some(2), "{args:?}");
        assert_harmless(&answer.err);
    }
    // Cells of a file that cannot be used.
    let cells = format!("rack,x_cm,y_cm,shade\n{NASTY},1,1,3\n");
    let csv = k.file("s.csv", &cells);
    let answer = k.say(format!("map --width-cm 60 --depth-cm 45 --samples '{csv}'"));
    assert!(answer.err.contains("line 2"), "{}", answer.err);
    assert_harmless(&answer.err);
    // Names and notes are refused where they come in.
    let long = "x".repeat(81);
    for (name, why) in [(NASTY, "control character"), (&*long, "81 characters")] {
        let add = [
            "ovens",
            "add",
            "--from",
            "counter-oven-small",
            "--name",
            name,
        ];
        k.run(&add).refused(why, "--name");
    }
    k.run(&["ovens", "visit", "wall-oven", "--what", NASTY])
        .refused("control character", "--what");
    // A record that has them nevertheless is read, and shown without.
    let path = k.path().join("ovens/wall-oven.json");
    let text = fs::read_to_string(&path).unwrap();
    let mut oven: serde_json::Value = serde_json::from_str(&text).unwrap();
    oven["name"] = NASTY.into();
    oven["note"] = format!("{NASTY}\nsecond line").into();
    oven["visits"][0]["what"] = NASTY.into();
    fs::write(&path, oven.to_string()).unwrap();
    for args in [
        "ovens",
        "ovens show wall-oven",
        "ovens --json",
        "tests",
        "history wall-oven",
        "report card wall-oven --format md --out -",
    ] {
        assert_harmless(&k.say(args).done());
    }
    let shown = k.say("ovens show wall-oven").done();
    assert!(shown.contains("a[31mb]0;xc2Jde second line"), "{shown}");
}

#[test]
fn columns_stand_straight_under_wide_and_joined_letters() {
    let k = Kitchen::empty();
    for name in ["オーブン", "Four a\u{301} pizza", "תנור", "plain"] {
        k.say(format!(
            "ovens add --from wall-oven-30-inch --name '{name}'"
        ))
        .done();
    }
    let table = k.run(&["ovens"]).done();
    let columns: Vec<usize> = table
        .lines()
        .filter_map(|line| {
            let at = line.find("76 x ").or_else(|| line.find(" in"))?;
            Some(unicode_width::UnicodeWidthStr::width(&line[..at]))
        })
        .collect();
    assert!(columns.len() >= 4, "{table}");
    assert!(columns.windows(2).all(|two| two[0] == two[1]), "{table}");
}

#[test]
fn scores_changed_from_outside_are_not_overwritten_even_without_the_lock() {
    use std::io::Write;
    let k = Kitchen::demo();
    let mut first = k.scoring();
    // A sync tool takes the lock file away, and another rackshade scores.
    fs::remove_file(k.path().join("lock")).unwrap();
    let said = k.score("@9\n7\n@10\n6\n").done();
    assert!(said.contains("ok 4"), "{said}");
    first.stdin.as_mut().unwrap().write_all(b"2\n").unwrap();
    drop(first.stdin.take());
    let answer = crate::kit::Answer::of(first.wait_with_output().unwrap());
    answer.refused("was changed by something else", "");
    let shades = |folder: &str| {
        let file = k.path().join(folder).join(format!("{COUNTER}.json"));
        let test: serde_json::Value = serde_json::from_slice(&fs::read(file).unwrap()).unwrap();
        let slices = test["slices"].as_array().unwrap();
        [8, 9, 10].map(|i| slices[i].to_string().contains("shade"))
    };
    assert_eq!(
        shades("tests"),
        [true, true, false],
        "acknowledged by the second"
    );
    assert_eq!(shades("conflicts"), [true, false, false], "of the first");
}

#[test]
fn a_command_waits_a_moment_for_the_lock() {
    let k = Kitchen::demo();
    let mut first = k.scoring();
    let ending = std::thread::spawn(move || {
        std::thread::sleep(std::time::Duration::from_millis(500));
        drop(first.stdin.take());
        first.wait().unwrap()
    });
    k.say("ovens visit wall-oven --what 'new lamp'").done();
    assert!(ending.join().unwrap().success());
}

#[cfg(unix)]
#[test]
fn a_pipe_or_a_device_is_refused_at_once_wherever_a_file_is_meant() {
    let k = Kitchen::demo();
    let pipe = k.beside("pipe");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    assert!(made.unwrap().success());
    let pipe = pipe.to_str().unwrap();
    for path in [pipe, "/dev/zero"] {
        for verb in [
            "photo --rows 2 --cols 2",
            "map --width-cm 60 --depth-cm 45 --samples",
            &format!("score {COUNTER} --csv"),
            "readings add --oven wall-oven --csv",
            "readings summary --csv",
            "line --csv",
            "import",
        ] {
            k.say(format!("{verb} '{path}'"))
                .refused("a pipe or a device, not a file", path);
        }
    }
    // And among the records: left out and told, and every command still answers.
    let stored = k.path().join("tests/pipe.json");
    let made = std::process::Command::new("mkfifo").arg(&stored).status();
    assert!(made.unwrap().success());
    let answer = k.run(&["tests"]);
    assert!(
        answer.err.contains("pipe.json was left out"),
        "{}",
        answer.err
    );
    answer.done();
    k.say("ovens visit wall-oven --what x").done();
    assert!(stored.exists());
}

#[test]
fn a_line_without_end_is_refused_before_it_fills_the_memory() {
    let k = Kitchen::demo();
    let long = format!("4\n{}", "5".repeat(4 << 20));
    // The program stops reading, so what feeds it meets a closed pipe.
    let mut child = k.scorer();
    let mut input = child.stdin.take().unwrap();
    std::io::Write::write_all(&mut input, long.as_bytes()).unwrap_err();
    let answer = crate::kit::Answer::of(child.wait_with_output().unwrap());
    assert_eq!(answer.out, "ok 1\n");
    answer.refused("longer than 200 characters", "line 2");
}

#[test]
fn files_of_too_many_lines_are_refused_with_a_sentence() {
    let k = Kitchen::demo();
    let samples = k.file(
        "s.csv",
        &format!("rack,x_cm,y_cm,shade\n{}", "1,9,9,4\n".repeat(1001)),
    );
    k.say(format!(
        "map --width-cm 60 --depth-cm 45 --samples '{samples}'"
    ))
    .refused("more than 1000 samples", "s.csv");
    let points = k.file("p.csv", &format!("x,y\n{}", "1,2\n".repeat(100_001)));
    k.run(&["line", "--csv", &points])
        .refused("more than 100000 points", "p.csv");
    let readings = k.file(
        "r.csv",
        &format!("seconds,celsius\n{}", "1,2\n".repeat(100_001)),
    );
    k.run(&["readings", "summary", "--csv", &readings, "--dial", "180C"])
        .refused("more than 100000 lines", "r.csv");
    let huge = k.file("huge.csv", "");
    fs::File::options()
        .write(true)
        .open(&huge)
        .unwrap()
        .set_len(9 << 20)
        .unwrap();
    k.run(&["line", "--csv", &huge])
        .refused("larger than 8 MiB", "huge.csv");
}

#[test]
fn what_a_killed_run_left_is_swept_at_the_next_start() {
    let k = Kitchen::demo();
    let litter = ".rackshade-writing-2147483647-x";
    let mine = format!(".rackshade-writing-{}-x", std::process::id());
    for folder in ["tests", "ovens", ""] {
        for name in [litter, &mine] {
            fs::write(k.path().join(folder).join(name), "half").unwrap();
        }
    }
    fs::write(k.beside(litter), "half").unwrap();
    k.say("ovens visit wall-oven --what x").done();
    k.run(&["card", "--png", k.beside("card.png").to_str().unwrap()])
        .done();
    for folder in ["tests", "ovens", ""] {
        assert!(!k.path().join(folder).join(litter).exists(), "{folder}");
        assert!(
            k.path().join(folder).join(&mine).exists(),
            "its process lives"
        );
    }
    assert!(!k.beside(litter).exists());
}

#[test]
fn copies_of_the_demo_that_a_killed_try_left_are_swept_and_others_stay() {
    let k = Kitchen::empty();
    let temp = k.beside("temp");
    let [left, young, other] =
        ["rackshade-try-left", "rackshade-try-young", "other"].map(|name| temp.join(name));
    for folder in [&left, &young, &other] {
        fs::create_dir_all(folder.join("ovens")).unwrap();
    }
    fs::write(left.join("lock"), "1").unwrap();
    let output = crate::kit::program()
        .args(["try", "--text"])
        .env("TMPDIR", &temp)
        .output()
        .unwrap();
    crate::kit::Answer::of(output).done();
    assert_eq!(
        (left.exists(), young.exists(), other.exists()),
        (false, true, true)
    );
}

#[test]
fn a_recipe_far_from_its_kind_is_remarked_on() {
    let k = Kitchen::demo();
    let plan = "plan --oven wall-oven --kind thin-cookie";
    let with = |more: &str| k.say(format!("{plan} {more}")).done();
    assert!(with("--minutes 600").contains("600 min is far from the usual"));
    assert!(
        with("--minutes 11")
            .lines()
            .all(|l| !l.contains("is far from"))
    );
}

#[test]
fn a_picture_of_one_pixel_is_called_what_it_is() {
    let k = Kitchen::empty();
    let path = k.beside("dot.png");
    image::RgbImage::new(1, 1).save(&path).unwrap();
    let path = path.to_str().unwrap();
    for more in ["--rows 2 --cols 2", "--pieces"] {
        k.say(format!("photo '{path}' {more}"))
            .refused("1 x 1 pixels", path);
    }
}

#[cfg(unix)]
#[test]
fn an_answer_that_standard_output_cannot_take_is_told_and_no_success() {
    let k = Kitchen::demo();
    let run = |to: &str, args: &[&str]| {
        let out = std::process::Command::new("sh")
            .args(["-c", &format!("exec \"$@\" {to}"), "sh"])
            .arg(env!("CARGO_BIN_EXE_rackshade"))
            .args(args)
            .arg("--data")
            .arg(k.path())
            .output()
            .unwrap();
        crate::kit::Answer::of(out)
    };
    for args in [&["ovens"][..], &["ovens", "--json"], &["--help"]] {
        run(">&-", args).refused("standard output is closed", "");
        run("> /dev/null", args).done();
        run("1<> /dev/null", args).done();
    }
}

#[cfg(unix)]
#[test]
fn a_record_made_private_stays_private() {
    use std::os::unix::fs::PermissionsExt;
    let k = Kitchen::demo();
    let path = k.path().join("ovens/wall-oven.json");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
    k.say("ovens visit wall-oven --what x").done();
    assert_eq!(
        fs::metadata(&path).unwrap().permissions().mode() & 0o777,
        0o600
    );
}
