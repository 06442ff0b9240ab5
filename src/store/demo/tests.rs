//! Builds the demo kitchen from an invented oven, and checks that the files are just that.
//!
//! Run with `RACKSHADE_WRITE_DEMO=1` to write them again after a change here.

use super::*;
use crate::{
    model::{
        AirPlace, AirReading, AirRound, BakeId, BakeLog, Bread, DialStep, DoorOpening, Mode,
        Opened, Oven, OvenId, Phase, Place, Plan, Reading, RoundId, Segment, ServiceVisit, Setup,
        Shade, Slice, SliceSize, Spot, TestId, ThermometerId, ToastTest, TrayPlacement, Yardstick,
        shade::browning_per_shade,
    },
    store::{assets::oven_templates, migrate::Stored},
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

/// The counter oven, then the wall oven: by id, as the kitchen lists them.
fn ovens() -> Vec<Oven> {
    let from = |key: &str, id: &str, name: &str, note: &str| {
        let template = oven_templates().iter().find(|t| t.key == key).unwrap();
        Oven {
            id: OvenId::new(id).unwrap(),
            name: name.to_owned(),
            note: note.to_owned(),
            ..template.oven.clone()
        }
    };
    let mut wall = from(
        "wall-oven-30-inch",
        "wall-oven",
        "wall oven",
        "left of the window; its dial has always been a little cold",
    );
    wall.visits.push(ServiceVisit {
        when: date(2026, 4, 2).at(14, 0, 0, 0),
        what: "technician: bottom element replaced, temperature sensor reseated".to_owned(),
    });
    let counter = from(
        "countertop-oven-proofing",
        "counter-oven",
        "counter oven",
        "for rolls and small trays; the proofing mode holds dough",
    );
    vec![counter, wall]
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

/// A bake by custom, before the oven was known: turned at half-time.
fn bake() -> BakeLog {
    let yardstick = |spread: f64, sd: f64, minutes: f64| Yardstick {
        spread,
        spread_range: (spread - 0.5, spread + 0.5),
        sd,
        sd_range: (sd - 0.2, sd + 0.2),
        minutes: Minutes(minutes),
    };
    let segment = |from: f64, to: f64, share: f64, turned: bool| Segment {
        from: Minutes(from),
        to: Minutes(to),
        share,
        trays: vec![TrayPlacement {
            tray: 1,
            rack: 4,
            turned,
            shift_x: Centimetres(0.0),
            shift_y: Centimetres(0.0),
        }],
    };
    let dial = TemperatureUnit::Fahrenheit.temperature(350.0);
    let step = |what: &str| DialStep::new(what.to_owned(), dial);
    BakeLog {
        id: BakeId::new("2026-03-21-wall-oven").unwrap(),
        oven: OvenId::new("wall-oven").unwrap(),
        mode: Mode::StillAir,
        kind: "thin-cookie".to_owned(),
        started: date(2026, 3, 21).at(15, 5, 0, 0).into(),
        plan: Plan {
            kind: "thin-cookie".to_owned(),
            recipe: None,
            segments: vec![
                segment(0.0, 5.5, 0.05, false),
                segment(5.5, 11.0, 0.95, true),
            ],
            bake: Minutes(11.0),
            dial,
            steps_to_dial: vec![step("recipe, still air"), step("rounded to the dial's 5 F")],
            evenness: yardstick(2.0, 0.7, 11.0),
            unturned: yardstick(2.2, 0.8, 11.0),
            halfway: yardstick(2.0, 0.7, 11.0),
            alternatives: Vec::new(),
            tray: None,
            forecast: Vec::new(),
        },
        openings: vec![DoorOpening {
            at: Minutes(5.5),
            open_for: Some(Minutes(0.5)),
            what: Opened::Move("turned the tray front to back".to_owned()),
        }],
        baked: Some(Minutes(11.5)),
        added: Minutes(0.0),
        pieces: Vec::new(),
        photos: Vec::new(),
        wanted: None,
        in_map: false,
        outcome: vec![(1, Shade::from_value(4.0).unwrap())],
        note: "the back-left row still came out darker".to_owned(),
    }
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

fn built() -> Vec<(String, String)> {
    let mut out = Vec::new();
    for oven in ovens() {
        out.push((format!("ovens/{}.json", oven.id), oven.encode().unwrap()));
    }
    for test in tests() {
        out.push((format!("tests/{}.json", test.id), test.encode().unwrap()));
    }
    let bake = bake();
    out.push((format!("bakes/{}.json", bake.id), bake.encode().unwrap()));
    for thermometer in thermometers::thermometers() {
        out.push((
            format!("thermometers/{}.json", thermometer.id),
            thermometer.encode().unwrap(),
        ));
    }
    let mut dice = Dice(77);
    let sat = sittings().into_iter().map(|s| air_round(s, &mut dice));
    let mut air: Vec<AirRound> = sat.collect();
    air.push(proofing_round(&mut dice));
    for round in air {
        let name = format!("readings/{}.json", round.id);
        out.push((name, round.encode().unwrap()));
    }
    for recipe in recipes::recipes() {
        let name = format!("recipes/{}.json", recipe.id);
        out.push((name, recipe.encode().unwrap()));
    }
    out.push(("samples.csv".to_owned(), samples()));
    out
}

#[test]
#[expect(
    clippy::disallowed_methods,
    reason = "a switch for the one who changes the builder"
)]
fn the_demo_files_are_what_the_builder_makes() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data");
    let built = built();
    assert_eq!(built.len(), 22);
    for (name, text) in &built {
        let path = folder.join(name);
        if std::env::var("RACKSHADE_WRITE_DEMO").is_ok() {
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(&path, text).unwrap();
        }
        let on_disk = fs::read_to_string(&path).unwrap_or_default();
        assert_eq!(
            on_disk, *text,
            "{name} differs; RACKSHADE_WRITE_DEMO=1 writes it again"
        );
    }
}

#[test]
fn the_program_carries_every_demo_file() {
    let carried: Vec<_> = FILES
        .iter()
        .map(|(n, t)| ((*n).to_owned(), (*t).to_owned()))
        .collect();
    let mut wanted = built();
    wanted.retain(|(name, _)| name != "samples.csv");
    assert_eq!(carried, wanted);
}
