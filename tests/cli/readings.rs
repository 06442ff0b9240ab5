//! `readings`, `dial`, `line`, `thermometers`: from an empty record to a dial setting and a plan that uses it.

use crate::kit::{Answer, Kitchen};
use std::{f64::consts::TAU, fmt::Write, fs};

const OVEN: &str = "wall-oven-30-inch";

/// A kitchen with one oven and nothing else.
fn fresh() -> Kitchen {
    let k = Kitchen::empty();
    k.run(&["ovens", "add", "--from", OVEN, "--name", "oven"])
        .done();
    k
}

fn readings(k: &Kitchen, more: &str) -> Answer {
    k.say(format!("readings {more}"))
}

/// A sitting: signal at 10 min, hold with a swing of 12 C every 8 min, door closed at 60 min.
fn sitting(dial_c: f64, mean_c: f64) -> String {
    let mut text = "seconds,celsius,dial_c,phase\n".to_owned();
    for i in 0..270 {
        let t = f64::from(i) * 20.0;
        let swing = 6.0 * (TAU * t / 480.0).sin();
        let (air, phase) = if t < 600.0 {
            (25.0 + (mean_c - 45.0) * t / 600.0, "preheat")
        } else if t < 3600.0 {
            let rise = 14.0 * (-(t - 600.0) / 150.0).exp();
            let phase = match t {
                t if t < 620.0 => "signal",
                t if t < 1500.0 => "preheat",
                _ => "holding",
            };
            (mean_c + swing - rise, phase)
        } else {
            let fall = 28.0 * (-(t - 3600.0) / 100.0).exp();
            (mean_c + swing - fall, "door closed")
        };
        // A small scatter that is the same on every machine.
        let scatter = 0.3 * (f64::from(i * 37 % 101) / 50.5 - 1.0);
        writeln!(text, "{t},{:.2},{dial_c},{phase}", air + scatter).unwrap();
    }
    text
}

#[test]
fn a_file_alone_gives_every_figure_of_the_contract() {
    let k = Kitchen::empty();
    let file = k.file("probe.csv", &sitting(180.0, 170.0));
    let json = readings(&k, &format!("summary --csv '{file}' --json")).json();
    let at = |key: &str| json[key].as_f64().unwrap();
    assert!((at("offset_c") + 10.0).abs() < 0.3, "{json}");
    assert!(at("offset_lo_c") < at("offset_c") && at("offset_c") < at("offset_hi_c"));
    assert!((at("swing_c") - 12.0).abs() < 1.0);
    assert!((at("cycle_s") - 480.0).abs() < 24.0);
    for key in ["offset_se_c", "swing_se_c", "cycle_se_s"] {
        assert!(at(key) > 0.0, "{key}");
    }
    let preheat = &json["preheat"];
    // It comes up to its swing from below, and the swing itself is no overshoot.
    assert!(preheat["overshoot_c"].as_f64().unwrap().abs() < 1e-12);
    // Common practice: the signal is not readiness. Without the scatter it is last outside its swing 283 s after
    // it, by the formula of the sitting and with a margin of a tenth of the swing.
    let ready = preheat["ready_after_signal_s"].as_f64().unwrap();
    assert!((ready - 283.0).abs() < 20.0, "{preheat}");
    assert!(preheat["at_signal_c"].as_f64().unwrap() < -7.0);
    // The return rides on a swing of 12 C, and whether the heater answers to the opening by lifting the walls up to
    // a swing the readings do not say; the fall of 28 C is little more than twice that. So one opening tells tau
    // to a factor of about two, and what is judged is what is told: the truth lies within the interval.
    let door = &json["door"];
    let at = |key: &str| door[key].as_f64().unwrap();
    let (lo, hi) = (at("tau_lo_s"), at("tau_hi_s"));
    assert!(lo < 100.0 && 100.0 < hi && hi < 4.0 * lo, "{door}");
    assert!(lo < at("tau_s") && at("tau_s") < hi, "{door}");
    let miss = (at("tau_s") - 100.0).abs();
    assert!(
        miss < at("tau_se_s") && at("tau_se_s") < 0.5 * (hi - lo),
        "{door}"
    );
    let (lo, hi) = (at("drop_lo_c"), at("drop_hi_c"));
    assert!(lo < 28.0 && 28.0 < hi, "{door}");
    let miss = (at("drop_c") - 28.0).abs();
    assert!(
        miss < at("drop_se_c") && at("drop_se_c") < 0.3 * at("drop_c"),
        "{door}"
    );
    assert!(json["warnings"].to_string().contains("--accuracy"));
    // Nothing was created: no record is needed.
    assert_eq!(fs::read_dir(k.path()).unwrap().count(), 1);
}

#[test]
#[expect(
    clippy::too_many_lines,
    reason = "one walk, read from its beginning to its end"
)]
fn from_an_empty_record_to_a_dial_setting_and_a_plan_that_uses_it() {
    let k = fresh();
    let dial = |want: &str| k.run(&["dial", "--oven", "oven", "--want", want, "--json"]);
    dial("350F").refused("this oven has no thermometer readings", "--want 350F");
    let nothing = readings(&k, "summary --oven oven").done();
    assert!(nothing.contains("Take readings"), "{nothing}");
    k.say("thermometers add --name 'wire probe' --resolution 0.1C --accuracy 1C --lag 2")
        .done();
    // 350 F on the dial gives about 338 F, 400 F about 385 F.
    for (dial_f, mean_f, day) in [(350.0, 338.0, "2026-01-10"), (400.0, 385.0, "2026-01-11")] {
        let c = |f: f64| (f - 32.0) / 1.8;
        let file = k.file("probe.csv", &sitting(c(dial_f), c(mean_f)));
        let at = format!("{day}T14:00");
        let said = readings(
            &k,
            &format!("add --oven oven --csv '{file}' --at {at} --thermometer 'wire probe'"),
        )
        .done();
        assert!(said.contains("270 readings of oven taken into"), "{said}");
        assert!(
            said.contains("! ") && said.contains("burn"),
            "cautions: {said}"
        );
    }
    let answer = dial("350F").json();
    assert_eq!(answer["unit"], "F");
    // offset -12 F at 350, -15 F at 400: 350 F needs about 362.8 F on the dial, rounded to its step of 5 F.
    assert!(
        (answer["set_c"].as_f64().unwrap() - 185.0).abs() < 0.01,
        "{answer}"
    );
    assert!(
        (answer["offset_c"].as_f64().unwrap() + 7.1).abs() < 0.33,
        "{answer}"
    );
    let (lo, hi) = (
        answer["lo_c"].as_f64().unwrap(),
        answer["hi_c"].as_f64().unwrap(),
    );
    assert!(lo < 183.8 && hi > 183.8 && hi - lo < 6.7, "{answer}");
    assert_eq!(answer["sure"], true);
    assert!(
        answer["evidence"]
            .as_str()
            .unwrap()
            .contains("whole cycles")
    );
    let summary = readings(&k, "summary --oven oven --json").json();
    assert_eq!(summary["settings"].as_array().unwrap().len(), 2);
    assert_eq!(summary["line"]["n"], 2);
    assert!(
        summary["advice"]
            .to_string()
            .contains("set 365 F for 350 F"),
        "{}",
        summary["advice"]
    );
    let text = readings(&k, "summary --oven oven").done();
    assert!(
        text.contains("offset    -12 F") && text.contains("two thirds of it back after"),
        "{text}"
    );
    dial("700F").refused("700 F", "--want 700F");
    dial("300F").json();
    dial("200F").refused("too far from the settings read", "--want 200F");
    dial("85F").refused("at proofing warmth", "--want 85F");

    let plan = k
        .say("plan --oven oven --kind sheet-cake --recipe 350F --openings 1 --json")
        .json();
    assert!(
        (plan["dial"]["setting_f"].as_f64().unwrap() - 365.0).abs() < 0.01,
        "{}",
        plan["dial"]
    );
    let (steps, advice) = (
        plan["steps_to_dial"].to_string(),
        plan["advice"].to_string(),
    );
    assert!(steps.contains("cold"), "{steps}");
    assert!(
        advice.contains("priced by readings of this oven"),
        "{advice}"
    );
    assert!(
        advice.contains("With the dial left uncorrected"),
        "{advice}"
    );
    // Another mode was not read: its dial is assumed right, its openings are priced by defaults.
    let fan = k
        .say("plan --oven oven --mode fan --kind sheet-cake --recipe 350F --openings 1 --json")
        .json();
    // Common practice: 350 F in still air is 325 F with a fan.
    assert!((fan["dial"]["setting_f"].as_f64().unwrap() - 325.0).abs() < 0.01);
    assert!(fan["advice"].to_string().contains("assumed right"));
}

/// Common practice: an oven that runs 50 F cold is set 50 F higher.
#[test]
fn fifty_f_cold_is_set_fifty_f_higher() {
    let k = fresh();
    let c = |f: f64| (f - 32.0) / 1.8;
    let file = k.file("probe.csv", &sitting(c(350.0), c(300.0)));
    readings(
        &k,
        &format!("add --oven oven --csv '{file}' --at 2026-01-10T14:00"),
    )
    .done();
    let answer = k.say("dial --oven oven --want 350F --json").json();
    assert!(
        (answer["set_c"].as_f64().unwrap() - 204.44).abs() < 0.01,
        "{answer}"
    );
    let advice = readings(&k, "summary --oven oven").done();
    // Text and JSON give one interval.
    let json = readings(&k, "summary --oven oven --json").json();
    let end = |key: &str| (json[key].as_f64().unwrap() * 1.8).round();
    let ends = format!(
        "({:+.0} to {:+.0} F)",
        end("offset_lo_c"),
        end("offset_hi_c")
    );
    assert!(advice.contains(&ends), "{ends}\n{advice}");
    assert!(
        advice.contains("Call a technician") && advice.contains("50 F cold"),
        "{advice}"
    );
    let plan = k
        .say("plan --oven oven --kind sheet-cake --recipe 350F --minutes 45 --openings 0")
        .done();
    let plan = plan.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        plan.contains("50 F cold, this 45 min bake would take about"),
        "{plan}"
    );
}

#[test]
fn one_line_adds_a_reading_and_says_how_little_it_is() {
    let k = fresh();
    let add = |more: &str| readings(&k, &format!("add --oven oven --at 2026-01-10T14:05 {more}"));
    add("--dial 350F --reads 338F").done();
    let json = readings(&k, "list --json").json();
    assert_eq!(json["rounds"][0]["readings"][0]["phase"], "holding");
    assert_eq!(json["rounds"][0]["readings"][0]["place"], "centre");
    let answer = k.say("dial --oven oven --want 350F --json").json();
    assert_eq!(answer["sure"], false);
    let width = answer["hi_c"].as_f64().unwrap() - answer["lo_c"].as_f64().unwrap();
    assert!(
        width > 22.0,
        "one reading may lie anywhere in a swing: {answer}"
    );
    // Bad ones are refused one by one and nothing is lost.
    add("--dial 350F --reads 338F").refused("already a reading", "338F at 2026-01-10 14:05:00");
    // A thermometer in the other unit: 170 C is 338 F.
    add("--dial 350F --reads 170").refused("170 C would be near it", "170");
    add("--dial 350F --reads 20F").refused("below freezing", "20F");
    add("--dial 350F --reads 900F").refused("more than this oven's air reaches", "900F");
    add("--dial 900F --reads 338F").refused("not on this oven's dial", "338F");
    add("--dial 350F --reads warm").refused("'warm' is not a number", "--reads warm");
    add("--reads 338F").refused("the dial setting is missing", "readings add");
    add("--dial 350F --reads 338F --place 9:centre").refused("no rack position 9", "9:centre");
    add("--dial 350F --reads 338F --phase asleep").refused("'asleep'", "--phase");
    add("--dial 350F --reads 338F --thermometer x")
        .refused("no thermometer 'x'", "--thermometer x");
    readings(
        &k,
        "add --oven oven --dial 350F --reads 338F --at 2999-01-01T10:00",
    )
    .refused("in the future", "338F");
    readings(&k, "add --oven oven --dial 350F --reads 338F --at soon")
        .refused("no such time", "--at soon");
    let json = readings(&k, "list --json").json();
    assert_eq!(json["rounds"][0]["readings"].as_array().unwrap().len(), 1);
}

#[test]
fn the_place_stands_in_where_a_file_gives_none() {
    let places = |text: &str| {
        let k = fresh();
        let file = k.file("probe.csv", text);
        let more = "--dial 350F --place 4:centre --at 2026-01-10T14:05";
        readings(&k, &format!("add --oven oven --csv '{file}' {more}")).done();
        let json = readings(&k, "list --json").json();
        let taken = json["rounds"][0]["readings"].as_array().unwrap().clone();
        let taken = taken
            .iter()
            .map(|r| r["place"].as_str().unwrap().to_owned());
        taken.collect::<Vec<_>>()
    };
    let none = places("seconds,celsius\n0,170\n60,171\n");
    assert_eq!(none, ["4:centre", "4:centre"]);
    let some = places("seconds,celsius,place\n0,170,\n60,171,centre\n");
    assert_eq!(some, ["4:centre", "centre"]);
}

#[test]
fn a_file_with_bad_lines_changes_nothing_unless_they_are_to_be_left_out() {
    let k = fresh();
    let text =
        "seconds,celsius\n0,170\n60,warm\n120,171\n90,172\n180,-4\n240,171\n240,171\n300,399\n";
    let file = k.file("probe.csv", text);
    let add = |more: &str| {
        let base = format!("--csv '{file}' --dial 350F --at 2026-01-10T14:05");
        readings(&k, &format!("add --oven oven {base} {more}"))
    };
    let refused = add("");
    for note in [
        "line 3: 'warm' is not a number",
        "line 5: its time lies 30 s before",
        "line 6: a reading of",
        "line 8: there is already",
    ] {
        assert!(refused.err.contains(note), "{note}: {}", refused.err);
    }
    refused.refused("5 of 8 lines cannot be used", &file);
    let none = readings(&k, "list --json").json();
    assert_eq!(none["rounds"].as_array().unwrap().len(), 0);
    let said = add("--skip-bad").done();
    assert!(
        said.contains("3 readings") && said.contains("5 lines were left out"),
        "{said}"
    );
    add("--skip-bad").done();
    let json = readings(&k, "list --json").json();
    assert_eq!(
        json["rounds"].as_array().unwrap().len(),
        1,
        "twice the same file is once"
    );
    assert_eq!(json["rounds"][0]["readings"].as_array().unwrap().len(), 3);
    readings(
        &k,
        &format!("add --oven oven --csv '{file}' --skip-bad --dial 350F"),
    )
    .refused("does not say from when", "--csv");
    let other = k.file("other.csv", "rack,shade\n1,4\n");
    readings(&k, &format!("summary --csv '{other}'"))
        .refused("there is none for the time", "--csv");
    let empty = k.file("empty.csv", "");
    readings(&k, &format!("summary --csv '{empty}'")).refused("no reading in it", "--csv");
    readings(&k, "summary --csv /nowhere.csv").refused("cannot read", "--csv");
    readings(&k, "summary").refused("something is missing", "");
}

/// JCGM 100:2008 (GUM), H.3, through the command line.
#[test]
fn a_line_gives_the_published_figures() {
    let k = Kitchen::empty();
    let table = include_str!("../reference/gum_h3_thermometer.csv").replace("t,b", "x,y");
    let file = k.file("points.csv", &table);
    let json = k
        .say(format!("line --csv '{file}' --origin 20 --at 30 --json"))
        .json();
    let number =
        |v: &serde_json::Value, decimals: usize| format!("{:.decimals$}", v.as_f64().unwrap());
    assert_eq!(number(&json["coefficients"][0], 4), "-0.1712");
    assert_eq!(number(&json["coefficients"][1], 5), "0.00218");
    assert_eq!(number(&json["standard_errors"][0], 4), "0.0029");
    assert_eq!(number(&json["standard_errors"][1], 5), "0.00067");
    assert_eq!(number(&json["correlation"], 3), "-0.930");
    assert_eq!(number(&json["prediction"]["value"], 4), "-0.1494");
    assert_eq!(number(&json["prediction"]["se"], 4), "0.0041");
    assert!(
        k.run(&["line", "--csv", &file])
            .done()
            .contains("11 points")
    );
    let two = k.file("two.csv", "x,y\n1,2\n2,3\n");
    k.run(&["line", "--csv", &two])
        .refused("2 points are too few", "--csv");
    let same = k.file("same.csv", "x,y\n1,2\n1,3\n1,4\n");
    k.run(&["line", "--csv", &same])
        .refused("there is no slope", "--csv");
    let slip = k.file("slip.csv", "x,y\n1,2\n2,warm\n");
    k.run(&["line", "--csv", &slip])
        .refused("'warm' is not a number", "--csv");
}

#[test]
fn a_line_has_figures_or_is_refused() {
    let k = Kitchen::empty();
    for (text, why) in [
        ("x,y\n1e308,1\n-1e308,2\n3,3\n", "an x of"),
        ("x,y\n1e-300,1\n2e-300,2\n3e-300,4\n", "an x of"),
        ("x,y\n1,1e200\n2,2e200\n3,5e200\n", "a y of"),
        (
            "x,y,sd\n1,1,1e-200\n2,2,1e200\n3,3,1\n",
            "a standard error of",
        ),
        (
            "x,y\n1,1\n1.0000000000000002,2\n1.0000000000000004,3\n",
            "every point lies at 1",
        ),
    ] {
        let file = k.file("points.csv", text);
        k.run(&["line", "--csv", &file]).refused(why, "--csv");
    }
    let exact = k.file("exact.csv", "x,y\n1,1\n2,2\n3,3\n");
    let json = k.run(&["line", "--csv", &exact, "--json"]).json();
    assert_eq!(json["slope"], 1.0);
    assert!(json["correlation"].is_null(), "{json}");
    let text = k.run(&["line", "--csv", &exact]).done();
    assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
    k.run(&["line", "--csv", &exact, "--at", "1e300"])
        .refused("not a number, or not one up to 1e12", "1e300");
}

#[test]
fn thermometers_come_and_go() {
    let k = Kitchen::empty();
    let list = k
        .say("thermometers add --name 'dial type' --resolution 5F --accuracy 10F --bought 2020-03-01")
        .done();
    assert!(
        list.contains("dial-type") && list.contains("due for replacing"),
        "{list}"
    );
    let json = k.say("thermometers --json").json();
    let it = &json["thermometers"][0];
    assert!((it["accuracy_c"].as_f64().unwrap() - 10.0 / 1.8).abs() < 1e-9);
    assert_eq!(it["due"], true);
    // What is not given again stays.
    let add = "thermometers add --name 'dial type' --resolution 5F";
    k.say(format!("{add} --accuracy 8F --lag 40")).done();
    let list = k.say(format!("{add} --accuracy 9F")).done();
    assert!(
        list.contains("40 s") && list.contains("2020-03-01"),
        "{list}"
    );
    k.say("thermometers add --name x --resolution 1F --accuracy wide")
        .refused("'wide' is not a number", "--accuracy wide");
    k.say("thermometers add --name x --resolution 0F --accuracy 1F")
        .refused("a step of", "thermometers add");
    k.say("thermometers remove y")
        .refused("no thermometer 'y'", "thermometer y");
    let none = k.say("thermometers remove 'dial type'").done();
    assert!(none.contains("no thermometer yet"), "{none}");
}

#[test]
fn a_log_too_long_for_one_sitting_is_refused_whole_and_its_parts_are_taken() {
    let k = fresh();
    let lines = |from: u32, to: u32| {
        let rows = (from..to).map(|s| format!("{s},{}\n", 170 + s % 7));
        format!("seconds,celsius\n{}", rows.collect::<String>())
    };
    // The first line of each file was read at that time.
    let add = |name: &str, text: &str, at: &str| {
        let file = k.file(name, text);
        let args = format!("add --oven oven --csv '{file}' --dial 175C --at {at} --json");
        readings(&k, &args)
    };
    add("whole.csv", &lines(0, 25_001), "2026-05-20T06:05")
        .refused("one holds at most 25000", "whole.csv");
    assert!(
        !k.path().join("readings").exists()
            || fs::read_dir(k.path().join("readings")).unwrap().count() == 0
    );
    let first = add("first.csv", &lines(0, 13_000), "2026-05-20T06:05").json();
    let second = add("second.csv", &lines(13_000, 25_001), "2026-05-20T09:41:40").json();
    assert_eq!(
        (&first["added"], &second["added"]),
        (&13_000.into(), &12_001.into())
    );
    assert_ne!(first["rounds"], second["rounds"]);
    // Given a second time it is not doubled.
    add("first.csv", &lines(0, 13_000), "2026-05-20T06:05")
        .refused("already a reading", "first.csv");
}

#[test]
fn readings_before_a_visit_are_not_forgotten_nor_used() {
    let k = Kitchen::demo();
    k.say("ovens visit wall-oven --what 'door seal'").done();
    let since = "no thermometer readings since the last service visit";
    let plan = k
        .say("plan --oven wall-oven --kind thin-cookie --json")
        .json();
    assert!(plan.to_string().contains(since), "{plan}");
    let dial = k.say("dial --oven wall-oven --want 350F");
    assert_eq!(dial.code, Some(2));
    assert!(
        dial.err.contains("since the last service visit"),
        "{}",
        dial.err
    );
    let sheet = k.beside("sheet.html");
    let out = sheet.to_str().unwrap();
    k.say(format!(
        "report technician wall-oven --format html --out {out}"
    ))
    .done();
    let sheet = fs::read_to_string(&sheet).unwrap();
    assert!(sheet.contains("has not been checked since the last service visit"));
}

#[test]
fn thermometers_speak_the_unit_of_the_kitchen() {
    let k = Kitchen::demo();
    let list = k
        .say("thermometers add --name bare --resolution 5 --accuracy 10")
        .done();
    let line = list.lines().find(|l| l.contains("bare")).unwrap();
    assert!(
        line.contains("5.0 F") && line.contains("+-10.0 F"),
        "{line}"
    );
}

#[test]
fn a_decimal_comma_is_read_where_one_number_is_asked_for() {
    let k = Kitchen::demo();
    let list = k
        .say("thermometers add --name comma --resolution 0,5F --accuracy 1,5F")
        .done();
    let line = list.lines().find(|l| l.contains("comma")).unwrap();
    assert!(line.contains("0.5 F") && line.contains("+-1.5 F"), "{line}");
}

/// Every fifth line of an hour is in C: no oven swings so far, and nothing is set by it.
#[test]
fn lines_in_the_other_unit_are_no_swing() {
    let k = fresh();
    let mut rows = "seconds,fahrenheit\n".to_owned();
    for minute in 0..60 {
        let air = 338.0 + 6.0 * (f64::from(minute) * 0.785).sin();
        let shown = if minute % 5 == 2 {
            (air - 32.0) / 1.8
        } else {
            air
        };
        writeln!(rows, "{},{shown:.1}", 60 * minute).unwrap();
    }
    let file = k.file("mixed.csv", &rows);
    readings(
        &k,
        &format!("add --oven oven --csv '{file}' --dial 350F --at 2026-01-10T14:00"),
    )
    .done();
    let summary = readings(&k, "summary --oven oven --json").json();
    assert!(
        summary["warnings"]
            .to_string()
            .contains("in the other unit"),
        "{summary}"
    );
    let dial = k.run(&["dial", "--oven", "oven", "--want", "350F", "--json"]);
    assert_ne!(dial.json()["sure"], true);
}

#[test]
fn a_sitting_is_listed_with_every_setting_it_was_read_at() {
    let k = fresh();
    for (i, dial) in [300.0, 350.0, 400.0].into_iter().enumerate() {
        let celsius = (dial - 32.0) / 1.8;
        let file = k.file("probe.csv", &sitting(celsius, celsius));
        let hour = 10 + 2 * i;
        readings(
            &k,
            &format!("add --oven oven --csv '{file}' --at 2026-01-10T{hour}:00"),
        )
        .done();
    }
    let list = readings(&k, "list").done();
    assert!(list.contains("300, 350, 400 F"), "{list}");
}
