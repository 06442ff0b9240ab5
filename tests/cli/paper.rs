//! `report` and `history`: ordinary use, wrong use, and what they leave on the disk.

use crate::kit::Kitchen;
use std::fs;

#[test]
fn papers_are_written_in_the_format_their_ending_names() {
    let k = Kitchen::demo();
    let cases = [
        ("pdf", "%PDF-"),
        ("html", "<!DOCTYPE html>"),
        ("md", "# "),
        ("csv", "table,row"),
    ];
    for (ending, begins) in cases {
        for what in ["card", "technician"] {
            let path = k.beside(&format!("{what}.{ending}"));
            let out = path.to_str().unwrap();
            let said = k.run(&["report", what, "wall-oven", "--out", out]).done();
            assert!(said.contains(out), "{said}");
            let bytes = fs::read(&path).unwrap();
            assert!(bytes.starts_with(begins.as_bytes()), "{what} {ending}");
        }
    }
    let path = k.beside("card.json");
    k.say(format!("report card wall-oven --out '{}'", path.display()))
        .done();
    let json: serde_json::Value = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
    assert!(json["tables"]["map"].as_array().unwrap().len() > 400);
    // Still air was read with a thermometer at 350 F; 300 F is within reach of it.
    let dial = json["tables"]["dial"].as_array().unwrap();
    assert!(dial.iter().any(|d| d["basis"] == "readings"), "{dial:?}");
}

#[test]
fn a_paper_that_cannot_be_is_refused_in_three_lines() {
    let k = Kitchen::demo();
    let out = k.beside("card.xyz");
    let out = out.to_str().unwrap();
    k.run(&["report", "card", "wall-oven", "--out", out])
        .refused("names no format", "card.xyz");
    k.say("report card no-oven --out x.pdf")
        .refused("there is no oven", "no-oven");
    k.say("report technician wall-oven --visit 2020-01-01 --out x.pdf")
        .refused("no service visit of 2020-01-01", "--visit 2020-01-01");
    k.say("report card wall-oven --paper a9 --out x.pdf")
        .refused("a9", "--paper");
}

#[test]
fn history_tells_the_visit_the_evenness_and_when_to_test_again() {
    let k = Kitchen::demo();
    let text = k.say("history wall-oven").done();
    for expected in [
        "service visit",
        "toast test",
        "lightest to darkest",
        "Test again",
    ] {
        assert!(text.contains(expected), "{expected}\n{text}");
    }
    let json = k.say("history wall-oven --json").json();
    assert_eq!(json["oven"], "wall-oven");
    assert!(json["evenness"].as_array().unwrap().len() >= 8);
    assert!(
        json["evenness"][0]["spread_shade"][1].as_f64()
            < json["evenness"][0]["spread_shade"][2].as_f64()
    );
    k.say("history no-oven")
        .refused("there is no oven", "no-oven");
}

#[test]
fn of_two_visits_on_a_day_the_sheet_takes_the_one_whose_time_is_given() {
    let k = Kitchen::demo();
    for (time, what) in [("09:00", "'new seal'"), ("15:30", "'new lamp'")] {
        k.say(format!(
            "ovens visit wall-oven --when 2026-04-20T{time} --what {what}"
        ))
        .done();
    }
    let out = k.beside("sheet.md");
    let sheet = |visit: &str| {
        let out = out.display();
        k.say(format!(
            "report technician wall-oven --visit {visit} --out '{out}' --force"
        ))
    };
    for (visit, what) in [
        ("2026-04-20", "new seal"),
        ("2026-04-20T09:00", "new seal"),
        ("2026-04-20T15:30", "new lamp"),
    ] {
        sheet(visit).done();
        let text = fs::read_to_string(&out).unwrap();
        assert!(
            text.contains(&format!("What was done: {what}")),
            "{visit}: {text}"
        );
    }
    sheet("2026-04-20T15:31").refused("no service visit of 2026-04-20 15:31", "2026-04-20 15:31");
}
