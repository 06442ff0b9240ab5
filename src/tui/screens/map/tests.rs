use super::{
    Act, Arrangement, MapScreen,
    view::{Sheet, columns, parts, placed},
};
use crate::tui::widgets::Sentence;
use crate::workflow::{catalogue::oven_templates, view::ReadOut};
use crate::{
    field::{Evenness, FieldMap, RackMap, Range},
    model::{Oven, OvenId},
    report::{Quantity, Scale},
    tui::{
        theme::{Depth, Theme},
        widgets::{
            Overlay, RackBar, SliceMark,
            synthetic::{hot_corner, hot_zone, map, plain},
        },
    },
    units::TemperatureUnit,
};
use ratatui::{buffer::Buffer, layout::Rect};

fn oven() -> Oven {
    oven_templates()[0].oven.clone()
}

fn screen() -> MapScreen {
    MapScreen::new(OvenId::new("wall-oven").unwrap(), Vec::new())
}

fn racks() -> Vec<RackMap> {
    vec![
        hot_corner(2),
        map(3, |x, y| 4.0 + x / 60.0 - y / 50.0, 0.25),
        map(4, |_, y| 3.6 + y / 30.0, 0.5),
    ]
}

fn evenness(rack: u8) -> Evenness {
    let range = |value: f64| Range {
        value,
        lo: value * 0.8,
        hi: value * 1.3,
    };
    Evenness {
        rack,
        spread: range(f64::from(rack)),
        sd: range(0.6),
        sd_c: range(3.0),
        within_half: range(0.5),
        relative_sd: 0.2,
    }
}

fn drawn(screen: &MapScreen, size: (u16, u16), depth: Depth) -> String {
    let (oven, racks) = (oven(), racks());
    let quantity = if screen.shows_degrees {
        Quantity::Degrees {
            unit: TemperatureUnit::Fahrenheit,
            per_c: 0.041,
        }
    } else {
        Quantity::Shade
    };
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
    let range = |value: f64, half: f64| Range {
        value,
        lo: value - half,
        hi: value + half,
    };
    let sheet = Sheet {
        scores_of: None,
        screen,
        oven: &oven,
        racks: &racks,
        zones: &zones,
        slices: &slices,
        bars: &RackBar::of(&field, quantity),
        evenness: &racks.iter().map(|r| evenness(r.rack)).collect::<Vec<_>>(),
        scale: Scale::over(quantity, &racks),
        read_out: Some(ReadOut {
            shade: range(4.2, 0.4),
            degrees_c: range(6.0, 2.0),
            rise_c_per_cm: (-0.2, 0.18),
        }),
        relative_sd: 0.15,
        findings: vec![
            Sentence::finding(
                "Rack 2 runs hot at the back-left: 2.3 shades darker than its mean (1.8 to 2.8).",
            ),
            Sentence::finding("Rack 4 is the darkest on average."),
            Sentence::warning("1 slice was not scored; score it for a sharper map"),
        ],
    };
    let mut buf = Buffer::empty(Rect::new(0, 0, size.0, size.1));
    sheet.draw(buf.area, &mut buf, &Theme::new(depth));
    plain(&buf)
}

#[test]
fn racks_stand_side_by_side_in_80_columns() {
    insta::assert_snapshot!(drawn(&screen(), (80, 20), Depth::NoColour));
}

#[test]
fn one_rack_fills_a_large_window() {
    let mut screen = screen();
    screen.arrangement = Arrangement::Large;
    screen.overlays.toggle(Overlay::Scores);
    screen.shows_degrees = true;
    screen.rack = Some(2);
    insta::assert_snapshot!(drawn(&screen, (120, 36), Depth::TrueColour));
}

#[test]
fn the_side_view_and_the_spread_of_the_rate_fit_80_columns() {
    let mut screen = screen();
    screen.arrangement = Arrangement::FromTheSide;
    screen.shows_degrees = true;
    screen.shows_spread = true;
    insta::assert_snapshot!(drawn(&screen, (80, 20), Depth::NoColour));
}

#[test]
fn every_rack_gets_a_picture_inside_the_window() {
    let screen = screen();
    for n in 1..=4_u8 {
        for size in [(80, 20), (120, 36), (200, 56)] {
            let maps: Vec<RackMap> = (1..=n).map(|r| map(r, |_, _| 4.0, 0.2)).collect();
            let all: Vec<&RackMap> = maps.iter().collect();
            let area = parts(Rect::new(0, 0, size.0, size.1), &screen).pictures;
            let pictures = placed(&screen, &all, area);
            assert_eq!(pictures.len(), usize::from(n));
            for (i, (_, one)) in pictures.iter().enumerate() {
                assert_eq!(one.intersection(area), *one);
                for (_, other) in &pictures[i + 1..] {
                    assert!(one.intersection(*other).is_empty());
                }
                let shown = crate::tui::widgets::rack_raster::inside(*one, &maps[0].grid);
                assert!(shown.is_some(), "{n} racks at {size:?}: {one:?}");
            }
        }
    }
}

#[test]
fn four_racks_stand_two_by_two_where_a_row_of_three_would_be_no_larger() {
    assert_eq!(columns(4, Rect::new(0, 0, 120, 26)), 2);
    assert_eq!(columns(3, Rect::new(0, 0, 80, 13)), 3);
}

#[test]
fn a_rise_is_said_with_its_direction() {
    // The synthetic read-out rises to the left and back.
    let text = drawn(&screen(), (80, 20), Depth::NoColour);
    assert!(text.contains("+1.2 F/in back-left"), "{text}");
    assert!(text.contains("+11 F (+7 to +14) against"), "{text}");
}

#[test]
fn actions_are_plain_values() {
    assert_eq!(Act::Toggle(Overlay::Zones), Act::Toggle(Overlay::Zones));
    assert_ne!(Act::Rack(1), Act::Rack(-1));
}
