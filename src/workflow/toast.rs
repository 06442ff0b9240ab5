//! A new toast test: laid out for its setup, ready to be scored.

use super::{
    kitchen::Kitchen,
    layout::{LayoutError, LayoutRequest, lay_out},
};
use crate::{
    model::{Bread, CHECK_CHANGED, CHECK_NOTE, Mode, Oven, Setup, Surface, ToastTest, Warning},
    units::{Celsius, Centimetres, LengthUnit, Minutes, UnitError, plain},
};
use jiff::civil::DateTime;

/// What is wrong with a new test.
#[derive(Debug, thiserror::Error)]
pub enum ToastError {
    /// The slices cannot be laid out.
    #[error(transparent)]
    Layout(#[from] LayoutError),
    /// The dial has no such setting.
    #[error("the dial of {oven} cannot be set to {asked}; it goes from {lowest} to {highest}")]
    Dial {
        /// The oven's name.
        oven: String,
        /// The setting asked for.
        asked: String,
        /// Its lowest setting.
        lowest: String,
        /// Its highest setting.
        highest: String,
    },
    /// The time cannot be.
    #[error("{} minutes is no time for a toast test; give 0.5 to 60", plain(*.0))]
    Minutes(f64),
    /// The note would make it a quick check.
    #[error(
        "'{0}' is what a quick check is noted as; note it otherwise, or lay one with: rackshade check"
    )]
    Note(String),
}

/// What a new test is made from.
#[derive(Debug, Clone)]
pub struct TestDraft {
    /// How the oven heats.
    pub mode: Mode,
    /// Racks, slices and air.
    pub request: LayoutRequest,
    /// Setting of the dial; the lay-out's advice when `None`.
    pub dial: Option<Celsius>,
    /// Time in the oven, where known.
    pub minutes: Option<Minutes>,
    /// When it is toasted, local time.
    pub when: DateTime,
    /// The loaf, in the baker's words.
    pub loaf: Option<String>,
    /// What the slices lie on.
    pub surface: Surface,
    /// Free words.
    pub note: String,
}

/// Lays a new test out, with a fresh id; it is not saved yet.
///
/// # Errors
/// [`ToastError`] names the first thing that cannot be.
pub fn new_test(
    kitchen: &Kitchen,
    oven: &Oven,
    draft: &TestDraft,
) -> Result<(ToastTest, Vec<Warning>), ToastError> {
    let laid = lay_out(oven, draft.mode, &draft.request)?;
    let dial = draft.dial.unwrap_or(laid.dial);
    let (lowest, highest) = (oven.dial.lowest, oven.dial.highest);
    // Half a degree of grace: a figure typed in the other unit is rounded.
    if !(lowest.0 - 0.5..=highest.0 + 0.5).contains(&dial.0) {
        let show = |t| oven.dial.unit.show(t);
        return Err(ToastError::Dial {
            oven: oven.name.clone(),
            asked: show(dial),
            lowest: show(lowest),
            highest: show(highest),
        });
    }
    if let Some(Minutes(m)) = draft.minutes.filter(|m| !(0.5..=60.0).contains(&m.0)) {
        return Err(ToastError::Minutes(m));
    }
    if [CHECK_NOTE, CHECK_CHANGED].contains(&draft.note.trim()) {
        return Err(ToastError::Note(draft.note.clone()));
    }
    let bread = Bread::default();
    let mut racks = draft.request.racks.clone();
    racks.sort_unstable();
    racks.dedup();
    let id = kitchen.fresh_test_id(&oven.id, draft.when.date());
    let setup = Setup {
        oven: oven.id.clone(),
        mode: draft.mode,
        dial,
        racks,
    };
    let test = ToastTest {
        minutes: draft.minutes,
        bread: Bread {
            loaf: draft.loaf.clone().unwrap_or(bread.loaf),
            slice: draft.request.slice,
            surface: draft.surface,
            ..Bread::default()
        },
        note: draft.note.clone(),
        ..ToastTest::new(id, setup, draft.when, laid.slices)
    };
    Ok((test, laid.warnings))
}

/// Reads a size like `46x33cm`, `18x13in` or `10x10` (taken in `default`): along the door, then
/// front to back.
///
/// # Errors
/// [`UnitError`] when it is not two lengths with an x between them.
pub fn parse_size(
    text: &str,
    default: LengthUnit,
) -> Result<(Centimetres, Centimetres), UnitError> {
    const EXAMPLE: &str = "46x33cm or 18x13in";
    let bad = || UnitError::NotANumber(text.to_owned(), EXAMPLE);
    let (width, depth) = text.split_once(['x', 'X', '×']).ok_or_else(bad)?;
    let second = Centimetres::parse(depth, default).map_err(|_wrong_half| bad())?;
    // The unit is written once, behind the second figure.
    let unit: String = depth
        .trim()
        .chars()
        .skip_while(|c| !c.is_alphabetic() && *c != '"')
        .collect();
    let first = if width
        .trim()
        .ends_with(|c: char| c.is_ascii_digit() || c == '.')
    {
        Centimetres::parse(&format!("{width}{unit}"), default)
    } else {
        Centimetres::parse(width, default)
    }
    .map_err(|_wrong_half| bad())?;
    if first.0 <= 0.0 || second.0 <= 0.0 {
        return Err(bad());
    }
    Ok((first, second))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn sizes_take_the_unit_behind_the_second_figure() {
        let cm = |text| {
            let (w, d) = parse_size(text, LengthUnit::Centimetres).unwrap();
            ((w.0 * 100.0).round() / 100.0, (d.0 * 100.0).round() / 100.0)
        };
        assert_eq!(cm("46x33cm"), (46.0, 33.0));
        assert_eq!(cm("18x13in"), (45.72, 33.02));
        assert_eq!(cm("18 in x 33 cm"), (45.72, 33.0));
        assert_eq!(cm("10x9.5"), (10.0, 9.5));
        for wrong in ["46", "x", "46x", "46x33kg", "0x3", "-4x3", "axb"] {
            let said = parse_size(wrong, LengthUnit::Inches)
                .unwrap_err()
                .to_string();
            assert!(said.contains(wrong) && said.contains("46x33cm"), "{said}");
        }
    }

    fn draft(racks: &[u8]) -> TestDraft {
        TestDraft {
            mode: Mode::StillAir,
            request: LayoutRequest {
                racks: racks.to_vec(),
                slice: crate::model::SliceSize::ORDINARY,
                gap: Centimetres(1.0),
                clearance: Centimetres(5.0),
                counts: None,
                dial: None,
            },
            dial: None,
            minutes: Some(Minutes(9.5)),
            when: date(2026, 5, 1).at(9, 0, 0, 0),
            loaf: Some("loaf B".to_owned()),
            surface: Surface::Sheet,
            note: String::new(),
        }
    }

    #[test]
    fn a_new_test_has_its_slices_and_a_fresh_id() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("wall-oven").unwrap();
        let (test, _) = new_test(&kitchen, oven, &draft(&[2, 4])).unwrap();
        assert_eq!(test.id.as_str(), "2026-05-01-wall-oven");
        assert_eq!(
            (test.setup.racks.as_slice(), test.cursor),
            (&[2_u8, 4][..], 0)
        );
        assert!(test.slices.len() >= 24, "{}", test.slices.len());
        assert!(test.slices.iter().all(|s| !s.reading.is_settled()));
        assert_eq!(
            (test.bread.loaf.as_str(), test.bread.surface),
            ("loaf B", Surface::Sheet)
        );
    }

    #[test]
    fn a_setting_or_time_that_cannot_be_is_named() {
        let (kitchen, _) = Kitchen::throwaway_copy().unwrap();
        let oven = kitchen.find_oven("counter-oven").unwrap();
        let hot = TestDraft {
            dial: Some(Celsius(260.0)),
            ..draft(&[1])
        };
        let said = new_test(&kitchen, oven, &hot).unwrap_err().to_string();
        assert!(said.contains("500 F") && said.contains("450 F"), "{said}");
        let long = TestDraft {
            minutes: Some(Minutes(600.0)),
            ..draft(&[1])
        };
        assert!(matches!(
            new_test(&kitchen, oven, &long),
            Err(ToastError::Minutes(_))
        ));
        assert!(matches!(
            new_test(&kitchen, oven, &draft(&[9])),
            Err(ToastError::Layout(_))
        ));
    }
}
