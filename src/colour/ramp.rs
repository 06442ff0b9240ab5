//! Colour ramps for maps, computed so that equal steps look equal.
//!
//! Each ramp is a path through a colour space, walked at equal CIEDE2000 steps. The browning ramp
//! follows the way crumb takes from untoasted to burnt, so a map looks like the bread that made it.
//! The hot-cool ramp has a pale middle and two arms, towards orange-brown and towards blue, along
//! the axis that all three kinds of two-colour vision keep; both arms darken all the way, so that
//! distance from the middle survives a grey print.

use super::{
    difference::ciede2000,
    lab::{Lab, Rgb, lab_to_srgb},
};
use crate::numeric::{polyline::read_polyline, whole};
use std::sync::LazyLock;

/// Entries of a ramp's table.
const ENTRIES: usize = 256;
/// Points each leg of a path is divided into before it is walked at equal steps.
const FINE: usize = 512;

/// The way of crumb from burnt to untoasted: L*, a*, b*.
///
/// The four inner and upper points are the project's toast path; the darkest extends it to the
/// lightness of shade 9.
const TOAST_PATH: [Lab; 5] = [
    Lab::new(25.0, 7.0, 8.5),
    Lab::new(30.0, 9.0, 12.0),
    Lab::new(48.0, 14.0, 28.0),
    Lab::new(68.0, 8.0, 32.0),
    Lab::new(84.0, 0.0, 15.0),
];

/// Middle of the hot-cool ramp: nearly paper white, a trace warm.
const MIDDLE: Lab = Lab::new(94.0, 0.5, 3.0);
/// The hot arm from the middle outwards.
const HOT_ARM: [Lab; 4] = [
    MIDDLE,
    Lab::new(78.0, 20.0, 38.0),
    Lab::new(58.0, 42.0, 50.0),
    Lab::new(34.0, 44.0, 38.0),
];
/// The cool arm from the middle outwards.
const COOL_ARM: [Lab; 4] = [
    MIDDLE,
    Lab::new(78.0, -8.0, -20.0),
    Lab::new(58.0, -6.0, -40.0),
    Lab::new(34.0, 8.0, -50.0),
];

static BROWNING: LazyLock<Ramp> = LazyLock::new(|| {
    let down: Vec<Lab> = TOAST_PATH.into_iter().rev().collect();
    Ramp {
        table: walk(&down, ENTRIES),
    }
});

static HOT_COOL: LazyLock<Ramp> = LazyLock::new(|| {
    let half = ENTRIES / 2;
    let mut table = walk(&COOL_ARM, half);
    table.reverse();
    table.extend(walk(&HOT_ARM, half));
    Ramp { table }
});

/// A colour ramp over 0..1 whose equal steps look equal.
#[derive(Debug, Clone, PartialEq)]
pub struct Ramp {
    table: Vec<Rgb>,
}

impl Ramp {
    /// Returns the browning ramp: untoasted at 0, burnt black at 1.
    pub fn browning() -> &'static Self {
        &BROWNING
    }

    /// Returns the hot-cool ramp: coolest at 0, the mean at 1/2, hottest at 1.
    pub fn hot_cool() -> &'static Self {
        &HOT_COOL
    }

    /// Returns the colour at `t`, held beyond 0..1; NaN gives the colour at 0.
    pub fn at(&self, t: f64) -> Rgb {
        self.table[self.index(t)]
    }

    /// Returns the place of `t` in [`Ramp::table`], 0..=255.
    pub fn index(&self, t: f64) -> usize {
        whole::floor((t.clamp(0.0, 1.0) * (ENTRIES - 1) as f64).round())
    }

    /// Returns the whole table of 256 colours, for callers that prepare their own form of it.
    pub fn table(&self) -> &[Rgb] {
        &self.table
    }
}

/// Returns the colour of crumb of lightness `lightness` (L*) on the toast path.
///
/// Lighter than untoasted and darker than burnt keep the hue of that end.
pub fn toast_colour(lightness: f64) -> Lab {
    let coordinate = |of: fn(&Lab) -> f64| {
        let points = TOAST_PATH.map(|p| (p.l, of(&p)));
        read_polyline(&points, lightness)
    };
    Lab::new(lightness, coordinate(|p| p.a), coordinate(|p| p.b))
}

/// Walks along `path` in `count` points at equal CIEDE2000 steps.
fn walk(path: &[Lab], count: usize) -> Vec<Rgb> {
    let mut walked = Vec::with_capacity(path.len() * FINE);
    let mut length = 0.0;
    for (leg, ends) in path.windows(2).enumerate() {
        let mut last = ends[0];
        for i in 0..=FINE {
            let t = i as f64 / FINE as f64;
            let here = ends[0].towards(ends[1], t);
            length += ciede2000(last, here);
            walked.push((length, leg as f64 + t));
            last = here;
        }
    }
    let along = |of: fn(&Lab) -> f64| -> Vec<(f64, f64)> {
        path.iter()
            .enumerate()
            .map(|(i, p)| (i as f64, of(p)))
            .collect()
    };
    let (l, a, b) = (along(|p| p.l), along(|p| p.a), along(|p| p.b));
    (0..count)
        .map(|i| {
            let share = i as f64 / (count - 1) as f64;
            let t = read_polyline(&walked, share * length);
            lab_to_srgb(Lab::new(
                read_polyline(&l, t),
                read_polyline(&a, t),
                read_polyline(&b, t),
            ))
        })
        .collect()
}
