//! A dough's time at another temperature.

use crate::kit::Kitchen;
use jiff::SignedDuration;

const KNOWN: &str = "rise --known 60min@75F --at 85F";

#[test]
fn a_warmer_place_takes_less_time() {
    let k = Kitchen::empty();
    let told = k.say(format!("{KNOWN} --dough yeast --json")).json();
    let figure = |key: &str| told[key].as_f64().unwrap();
    assert!(figure("minutes") < 60.0 && figure("rate_ratio") > 1.0);
    assert!(figure("minutes_lo") < figure("minutes"));
    assert!(figure("minutes") < figure("minutes_hi"));
    // common practice, no source: about a tenth faster a degree C, here over 5.6 of them
    assert!(
        (1.3..2.2).contains(&figure("rate_ratio")),
        "{}",
        figure("rate_ratio")
    );
    let text = k.say(format!("{KNOWN} --dough sourdough"));
    assert!(text.done().contains("min"));
}

#[test]
fn what_cannot_rise_is_refused() {
    let k = Kitchen::empty();
    for at in ["200F", "-5C", "85"] {
        assert_eq!(
            k.say(format!("rise --known 60min@75F --at {at} --dough yeast"))
                .code,
            Some(2),
            "{at}"
        );
    }
    // a weight tells nothing without the dough's own temperature
    assert_eq!(
        k.say(format!("{KNOWN} --dough yeast --mass-g 900")).code,
        Some(2)
    );
    k.say(format!("{KNOWN} --dough yeast --start 68F --mass-g 0"))
        .refused("no dough's weight", "--mass-g 0");
}

#[test]
fn what_an_oven_holds_is_taken_with_its_places_and_its_swing() {
    let k = Kitchen::demo();
    let asked = format!("{KNOWN} --dough yeast --start 68F");
    let at_its_word = k.say(format!("{asked} --json")).json();
    let held = k.say(format!("{asked} --oven counter-oven --json")).json();
    let figure = |told: &serde_json::Value, key: &str| told[key].as_f64().unwrap();
    // the demo kitchen's proofing round: 1.8 C above the dial, 3.2 C from peak to peak, 1.2 C between two places
    let above = figure(&held, "box_c") - figure(&at_its_word, "box_c");
    assert!((1.2..2.4).contains(&above), "{above}");
    assert!((2.6..4.0).contains(&figure(&held, "swing_c")), "{held}");
    let places = held["places_c"].as_array().unwrap();
    let apart = places[1].as_f64().unwrap() - places[0].as_f64().unwrap();
    assert!((0.8..1.6).contains(&apart), "{apart}");
    assert!(figure(&held, "minutes") < figure(&at_its_word, "minutes"));
    let text = k.say(format!("{asked} --oven counter-oven")).done();
    let said = text
        .lines()
        .find(|l| l.contains("this oven holds about"))
        .unwrap();
    assert!(said.contains(" F (") && said.contains(" to "), "{said}");
    // the same warmth without any doubt of it is told more narrowly
    let same = format!("{}C", figure(&held, "box_c"));
    let sure = k
        .say(format!(
            "rise --known 60min@75F --at '{same}' --dough yeast --start 68F --json"
        ))
        .json();
    let width = |told| figure(told, "minutes_hi") / figure(told, "minutes_lo");
    assert!(width(&held) > width(&sure), "{held} {sure}");
}

#[test]
fn it_says_when_to_put_a_dough_in_so_that_it_is_ready_with_the_oven() {
    let k = Kitchen::empty();
    let now = jiff::ZonedDateTime::now();
    let told = |hours: i64, minutes: i64| {
        let time = now.clone() + SignedDuration::from_mins(60 * hours + minutes);
        let time = time.strftime("%H:%M").to_string();
        let more = format!("--dough yeast --ready-at {time} --json");
        let told = k.say(format!("{KNOWN} {more}")).json();
        let clock = |key: &str| told[key].as_str().unwrap()[11..16].to_owned();
        let warned = told["warnings"]
            .to_string()
            .contains(&format!("Too late for {time}"));
        (
            time,
            clock("put_in"),
            clock("take_out"),
            clock("ready"),
            warned,
        )
    };
    let minute = |clock: &str| {
        let (hours, minutes) = clock.split_once(':').unwrap();
        60 * hours.parse::<i64>().unwrap() + minutes.parse::<i64>().unwrap()
    };
    let apart = |from: &str, to: &str| (minute(to) - minute(from)).rem_euclid(24 * 60);
    // three hours on there is time, 20 minutes of it for the oven to heat
    let (time, put_in, take_out, ready, warned) = told(3, 0);
    assert_eq!((ready, warned), (time.clone(), false));
    assert_eq!(apart(&take_out, &time), 20);
    assert!(
        (10..60).contains(&apart(&put_in, &take_out)),
        "{put_in} {take_out}"
    );
    // ten minutes on there is not: it goes in at once and is ready when it can be, which is said
    let (time, put_in, take_out, ready, warned) = told(0, 10);
    assert!(
        warned && apart(&time, &ready) > 5 && apart(&time, &ready) < 90,
        "{time} {ready}"
    );
    assert!(apart(&put_in, &take_out) < 60 && (19..=21).contains(&apart(&take_out, &ready)));
    assert_eq!(
        k.say(format!("{KNOWN} --dough yeast --ready-at 25:00"))
            .code,
        Some(2)
    );
    let long = "--dough yeast --ready-at 9:00 --heat-min 999";
    k.say(format!("{KNOWN} {long}"))
        .refused("no oven heats so long", "--heat-min 999");
}

#[test]
fn a_dough_of_ones_own_is_put_in_looked_at_exported_and_imported() {
    let k = Kitchen::empty();
    k.say("doughs add --name rolls --dough yeast --known 60min@75F")
        .done();
    k.say("doughs look rolls half")
        .refused("not rising", "dough rolls");
    // What is not given stays.
    let mass = || k.say("doughs --json").json()["doughs"][0]["mass_g"].as_f64();
    assert_eq!(mass(), Some(500.0));
    let add = "doughs add --name rolls --dough yeast --known";
    k.say(format!("{add} 50min@75F --mass-g 900")).done();
    k.say(format!("{add} 60min@75F")).done();
    assert_eq!(mass(), Some(900.0));
    k.run(&[
        "doughs", "add", "--name", "", "--dough", "yeast", "--known", "1h@75F",
    ])
    .refused("a dough needs a name", "--name");
    k.say("doughs start rolls --at 75F").done();
    k.say("doughs start rolls --at 75F")
        .refused("rising already", "dough rolls");
    let first = k.say("doughs --json").json()["doughs"][0].clone();
    let total = first["rising"]["total_min"].as_f64().unwrap();
    assert!(
        (total - 60.0).abs() < 1.0,
        "as warm as its known time: {total}"
    );
    // doubled at once: far faster than known
    k.say("doughs look rolls doubled").done();
    k.say("doughs look rolls half")
        .refused("already", "dough rolls");
    k.say("doughs out rolls").done();
    assert!(k.run(&["doughs"]).done().contains("rolls"));
    for wrong in [
        ["doughs", "start", "rolls", "--at", "140F"],
        ["doughs", "start", "buns", "--at", "75F"],
    ] {
        assert_eq!(k.run(&wrong).code, Some(2), "{wrong:?}");
    }
    let folder = tempfile::TempDir::new().unwrap();
    let file = folder.path().join("kitchen.json");
    let path = file.to_str().unwrap();
    k.run(&["export", "--out", path]).done();
    let other = Kitchen::empty();
    other.run(&["import", path]).done();
    let there = other.say("doughs --json").json()["doughs"][0].clone();
    assert_eq!(
        (&there["name"], &there["rises"]),
        (&"rolls".into(), &1.into())
    );
    k.say("doughs remove rolls").done();
    assert!(k.run(&["doughs"]).done().contains("no dough yet"));
}
