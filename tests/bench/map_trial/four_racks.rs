//! Four rack positions at once, which share half of their pattern: error and cover only.

use crate::known_ovens::{Kind, Oven, Test};
use rackshade::{
    field::{self, Domain, Observation, Priors, Rack},
    model::shade::UNTOASTED_LIGHTNESS,
    numeric::{normal::Z90, random::Stream},
};
use std::fmt;

/// The cavity, cm.
const SIZE: (f64, f64) = (60.0, 45.0);
/// Slices across the door and front to back.
const COUNTS: (usize, usize) = (5, 4);
/// Scatter of slices, L*.
const SCATTER: f64 = 1.6;
/// Share of each of the two patterns: their variances add up to that of one.
const SHARE: f64 = 0.7;

/// What came of it.
#[derive(Default)]
pub(crate) struct Sums {
    ovens: usize,
    cells: f64,
    squares: f64,
    covered: f64,
    width: f64,
}

impl fmt::Display for Sums {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} ovens, RMSE {:.2}, cover {:.2}, width {:.2} L*",
            self.ovens,
            (self.squares / self.cells).sqrt(),
            self.covered / self.cells,
            self.width / self.cells
        )
    }
}

/// An oven of four racks: one pattern in all of them and one in each.
struct Stack {
    shared: Oven,
    own: Vec<Oven>,
}

impl Stack {
    /// Puts the patterns of one rack together: `of` reads an oven's lightness at a place, or over one.
    fn rack(&self, rack: usize, of: impl Fn(&Oven) -> f64) -> f64 {
        let own = &self.own[rack];
        let middle = |o: &Oven| o.lightness(SIZE.0 / 2.0, SIZE.1 / 2.0);
        middle(own) + SHARE * (of(&self.shared) - middle(&self.shared) + of(own) - middle(own))
    }

    fn test(&self, s: &mut Stream) -> Vec<Observation> {
        let mut observations = Vec::new();
        for (rack, number) in (0..4).zip(1..) {
            let slices = self.shared.lay_counted(COUNTS, 4.0, s);
            let lightness = slices
                .iter()
                .map(|slice| self.rack(rack, |o| o.area_mean(slice)) + SCATTER * s.normal())
                .collect();
            let test = Test {
                counts: COUNTS,
                slices,
                lightness,
            };
            observations.extend(test.observations(number));
        }
        observations
    }
}

/// Tests and maps `each` stacks of every kind.
pub(crate) fn run(kinds: &[Kind], each: usize) -> Sums {
    let mut sums = Sums::default();
    for kind in kinds {
        for repeat in 0..each {
            one(kind, repeat, &mut sums);
        }
    }
    sums
}

fn one(kind: &Kind, repeat: usize, sums: &mut Sums) {
    let mut s = kind.stream(50_000 + repeat);
    let stack = Stack {
        shared: kind.draw_sized(SIZE, &mut s),
        own: (0..4).map(|_| kind.draw_sized(SIZE, &mut s)).collect(),
    };
    let domain = Domain {
        width: SIZE.0,
        depth: SIZE.1,
        racks: (1..=4)
            .map(|number| Rack {
                number,
                height: 8.0 * f64::from(number),
            })
            .collect(),
    };
    let fit =
        field::fit(&stack.test(&mut s), &domain, &Priors::measured()).expect("a sound test fits");
    for (r, rack) in fit.map(24, 18).racks.iter().enumerate() {
        let grid = rack.grid;
        for i in 0..grid.len() {
            let (x, y) = (grid.x(i % grid.cols), grid.y(i / grid.cols));
            let truth = stack.rack(r, |o| o.lightness(x, y));
            let l = |b: f64| UNTOASTED_LIGHTNESS * (-b).exp();
            let (m, half) = (rack.mean[i], Z90 * rack.sd[i]);
            sums.squares += (l(m) - truth).powi(2);
            sums.covered += f64::from(u8::from((l(m + half)..=l(m - half)).contains(&truth)));
            sums.width += l(m - half) - l(m + half);
            sums.cells += 1.0;
        }
    }
    sums.ovens += 1;
}
