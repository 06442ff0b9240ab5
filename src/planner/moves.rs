//! What is done at one opening of the door, in a baker's words.

use crate::{
    model::TrayPlacement,
    units::{Centimetres, LengthUnit},
};

/// Says where every tray goes in: `tray 1 on position 2; tray 2 on position 4`.
pub fn describe_start(trays: &[TrayPlacement], lengths: LengthUnit) -> String {
    let one = trays.len() == 1;
    trays
        .iter()
        .map(|t| match shift_words(t, lengths) {
            place if place.is_empty() => format!("{} on position {}", name(t, one), t.rack),
            place => format!("{} on position {},{place}", name(t, one), t.rack),
        })
        .collect::<Vec<_>>()
        .join("; ")
}

/// Says what changes from one arrangement to the next: `swap the racks, turn both front to back`.
///
/// Both lists hold the same trays in the same order. Says `leave everything` when nothing changes.
pub fn describe_move(
    before: &[TrayPlacement],
    after: &[TrayPlacement],
    lengths: LengthUnit,
) -> String {
    let one = before.len() == 1;
    let pairs: Vec<(&TrayPlacement, &TrayPlacement)> = before.iter().zip(after).collect();
    let moved: Vec<_> = pairs.iter().filter(|(b, a)| b.rack != a.rack).collect();
    let turned: Vec<_> = pairs.iter().filter(|(b, a)| b.turned != a.turned).collect();

    let mut parts: Vec<String> = Vec::new();
    if let [(b1, a1), (b2, a2)] = moved.as_slice()
        && b1.rack == a2.rack
        && b2.rack == a1.rack
    {
        parts.push(if before.len() == 2 {
            "swap the racks".to_owned()
        } else {
            format!("swap {} and {}", name(b1, one), name(b2, one))
        });
    } else {
        parts.extend(
            moved
                .iter()
                .map(|(b, a)| format!("move {} to position {}", name(b, one), a.rack)),
        );
    }
    for (b, a) in &pairs {
        let same_place = b.shift_x == a.shift_x && b.shift_y == a.shift_y;
        if !same_place {
            let place = shift_words(a, lengths);
            let place = if place.is_empty() {
                " in the middle".to_owned()
            } else {
                place
            };
            parts.push(format!("set {}{place}", name(b, one)));
        }
    }
    match (turned.len(), before.len()) {
        (0, _) => {}
        (1, 1) => parts.push("turn the tray front to back".to_owned()),
        (2, 2) => parts.push("turn both front to back".to_owned()),
        (3, 3) => parts.push("turn all three front to back".to_owned()),
        _ => {
            let names: Vec<String> = turned.iter().map(|(b, _)| name(b, one)).collect();
            parts.push(format!("turn {} front to back", names.join(" and ")));
        }
    }
    if parts.is_empty() {
        "leave everything".to_owned()
    } else {
        parts.join(", ")
    }
}

fn name(tray: &TrayPlacement, one: bool) -> String {
    if one {
        "the tray".to_owned()
    } else {
        format!("tray {}", tray.tray)
    }
}

/// Says how a tray stands off the middle: ` 3 cm left and 2 cm back of the middle`; empty in the middle.
fn shift_words(tray: &TrayPlacement, lengths: LengthUnit) -> String {
    let along = |shift: Centimetres, less: &str, more: &str| {
        let size = Centimetres(shift.0.abs());
        let side = if shift.0 < 0.0 { less } else { more };
        (size.0 >= 0.05).then(|| format!("{} {side}", lengths.show(size)))
    };
    let sides: Vec<String> = [
        along(tray.shift_x, "left", "right"),
        along(tray.shift_y, "forward", "back"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if sides.is_empty() {
        String::new()
    } else {
        format!(" {} of the middle", sides.join(" and "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(tray: usize, rack: u8, turned: bool) -> TrayPlacement {
        TrayPlacement {
            tray,
            rack,
            turned,
            shift_x: Centimetres(0.0),
            shift_y: Centimetres(0.0),
        }
    }

    fn say(before: &[TrayPlacement], after: &[TrayPlacement]) -> String {
        describe_move(before, after, LengthUnit::Centimetres)
    }

    #[test]
    fn moves_are_said_as_a_baker_says_them() {
        let two = [at(1, 2, false), at(2, 4, false)];
        assert_eq!(
            say(&two, &[at(1, 4, true), at(2, 2, true)]),
            "swap the racks, turn both front to back"
        );
        assert_eq!(
            say(&two, &[at(1, 2, true), at(2, 4, false)]),
            "turn tray 1 front to back"
        );
        assert_eq!(
            say(&two, &[at(1, 2, false), at(2, 5, false)]),
            "move tray 2 to position 5"
        );
        assert_eq!(say(&two, &two), "leave everything");
        assert_eq!(
            say(&[at(1, 3, false)], &[at(1, 3, true)]),
            "turn the tray front to back"
        );
        let three = [at(1, 1, false), at(2, 3, false), at(3, 5, false)];
        assert_eq!(
            say(&three, &[at(1, 5, false), at(2, 3, true), at(3, 1, true)]),
            "swap tray 1 and tray 3, turn tray 2 and tray 3 front to back"
        );
        assert_eq!(
            say(&three, &[at(1, 3, false), at(2, 5, false), at(3, 1, false)]),
            "move tray 1 to position 3, move tray 2 to position 5, move tray 3 to position 1"
        );
    }

    #[test]
    fn shifts_are_said_with_their_unit() {
        let mut tray = at(1, 3, false);
        tray.shift_x = Centimetres(-3.0);
        tray.shift_y = Centimetres(2.5);
        let words = describe_start(&[tray], LengthUnit::Centimetres);
        assert_eq!(
            words,
            "the tray on position 3, 3 cm left and 2.5 cm back of the middle"
        );
        assert_eq!(
            say(&[tray], &[at(1, 3, false)]),
            "set the tray in the middle"
        );
    }
}
