//! One oven of known truth, tested once, then once more in each of several ways.

use crate::known_ovens::{Kind, Oven, Slice, Test};
use rackshade::{
    field::{self, Fit, Observation, Priors},
    model::shade::browning_per_shade,
    numeric::{normal::Z90, quantile::quantile, random::Stream},
    workflow::next::{Way, next_test, outlook},
};

/// Scatter of slices, L*, drawn evenly between these.
const SCATTER: (f64, f64) = (0.6, 2.5);
/// Cells of a judged map, along x and y.
const CELLS: (usize, usize) = (24, 18);
/// The rack position tested.
const RACK: u8 = 1;

/// Ways to lay the next test, as tables name them.
pub(crate) const NAMES: [&str; 5] = [
    "the same places",
    "half a step aside",
    "more, smaller slices",
    "most telling places",
    "as advised",
];
/// The plain repeat among them.
pub(crate) const REPEAT: usize = 0;

/// Where to lay the slices of the next test.
pub(crate) struct Advice {
    slices: Vec<Slice>,
    /// Typical half width of the 90 % interval of (map - rack mean) to expect after it, B; `None` where the
    /// program does not say.
    foretold: Option<f64>,
}

/// Advises where to lay the next test on a rack position, of about as many slices.
type Advise<'t> = Box<dyn Fn(&Fit, u8, usize) -> Advice + 't>;

/// The ways of [`NAMES`]. A new one is a line there and one here.
fn ways<'t>(oven: &'t Oven, first: &'t Test) -> [Advise<'t>; NAMES.len()] {
    [
        Box::new(|fit, rack, _| advised(fit, rack, Some(Way::Again))),
        Box::new(|_, _, _| Advice {
            slices: aside(first),
            foretold: None,
        }),
        Box::new(|_, _, _| Advice {
            slices: more(oven, first),
            foretold: None,
        }),
        Box::new(|fit, rack, _| advised(fit, rack, Some(Way::Chosen))),
        Box::new(|fit, rack, _| advised(fit, rack, None)),
    ]
}

/// The one place that asks the program for a next test: laid out in one way, or in the one that it advises.
fn advised(fit: &Fit, rack: u8, way: Option<Way>) -> Advice {
    let outlook = next_test(fit, false, &[rack], None).expect("a tested rack position");
    let next = match way {
        Some(way) => outlook.ways.into_iter().find(|w| w.way == way),
        None => outlook.ways.into_iter().next(),
    }
    .expect("every way is there");
    let side = fit.lain(rack)[0];
    let slices = next.slices.iter().map(|s| Slice {
        x: s.place.x.0,
        y: s.place.y.0,
        width: side.width,
        depth: side.depth,
    });
    Advice {
        slices: slices.collect(),
        foretold: Some(next.then * browning_per_shade()),
    }
}

/// The one place that fits toast tests.
fn fit_of(tests: &[Observation], oven: &Oven) -> Fit {
    field::fit(tests, &oven.domain(), &Priors::measured()).expect("sound tests fit")
}

/// Lays one column less, each between two of the first test.
fn aside(first: &Test) -> Vec<Slice> {
    let (cols, _) = first.counts;
    first
        .slices
        .chunks(cols)
        .flat_map(|row| row.windows(2))
        .map(|pair| Slice {
            x: f64::midpoint(pair[0].x, pair[1].x),
            ..pair[0]
        })
        .collect()
}

/// Lays a column and a row more, the slices cut so that they fit.
fn more(oven: &Oven, first: &Test) -> Vec<Slice> {
    let (cols, rows) = first.counts;
    // Where exactly a hand puts them: the same draws for every way.
    oven.lay_counted((cols + 1, rows + 1), 2.0, &mut Stream::new(1))
}

/// One oven.
#[derive(Clone)]
pub(crate) struct Trial {
    /// After the first test.
    pub(crate) first: Outcome,
    /// The first test's half width as told for advice, over that of its map.
    pub(crate) told_now: Option<f64>,
    /// After one more, by way.
    pub(crate) next: Vec<Outcome>,
}

/// What a map came to.
#[derive(Clone)]
pub(crate) struct Outcome {
    /// Slices of the last test.
    pub(crate) slices: usize,
    /// Half width foretold, shades.
    expected: Option<f64>,
    /// Median half width of the 90 % interval of (map - rack mean), shades.
    pub(crate) half_width: f64,
    /// Mean square error of (map - rack mean), shades squared.
    pub(crate) squares: f64,
    /// Share of cells whose truth lies in that interval.
    pub(crate) covered: f64,
}

impl Outcome {
    /// Half width foretold, over the one that came true.
    pub(crate) fn foretold(&self) -> Option<f64> {
        self.expected.map(|e| e / self.half_width)
    }

    fn of(fit: &Fit, oven: &Oven, slices: usize) -> Self {
        let map = fit.map(CELLS.0, CELLS.1);
        let rack = &map.racks[0];
        let grid = rack.grid;
        let truth: Vec<f64> = (0..grid.len())
            .map(|i| oven.browning(grid.x(i % grid.cols), grid.y(i / grid.cols)))
            .collect();
        let n = truth.len() as f64;
        let mean = truth.iter().sum::<f64>() / n;
        let shade = browning_per_shade();
        let (mut squares, mut covered) = (0.0, 0.0);
        for ((told, sd), truth) in rack.contrast.iter().zip(&rack.contrast_sd).zip(&truth) {
            let off = (told - (truth - mean)).abs();
            squares += (off / shade).powi(2) / n;
            covered += f64::from(u8::from(off <= Z90 * sd)) / n;
        }
        Self {
            slices,
            expected: None,
            half_width: Z90 * quantile(&rack.contrast_sd, 0.5) / shade,
            squares,
            covered,
        }
    }
}

/// Draws the oven `repeat` of a kind, tests it, and tests it again in every way.
pub(crate) fn run(kind: &Kind, repeat: usize) -> Trial {
    let mut s = kind.stream(90_000 + repeat);
    let oven = kind.draw(&mut s);
    let scatter = SCATTER.0 + (SCATTER.1 - SCATTER.0) * s.uniform();
    let test = oven.test(scatter, &mut s);
    let observations = test.observations(RACK);
    let fit = fit_of(&observations, &oven);
    let first = Outcome::of(&fit, &oven, test.slices.len());
    let shade = browning_per_shade();
    let told_now = outlook(&fit, false, RACK).map(|o| o.now / first.half_width);
    let next = ways(&oven, &test)
        .iter()
        .map(|advise| {
            let advice = advise(&fit, RACK, test.slices.len());
            let mut s = kind.stream(95_000 + repeat);
            let again = Test {
                counts: test.counts,
                lightness: oven.toast(&advice.slices, scatter, &mut s),
                slices: advice.slices,
            };
            let mut both = observations.clone();
            both.extend(
                again
                    .observations(RACK)
                    .into_iter()
                    .map(|o| Observation { batch: 1, ..o }),
            );
            Outcome {
                expected: advice.foretold.map(|f| f / shade),
                ..Outcome::of(&fit_of(&both, &oven), &oven, again.slices.len())
            }
        })
        .collect();
    Trial {
        first,
        told_now,
        next,
    }
}
