//! Invented ovens with a known truth, and toast made in them: shared by the studies and their tests.

use rackshade::{
    field::{Bound, Observation},
    numeric::random::Stream,
};

mod oven;

pub(crate) use oven::Oven;

pub(crate) const UNTOASTED: f64 = 84.0;
pub(crate) const SHADE: f64 = 0.134_66;

pub(crate) const KINDS: [&str; 5] = ["corner", "front-back", "ring", "swirl", "flat"];

impl Oven {
    /// Mean lightness over a slice's area.
    pub(crate) fn slice(&self, at: (f64, f64), size: f64, cavity: (f64, f64)) -> f64 {
        let steps = [-0.4, -0.2, 0.0, 0.2, 0.4];
        let mut sum = 0.0;
        for dx in steps {
            for dy in steps {
                sum += self.lightness((at.0 + dx * size) / cavity.0, (at.1 + dy * size) / cavity.1);
            }
        }
        sum / 25.0
    }
}

#[derive(Clone, Copy)]
pub(crate) struct Layout {
    pub(crate) cols: usize,
    pub(crate) rows: usize,
    pub(crate) cavity: (f64, f64),
}

pub(crate) const LAYOUTS: [Layout; 2] = [
    Layout {
        cols: 4,
        rows: 3,
        cavity: (46.0, 36.0),
    },
    Layout {
        cols: 5,
        rows: 4,
        cavity: (60.0, 45.0),
    },
];

/// Lays slices 5 cm clear of the walls, each up to half a centimetre off its place, and reads them.
pub(crate) fn toast(
    oven: &Oven,
    layout: &Layout,
    noise: f64,
    s: &mut Stream,
) -> Vec<((f64, f64), f64)> {
    let (w, d) = layout.cavity;
    let edge = 5.0 + 5.0;
    let place =
        |i: usize, n: usize, side: f64| edge + (side - 2.0 * edge) * i as f64 / (n - 1) as f64;
    let mut seen = Vec::new();
    for r in 0..layout.rows {
        for c in 0..layout.cols {
            let at = (
                place(c, layout.cols, w) + s.uniform() - 0.5,
                place(r, layout.rows, d) + s.uniform() - 0.5,
            );
            seen.push((at, oven.slice(at, 10.0, layout.cavity) + noise * s.normal()));
        }
    }
    seen
}

pub(crate) fn observation(x: f64, y: f64, lightness: f64) -> Observation {
    Observation {
        rack: 1,
        x,
        y,
        width: 10.0,
        depth: 10.0,
        browning: (UNTOASTED / lightness).ln(),
        sd: 0.0,
        bound: Bound::Exact,
        batch: 0,
        lean: None,
    }
}
