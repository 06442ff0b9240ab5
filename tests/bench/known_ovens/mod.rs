//! Ovens whose truth is known, from two generators that share no code, and toast tests made in them.
//!
//! Half of the kinds of each generator are sealed: a study runs them only when asked to (`-- sealed`), and
//! nothing about the engine is chosen with their results at hand.

pub(crate) mod stack;

use crate::{ovens_second, synthetic};
use rackshade::{
    field::{Bound, Domain, Observation, Rack},
    model::shade::UNTOASTED_LIGHTNESS,
    numeric::random::Stream,
};

/// Kinds of the generator that draws patterns by formula, and whether each is sealed.
const FORMULAS: [(&str, bool); 6] = [
    ("hot ring", false),
    ("front-back", false),
    ("flat", false),
    ("corner", true),
    ("ring", true),
    ("swirl", true),
];
/// Slices across the door and front to back that a test may have.
const COUNTS: [(usize, usize); 6] = [(4, 3), (4, 3), (4, 4), (5, 4), (5, 5), (6, 5)];
/// Least side of a slice, cm.
const LEAST_SIDE: f64 = 6.5;
/// Points along each side of a slice behind its area mean.
const ACROSS: usize = 8;

/// Which kinds a study runs.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Choice {
    /// Those that may be looked at while the engine is built.
    Open,
    /// Those that may not.
    Sealed,
    /// All of them.
    All,
}

impl Choice {
    /// Reads the arguments of a study: `open` (as without any), `sealed` or `all`.
    pub(crate) fn of_arguments() -> Self {
        let has = |word: &str| std::env::args().any(|a| a == word);
        if has("all") {
            Self::All
        } else if has("sealed") {
            Self::Sealed
        } else {
            Self::Open
        }
    }

    fn takes(self, sealed: bool) -> bool {
        match self {
            Self::Open => !sealed,
            Self::Sealed => sealed,
            Self::All => true,
        }
    }
}

/// A kind of oven.
#[derive(Clone, Copy)]
pub(crate) struct Kind {
    /// Its name in tables.
    pub(crate) name: &'static str,
    /// Whether it has no differences worth a word.
    pub(crate) flat: bool,
    number: u64,
    source: Source,
}

#[derive(Clone, Copy)]
enum Source {
    Formula(&'static str),
    Heaters(ovens_second::Kind),
}

/// An oven with a known truth.
pub(crate) struct Oven {
    /// Left wall to right wall, cm.
    pub(crate) width: f64,
    /// Door to back wall, cm.
    pub(crate) depth: f64,
    truth: Truth,
}

enum Truth {
    Formula(synthetic::Oven),
    Heaters(ovens_second::Oven),
}

/// Where one slice lies: its middle from the left wall and from the door, and its sides, cm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Slice {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) width: f64,
    pub(crate) depth: f64,
}

/// A toast test of one rack.
pub(crate) struct Test {
    /// Slices across the door and front to back.
    pub(crate) counts: (usize, usize),
    /// Row by row from the door.
    pub(crate) slices: Vec<Slice>,
    /// Lightness L* of each slice as measured.
    pub(crate) lightness: Vec<f64>,
}

/// Returns the kinds of both generators that `choice` takes.
pub(crate) fn kinds(choice: Choice) -> Vec<Kind> {
    let formulas = FORMULAS.map(|(name, sealed)| (name, sealed, Source::Formula(name)));
    let heaters =
        ovens_second::Kind::ALL.map(|kind| (kind.name(), kind.sealed(), Source::Heaters(kind)));
    (0..)
        .zip(formulas.into_iter().chain(heaters))
        .filter(|(_, (_, sealed, _))| choice.takes(*sealed))
        .map(|(number, (name, _, source))| Kind {
            name,
            flat: name.starts_with("flat"),
            number,
            source,
        })
        .collect()
}

impl Kind {
    /// Begins the stream of the oven `repeat` of this kind: the same one whichever kinds are run.
    pub(crate) fn stream(&self, repeat: usize) -> Stream {
        Stream::new(52_000_000 + 100_000 * self.number + repeat as u64)
    }

    /// Draws an oven of a size that kitchens have.
    pub(crate) fn draw(&self, s: &mut Stream) -> Oven {
        let size = (40.0 + 18.0 * s.uniform(), 32.0 + 12.0 * s.uniform());
        self.draw_sized(size, s)
    }

    /// Draws an oven of a given size.
    pub(crate) fn draw_sized(&self, (width, depth): (f64, f64), s: &mut Stream) -> Oven {
        let truth = match self.source {
            Source::Formula(name) => Truth::Formula(synthetic::Oven::new(name, s)),
            Source::Heaters(kind) => {
                let seed = (s.uniform() * 1e15) as u64;
                Truth::Heaters(ovens_second::Oven::draw(kind, (width, depth), seed))
            }
        };
        Oven {
            width,
            depth,
            truth,
        }
    }
}

impl Oven {
    /// Returns the true lightness L* of toast at a point of the rack, cm.
    pub(crate) fn lightness(&self, x: f64, y: f64) -> f64 {
        match &self.truth {
            Truth::Formula(oven) => oven.lightness(x / self.width, y / self.depth),
            Truth::Heaters(oven) => oven.lightness(x, y),
        }
    }

    /// Returns the true browning B at a point of the rack, cm.
    pub(crate) fn browning(&self, x: f64, y: f64) -> f64 {
        (UNTOASTED_LIGHTNESS / self.lightness(x, y)).ln()
    }

    /// Returns the cavity with one rack position.
    pub(crate) fn domain(&self) -> Domain {
        Domain {
            width: self.width,
            depth: self.depth,
            racks: vec![Rack {
                number: 1,
                height: 10.0,
            }],
        }
    }

    /// Lays a test's slices, as many as may be drawn and fit, 1 to 5 cm clear of the walls.
    pub(crate) fn lay(&self, s: &mut Stream) -> ((usize, usize), Vec<Slice>) {
        loop {
            let pick = COUNTS.len() as f64 * s.uniform();
            let counts = COUNTS[(pick as usize).min(COUNTS.len() - 1)];
            let clear = 1.0 + 4.0 * s.uniform();
            let slices = self.lay_counted(counts, clear, s);
            if slices.iter().all(|o| o.width.min(o.depth) >= LEAST_SIDE) {
                return (counts, slices);
            }
        }
    }

    /// Lays `counts` slices evenly, `clear` cm from the walls, 10 cm square or as large as fits with 4 mm
    /// between them; each lies up to 4 mm off its place.
    pub(crate) fn lay_counted(
        &self,
        (cols, rows): (usize, usize),
        clear: f64,
        s: &mut Stream,
    ) -> Vec<Slice> {
        let side = |whole: f64, n: usize| ((whole - 2.0 * clear) / n as f64 - 0.4).min(10.0);
        let (width, depth) = (side(self.width, cols), side(self.depth, rows));
        let mut place = |i: usize, n: usize, whole: f64, side: f64| {
            let first = clear + side / 2.0;
            let step = (whole - 2.0 * first) / (n - 1) as f64;
            first + step * i as f64 + 0.4 * (s.uniform() - 0.5)
        };
        let mut slices = Vec::new();
        for j in 0..rows {
            for i in 0..cols {
                slices.push(Slice {
                    x: place(i, cols, self.width, width),
                    y: place(j, rows, self.depth, depth),
                    width,
                    depth,
                });
            }
        }
        slices
    }

    /// Returns the true lightness L* of a slice: the mean over its area.
    pub(crate) fn area_mean(&self, slice: &Slice) -> f64 {
        let off = |k: usize| (k as f64 + 0.5) / ACROSS as f64 - 0.5;
        let sum: f64 = (0..ACROSS * ACROSS)
            .map(|k| {
                self.lightness(
                    slice.x + off(k % ACROSS) * slice.width,
                    slice.y + off(k / ACROSS) * slice.depth,
                )
            })
            .sum();
        sum / (ACROSS * ACROSS) as f64
    }

    /// Toasts slices: the mean lightness of each one's area plus scatter of standard deviation `scatter`, L*.
    pub(crate) fn toast(&self, slices: &[Slice], scatter: f64, s: &mut Stream) -> Vec<f64> {
        slices
            .iter()
            .map(|slice| self.area_mean(slice) + scatter * s.normal())
            .collect()
    }

    /// Lays and toasts one test.
    pub(crate) fn test(&self, scatter: f64, s: &mut Stream) -> Test {
        let (counts, slices) = self.lay(s);
        let lightness = self.toast(&slices, scatter, s);
        Test {
            counts,
            slices,
            lightness,
        }
    }
}

impl Test {
    /// Returns what the field engine is given.
    pub(crate) fn observations(&self, rack: u8) -> Vec<Observation> {
        self.slices
            .iter()
            .zip(&self.lightness)
            .map(|(slice, lightness)| Observation {
                rack,
                x: slice.x,
                y: slice.y,
                width: slice.width,
                depth: slice.depth,
                browning: (UNTOASTED_LIGHTNESS / lightness).ln(),
                sd: 0.0,
                bound: Bound::Exact,
                batch: 0,
                lean: None,
            })
            .collect()
    }

    /// Returns the slices' middles with their lightness.
    pub(crate) fn points(&self) -> Vec<((f64, f64), f64)> {
        self.slices
            .iter()
            .zip(&self.lightness)
            .map(|(slice, &lightness)| ((slice.x, slice.y), lightness))
            .collect()
    }
}
