//! Every reader against text of any meaning: it ends in a value within its limits, or in a sentence of ours.
//!
//! What fuzzing has found is kept here too, as a case of its own.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use proptest::{collection::vec, prelude::*};
use rackshade::{
    model::ToastTest,
    store::{check_bundle, check_stored},
    units::TemperatureUnit,
    workflow::{
        kitchen::Kitchen,
        readings::{read_points, read_readings},
        samples::read_samples,
        scoring::{parse_scores, read_scores_csv},
    },
};
use std::{fs, path::Path, sync::LazyLock};

static TEST: LazyLock<ToastTest> = LazyLock::new(|| {
    let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
    kitchen.tests()[0].clone()
});

const KINDS: [&str; 7] = [
    "ovens",
    "tests",
    "bakes",
    "readings",
    "thermometers",
    "recipes",
    "doughs",
];

/// What the readers say of a text, and how many take it; what is taken is checked.
fn said(text: &str) -> (usize, Vec<String>) {
    let mut taken = 0;
    let mut said = Vec::new();
    let mut note = |answer: Result<(), String>| match answer {
        Ok(()) => taken += 1,
        Err(why) => said.push(why),
    };
    note(samples(text));
    note(points(text));
    note(readings(text));
    note(scores(text));
    note(parse_scores(text).map(|_| ()).map_err(|e| e.to_string()));
    note(check_bundle(text).map(|_| ()).map_err(|e| e.to_string()));
    for kind in KINDS {
        let read = check_stored(kind, text).map(|saved| {
            // What is read is saved so that it reads the same again.
            assert_eq!(check_stored(kind, &saved), Ok(saved.clone()));
        });
        note(read.map_err(|e| e.to_string()));
    }
    (taken, said)
}

fn samples(text: &str) -> Result<(), String> {
    let samples = read_samples(text, 63.5, 48.3).map_err(|e| e.to_string())?;
    assert!((1..=1000).contains(&samples.observations.len()));
    for o in &samples.observations {
        let figures = [o.x, o.y, o.width, o.browning, o.sd];
        assert!(figures.iter().all(|f| f.is_finite()), "{o:?}");
    }
    Ok(())
}

fn points(text: &str) -> Result<(), String> {
    let points = read_points(text).map_err(|e| e.to_string())?;
    for p in &points {
        assert!(p.x.is_finite() && p.y.is_finite(), "{p:?}");
    }
    Ok(())
}

/// Takes a file when it takes every line of it.
fn readings(text: &str) -> Result<(), String> {
    let read = read_readings(text, TemperatureUnit::Fahrenheit).map_err(|e| e.to_string())?;
    assert!(read.readings.len() + read.issues.len() <= 100_000);
    for r in &read.readings {
        assert!(r.seconds.is_finite() && r.air.0.is_finite(), "{r:?}");
    }
    match read.issues.first() {
        None => Ok(()),
        Some(issue) => Err(issue.what.clone()),
    }
}

fn scores(text: &str) -> Result<(), String> {
    let mut test = TEST.clone();
    let count = read_scores_csv(&mut test, text).map_err(|e| e.to_string());
    if count.is_err() {
        assert_eq!(test, *TEST, "what is refused changes nothing");
    }
    assert_ne!(count, Ok(0));
    count.map(|_| ())
}

#[track_caller]
fn assert_sentences(text: &str) {
    for sentence in said(text).1 {
        assert!(!sentence.trim().is_empty(), "{text:?}");
        assert!(
            !sentence.contains("panicked") && !sentence.contains("NaN value"),
            "{sentence}"
        );
    }
}

/// The files that each kind of reader is for.
fn sound_files() -> Vec<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut folders: Vec<_> = ["bundle", "samples", "scores", "readings", "points"]
        .map(|kind| root.join("tests/data/fuzz").join(kind))
        .to_vec();
    for version in ["v1", "v3"] {
        let kept = KINDS.map(|kind| root.join("tests/data").join(version).join(kind));
        folders.extend(kept.into_iter().filter(|folder| folder.is_dir()));
    }
    let mut out = Vec::new();
    for folder in folders {
        for entry in fs::read_dir(folder).unwrap() {
            out.push(fs::read_to_string(entry.unwrap().path()).unwrap());
        }
    }
    assert!(out.len() >= 15, "{} files", out.len());
    out
}

static SOUND: LazyLock<Vec<String>> = LazyLock::new(sound_files);

/// Lines of cells that mean something somewhere, and some that mean nothing.
fn table() -> impl Strategy<Value = String> {
    let cell = prop_oneof![
        Just("rack".to_owned()),
        Just("x_cm".to_owned()),
        Just("y_cm".to_owned()),
        Just("shade".to_owned()),
        Just("lightness".to_owned()),
        Just("sd".to_owned()),
        Just("slice".to_owned()),
        Just("x".to_owned()),
        Just("y".to_owned()),
        Just("seconds".to_owned()),
        Just("celsius".to_owned()),
        Just("time".to_owned()),
        any::<f64>().prop_map(|f| f.to_string()),
        any::<i16>().prop_map(|i| i.to_string()),
        Just("NaN".to_owned()),
        Just("inf".to_owned()),
        Just("-0".to_owned()),
        Just("1e308".to_owned()),
        Just("9999-12-31T23:59:59".to_owned()),
        Just("23:59:60".to_owned()),
        Just("\"".to_owned()),
        "\\PC{0,6}",
    ];
    vec(vec(cell, 0..6), 0..8).prop_map(|lines| {
        let lines: Vec<String> = lines.into_iter().map(|cells| cells.join(",")).collect();
        lines.join("\n")
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_end_in_a_value_or_a_sentence(bytes in vec(any::<u8>(), 0..300)) {
        assert_sentences(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn any_table_ends_in_a_value_or_a_sentence(text in table()) {
        assert_sentences(&text);
    }

    #[test]
    fn a_sound_file_with_a_slip_ends_in_a_value_or_a_sentence(
        file in any::<prop::sample::Index>(),
        at in any::<prop::sample::Index>(),
        gone in 0_usize..9,
        put in "\\PC{0,5}",
    ) {
        let mut letters: Vec<char> = file.get(&SOUND).chars().collect();
        let from = at.index(letters.len());
        let to = (from + gone).min(letters.len());
        letters.splice(from..to, put.chars());
        assert_sentences(&letters.into_iter().collect::<String>());
    }
}

#[test]
fn what_is_sound_is_taken() {
    for text in &*SOUND {
        let (taken, refused) = said(text);
        assert!(taken > 0, "{refused:#?}\n{text}");
    }
}
