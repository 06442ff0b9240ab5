//! An oven and a toast test, for tests to change what they are about.

use super::{
    Cavity, Dial, HeatSource, Mode, Oven, OvenId, Place, Plate, RackPosition, Reading, Setup,
    Slice, TestId, ToastTest,
};
use crate::units::{Celsius, Centimetres, LengthUnit, TemperatureUnit};
use jiff::civil::date;

/// An oven of 60 x 45 x 40 cm without a fan, its rack positions at these heights.
pub(crate) fn oven(heights: impl IntoIterator<Item = f64>) -> Oven {
    let racks = (1..).zip(heights);
    Oven {
        id: OvenId::of_words("test"),
        name: "test".to_owned(),
        cavity: Cavity::new(Centimetres(60.0), Centimetres(45.0), Centimetres(40.0)),
        racks: racks
            .map(|(number, height)| RackPosition::new(number, Centimetres(height)))
            .collect(),
        heat: vec![HeatSource::BottomElement],
        modes: vec![Mode::StillAir],
        dial: Dial {
            unit: TemperatureUnit::Fahrenheit,
            step: 5.0,
            lowest: Celsius(77.0),
            highest: Celsius(288.0),
        },
        lengths: LengthUnit::Inches,
        visits: Vec::new(),
        note: String::new(),
        plate: Plate::default(),
    }
}

/// A toast test without a fan at 177 C, of these slices.
pub(crate) fn toast_test(slices: impl IntoIterator<Item = Slice>) -> ToastTest {
    let slices: Vec<Slice> = slices.into_iter().collect();
    let mut racks: Vec<u8> = slices.iter().map(|s| s.rack).collect();
    racks.dedup();
    let setup = Setup {
        oven: OvenId::of_words("o"),
        mode: Mode::StillAir,
        dial: Celsius(177.0),
        racks,
    };
    let when = date(2026, 11, 25).at(9, 30, 0, 0);
    ToastTest::new(TestId::of_words("t"), setup, when, slices)
}

/// A slice with its centre at `x` and `y`, cm.
pub(crate) fn slice(rack: u8, x: f64, y: f64, reading: Reading) -> Slice {
    Slice {
        rack,
        place: Place::new(Centimetres(x), Centimetres(y)),
        reading,
    }
}

/// Two racks of 2 rows x 3 columns in reading order, not scored.
pub(crate) fn two_racks() -> ToastTest {
    let places = |rack, y| [10.0, 22.0, 34.0].map(|x| slice(rack, x, y, Reading::Unscored));
    let rows = [(1, 25.0), (1, 12.0), (2, 25.0), (2, 12.0)];
    toast_test(rows.into_iter().flat_map(|(rack, y)| places(rack, y)))
}
