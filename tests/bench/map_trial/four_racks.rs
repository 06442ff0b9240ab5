//! Four rack positions at once, which share half of their pattern: error and cover only.

use crate::known_ovens::{Kind, stack::Stack};
use rackshade::{
    field::{self, Priors},
    model::shade::UNTOASTED_LIGHTNESS,
    numeric::normal::Z90,
};
use std::fmt;

/// The cavity, cm.
const SIZE: (f64, f64) = (60.0, 45.0);
/// Slices across the door and front to back.
const COUNTS: (usize, usize) = (5, 4);
/// Scatter of slices, L*.
const SCATTER: f64 = 1.6;

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
    let stack = Stack::draw(kind, 4, SIZE, &mut s);
    let test = stack.test(&[0, 1, 2, 3], COUNTS, SCATTER, &mut s);
    let fit = field::fit(&test, &stack.domain(), &Priors::measured()).expect("a sound test fits");
    for (r, rack) in fit.map(24, 18).racks.iter().enumerate() {
        let grid = rack.grid;
        for i in 0..grid.len() {
            let (x, y) = (grid.x(i % grid.cols), grid.y(i / grid.cols));
            let truth = stack.lightness(r, x, y);
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
