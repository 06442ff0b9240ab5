//! Builds the demo's toast tests and readings from an invented oven, and checks that the files are just that.
//! What has no scatter in it (ovens, bake, recipes, thermometers) is made up by hand and stands in its file alone.
//!
//! Run with `RACKSHADE_WRITE_DEMO=1` to write the built ones again after a change here.

use super::*;
use crate::{
    model::{
        AirPlace, AirReading, AirRound, BakeLog, Bread, Mode, Oven, OvenId, Phase, Place, Reading,
        Recipe, RoundId, Setup, Shade, Slice, SliceSize, Spot, TestId, Thermometer, ThermometerId,
        ToastTest, shade::browning_per_shade,
    },
    store::migrate::Stored,
    units::{Celsius, Centimetres, Minutes, TemperatureUnit},
};
use jiff::{
    SignedDuration,
    civil::{Date, date},
};
use std::fmt::Write;

/// How much faster bread browns for each degree Celsius near 177 C.
const PER_C: f64 = 0.041;
/// Slice-to-slice scatter in browning.
const SCATTER: f64 = 0.03;

/// A small fixed generator: the same kitchen on every machine.
struct Dice(u64);

impl Dice {
    fn uniform(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        ((self.0 >> 40) as f64) / f64::from(1_u32 << 24)
    }

    /// Twelve uniforms make a normal figure good enough for bread.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}

/// What the invented oven does at a place: degrees C above or below its middle.
type Truth = fn(rack: u8, across: f64, deep: f64) -> f64;

/// Wall oven in still air: hot at the back-left, rack 2 nearly flat, rack 5 hotter.
///
/// `corner_c` is how much hotter the back-left is on the upper racks.
fn wall(rack: u8, across: f64, deep: f64, corner_c: f64) -> f64 {
    let corner = corner_c * bump(across, deep, (0.05, 0.95));
    match rack {
        2 => -2.0 + 0.8 * (deep - 0.5),
        4 => corner - 1.5 * (1.0 - deep),
        _ => 2.5 + corner - 2.0 * (1.0 - deep),
    }
}

/// Before the visit: 27 F hotter in the corner.
fn wall_before(rack: u8, across: f64, deep: f64) -> f64 {
    wall(rack, across, deep, 15.0) - 1.5
}

/// After the visit: about 14 F remain at the back-left slice, and the dial is no longer cold.
fn wall_after(rack: u8, across: f64, deep: f64) -> f64 {
    wall(rack, across, deep, 9.5)
}

/// With the fan: a mild hot place where its stream turns, back-right; racks alike.
fn wall_fan(rack: u8, across: f64, deep: f64) -> f64 {
    let rack_step = if rack == 2 { -0.5 } else { 0.5 };
    rack_step + 5.0 * bump(across, deep, (0.95, 0.85)) - 1.5 * bump(across, deep, (0.1, 0.1))
}

/// Counter oven: its door side is cool, and the lower guide sits close to the element.
fn counter(rack: u8, across: f64, deep: f64) -> f64 {
    let rack_step = if rack == 1 { 3.0 } else { -1.0 };
    rack_step + 9.0 * (deep - 0.5) + 2.0 * (across - 0.5)
}

/// Counter oven with its fan: the door side catches up.
fn counter_fan(_rack: u8, across: f64, deep: f64) -> f64 {
    3.0 * (deep - 0.5) - 2.0 * (across - 0.5)
}

fn bump(across: f64, deep: f64, at: (f64, f64)) -> f64 {
    let d2 = (across - at.0).powi(2) + (deep - at.1).powi(2);
    (-d2 / (2.0 * 0.38_f64.powi(2))).exp()
}

#[derive(Clone, Copy)]
struct Round {
    oven: usize,
    day: Date,
    mode: Mode,
    dial_f: f64,
    minutes: f64,
    racks: &'static [u8],
    grid: (usize, usize),
    /// Shade in the oven's middle.
    middle: f64,
    truth: Truth,
    note: &'static str,
    /// How many slices have been scored; the rest is still to do.
    scored: usize,
}

/// The wall oven's usual round; its first look, before the visit.
const WALL: Round = Round {
    oven: 1,
    day: date(2026, 3, 7),
    mode: Mode::StillAir,
    dial_f: 350.0,
    minutes: 9.5,
    racks: &[2, 4, 5],
    grid: (4, 3),
    middle: 4.0,
    truth: wall_before,
    note: "first look",
    scored: usize::MAX,
};

/// The counter oven's usual round.
const COUNTER: Round = Round {
    oven: 0,
    day: date(2026, 3, 15),
    minutes: 8.5,
    racks: &[1, 2],
    grid: (3, 2),
    middle: 3.6,
    truth: counter,
    note: "both guides",
    ..WALL
};

fn rounds() -> [Round; 8] {
    let after = Round {
        day: date(2026, 4, 10),
        truth: wall_after,
        note: "after the visit, same bread and layout as on 7 March",
        ..WALL
    };
    [
        WALL,
        Round {
            day: date(2026, 3, 8),
            mode: Mode::Fan,
            dial_f: 325.0,
            minutes: 11.0,
            racks: &[2, 4],
            middle: 3.6,
            truth: wall_fan,
            note: "fan on",
            ..WALL
        },
        COUNTER,
        Round {
            mode: Mode::Fan,
            dial_f: 325.0,
            racks: &[2],
            middle: 3.4,
            truth: counter_fan,
            note: "middle guide only",
            ..COUNTER
        },
        after,
        Round {
            day: date(2026, 4, 11),
            note: "once more, slices shuffled, so that bread is not mistaken for oven",
            ..after
        },
        Round {
            day: date(2026, 4, 11),
            dial_f: 325.0,
            middle: 2.3,
            note: "same layout and minutes, 25 F cooler: for this bread's own sensitivity",
            ..after
        },
        Round {
            day: date(2026, 4, 12),
            note: "half scored",
            scored: 7,
            ..COUNTER
        },
    ]
}

/// The counter oven, then the wall oven, as [`Round::oven`] counts them.
fn ovens() -> [Oven; 2] {
    [
        include_str!("../../../demo-data/ovens/counter-oven.json"),
        include_str!("../../../demo-data/ovens/wall-oven.json"),
    ]
    .map(|text| Oven::decode(text).unwrap())
}

fn test_of(round: &Round, oven: &Oven, count: usize, dice: &mut Dice) -> ToastTest {
    let slice = SliceSize::ORDINARY;
    let (width, depth) = (oven.cavity.width.0, oven.cavity.depth.0);
    // 5 cm of air to the walls, slices spread evenly over what is left.
    let spread = |i: usize, n: usize, whole: f64, side: f64| {
        let first = 5.0 + side / 2.0;
        first + i as f64 * (whole - 2.0 * first) / (n - 1) as f64
    };
    let (cols, rows) = round.grid;
    let mut slices = Vec::new();
    for &rack in round.racks {
        for row in (0..rows).rev() {
            for col in 0..cols {
                let x = spread(col, cols, width, slice.width.0);
                let y = spread(row, rows, depth, slice.depth.0);
                let degrees = (round.truth)(rack, x / width, y / depth);
                let browning = round.middle * browning_per_shade() * (PER_C * degrees).exp();
                let shade = (browning + SCATTER * dice.normal()) / browning_per_shade();
                let read = Shade::from_value((shade * 2.0).round().clamp(0.0, 18.0) / 2.0).unwrap();
                slices.push(Slice {
                    rack,
                    place: Place {
                        x: Centimetres((x * 10.0).round() / 10.0),
                        y: Centimetres((y * 10.0).round() / 10.0),
                    },
                    reading: if slices.len() < round.scored {
                        Reading::ByEye(read)
                    } else {
                        Reading::Unscored
                    },
                });
            }
        }
    }
    let mut id = format!("{}-{}", round.day, oven.id);
    if count > 1 {
        write!(id, "-{count}").unwrap();
    }
    ToastTest {
        id: TestId::new(&id).unwrap(),
        setup: Setup {
            oven: oven.id.clone(),
            mode: round.mode,
            dial: TemperatureUnit::Fahrenheit.temperature(round.dial_f),
            racks: round.racks.to_vec(),
        },
        when: round.day.at(9 + i8::try_from(count).unwrap(), 30, 0, 0),
        minutes: Some(Minutes(round.minutes)),
        toasting: None,
        bread: Bread::default(),
        cursor: slices.len().min(round.scored),
        slices,
        note: round.note.to_owned(),
        photos: Vec::new(),
    }
}

fn tests() -> Vec<ToastTest> {
    let ovens = ovens();
    let mut dice = Dice(20_260_307);
    let mut out: Vec<ToastTest> = Vec::new();
    for round in rounds() {
        let oven = &ovens[round.oven];
        let same_day = |t: &&ToastTest| t.setup.oven == oven.id && t.when.date() == round.day;
        let count = 1 + out.iter().filter(same_day).count();
        out.push(test_of(&round, oven, count, &mut dice));
    }
    out
}

/// One sitting with the wire probe: it heats up, signals at 12 min, settles, holds from 24 min on, and where
/// `door` is set the door is opened for half a minute at 56 min.
#[derive(Clone, Copy)]
struct Sitting {
    day: Date,
    mode: Mode,
    dial_f: f64,
    /// True less dial, C.
    offset_c: f64,
    /// Peak to peak, C.
    swing_c: f64,
    door: bool,
}

const SITTING: Sitting = Sitting {
    day: date(2026, 3, 6),
    mode: Mode::StillAir,
    dial_f: 350.0,
    offset_c: -8.5,
    swing_c: 14.0,
    door: true,
};

fn sittings() -> Vec<Sitting> {
    vec![
        SITTING,
        Sitting {
            day: date(2026, 3, 14),
            dial_f: 400.0,
            offset_c: -9.5,
            door: false,
            ..SITTING
        },
        Sitting {
            day: date(2026, 4, 9),
            offset_c: -1.0,
            swing_c: 11.0,
            ..SITTING
        },
        Sitting {
            day: date(2026, 4, 13),
            mode: Mode::Fan,
            dial_f: 325.0,
            offset_c: 2.5,
            swing_c: 5.0,
            door: true,
        },
        Sitting {
            day: date(2026, 4, 14),
            dial_f: 400.0,
            offset_c: -1.5,
            swing_c: 11.0,
            door: false,
            ..SITTING
        },
    ]
}

fn air_round(at: Sitting, dice: &mut Dice) -> AirRound {
    let dial = TemperatureUnit::Fahrenheit.temperature(at.dial_f);
    let began = at.day.at(9, 0, 0, 0);
    let mean = dial.0 + at.offset_c;
    let (cycle, tau, drop) = if at.mode == Mode::Fan {
        (300.0, 45.0, 22.0)
    } else {
        (480.0, 95.0, 27.0)
    };
    let phase = dice.uniform();
    let mut readings = Vec::new();
    let mut take = |second: i64, phase_now: Phase, air: f64| {
        readings.push(AirReading {
            at: (began + SignedDuration::from_secs(second)).into(),
            dial,
            air: Celsius(((air + 0.3 * dice.normal()) * 10.0).round() / 10.0),
            phase: phase_now,
            place: AirPlace::CENTRE,
        });
    };
    let swing = |t: f64| 0.5 * at.swing_c * (std::f64::consts::TAU * (t / cycle + phase)).sin();
    for minute in 0..12_i64 {
        let t = minute as f64 * 60.0;
        take(
            minute * 60,
            Phase::Heating,
            22.0 + (mean - 30.0) * (t / 720.0),
        );
    }
    for minute in 12..56_i64 {
        let t = minute as f64 * 60.0;
        let short = 14.0 * (-(t - 720.0) / 240.0).exp();
        let now = match minute {
            12 => Phase::Signal,
            13..24 => Phase::Heating,
            _ => Phase::Holding,
        };
        take(minute * 60, now, mean + swing(t) - short);
    }
    if at.door {
        for i in 0..30_i64 {
            let second = 3360 + 20 * i;
            let fall = drop * (-(20.0 * i as f64) / tau).exp();
            take(
                second,
                Phase::DoorClosed,
                mean + swing(second as f64) - fall,
            );
        }
    }
    AirRound {
        id: RoundId::of_words(&format!("{}-wall-oven", at.day)),
        oven: OvenId::new("wall-oven").unwrap(),
        mode: at.mode,
        thermometer: Some(ThermometerId::new("wire-probe").unwrap()),
        readings,
        note: String::new(),
    }
}

/// The counter oven's proofing mode at 85 F: warmer than its dial, warmest at the back.
fn proofing_round(dice: &mut Dice) -> AirRound {
    let dial = TemperatureUnit::Fahrenheit.temperature(85.0);
    let began = date(2026, 4, 16).at(14, 0, 0, 0);
    let places = [(None, Spot::Centre, 0.0), (Some(2), Spot::BackLeft, 1.2)];
    let mut readings = Vec::new();
    for (round, (rack, spot, off)) in (0_i64..).zip(places) {
        for minute in 0..25_i64 {
            let second = 60 * (round * 27 + minute);
            let cycle = (std::f64::consts::TAU * second as f64 / 330.0).sin();
            let air = dial.0 + 1.8 + off + 1.6 * cycle + 0.15 * dice.normal();
            readings.push(AirReading {
                at: (began + SignedDuration::from_secs(second)).into(),
                dial,
                air: Celsius((air * 10.0).round() / 10.0),
                phase: Phase::Holding,
                place: AirPlace { rack, spot },
            });
        }
    }
    AirRound {
        id: RoundId::new("2026-04-16-counter-oven").unwrap(),
        oven: OvenId::new("counter-oven").unwrap(),
        mode: Mode::Proofing,
        thermometer: Some(ThermometerId::new("wire-probe").unwrap()),
        readings,
        note: "a bowl's place in the middle, then the back left".to_owned(),
    }
}

/// The first test's racks 2 and 4 in the form `rackshade map --samples` takes.
fn samples() -> String {
    let mut out = String::from("rack,x_cm,y_cm,shade,size_cm\n");
    for slice in tests()[0].slices.iter().filter(|s| s.rack != 5) {
        let Reading::ByEye(shade) = slice.reading else {
            panic!("unscored")
        };
        let (x, y) = (slice.place.x.0, slice.place.y.0);
        writeln!(out, "{},{x},{y},{shade},10", slice.rack).unwrap();
    }
    out
}

/// What the generator makes: everything that has scatter in it.
fn built() -> Vec<(String, String)> {
    let tests = tests()
        .into_iter()
        .map(|test| (placed(&test), test.encode().unwrap()));
    let mut dice = Dice(77);
    let mut air: Vec<AirRound> = sittings()
        .into_iter()
        .map(|s| air_round(s, &mut dice))
        .collect();
    air.push(proofing_round(&mut dice));
    let air = air
        .into_iter()
        .map(|round| (placed(&round), round.encode().unwrap()));
    let samples = ("samples.csv".to_owned(), samples());
    tests.chain(air).chain([samples]).collect()
}

/// Returns the place in the folder of a thing that is stored.
fn placed<T: Stored>(thing: &T) -> String {
    format!("{}/{}.json", T::FOLDER, thing.id())
}

fn demo_data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data")
}

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "a switch for the one who changes the builder"
)]
fn what_has_scatter_is_what_the_builder_makes() {
    let built = built();
    assert_eq!(built.len(), 15);
    for (name, text) in &built {
        let path = demo_data().join(name);
        if std::env::var("RACKSHADE_WRITE_DEMO").is_ok() {
            fs::write(&path, text).unwrap();
        }
        let on_disk = fs::read_to_string(&path).unwrap_or_default();
        assert_eq!(
            on_disk, *text,
            "{name} differs; RACKSHADE_WRITE_DEMO=1 writes it again"
        );
    }
}

/// Reads a file and returns where the program would write it, and what.
fn again<T: Stored>(text: &str) -> (String, String) {
    let thing = T::decode(text).unwrap();
    (placed(&thing), thing.encode().unwrap())
}

#[test]
fn every_file_is_as_the_program_writes_it() {
    for (name, text) in FILES {
        let written = match name.split('/').next().unwrap() {
            Oven::FOLDER => again::<Oven>(text),
            ToastTest::FOLDER => again::<ToastTest>(text),
            BakeLog::FOLDER => again::<BakeLog>(text),
            Thermometer::FOLDER => again::<Thermometer>(text),
            AirRound::FOLDER => again::<AirRound>(text),
            Recipe::FOLDER => again::<Recipe>(text),
            other => panic!("{other} is no folder of the demo"),
        };
        assert_eq!(written, ((*name).to_owned(), (*text).to_owned()));
    }
}

#[test]
fn the_program_carries_every_demo_file() {
    let of_folder = |folder: fs::DirEntry| {
        let files = fs::read_dir(folder.path()).into_iter().flatten();
        files.map(move |file| {
            let [folder, file] = [folder.file_name(), file.unwrap().file_name()];
            format!("{}/{}", folder.display(), file.display())
        })
    };
    let folders = fs::read_dir(demo_data()).unwrap().map(Result::unwrap);
    let kept = folders.filter(|f| f.path().is_dir() && f.file_name() != "photos");
    let mut wanted: Vec<String> = kept.flat_map(of_folder).collect();
    wanted.sort();
    let mut carried: Vec<&str> = FILES.iter().map(|(name, _)| *name).collect();
    carried.sort_unstable();
    assert_eq!(carried, wanted);
    assert_eq!(carried.len(), 21);
}
