//! Small toast tests as bakers really score them: pale, nearly burnt, with odd slices, all alike, few or many
//! slices, on one to four rack positions, by eye or measured. All are invented here.

use jiff::civil::date;
use rackshade::{
    model::{
        Bread, Mode, Oven, OvenId, Place, RackPosition, Reading, Setup, Shade, Slice, SliceSize,
        TestId, ToastTest,
        shade::{Browning, UNTOASTED_LIGHTNESS, browning_per_shade},
    },
    numeric::random::Stream,
    units::{Celsius, Centimetres, Minutes},
    workflow::catalogue::oven_templates,
};

/// Fewest and most scored slices of a test.
const SLICES: (usize, usize) = (3, 12);

/// An oven with two toast tests in it.
pub(crate) struct Drawn {
    pub(crate) oven: Oven,
    pub(crate) first: ToastTest,
    /// In the same places, or with slices of its own.
    pub(crate) second: ToastTest,
}

/// How a test browned.
#[derive(Clone, Copy)]
struct Look {
    /// Shade in the middle of the oven.
    level: f64,
    /// Shades from the middle to a wall, along x and y.
    slope: (f64, f64),
    /// Shades from slice to slice.
    scatter: f64,
    /// Slices far from all others, and by how many shades.
    odd: Option<f64>,
}

/// Draws whole numbers from `from` to `to`.
fn whole(s: &mut Stream, from: usize, to: usize) -> usize {
    from + (s.uniform() * (to - from + 1) as f64) as usize
}

fn between(s: &mut Stream, from: f64, to: f64) -> f64 {
    from + (to - from) * s.uniform()
}

/// Draws the oven and tests number `seed`.
pub(crate) fn draw(seed: u64, by_eye: bool) -> Drawn {
    let mut s = Stream::new(64_000_000 + seed);
    let oven = oven(&mut s);
    let look = look(&mut s);
    let places = places(&oven, &mut s);
    let first = toast(&oven, "first", (&places, &look), by_eye, &mut s);
    let (places, look) = match whole(&mut s, 0, 2) {
        0 => (places, look),
        1 => (places, self::look(&mut s)),
        _ => (self::places(&oven, &mut s), look),
    };
    let second = toast(&oven, "second", (&places, &look), by_eye, &mut s);
    Drawn {
        oven,
        first,
        second,
    }
}

fn oven(s: &mut Stream) -> Oven {
    let templates = oven_templates();
    let mut oven = templates[whole(s, 0, templates.len() - 1)].oven.clone();
    oven.id = OvenId::new("small").expect("a sound id");
    oven.name = "small".into();
    oven.cavity.width = Centimetres(between(s, 30.0, 65.0));
    oven.cavity.depth = Centimetres(between(s, 28.0, 48.0));
    oven.cavity.height = Centimetres(45.0);
    oven.modes = vec![Mode::StillAir];
    let step = between(s, 5.0, 8.5);
    oven.racks = (1..=5)
        .map(|number| RackPosition {
            number,
            height: Centimetres(step * f64::from(number)),
        })
        .collect();
    oven.check().expect("a sound oven")
}

fn look(s: &mut Stream) -> Look {
    let plain = Look {
        level: between(s, 2.5, 5.5),
        slope: (between(s, -1.5, 1.5), between(s, -1.5, 1.5)),
        scatter: between(s, 0.1, 0.6),
        odd: None,
    };
    match whole(s, 0, 6) {
        // Pulled much too early: hardly told from bread.
        0 => Look {
            level: between(s, 0.0, 1.2),
            slope: (plain.slope.0 / 3.0, plain.slope.1 / 3.0),
            ..plain
        },
        // Pulled too late.
        1 => Look {
            level: between(s, 7.0, 9.0),
            ..plain
        },
        // All alike.
        2 => Look {
            slope: (0.0, 0.0),
            scatter: 0.0,
            ..plain
        },
        // One slice as no other.
        3 => Look {
            odd: Some(if s.uniform() < 0.5 { -6.0 } else { 6.0 }),
            ..plain
        },
        // From white to black in one oven.
        4 => Look {
            slope: (between(s, 3.0, 5.0), between(s, -4.0, 4.0)),
            ..plain
        },
        // Pale on one side only.
        5 => Look {
            level: between(s, 0.8, 2.0),
            ..plain
        },
        _ => plain,
    }
}

/// Draws rack positions and places: on a grid, or wherever slices were dropped, twice in one place too.
fn places(oven: &Oven, s: &mut Stream) -> Vec<(u8, Place)> {
    let racks = whole(s, 1, 4);
    let first = whole(s, 1, 6 - racks);
    // Few slices as often as many.
    let ratio = SLICES.1 as f64 / SLICES.0 as f64;
    let count = (SLICES.0 as f64 * ratio.powf(s.uniform())).round() as usize;
    let clear = between(s, 3.0, 7.0);
    let cols = whole(s, 2, 5);
    let on_grid = s.uniform() < 0.6;
    let rows = count.div_ceil(cols * racks).max(2);
    let along =
        |i: usize, n: usize, side: f64| clear + (side - 2.0 * clear) * i as f64 / (n - 1) as f64;
    (0..count)
        .map(|i| {
            let rack = (first + i % racks) as u8;
            let k = i / racks;
            let (x, y) = if on_grid {
                (
                    along(k % cols, cols, oven.cavity.width.0),
                    along(k / cols % rows, rows, oven.cavity.depth.0),
                )
            } else {
                (
                    between(s, 2.0, oven.cavity.width.0 - 2.0),
                    between(s, 2.0, oven.cavity.depth.0 - 2.0),
                )
            };
            let place = Place {
                x: Centimetres(x),
                y: Centimetres(y),
            };
            (rack, place)
        })
        .collect()
}

fn toast(
    oven: &Oven,
    id: &str,
    (places, look): (&[(u8, Place)], &Look),
    by_eye: bool,
    s: &mut Stream,
) -> ToastTest {
    let mut slices: Vec<Slice> = places
        .iter()
        .map(|&(rack, place)| {
            let u = place.x.0 / oven.cavity.width.0 * 2.0 - 1.0;
            let v = place.y.0 / oven.cavity.depth.0 * 2.0 - 1.0;
            let own = look.scatter * s.normal();
            let shade = look.level + look.slope.0 * u + look.slope.1 * v + own;
            Slice {
                rack,
                place,
                reading: read(shade, by_eye, s),
            }
        })
        .collect();
    if let Some(off) = look.odd {
        slices[whole(s, 0, places.len() - 1)].reading = read(look.level + off, by_eye, s);
    }
    if slices.len() > SLICES.0 && s.uniform() < 0.3 {
        let left_out = [Reading::Unscored, Reading::Skipped, Reading::Missing];
        slices[whole(s, 0, places.len() - 1)].reading = left_out[whole(s, 0, 2)];
    }
    let mut racks: Vec<u8> = slices.iter().map(|slice| slice.rack).collect();
    racks.sort_unstable();
    racks.dedup();
    let day = if id == "first" { 1 } else { 2 };
    ToastTest {
        id: TestId::new(id).expect("a sound id"),
        setup: Setup {
            oven: oven.id.clone(),
            mode: Mode::StillAir,
            // Two dial settings now and then: then this bread's own sensitivity is fitted.
            dial: Celsius(if day == 2 && s.uniform() < 0.3 {
                190.0
            } else {
                175.0
            }),
            racks,
        },
        when: date(2026, 3, day).at(10, 0, 0, 0),
        minutes: (s.uniform() < 0.7).then_some(Minutes(12.0)),
        toasting: None,
        bread: Bread {
            slice: SliceSize {
                width: Centimetres(between(s, 5.0, 11.0)),
                depth: Centimetres(between(s, 5.0, 11.0)),
            },
            untoasted_lightness: (s.uniform() < 0.3).then(|| between(s, 80.0, 88.0)),
            ..Bread::default()
        },
        cursor: slices.len(),
        slices,
        note: String::new(),
        photos: Vec::new(),
    }
}

/// Reads a slice of a true shade: to half a shade on the card, or its lightness, which can come out a little
/// above that of an untoasted slice.
fn read(shade: f64, by_eye: bool, s: &mut Stream) -> Reading {
    if by_eye {
        let on_card = (shade * 2.0).round().clamp(0.0, 18.0) / 2.0;
        return Reading::ByEye(Shade::from_value(on_card).expect("on the card"));
    }
    let lightness = Browning(shade * browning_per_shade()).lightness(UNTOASTED_LIGHTNESS);
    Reading::Measured {
        lightness: (lightness + 0.8 * s.normal()).clamp(3.0, 95.0),
        sd: between(s, 0.0, 1.0),
    }
}
