//! Moves and placements said in a baker's words.

use crate::{
    model::{Segment, TrayPlacement, text::joined},
    units::LengthUnit,
};
use std::fmt::Write as _;

/// A shift below this many centimetres is not said.
const SHIFT_CM: f64 = 0.5;

/// Says what to do at the door opening between two segments, trays in the order of their racks.
///
/// `lengths` is the unit of shifts. Nothing to do is said too, so that no opening is left silent.
pub fn move_words(before: &Segment, after: &Segment, lengths: LengthUnit) -> String {
    let pairs: Vec<(&TrayPlacement, &TrayPlacement)> = after
        .trays
        .iter()
        .filter_map(|t| Some((before.trays.iter().find(|b| b.tray == t.tray)?, t)))
        .collect();
    let mut said = rack_changes(&pairs);
    let turned: Vec<usize> = pairs
        .iter()
        .filter(|(b, a)| b.turned != a.turned)
        .map(|(_, a)| a.tray)
        .collect();
    if !turned.is_empty() {
        said.push(format!(
            "turn {} front to back",
            these(&turned, pairs.len())
        ));
    }
    for (was, is) in &pairs {
        said.extend(shift_words(was, is, lengths));
    }
    if said.is_empty() {
        "leave everything where it is".to_owned()
    } else {
        said.join(", ")
    }
}

fn rack_changes(pairs: &[(&TrayPlacement, &TrayPlacement)]) -> Vec<String> {
    let moved: Vec<_> = pairs.iter().filter(|(b, a)| b.rack != a.rack).collect();
    match moved.as_slice() {
        [] => Vec::new(),
        // Two that change places: the word for it is swap.
        [(b1, a1), (b2, a2)] if b1.rack == a2.rack && b2.rack == a1.rack => {
            let (low, high) = (a1.rack.min(a2.rack), a1.rack.max(a2.rack));
            vec![format!("swap racks {low} and {high}")]
        }
        several => several
            .iter()
            .map(|(b, a)| format!("tray {} from rack {} to rack {}", a.tray, b.rack, a.rack))
            .collect(),
    }
}

fn these(trays: &[usize], all: usize) -> String {
    match trays {
        [_] if all == 1 => "the tray".to_owned(),
        [_, _] if all == 2 => "both trays".to_owned(),
        many if many.len() == all => format!("all {all} trays"),
        [one] => format!("tray {one}"),
        many => format!("trays {}", joined(many, " and ")),
    }
}

fn shift_words(was: &TrayPlacement, is: &TrayPlacement, lengths: LengthUnit) -> Option<String> {
    let right = is.shift_x.0 - was.shift_x.0;
    let back = is.shift_y.0 - was.shift_y.0;
    let mut ways = Vec::new();
    for (by, positive, negative) in [
        (right, "to the right", "to the left"),
        (back, "to the back", "to the front"),
    ] {
        if by.abs() >= SHIFT_CM {
            let way = if by > 0.0 { positive } else { negative };
            let length = lengths.show_roughly(crate::units::Centimetres(by.abs()));
            ways.push(format!("{length} {way}"));
        }
    }
    (!ways.is_empty()).then(|| format!("shift tray {} {}", is.tray, ways.join(" and ")))
}

/// Says where a tray stands: `tray 1 on rack 2, 1 in right of the centre`.
pub fn placement_words(tray: &TrayPlacement, lengths: LengthUnit) -> String {
    let mut text = format!("tray {} on rack {}", tray.tray, tray.rack);
    for (by, positive, negative) in [
        (tray.shift_x, "right of the centre", "left of the centre"),
        (tray.shift_y, "behind the centre", "in front of the centre"),
    ] {
        if by.0.abs() >= SHIFT_CM {
            let way = if by.0 > 0.0 { positive } else { negative };
            let length = lengths.show_roughly(crate::units::Centimetres(by.0.abs()));
            let _ = write!(text, ", {length} {way}");
        }
    }
    if tray.turned {
        text.push_str(", back end to the door");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Centimetres, Minutes};

    fn segment(trays: &[(usize, u8, bool, f64, f64)]) -> Segment {
        Segment {
            from: Minutes(0.0),
            to: Minutes(5.0),
            share: 0.5,
            trays: trays
                .iter()
                .map(|&(tray, rack, turned, x, y)| TrayPlacement {
                    tray,
                    rack,
                    turned,
                    shift_x: Centimetres(x),
                    shift_y: Centimetres(y),
                })
                .collect(),
        }
    }

    #[test]
    fn moves_are_said_as_a_baker_says_them() {
        let cm = LengthUnit::Centimetres;
        let two = segment(&[(1, 2, false, 0.0, 0.0), (2, 4, false, 0.0, 0.0)]);
        let swapped = segment(&[(1, 4, true, 0.0, 0.0), (2, 2, true, 0.0, 0.0)]);
        assert_eq!(
            move_words(&two, &swapped, cm),
            "swap racks 2 and 4, turn both trays front to back"
        );
        let one = segment(&[(1, 3, false, 0.0, 0.0)]);
        let shifted = segment(&[(1, 3, true, -2.5, 4.0)]);
        assert_eq!(
            move_words(&one, &shifted, cm),
            "turn the tray front to back, shift tray 1 3 cm to the left and 4 cm to the back"
        );
        let lifted = segment(&[(1, 3, false, 0.0, 0.0), (2, 4, true, 0.0, 0.0)]);
        assert_eq!(
            move_words(&two, &lifted, cm),
            "tray 1 from rack 2 to rack 3, turn tray 2 front to back"
        );
        assert_eq!(move_words(&two, &two, cm), "leave everything where it is");
    }

    #[test]
    fn placements_name_shift_and_turn() {
        let s = segment(&[(1, 2, true, 2.54, -1.27)]);
        assert_eq!(
            placement_words(&s.trays[0], LengthUnit::Inches),
            "tray 1 on rack 2, 1 in right of the centre, 0.5 in in front of the centre, back end to the door"
        );
    }
}
