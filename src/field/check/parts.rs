//! Which parts of a rack position may change, and what a slice sees of each.

use crate::{field::Spot, numeric::normal::cdf};
use nalgebra::{DMatrix, DVector};
use std::f64::consts::TAU;

/// Reaches of a change, shares of the cavity's sides.
const REACHES: [f64; 2] = [0.25, 0.45];
/// How much more often a change begins in a corner than at a side or in the middle, where seals and heating elements
/// end (a choice, no source).
const CORNER: f64 = 6.0;

/// A part of a rack position that may have changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Its rack position; `None` for the same part of all of them together.
    pub rack: Option<u8>,
    /// Where it is centred, cm from the left wall.
    pub x: f64,
    /// The same, cm from the door.
    pub y: f64,
}

impl Part {
    /// Returns the part across from it on the same rack position in a `cavity`: itself for the middle.
    #[must_use]
    pub fn across(self, (width, depth): (f64, f64)) -> Self {
        Self {
            x: width - self.x,
            y: depth - self.y,
            ..self
        }
    }
}

/// A part and how often a change begins there, beside others.
#[derive(Debug, Clone, Copy)]
pub(super) struct Likely {
    pub(super) part: Part,
    pub(super) odds: f64,
}

/// Returns the parts that may have changed, and what a slice on each spot sees of each part at each reach.
pub(super) fn parts_of(
    racks: &[u8],
    spots: &[Spot],
    (width, depth): (f64, f64),
) -> (Vec<Likely>, DMatrix<f64>) {
    let mut whose: Vec<Option<u8>> = racks.iter().copied().map(Some).collect();
    if racks.len() > 1 {
        whose.push(None);
    }
    let thirds = (0..9).map(|k| (k % 3, k / 3));
    let (mut parts, mut columns) = (Vec::new(), Vec::new());
    for rack in whose {
        for (i, j) in thirds.clone() {
            let part = Part {
                rack,
                x: f64::from(i) / 2.0 * width,
                y: f64::from(j) / 2.0 * depth,
            };
            let on_it = |s: &Spot| rack.is_none_or(|r| r == s.rack);
            // A whole side is one part: it reaches from one end to the other.
            let (whole_x, whole_y) = (i == 1 && j != 1, j == 1 && i != 1);
            let odds = if i != 1 && j != 1 { CORNER } else { 1.0 };
            for reach in REACHES {
                let seen = |s: &Spot| {
                    let across = falls_off(s.x - part.x, s.width, reach * width);
                    let deep = falls_off(s.y - part.y, s.depth, reach * depth);
                    let along = |whole: bool, share: f64| if whole { 1.0 } else { share };
                    along(whole_x, across) * along(whole_y, deep) * f64::from(u8::from(on_it(s)))
                };
                parts.push(Likely { part, odds });
                columns.push(DVector::from_iterator(spots.len(), spots.iter().map(seen)));
            }
        }
    }
    let shares = DMatrix::from_columns(&columns);
    (parts, shares)
}

/// Returns the mean of exp(-x^2 / 2 reach^2) over a slice of that `length` whose middle is `off` away.
fn falls_off(off: f64, length: f64, reach: f64) -> f64 {
    let (from, to) = ((off - length / 2.0) / reach, (off + length / 2.0) / reach);
    if to - from < 1e-9 {
        return (-0.5 * from * from).exp();
    }
    TAU.sqrt() * (cdf(to) - cdf(from)) / (to - from)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mean_of_a_normal_curve_over_a_slice_agrees_with_quadrature() {
        for (off, length, reach) in [(0.0, 10.0, 12.0), (9.0, 8.0, 12.0), (30.0, 10.0, 15.0_f64)] {
            let n = 2000;
            let sum: f64 = (0..n)
                .map(|i| {
                    let x: f64 = off - length / 2.0 + length * (f64::from(i) + 0.5) / f64::from(n);
                    (-0.5 * (x / reach).powi(2)).exp()
                })
                .sum();
            let wanted = sum / f64::from(n);
            assert!((falls_off(off, length, reach) - wanted).abs() < 1e-6);
        }
    }
}
