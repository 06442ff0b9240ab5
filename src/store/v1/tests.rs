use super::{any_bake::any_bake, any_recipe::any_recipe};
use crate::model::samples;
use crate::model::text::{one_line, steers};
use crate::{
    model::{
        AirPlace, AirReading, AirRound, BakeLog, Bread, Cavity, Dial, HeatSource, Mode, Moment,
        Opened, Oven, OvenId, Phase, PhotoNote, Plate, RackPosition, Reading, Recipe, RoundId,
        ServiceVisit, Setup, Shade, Slice, SliceSize, Spot, Surface, TestId, Thermometer,
        ThermometerId, ToastTest,
    },
    store::migrate::{ReadError, Stored},
    units::{Celsius, CelsiusDelta, Centimetres, LengthUnit, Minutes, TemperatureUnit},
};
use jiff::civil::{Date, DateTime};
use proptest::{option, prelude::*, sample::select, sample::subsequence};

pub(super) fn any_id() -> impl Strategy<Value = String> {
    "[a-z0-9][a-z0-9-]{0,20}"
}

pub(super) fn any_words() -> impl Strategy<Value = String> {
    // Quotes, backslashes and other alphabets must all come back; what steers a terminal is not stored.
    prop_oneof![
        any::<String>().prop_map(|words| one_line(&words).into_owned()),
        Just("a \"quoted\" \\ line é 烤箱 🍞".to_owned())
    ]
}

fn any_date() -> impl Strategy<Value = Date> {
    (2000_i16..2100, 1_i8..=12, 1_i8..=28).prop_map(|(y, m, d)| Date::new(y, m, d).unwrap())
}

pub(super) fn any_time() -> impl Strategy<Value = DateTime> {
    (any_date(), 0_i8..24, 0_i8..60, 0_i8..60).prop_map(|(d, h, m, s)| d.at(h, m, s, 0))
}

pub(super) fn any_mode() -> impl Strategy<Value = Mode> {
    select(Mode::ALL.to_vec())
}

fn any_oven() -> impl Strategy<Value = Oven> {
    let dial = (
        select(vec![TemperatureUnit::Fahrenheit, TemperatureUnit::Celsius]),
        0.5_f64..50.0,
        0.0_f64..60.0,
        60.5_f64..400.0,
    );
    let visits = prop::collection::vec((any_time(), any_words()), 0..3);
    (
        (any_id(), "[a-z ]{0,9}x", any_words(), 1_u8..8),
        (15.0_f64..120.0, 15.0_f64..120.0, 15.0_f64..120.0),
        subsequence(HeatSource::ALL.to_vec(), 0..=5),
        subsequence(Mode::ALL.to_vec(), 1..=5),
        dial,
        visits,
        select(vec![LengthUnit::Inches, LengthUnit::Centimetres]),
    )
        .prop_map(
            |((id, name, note, racks), (w, d, h), heat, modes, dial, visits, lengths)| {
                let rise = h / f64::from(racks + 1);
                Oven {
                    id: OvenId::new(&id).unwrap(),
                    name,
                    cavity: Cavity::new(Centimetres(w), Centimetres(d), Centimetres(h)),
                    racks: (1..=racks)
                        .map(|number| {
                            RackPosition::new(number, Centimetres(rise * f64::from(number)))
                        })
                        .collect(),
                    heat,
                    modes,
                    dial: Dial {
                        unit: dial.0,
                        step: dial.1,
                        lowest: Celsius(dial.2),
                        highest: Celsius(dial.3),
                    },
                    lengths,
                    visits: visits
                        .into_iter()
                        .map(|(when, what)| ServiceVisit { when, what })
                        .collect(),
                    plate: Plate {
                        make: note.clone(),
                        ..Plate::default()
                    },
                    note,
                }
            },
        )
}

fn any_reading() -> impl Strategy<Value = Reading> {
    prop_oneof![
        Just(Reading::Unscored),
        Just(Reading::Skipped),
        Just(Reading::Missing),
        (0_u8..=18).prop_map(|h| Reading::ByEye(Shade::from_half_steps(h).unwrap())),
        (0.01_f64..=100.0, 0.0_f64..=100.0)
            .prop_map(|(lightness, sd)| Reading::Measured { lightness, sd }),
    ]
}

fn any_slice() -> impl Strategy<Value = Slice> {
    (
        any::<u8>(),
        -200.0_f64..200.0,
        -200.0_f64..200.0,
        any_reading(),
    )
        .prop_map(|(rack, x, y, reading)| samples::slice(rack, x, y, reading))
}

fn any_bread() -> impl Strategy<Value = Bread> {
    (
        any_words(),
        (0.1_f64..100.0, 0.1_f64..100.0, 0.0_f64..20.0),
        any::<bool>(),
        option::of(0.01_f64..100.0),
    )
        .prop_map(|(loaf, (w, d, t), bare, untoasted_lightness)| Bread {
            loaf,
            slice: SliceSize::new(Centimetres(w), Centimetres(d)),
            thickness: Centimetres(t),
            surface: if bare {
                Surface::BareRack
            } else {
                Surface::Sheet
            },
            untoasted_lightness,
        })
}

fn any_photo() -> impl Strategy<Value = PhotoNote> {
    let corner = (-50.0_f64..9000.0, -50.0_f64..9000.0);
    (
        any::<u8>(),
        (any_words(), "[0-9a-f]{64}"),
        (1_usize..12, 1_usize..12),
        (corner.clone(), corner.clone(), corner.clone(), corner),
        (
            prop::collection::vec("slice:[0-9],[0-9]", 0..3),
            (0.0_f64..1.0, 0.0_f64..20.0),
        ),
        option::of((any_words(), "[0-9a-f]{64}".prop_map(String::from))),
    )
        .prop_map(
            |(rack, (file, sha256), counts, corners, (references, (lean, level)), turned)| {
                PhotoNote {
                    rack,
                    file,
                    sha256,
                    counts,
                    corners: [corners.0, corners.1, corners.2, corners.3],
                    references,
                    lean,
                    level,
                    turned,
                }
            },
        )
}

fn any_test() -> impl Strategy<Value = ToastTest> {
    (
        (any_id(), any_id(), any_mode(), 0.0_f64..400.0),
        prop::collection::vec(any::<u8>(), 0..5),
        any_time(),
        option::of(0.0_f64..600.0),
        any_bread(),
        prop::collection::vec(any_slice(), 0..30),
        any::<prop::sample::Index>(),
        (any_words(), prop::collection::vec(any_photo(), 0..3)),
    )
        .prop_map(
            |((id, oven, mode, dial), racks, when, minutes, bread, slices, at, (note, photos))| {
                ToastTest {
                    photos,
                    id: TestId::new(&id).unwrap(),
                    setup: Setup {
                        oven: OvenId::new(&oven).unwrap(),
                        mode,
                        dial: Celsius(dial),
                        racks,
                    },
                    when,
                    minutes: minutes.map(Minutes),
                    toasting: minutes.map(|_| when.into()),
                    bread,
                    cursor: at.index(slices.len() + 1),
                    slices,
                    note,
                }
            },
        )
}

fn any_round() -> impl Strategy<Value = AirRound> {
    let reading = (
        (any_time(), 0.0_f64..400.0, 0.0_f64..400.0),
        select(Phase::ALL.to_vec()),
        (option::of(1_u8..9), select(Spot::ALL.to_vec())),
    )
        .prop_map(|((at, dial, air), phase, (rack, spot))| AirReading {
            at: at.into(),
            dial: Celsius(dial),
            air: Celsius(air),
            phase,
            // A corner is always one of a rack position.
            place: AirPlace::new(rack.or((spot != Spot::Centre).then_some(1)), spot),
        });
    (
        (any_id(), any_id(), any_mode(), option::of(any_id())),
        prop::collection::vec(reading, 0..30),
        any_words(),
    )
        .prop_map(|((id, oven, mode, thermometer), mut readings, note)| {
            readings.sort_by_key(|r| r.at);
            AirRound {
                id: RoundId::new(&id).unwrap(),
                oven: OvenId::new(&oven).unwrap(),
                mode,
                thermometer: thermometer.map(|t| ThermometerId::new(&t).unwrap()),
                readings,
                note,
            }
        })
}

fn any_thermometer() -> impl Strategy<Value = Thermometer> {
    (
        (any_id(), "[a-z ]{0,9}x", any_words()),
        (0.001_f64..30.0, 0.0_f64..60.0),
        option::of(0.0_f64..1800.0),
        option::of(any_date()),
    )
        .prop_map(
            |((id, name, note), (resolution, accuracy), lag_s, bought)| Thermometer {
                id: ThermometerId::new(&id).unwrap(),
                name,
                resolution: CelsiusDelta(resolution),
                accuracy: CelsiusDelta(accuracy),
                lag_s,
                bought,
                note,
            },
        )
}

proptest! {
    #[test]
    fn every_round_of_readings_comes_back_the_same(round in any_round()) {
        prop_assert_eq!(AirRound::decode(&round.encode().unwrap()), Ok(round));
    }

    #[test]
    fn every_thermometer_comes_back_the_same(thermometer in any_thermometer()) {
        prop_assert_eq!(Thermometer::decode(&thermometer.encode().unwrap()), Ok(thermometer));
    }

    #[test]
    fn every_recipe_comes_back_the_same(recipe in any_recipe()) {
        prop_assert_eq!(Recipe::decode(&recipe.encode().unwrap()), Ok(recipe));
    }

    #[test]
    fn every_oven_comes_back_the_same(oven in any_oven()) {
        prop_assert_eq!(Oven::decode(&oven.encode().unwrap()), Ok(oven));
    }

    #[test]
    fn every_toast_test_comes_back_the_same(test in any_test()) {
        prop_assert_eq!(ToastTest::decode(&test.encode().unwrap()), Ok(test));
    }

    #[test]
    fn every_bake_log_comes_back_the_same(bake in any_bake()) {
        prop_assert_eq!(BakeLog::decode(&bake.encode().unwrap()), Ok(bake));
    }

    #[test]
    fn a_torn_file_is_an_error_and_never_a_panic(test in any_test(), at in any::<prop::sample::Index>()) {
        let text = test.encode().unwrap();
        // Any cut before the closing brace; the line end behind it is not missed.
        let cut = at.index(text.trim_end().len());
        let torn = String::from_utf8_lossy(&text.as_bytes()[..cut]);
        prop_assert!(matches!(ToastTest::decode(&torn), Err(ReadError::Damaged(_))));
    }
}

const TEST: &str = include_str!("../../../tests/data/v1/tests/2026-04-12-counter-oven.json");
const OVEN: &str = include_str!("../../../tests/data/v1/ovens/wall-oven.json");
const BAKE: &str = include_str!("../../../tests/data/v1/bakes/2026-03-21-wall-oven.json");

const ROUND: &str = include_str!("../../../tests/data/v1/readings/2026-04-20-wall-oven.json");
const THERMOMETER: &str = include_str!("../../../tests/data/v1/thermometers/wire-probe.json");

#[test]
fn the_kept_samples_of_readings_still_read() {
    let round = AirRound::decode(ROUND).unwrap();
    assert_eq!((round.readings.len(), round.mode), (3, Mode::StillAir));
    let last = round.readings[2];
    assert_eq!(last.place.key(), "3:back-left");
    assert_eq!(last.phase, Phase::DoorClosed);
    // Civil times of the zone this runs in; written as instants of version 2.
    let at = Date::constant(2026, 4, 20).at(14, 2, 30, 500_000_000);
    assert_eq!(last.at.civil(), at);
    assert!(round.encode().unwrap().contains("\"version\": 2"));
    assert_eq!(AirRound::decode(&round.encode().unwrap()), Ok(round));
    let probe = Thermometer::decode(THERMOMETER).unwrap();
    assert_eq!(
        (probe.lag_s, probe.bought),
        (Some(8.0), Some(Date::constant(2026, 1, 15)))
    );
    assert_eq!(probe.encode().unwrap(), THERMOMETER);
    for (text, expected) in [
        (
            ROUND.replace("\"3:back-left\"", "\"attic\""),
            "place is attic",
        ),
        (
            ROUND.replace("\"holding\"", "\"asleep\""),
            "unknown variant `asleep`",
        ),
        (
            ROUND.replace("\"air_c\": 168.5", "\"air_c\": -5.0"),
            "air_c is -5",
        ),
        (ROUND.replace("T14:00", "T23:00"), "out of order"),
    ] {
        assert_ne!(text, ROUND, "{expected}: the case changes nothing");
        let said = AirRound::decode(&text).unwrap_err().to_string();
        assert!(said.contains(expected), "{expected}: {said}");
    }
    let newer = THERMOMETER.replace("\"version\": 1", "\"version\": 4");
    assert_eq!(Thermometer::decode(&newer), Err(ReadError::Newer(4)));
    let wild = THERMOMETER.replace("\"accuracy_c\": 1.0", "\"accuracy_c\": 999.0");
    assert!(matches!(
        Thermometer::decode(&wild),
        Err(ReadError::Damaged(_))
    ));
}

#[test]
fn the_kept_sample_of_version_1_still_reads() {
    let test = ToastTest::decode(TEST).unwrap();
    assert_eq!(
        (test.slices.len(), test.cursor, test.setup.mode),
        (12, 7, Mode::StillAir)
    );
    let readings: Vec<_> = test.slices[1..4].iter().map(|s| s.reading).collect();
    let measured = Reading::Measured {
        lightness: 61.25,
        sd: 0.8,
    };
    assert_eq!(readings, [Reading::Skipped, Reading::Missing, measured]);
    assert_eq!(test.bread.untoasted_lightness, Some(82.5));
    assert_eq!(test.encode().unwrap(), TEST, "and is written as it stands");
    let oven = Oven::decode(OVEN).unwrap();
    assert_eq!((oven.racks.len(), oven.visits.len()), (6, 1));
    let start_of_day = Date::constant(2026, 4, 2).at(0, 0, 0, 0);
    assert_eq!(oven.visits[0].when, start_of_day, "a day alone");
    assert!(
        oven.encode()
            .unwrap()
            .contains(r#""when": "2026-04-02T00:00:00""#)
    );
    let bake = BakeLog::decode(BAKE).unwrap();
    assert_eq!((bake.openings.len(), bake.plan.segments.len()), (1, 2));
}

const ROUND_2: &str = include_str!("../../../tests/data/v2/readings/2026-04-20-wall-oven.json");
const BAKE_2: &str = include_str!("../../../tests/data/v2/bakes/2026-03-21-wall-oven.json");

#[test]
fn the_kept_samples_of_version_2_still_read() {
    let round = AirRound::decode(ROUND_2).unwrap();
    assert_eq!(
        round.encode().unwrap(),
        ROUND_2,
        "and is written as it stands"
    );
    let noon: Moment = "2026-04-20T12:00:00Z".parse().unwrap();
    assert_eq!(round.readings[0].at, noon, "an instant");
    let bake = BakeLog::decode(BAKE_2).unwrap();
    assert_eq!(bake.encode().unwrap(), BAKE_2);
    assert_eq!(bake.openings[0].what, Opened::Look);
    assert!(bake.openings[1].is_move());
    let before: Moment = "2026-03-21T14:04:59Z".parse().unwrap();
    assert_eq!(bake.started.duration_since(before).as_secs(), 1);
    // What version 1 has for the same: a look in words of its own.
    let looked = BAKE.replace("turned the tray front to back", "looked in");
    let looked = BakeLog::decode(&looked).unwrap();
    assert_eq!(looked.openings[0].what, Opened::Look);
    assert_eq!(looked.started.civil(), bake.started.civil());
}

const RECIPE_3: &str = include_str!("../../../tests/data/v3/recipes/harvest-rolls.json");
const BAKE_3: &str = include_str!("../../../tests/data/v3/bakes/2026-03-21-wall-oven.json");

#[test]
fn the_kept_samples_of_version_3_still_read() {
    let recipe = Recipe::decode(RECIPE_3).unwrap();
    assert_eq!(recipe.written_words(), "gas mark 7");
    assert_eq!(recipe.encode().unwrap(), RECIPE_3);
    let bake = BakeLog::decode(BAKE_3).unwrap();
    assert_eq!(bake.encode().unwrap(), BAKE_3);
    let before = BakeLog::decode(BAKE_2).unwrap();
    assert_eq!(bake.plan.recipe.as_ref().unwrap().name, "harvest rolls");
    assert_eq!((before.plan.recipe, before.started), (None, bake.started));
    for (text, expected) in [
        (RECIPE_3.replace("\"7\"", "\"11\""), "'11' is no gas mark"),
        (
            RECIPE_3.replace("\"minutes\": 24", "\"minutes\": 1"),
            "1 min",
        ),
        (
            RECIPE_3.replace("\"across\": 3", "\"across\": 13"),
            "13 x 2",
        ),
    ] {
        assert_ne!(text, RECIPE_3, "{expected}: the case changes nothing");
        let said = Recipe::decode(&text).unwrap_err().to_string();
        assert!(said.contains(expected), "{expected}: {said}");
    }
}

/// A bake as it is kept since pieces are scored; the older sample above has none of these fields.
const SCORED_BAKE: &str = include_str!("../../../tests/data/v1/bakes/2026-05-01-wall-oven.json");

#[test]
fn bakes_kept_before_and_since_pieces_are_scored_both_read() {
    let old = BakeLog::decode(BAKE).unwrap();
    assert_eq!(
        (old.pieces.len(), old.added, old.in_map),
        (0, Minutes(0.0), false)
    );
    assert_eq!((old.plan.tray, old.plan.forecast.len()), (None, 0));
    let new = BakeLog::decode(SCORED_BAKE).unwrap();
    assert_eq!(
        (new.added, new.wanted),
        (Minutes(1.0), Shade::whole(4).ok())
    );
    assert_eq!(new.piece(1, 1, 2).unwrap().pulled, Some(Minutes(9.0)));
    assert_eq!(new.plan.tray.unwrap().across, 3);
    assert!((new.plan.forecast[0].ratio - 1.2).abs() < 1e-12 && new.in_map);
    assert_eq!(BakeLog::decode(&new.encode().unwrap()), Ok(new));
    let wrong = SCORED_BAKE.replace("\"shade\": 5.5", "\"shade\": 5.3");
    assert!(matches!(
        BakeLog::decode(&wrong),
        Err(ReadError::Damaged(_))
    ));
    let wrong = SCORED_BAKE.replace("\"across\": 3", "\"across\": 0");
    assert!(matches!(
        BakeLog::decode(&wrong),
        Err(ReadError::Damaged(_))
    ));
}

#[test]
fn a_newer_version_is_told_from_damage_even_with_fields_unknown_here() {
    let newer = OVEN.replace("\"version\": 1", "\"version\": 4, \"smell\": \"good\"");
    assert_eq!(Oven::decode(&newer), Err(ReadError::Newer(4)));
    let unborn = OVEN.replace("\"version\": 1", "\"version\": 0");
    assert!(matches!(Oven::decode(&unborn), Err(ReadError::Damaged(_))));
}

/// A sample of version 3, kept for ever.
#[test]
fn an_oven_with_its_plate_reads_and_is_written_as_version_3() {
    let text = include_str!("../../../tests/data/v3/ovens/wall-oven.json");
    let oven = Oven::decode(text).unwrap();
    assert_eq!(oven.plate.make, "Hearth & Sons");
    assert_eq!(oven.plate.contact, "");
    let again = oven.encode().unwrap();
    assert!(again.contains("\"version\": 3"), "{again}");
    assert_eq!(Oven::decode(&again), Ok(oven.clone()));
    let mut bare = oven.clone();
    bare.plate = Plate::default();
    assert_eq!(bare, Oven::decode(OVEN).unwrap());
    assert!(bare.encode().unwrap().contains("\"version\": 1"));
}

#[test]
fn what_is_wrong_in_a_file_is_named() {
    let cases = [
        (TEST.replace("\"note\"", "\"nota\""), "unknown field `nota`"),
        (
            TEST.replace("\"cursor\": 7", "\"cursor\": 13"),
            "cursor is 13",
        ),
        (
            TEST.replace("\"lightness\": 61.25", "\"lightness\": 161.0"),
            "slices.lightness is 161",
        ),
        (
            TEST.replace(", \"lightness_sd\": 0.8", ""),
            "without lightness_sd",
        ),
        (
            TEST.replace(
                "\"lightness_sd\": 0.8",
                "\"lightness_sd\": 0.8, \"shade\": 3.0",
            ),
            "more than one of",
        ),
        (
            TEST.replace("\"shade\": 4.0", "\"shade\": 4.2"),
            "4.2 is not a shade",
        ),
        (
            TEST.replace("2026-04-12T", "2026-04-32T"),
            "when is 2026-04-32T",
        ),
        (
            TEST.replace("\"mode\": \"still-air\"", "\"mode\": \"steam\""),
            "unknown variant `steam`",
        ),
        (
            TEST.replace("\"oven\": \"counter-oven\"", "\"oven\": \"../x\""),
            "'../x' is not a usable id",
        ),
        (
            TEST.replace("\"dial_c\": 1", "\"dial_c\": 9e9, \"x\": 1"),
            "unknown field `x`",
        ),
        ("{}".to_owned(), "missing field `version`"),
        (String::new(), "EOF while parsing"),
        ("[".repeat(100_000), "invalid type: sequence"),
    ];
    for (text, expected) in cases {
        assert_ne!(text, TEST, "{expected}: the case changes nothing");
        match ToastTest::decode(&text) {
            Err(ReadError::Damaged(why)) => assert!(why.contains(expected), "{expected}: {why}"),
            other => panic!("{expected}: {other:?}"),
        }
    }
}

/// More rack positions than have a number are refused for that, whatever their heights.
#[test]
fn an_oven_of_too_many_rack_positions_is_refused_for_their_number() {
    let text = include_str!("../../../tests/data/v1/ovens/wall-oven.json");
    let form: serde_json::Value = serde_json::from_str(text).unwrap();
    for count in [255_u32, 256, 300] {
        let mut form = form.clone();
        form["rack_heights_cm"] = (1..=count).map(|i| f64::from(i) / 10.0).collect();
        let Err(ReadError::Damaged(why)) = Oven::decode(&form.to_string()) else {
            panic!("{count} heights");
        };
        assert!(why.contains("at most 254 heights"), "{why}");
    }
}

#[test]
fn what_could_not_be_read_back_is_not_written() {
    let mut test = ToastTest::decode(TEST).unwrap();
    test.slices[0].place.x = Centimetres(f64::NAN);
    assert!(test.encode().is_err());
    let mut test = ToastTest::decode(TEST).unwrap();
    test.cursor = 99;
    assert!(
        test.encode()
            .unwrap_err()
            .to_string()
            .contains("cursor is 99")
    );
}

#[test]
fn words_that_steer_are_stored_in_one_line_without_that() {
    let text = include_str!("../../../tests/data/v1/ovens/wall-oven.json");
    let mut oven = Oven::decode(text).unwrap();
    oven.note = "a\u{1b}[31m b\nc\u{202e} \"d\" \\ é".to_owned();
    let saved = oven.encode().unwrap();
    assert!(!saved.contains("\\u") && !saved.chars().any(|c| c != '\n' && steers(c)));
    let back = Oven::decode(&saved).unwrap();
    assert_eq!(back.note, "a[31m b c \"d\" \\ é");
    oven.note.clone_from(&back.note);
    assert_eq!(back, oven);
}
