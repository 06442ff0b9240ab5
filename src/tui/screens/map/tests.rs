use super::{Act, MapScreen, view::Sheet};
use crate::tui::prelude::*;
use crate::tui::widgets::beside::beside;
use crate::workflow::{catalogue::oven_templates, view::ReadOut};
use crate::{
    field::{FieldMap, RackMap, Range},
    model::{Oven, OvenId},
    report::{Quantity, Scale},
    tui::{
        theme::Depth,
        widgets::{
            Overlay, RackBar, SliceMark, Tab,
            synthetic::{hot_corner, hot_zone, map, plain},
        },
    },
};

fn oven() -> Oven {
    oven_templates()[0].oven.clone()
}

fn racks() -> Vec<RackMap> {
    vec![
        hot_corner(2),
        map(3, |x, y| 4.0 + x / 60.0 - y / 50.0, 0.25),
        map(4, |_, y| 3.6 + y / 30.0, 0.5),
    ]
}

#[test]
fn one_rack_is_large_in_80_columns_with_the_others_as_tabs() {
    let screen = MapScreen::new(OvenId::new("wall-oven").unwrap(), Vec::new());
    let (oven, racks) = (oven(), racks());
    let quantity = Quantity::Shade;
    let zones = [hot_zone(&racks[0])];
    let slices = [SliceMark {
        rack: 2,
        x: 12.0,
        y: 36.0,
        text: "5½".to_owned(),
    }];
    let field = FieldMap {
        racks: racks.clone(),
        noise_sd: 0.03,
    };
    let range = |value: f64, half: f64| Range::new(value, value - half, value + half);
    let sheet = Sheet {
        screen: &screen,
        oven: &oven,
        racks: &racks,
        rack: Some(2),
        zones: &zones,
        slices: &slices,
        bars: &RackBar::of(&field, quantity),
        tabs: (1..=6)
            .rev()
            .map(|rack| Tab {
                rack,
                words: match rack {
                    2 => Some("HOT back left".to_owned()),
                    3 => Some("looks even".to_owned()),
                    4 => Some("COOL front right".to_owned()),
                    _ => None,
                },
            })
            .collect(),
        scale: Scale::over(quantity, &racks),
        read_out: Some(ReadOut {
            shade: range(4.2, 0.4),
            degrees_c: range(6.0, 2.0),
            rise_c_per_cm: (-0.2, 0.18),
        }),
        said: vec!["Back left is about 11 F hotter than the rest of rack 2 (8 to 14).".to_owned()],
        warnings: 1,
    };
    let mut buf = Buffer::empty(Rect::new(0, 0, 80, 20));
    sheet.draw(buf.area, &mut buf, &Theme::new(Depth::NoColour));
    insta::assert_snapshot!(plain(&buf));
}

/// A terminal cell is about twice as high as wide (common practice, no source): the cavity's true shape within a
/// twentieth, and no window leaves a third of the picture's height or width empty where the map could grow.
#[test]
fn the_map_keeps_the_cavitys_shape_and_fills_its_part_of_any_window() {
    let grid = map(1, |_, _| 4.0, 0.2).grid;
    for size in [(80, 20), (120, 36), (200, 56)] {
        for racks in 1..=8 {
            let area = beside(Rect::new(0, 0, size.0, size.1), racks).picture;
            let shown = crate::tui::widgets::rack_raster::inside(area, &grid).unwrap();
            let (width, height) = (f64::from(shown.width), f64::from(shown.height));
            let shape = width / height / (2.0 * grid.width / grid.depth);
            assert!((0.93..=1.07).contains(&shape), "{size:?}: {shape}");
            let full = (width / f64::from(area.width)).max(height / f64::from(area.height));
            assert!(full > 0.88, "{size:?}: {full}");
        }
    }
}

#[test]
fn actions_are_plain_values() {
    assert_eq!(Act::Toggle(Overlay::Zones), Act::Toggle(Overlay::Zones));
    assert_ne!(Act::Rack(1), Act::Rack(-1));
}
