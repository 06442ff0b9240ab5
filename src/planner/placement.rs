//! Where trays go without a search: rack positions to avoid, the trade's defaults, places to leave empty.

use super::space::VERTICAL_ROOM;
use crate::{
    field::Range,
    model::{HeatSource, Mode, Oven, PlaceName, RackPosition, Tray},
};

/// A piece this far (shades) from the mean of all is worth leaving out: a whole step of the card, which the eye
/// tells (common practice, no source).
const WORTH_LEAVING_EMPTY: f64 = 1.0;

/// A place on a tray that surely comes out too dark or too light.
#[derive(Debug, Clone, PartialEq)]
pub struct Misfit {
    /// Tray number, from 1.
    pub tray: usize,
    /// Row on the tray as it goes in, from 1 at the back.
    pub row: usize,
    /// Column on the tray as it goes in, from 1 at the left.
    pub col: usize,
    /// Where on the tray that is, in a baker's words.
    pub place: PlaceName,
    /// How much darker (+) or lighter (-) than the mean of all pieces, shades, with 90 % interval.
    pub shades: Range,
}

/// Lists the pieces whose whole interval lies more than a shade from the mean of all, worst first.
///
/// `pieces` are all pieces, tray by tray in lattice order (row by row from the back).
pub fn misfits(tray: &Tray, pieces: &[Range]) -> Vec<Misfit> {
    let each = tray.across * tray.deep;
    let (width, depth) = (tray.across as f64, tray.deep as f64);
    let mut list: Vec<Misfit> = pieces
        .iter()
        .enumerate()
        .filter(|(_, r)| r.lo > WORTH_LEAVING_EMPTY || r.hi < -WORTH_LEAVING_EMPTY)
        .map(|(i, r)| {
            let (row, col) = (i % each / tray.across, i % each % tray.across);
            Misfit {
                tray: i / each + 1,
                row: row + 1,
                col: col + 1,
                place: PlaceName::of(col as f64 + 0.5, depth - row as f64 - 0.5, width, depth),
                shades: *r,
            }
        })
        .collect();
    list.sort_by(|a, b| b.shades.value.abs().total_cmp(&a.shades.value.abs()));
    list
}

/// Tells whether food with a sugared base should keep off the lowest rack position: heat comes from below
/// (common practice, no source).
pub fn burns_from_below(oven: &Oven, mode: Mode) -> bool {
    let below = oven
        .heat
        .iter()
        .any(|h| matches!(h, HeatSource::BottomElement | HeatSource::GasBurner));
    match mode {
        Mode::BottomOnly => true,
        Mode::StillAir | Mode::Fan => below,
        Mode::TopOnly | Mode::Proofing => false,
    }
}

/// Half the height of a tray and its food, so that the food and not the guide is centred (common practice, no source).
const HALF_OF_THE_FOOD: f64 = 3.0;

/// Returns the rack positions the trade would use where nothing was tested (common practice, no source).
///
/// One tray: where the food stands in the middle of the height, so on the guide nearest a little below it. Two:
/// nearest a third and two thirds of the height. Three, which is avoided: spaced evenly. Fewer than asked when
/// the oven has too few guides at least 6 cm apart. `height` is the cavity's, cm.
pub fn trade_racks(racks: &[RackPosition], height: f64, trays: usize) -> Vec<u8> {
    let wanted: Vec<f64> = match trays {
        1 => vec![height / 2.0 - HALF_OF_THE_FOOD],
        2 => vec![height / 3.0, height * 2.0 / 3.0],
        _ => vec![height / 6.0, height / 2.0, height * 5.0 / 6.0],
    };
    let mut best: Option<(f64, Vec<u8>)> = None;
    for set in super::space::subsets(racks.len(), trays) {
        let set: Vec<RackPosition> = set.into_iter().map(|i| racks[i]).collect();
        if !apart(&set) {
            continue;
        }
        let miss: f64 = set
            .iter()
            .zip(&wanted)
            .map(|(r, wanted)| (r.height.0 - wanted).powi(2))
            .sum();
        if best.as_ref().is_none_or(|(m, _)| miss < *m) {
            best = Some((miss, set.iter().map(|r| r.number).collect()));
        }
    }
    match best {
        Some((_, racks)) => racks,
        None if trays > 1 => trade_racks(racks, height, trays - 1),
        None => Vec::new(),
    }
}

fn apart(set: &[RackPosition]) -> bool {
    set.windows(2)
        .all(|w| w[1].height.0 - w[0].height.0 >= VERTICAL_ROOM.0 - 1e-9)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Centimetres;

    fn racks(heights: &[f64]) -> Vec<RackPosition> {
        (1..)
            .zip(heights)
            .map(|(number, h)| RackPosition::new(number, Centimetres(*h)))
            .collect()
    }

    /// A wall oven 17.5 in high with six guides 2.5 in apart from 1.5 in: thirds at 5.8 and 11.7 in are nearest
    /// the third guide (6.5 in) and the fifth (11.5 in); one tray goes on the guide below the middle (8.75 in).
    #[test]
    fn thirds_are_of_the_height_and_not_of_the_guides() {
        let inches = [1.5, 4.0, 6.5, 9.0, 11.5, 14.0].map(|h| h * 2.54);
        let six = racks(&inches);
        assert_eq!(trade_racks(&six, 17.5 * 2.54, 2), [3, 5]);
        assert_eq!(trade_racks(&six, 17.5 * 2.54, 1), [3]);
        // The same rule without the lowest guide, for a sugared base.
        assert_eq!(trade_racks(&six[1..], 17.5 * 2.54, 2), [3, 5]);
        // Guides at equal distances from the middle: the lower one, for food stands above its guide.
        let two = racks(&[10.0, 20.0]);
        assert_eq!(trade_racks(&two, 30.0, 1), [1]);
    }

    #[test]
    fn the_trade_puts_trays_in_the_middle_or_the_thirds() {
        let five = racks(&[6.0, 13.0, 20.0, 27.0, 34.0]);
        assert_eq!(trade_racks(&five, 42.0, 1), [3]);
        assert_eq!(trade_racks(&five, 42.0, 2), [2, 4]);
        assert_eq!(trade_racks(&five, 42.0, 3), [1, 3, 5]);
        let three = racks(&[5.0, 12.0, 19.0]);
        assert_eq!(trade_racks(&three, 25.0, 2), [1, 3]);
        let close = racks(&[5.0, 9.0]);
        assert_eq!(trade_racks(&close, 20.0, 2).len(), 1);
    }

    #[test]
    fn only_what_is_surely_off_is_left_empty() {
        let tray = Tray::new(Centimetres(40.0), Centimetres(30.0), 3, 2);
        let even = Range::new(0.2, -0.5, 0.9);
        let mut pieces = vec![even; 12];
        pieces[0] = Range::new(2.0, 1.2, 2.8);
        pieces[11] = Range::new(-2.5, -3.0, -1.5);
        pieces[5] = Range::new(2.0, 0.5, 3.0);
        let list = misfits(&tray, &pieces);
        let said: Vec<_> = list
            .iter()
            .map(|m| (m.tray, m.row, m.col, m.place.words()))
            .collect();
        assert_eq!(said, [(2, 2, 3, "front-right"), (1, 1, 1, "back-left")]);
    }
}
