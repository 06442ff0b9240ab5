use super::*;
use crate::model::samples;
use crate::{
    field::{RackMap, Strength},
    geometry::Grid,
    model::{
        Alternative, DialStep, HeatSource, Mode, OvenId, Reading, Segment, Shade, TestId,
        TrayPlacement, Yardstick, shade::browning_per_shade,
    },
    units::{Celsius, Minutes, TemperatureUnit},
};

fn oven() -> Oven {
    Oven {
        id: OvenId::of_words("wall-oven"),
        name: "Wall oven".to_owned(),
        heat: vec![HeatSource::BottomElement, HeatSource::RearFan],
        modes: vec![Mode::StillAir, Mode::Fan],
        ..samples::oven([8.0, 18.0])
    }
}

fn field() -> FieldMap {
    let grid = Grid::new(24, 18, 60.0, 45.0);
    let per = browning_per_shade();
    let mean: Vec<f64> = (0..grid.len())
        .map(|i| (5.5 - grid.x(i % 24) / 25.0 + grid.y(i / 24) / 60.0) * per)
        .collect();
    let sd: Vec<f64> = (0..grid.len())
        .map(|i| 0.02 + 0.001 * grid.x(i % 24))
        .collect();
    FieldMap {
        racks: vec![RackMap::tested(2, grid, mean, sd)],
        noise_sd: 0.03,
    }
}

fn range(value: f64, half: f64) -> Range {
    Range::new(value, value - half, value + half)
}

fn zone() -> Zone {
    Zone {
        rack: 2,
        kind: ZoneKind::Hot,
        strength: Strength::Plain,
        around: Vec::new(),
        centre: (9.0, 36.0),
        area: 180.0,
        probability: 0.97,
        peak_shade: range(1.3, 0.4),
        peak_c: range(7.0, 2.5),
        cells: vec![(0, 0), (0, 1)],
    }
}

fn evenness() -> Evenness {
    Evenness {
        rack: 2,
        spread: range(2.1, 0.5),
        sd: range(0.7, 0.2),
        sd_c: range(4.0, 1.0),
        within_half: range(0.55, 0.1),
        relative_sd: 0.15,
    }
}

fn advice() -> Vec<String> {
    vec!["A second opening would cost a minute of heat and buy no evenness that a baker could see on the tray.".to_owned()]
}

fn plan() -> Plan {
    let tray = |tray, rack, turned| TrayPlacement {
        tray,
        rack,
        turned,
        shift_x: Centimetres(0.0),
        shift_y: Centimetres(0.0),
    };
    let yardstick = |spread: f64, minutes| Yardstick {
        spread,
        spread_range: (spread * 0.8, spread * 1.3),
        sd: spread / 4.0,
        sd_range: (spread / 5.0, spread / 3.0),
        minutes: Minutes(minutes),
    };
    let segment = |from, to, trays| Segment {
        from: Minutes(from),
        to: Minutes(to),
        share: 0.5,
        trays,
    };
    Plan {
        kind: "thin-cookie".to_owned(),
        recipe: None,
        segments: vec![
            segment(0.0, 9.0, vec![tray(1, 1, false), tray(2, 2, false)]),
            segment(9.0, 12.0, vec![tray(1, 2, true), tray(2, 1, true)]),
        ],
        bake: Minutes(12.0),
        dial: Celsius(162.8),
        steps_to_dial: vec![DialStep::new("recipe, no fan".to_owned(), Celsius(176.7))],
        evenness: yardstick(0.8, 12.0),
        unturned: yardstick(2.6, 11.0),
        halfway: yardstick(2.2, 12.0),
        alternatives: vec![Alternative {
            openings: 1,
            evenness: yardstick(0.8, 12.0),
            segments: Vec::new(),
        }],
        tray: None,
        forecast: Vec::new(),
    }
}

fn test() -> ToastTest {
    let five = Reading::ByEye(Shade::whole(5).unwrap());
    let mut test = samples::toast_test([samples::slice(2, 9.0, 36.0, five)]);
    test.id = TestId::of_words("wall-oven-1");
    test.setup.oven = OvenId::of_words("wall-oven");
    test.setup.dial = Celsius(176.7);
    test.when = jiff::civil::date(2026, 3, 1).at(9, 0, 0, 0);
    test.minutes = Some(Minutes(9.0));
    test.cursor = 1;
    test
}

fn told(quantity: Quantity, characters: Characters, zones: &[Zone]) -> String {
    let (oven, map, evenness) = (oven(), field(), [evenness()]);
    let findings = ["The back-left browns 1.3 shades more than the rack's mean, as if the air there were 13 F hotter.".to_owned()];
    let warnings = [Warning::new(
        "2 slices were not scored",
        "score them for a sharper map",
    )];
    let (test, plan) = (test(), plan());
    tour(&Tour {
        sheet: MapSheet {
            oven: &oven,
            map: &map,
            zones,
            evenness: &evenness,
            findings: &findings,
            warnings: &warnings,
            quantity,
            characters,
        },
        tests: &[&test],
        plan: Some(("thin cookies", &plan, &advice())),
    })
}

const DEGREES: Quantity = Quantity::Degrees {
    unit: TemperatureUnit::Fahrenheit,
    per_c: 0.041,
};

#[test]
fn the_tour_is_readable_ascii_of_78_columns() {
    for quantity in [Quantity::Shade, DEGREES] {
        let text = told(quantity, Characters::Ascii, &[zone()]);
        assert!(text.is_ascii());
        let widest = text.lines().map(str::len).max().unwrap();
        assert!(widest <= WIDTH, "{widest}");
        assert!(text.lines().count() > 40);
    }
    insta::assert_snapshot!(told(Quantity::Shade, Characters::Ascii, &[zone()]));
}

#[test]
fn degrees_and_blocks_have_their_own_picture() {
    let (map, scale) = (field(), Scale::over(DEGREES, &field().racks));
    let pictures = format!(
        "{}{}{}",
        rack_text(&map.racks[0], &scale, Characters::Ascii),
        rack_text(&map.racks[0], &scale, Characters::Unicode),
        legend_text(&scale, Characters::Unicode)
    );
    insta::assert_snapshot!(pictures);
}

#[test]
fn no_zone_is_said_rather_than_left_out() {
    assert!(told(Quantity::Shade, Characters::Ascii, &[]).contains("No hot or cool zone"));
}

#[test]
fn long_words_are_never_split_and_lines_never_too_long() {
    let text = wrapped(&"bread ".repeat(60), "* ", "  ");
    assert!(text.lines().all(|l| l.len() <= WIDTH));
    assert_eq!(text.matches("bread").count(), 60);
    assert_eq!(wrapped("", "* ", "  "), "* \n");
}
