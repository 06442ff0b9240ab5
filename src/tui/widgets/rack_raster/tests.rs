use super::raster::STRETCH;
use super::*;
use crate::field::{Strength, Zone};
use crate::report::Quantity;
use crate::report::Scale;
use crate::tui::theme::Depth;
use crate::{
    tui::widgets::synthetic::{hot_corner, hot_zone, map, plain, styled},
    units::TemperatureUnit,
};
use ratatui::layout::Position;
use ratatui::style::Color;

const DEGREES: Quantity = Quantity::Degrees {
    unit: TemperatureUnit::Fahrenheit,
    per_c: 0.041,
};

fn everything() -> Overlays {
    Overlays::default()
        .with(Overlay::Arrows)
        .with(Overlay::Scores)
}

fn marks() -> Vec<SliceMark> {
    let mut marks = Vec::new();
    for (y, texts) in [
        (36.0, ["6", "5½", "4", "3"]),
        (22.0, ["5", "4", "3½", "3"]),
        (8.0, ["3", "3", "3", "x"]),
    ] {
        for (x, text) in [9.0, 23.0, 37.0, 51.0].into_iter().zip(texts) {
            marks.push(SliceMark {
                rack: 2,
                x,
                y,
                text: text.to_owned(),
            });
        }
    }
    marks
}

fn drawn(quantity: Quantity, overlays: Overlays, size: (u16, u16), depth: Depth) -> Buffer {
    let map = hot_corner(2);
    let scale = Scale::over(quantity, [&map]);
    let zones = [hot_zone(&map)];
    let slices = marks();
    let raster = RackRaster {
        map: &map,
        scale: &scale,
        zones: &zones,
        slices: &slices,
        overlays,
        cursor: Some((40.0, 12.0)),
    };
    let area = Rect::new(0, 0, size.0, size.1);
    let mut buf = Buffer::empty(area);
    raster.draw(area, &mut buf, &Theme::new(depth));
    buf
}

/// Draws the shades of a map alone, in true colour.
fn of_map(map: &RackMap, overlays: Overlays, size: (u16, u16)) -> Buffer {
    let scale = Scale::over(Quantity::Shade, [map]);
    let raster = RackRaster {
        map,
        scale: &scale,
        zones: &[],
        slices: &[],
        overlays,
        cursor: None,
    };
    let mut buf = Buffer::empty(Rect::new(0, 0, size.0, size.1));
    raster.draw(buf.area, &mut buf, &Theme::new(Depth::TrueColour));
    buf
}

#[test]
fn the_name_of_a_probable_zone_says_probably() {
    let map = hot_corner(2);
    let zone = hot_zone(&map);
    for (strength, word) in [
        (Strength::Plain, "HOT back left"),
        (Strength::Probable, "probably HOT"),
    ] {
        for columns in [30, 50, 80] {
            let raster = RackRaster {
                map: &map,
                scale: &Scale::over(Quantity::Shade, [&map]),
                zones: &[Zone {
                    strength,
                    ..zone.clone()
                }],
                slices: &[],
                overlays: Overlays::none().with(Overlay::Zones),
                cursor: None,
            };
            let mut buf = Buffer::empty(Rect::new(0, 0, columns, 18));
            raster.draw(buf.area, &mut buf, &Theme::new(Depth::NoColour));
            let text = plain(&buf);
            assert!(text.contains(word), "{text}");
        }
    }
}

#[test]
fn without_colour_density_and_figures_tell_the_map() {
    insta::assert_snapshot!(plain(&drawn(
        Quantity::Shade,
        Overlays::default(),
        (50, 18),
        Depth::NoColour
    )));
}

#[test]
fn without_colour_degrees_keep_their_sign() {
    insta::assert_snapshot!(plain(&drawn(
        DEGREES,
        Overlays::default(),
        (50, 18),
        Depth::NoColour
    )));
}

#[test]
fn every_overlay_fits_over_the_shading() {
    insta::assert_snapshot!(plain(&drawn(
        Quantity::Shade,
        everything(),
        (50, 18),
        Depth::TrueColour
    )));
}

#[test]
fn true_colour_shades_two_readings_in_a_cell() {
    let buf = drawn(
        Quantity::Shade,
        Overlays::default(),
        (18, 7),
        Depth::TrueColour,
    );
    insta::assert_snapshot!(styled(&buf));
}

#[test]
fn indexed_colour_shades_degrees() {
    let buf = drawn(DEGREES, Overlays::default(), (18, 7), Depth::Indexed256);
    insta::assert_snapshot!(styled(&buf));
}

#[test]
fn sixteen_colours_use_characters() {
    let buf = drawn(Quantity::Shade, Overlays::default(), (18, 7), Depth::Ansi16);
    insta::assert_snapshot!(styled(&buf));
}

#[test]
fn shading_is_smooth_and_follows_the_map() {
    // A plane rising to the right: no two neighbours differ by more than a small step, and the
    // right end is darker than the left.
    let map = map(1, |x, _| 2.0 + x / 15.0, 0.05);
    let buf = of_map(&map, Overlays::none(), (62, 20));
    let inner = inside(buf.area, &map.grid).unwrap();
    let greens: Vec<u8> = (inner.left()..inner.right())
        .map(|x| {
            let Color::Rgb(_, g, _) = buf[(x, inner.y + 3)].fg else {
                panic!("not shaded")
            };
            g
        })
        .collect();
    assert!(
        greens.windows(2).all(|w| w[1] <= w[0] && w[0] - w[1] < 8),
        "{greens:?}"
    );
    assert!(greens[0] - greens[greens.len() - 1] > 100);
}

#[test]
fn doubtful_places_lose_their_colour() {
    let chroma = |colour: Color| {
        let Color::Rgb(r, g, b) = colour else {
            panic!("not shaded")
        };
        i32::from(r.max(g).max(b)) - i32::from(r.min(g).min(b))
    };
    let mean_chroma = |sd: f64| {
        let map = map(1, |_, _| 5.0, sd);
        let buf = of_map(&map, Overlays::default(), (42, 14));
        let inner = inside(buf.area, &map.grid).unwrap();
        let cells = inner
            .positions()
            .map(|p| chroma(buf[p].bg))
            .collect::<Vec<_>>();
        f64::from(cells.iter().sum::<i32>()) / cells.len() as f64
    };
    assert!(mean_chroma(1.0) < mean_chroma(0.1) * 0.7);
}

#[test]
fn the_mouse_finds_the_place_that_is_drawn_there() {
    let map = hot_corner(1);
    let area = Rect::new(3, 2, 50, 18);
    let inner = inside(area, &map.grid).unwrap();
    let back_left = place_under(Position::new(inner.x, inner.y), inner, &map.grid).unwrap();
    assert!(back_left.0 < 2.0 && back_left.1 > 42.0, "{back_left:?}");
    let front_right = place_under(
        Position::new(inner.right() - 1, inner.bottom() - 1),
        inner,
        &map.grid,
    )
    .unwrap();
    assert!(
        front_right.0 > 58.0 && front_right.1 < 3.0,
        "{front_right:?}"
    );
    assert_eq!(place_under(Position::new(0, 0), inner, &map.grid), None);
}

#[test]
fn proportions_stay_near_the_cavitys_own_and_too_small_is_left_alone() {
    let grid = hot_corner(1).grid;
    let wide = inside(Rect::new(0, 0, 200, 12), &grid).unwrap();
    assert!(f64::from(wide.width) <= 10.0 * 2.0 * 60.0 / 45.0 * STRETCH);
    let tall = inside(Rect::new(0, 0, 30, 60), &grid).unwrap();
    assert!(tall.height <= 14);
    assert_eq!(inside(Rect::new(0, 0, 11, 20), &grid), None);
    let buf = of_map(&hot_corner(1), everything(), (11, 4));
    assert_eq!(buf, Buffer::empty(Rect::new(0, 0, 11, 4)));
}

#[test]
fn arrows_point_where_it_rises() {
    let map = map(1, |x, y| 2.0 + x / 20.0 + y / 20.0, 0.05);
    let arrows = Overlays::none().with(Overlay::Arrows);
    let text = plain(&of_map(&map, arrows, (50, 18)));
    assert!(text.matches('↗').count() > 10, "{text}");
    assert!(!text.contains(['↑', '→', '↙', '↓', '←']), "{text}");
}
